"""The desk: where a model folder is changed, one key at a time, with undo and redo, and nobody's change lost.

Every change is on disk before it is answered for (``store.writing``). The undo list lives as long as the
program; the folder itself is the truth, and a change by another hand is noticed and never overwritten.
"""

import threading
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from glidewright.base.errors import InputError, Problem
from glidewright.faces.web.folders import revision
from glidewright.store.alone import alone_in
from glidewright.store.atomic import write_whole
from glidewright.store.reading import model_of_texts
from glidewright.store.tables import parsed
from glidewright.store.texts import MODEL_FILE, read_texts, text_of
from glidewright.store.toml_edit import changed_text, value_at, with_table
from glidewright.store.writing import append_table, remove_table, remove_value, set_value

_MOST_STEPS = 200
UNSEEN = object()


class ConflictError(InputError):
    """What is to be changed was changed meanwhile, in another tab or by another program."""


@dataclass(frozen=True)
class Step:
    """One change in words, with the texts before and after of every file that it changed."""

    before: Mapping[str, str]
    after: Mapping[str, str]
    words: str


@dataclass(frozen=True)
class State:
    """The desk after a change: revision, and what can be undone and done again, in words."""

    revision: str
    undo: str
    redo: str
    words: str = ""


class Desk:
    """Changes to one model folder, one at a time."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._lock = threading.Lock()
        self._done: list[Step] = []
        self._undone: list[Step] = []

    def state(self, words: str = "") -> State:
        """Where the desk stands."""
        undo = self._done[-1].words if self._done else ""
        redo = self._undone[-1].words if self._undone else ""
        return State(revision(self.folder), undo, redo, words)

    def set(self, file: str, keys: tuple[str | int, ...], value: Any, was: Any, seen: str) -> State:
        """Set a key, or take it out (None). seen: the revision of the page; was: the value that it showed.

        A page that showed no value (UNSEEN) must have seen the folder as it is.

        Raises ConflictError when the value is another one by now, or the place cannot be told for sure;
        InputError when the result cannot be read.
        """

        def change() -> None:
            self._refuse_changed(file, keys, was, seen)
            if value is None:
                remove_value(self.folder, file, keys)
            else:
                set_value(self.folder, file, keys, value)

        return self._change((file,), f"{keys[-1]} of {_place(keys)}", change)

    def add(self, file: str, table: str, values: Mapping[str, Any]) -> State:
        """Add a table of a kind at its end."""
        words = f"new {table} {values.get('id') or values.get('name') or values.get('part') or ''}".rstrip()
        return self._change((file,), words, lambda: append_table(self.folder, table, values, file))

    def put(self, changes: Mapping[str, Any], seen: str) -> State:
        """Put a build into the folder as one change: parts into the drawer, keys and items into model.toml.

        All texts are made and read as a model before the first is written; those of the drawer come first, so
        that a program that is killed in between leaves parts that nobody uses yet, and a model that reads.
        """
        parts = changes.get("parts", ())
        files = tuple(dict.fromkeys((*(file for file, _, _ in parts), MODEL_FILE)))

        def change() -> None:
            with alone_in(self.folder):
                self._refuse_other(seen)
                texts = read_texts(self.folder)
                new = {file: text_of(texts, file) for file in files}
                for file, kind, table in parts:
                    new[file], _ = with_table(new[file], file, kind, table)
                wanted = [(tuple(keys), value) for keys, value in changes.get("set", ())]
                new[MODEL_FILE] = changed_text(new[MODEL_FILE], MODEL_FILE, wanted)
                for table in changes.get("items", ()):
                    new[MODEL_FILE], _ = with_table(new[MODEL_FILE], MODEL_FILE, "item", table)
                model_of_texts({**texts, **new})
                for file in files:
                    write_whole(self.folder / file, new[file])

        return self._change(files, "a build put in", change)

    def remove(self, file: str, keys: tuple[str | int, ...], seen: str) -> State:
        """Remove one of several tables; raises ConflictError when the folder is not as it was seen."""

        def change() -> None:
            self._refuse_other(seen)
            remove_table(self.folder, file, keys)

        return self._change((file,), f"{_place((*keys, ''))} removed", change)

    def write(self, file: str, text: str, seen: str) -> State:
        """Replace a whole file by a text that reads as a model; raises as ``set`` does."""

        def change() -> None:
            with alone_in(self.folder):
                self._refuse_other(seen)
                texts = read_texts(self.folder)
                text_of(texts, file)
                model_of_texts({**texts, file: text})
                write_whole(self.folder / file, text)

        return self._change((file,), f"text of {file}", change)

    def apply(self, file: str, words: str, change: Callable[[Path], object]) -> State:
        """Make a change by a function of the folder that writes one file whole; raises what it raises."""
        return self._change((file,), words, lambda: change(self.folder))

    def undo(self) -> State:
        """Take the last change back; raises InputError when there is none or it was changed since."""
        return self._step_back(self._done, self._undone, is_undo=True)

    def redo(self) -> State:
        """Do the change again that was taken back last."""
        return self._step_back(self._undone, self._done, is_undo=False)

    def _change(self, files: Iterable[str], words: str, change: Callable[[], object]) -> State:
        with self._lock:
            old = read_texts(self.folder)
            change()
            new = read_texts(self.folder)
            changed = [file for file in files if new[file] != old.get(file, "")]
            if changed:
                before, after = ({file: texts.get(file, "") for file in changed} for texts in (old, new))
                self._done.append(Step(before, after, words))
                del self._done[:-_MOST_STEPS]
                self._undone.clear()
            return self.state(words)

    def _step_back(self, source: list[Step], target: list[Step], *, is_undo: bool) -> State:
        with self._lock:
            if not source:
                what = "undo" if is_undo else "do again"
                raise InputError(
                    Problem("", f"must have a change to {what}; there is none; nothing was changed")
                )
            step = source[-1]
            old, new = (step.after, step.before) if is_undo else (step.before, step.after)
            with alone_in(self.folder):
                texts = read_texts(self.folder)
                other = [file for file, text in old.items() if texts.get(file) != text]
                if other:
                    raise ConflictError(
                        Problem(
                            " and ".join(other),
                            "must be as this page left it; it was changed by another hand since; "
                            "nothing was undone, load the page again",
                        )
                    )
                model_of_texts({**texts, **new})
                # parts come back before the model asks for them, and go after it does no more
                for file in sorted(new, key=lambda file: (file == MODEL_FILE) != is_undo):
                    write_whole(self.folder / file, new[file])
            target.append(source.pop())
            return self.state(f"{'undone' if is_undo else 'done again'}: {step.words}")

    def _refuse_changed(self, file: str, keys: tuple[str | int, ...], was: Any, seen: str) -> None:
        if was is UNSEEN or any(isinstance(key, int) for key in keys):
            self._refuse_other(seen)
            return
        now = value_at(parsed(read_texts(self.folder).get(file, ""), file), keys)
        if now != was:
            came = "nothing" if now is None else repr(now)
            raise ConflictError(
                Problem(
                    str(keys[-1]),
                    f"was changed meanwhile, in another tab or by hand, and is {came} now; "
                    "your value was not written, look and write it again",
                )
            )

    def _refuse_other(self, seen: str) -> None:
        if revision(self.folder) != seen:
            raise ConflictError(
                Problem(
                    "",
                    "the folder was changed meanwhile, in another tab or by hand; load the page again first",
                )
            )


def _place(keys: tuple[str | int, ...]) -> str:
    """The table that a key stands in, in words."""
    steps = [str(key + 1) if isinstance(key, int) else key for key in keys[:-1]]
    return " ".join(steps) or "the model"
