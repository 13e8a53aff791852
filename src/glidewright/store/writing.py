"""Changes to a model folder: comments, order and layout stay, and nothing is written that cannot be read.

A change is made in the text of one table; the result is read as a whole model, and only then does it
replace the file.
"""

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from itertools import pairwise
from pathlib import Path
from typing import Any

import tomlkit
from pydantic import BaseModel
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import AoT

from glidewright.base.door import shortest_number
from glidewright.base.errors import InputError, Problem, nearest
from glidewright.base.fields import Quantity, quantities
from glidewright.base.figure import Given, Grade
from glidewright.domain.model import Model

from .alone import alone_in
from .atomic import write_whole
from .migrations import upgrade
from .reading import model_of_texts
from .tables import parsed
from .texts import MODEL_FILE, read_text, read_texts

Value = float | str | bool | Sequence[str] | Mapping[str, float | str]
Keys = Sequence[str | int]
_NAME = re.compile(r"[\w-]+", re.ASCII)
_HEADER = re.compile(r"^[ \t]*(\[\[?)[ \t]*([\w-]+)[ \t]*\]\]?[ \t]*(?:#.*)?\r?$", re.MULTILINE)


def set_value(folder: Path, file: str, keys: Keys, value: Value) -> Model:
    """Set one key of a file of a model folder and give back the model as it now reads.

    keys: table and key, ``("airframe", "span_m")``; for one of several tables its id, its name or its
    place counted from 0 in between, ``("motor", "m28-1020", "mass_g")``, ``("fitted", "pack", "part")``;
    a key at the top of the file alone, ``("class",)``. value: a number in the key's unit, a text, true or
    false, a list of texts, or a mapping with value, grade, low, high and because. Raises InputError when
    the place does not exist or the result cannot be read, WriteError when it cannot be written; the file
    is then as it was.
    """
    return _changed(folder, file, lambda text: _set(text, file, keys, value))


def remove_value(folder: Path, file: str, keys: Keys) -> Model:
    """Take one key out of a file, so that its value is not known any more; keys as in ``set_value``.

    A key that is not there is left so. Raises as ``set_value`` does.
    """
    return _changed(folder, file, lambda text: _without_value(text, file, keys))


def remove_table(folder: Path, file: str, keys: Keys) -> Model:
    """Take one of several tables out of a file; what stands below it, up to the next table, stays.

    keys: name of the tables and which one, ``("item", "canopy")``, ``("weighing", 2)``. Raises as
    ``set_value`` does.
    """
    return _changed(folder, file, lambda text: _without_table(text, file, keys))


def changed_text(text: str, file: str, changes: Iterable[tuple[Keys, Value | None]]) -> str:
    """The text of a file with many changes made, for a folder that is still to be written.

    Nothing instead of a value takes the key out, or one of several tables when the place ends in a number
    or names one. Raises InputError for a place that does not exist; whether it reads as a model, the whole
    folder must tell.
    """
    for keys, value in changes:
        if value is not None:
            text, _ = _set(text, file, keys, value)
        elif isinstance(keys[-1], int):
            text, _ = _without_table(text, file, keys)
        else:
            text, _ = _without_value(text, file, keys)
    return text


def value_at(tables: Mapping[str, Any], keys: Keys) -> Any:
    """What stands at a place of parsed tables, None when nothing does; keys as in ``set_value``."""
    found: Any = tables
    for step in keys:
        if isinstance(found, list):
            place = _index_of(found, step)
            found = None if place is None else found[place]
        else:
            found = found.get(step) if isinstance(found, Mapping) else None
    return found


def append_table(folder: Path, name: str, table: Mapping[str, Value], file: str = MODEL_FILE) -> Model:
    """Add a table ``[[name]]`` (a weighing, a bench reading, a part) behind the last one of that name.

    Keys and values as in the file. Raises as ``set_value`` does.
    """
    return _changed(folder, file, lambda text: _with_table(text, file, name, table))


def table_of(noun: BaseModel, grade: Grade) -> dict[str, Value]:
    """A noun as the keys and values of its file table; what is unknown or as by default stays out.

    grade: of the bare numbers where the table will stand.
    """
    metas = quantities(type(noun))
    table: dict[str, Value] = {}
    for name, info in type(noun).model_fields.items():
        value = getattr(noun, name)
        if value is None or value == info.get_default():
            continue
        if name in metas:
            table[metas[name].key] = value_of(value, metas[name], grade)
        else:
            table[name] = list(value) if isinstance(value, tuple) else value
    return table


def value_of(given: Given, meta: Quantity, grade: Grade) -> float | dict[str, float | str]:
    """A given number in the unit of its key: bare where it says nothing else, else with what it says."""
    number = shortest_number(given.value, meta)
    details: dict[str, float | str] = {"value": number}
    if given.grade != grade:
        details["grade"] = given.grade
    if given.low is not None and given.high is not None:
        details["low"] = shortest_number(given.low, meta)
        details["high"] = shortest_number(given.high, meta)
    if given.because:
        details["because"] = given.because
    return number if len(details) == 1 else details


def _changed(folder: Path, file: str, change: Callable[[str], tuple[str, dict[str, Any]]]) -> Model:
    """Make a change of one file's text, alone in the folder from reading to writing, and read the result."""
    with alone_in(folder):
        texts = _texts_now(folder, file)
        try:
            text, wanted = change(texts[file])
        except (TOMLKitError, RecursionError) as refused:  # sound TOML that only a person can change
            raise _by_hand(file) from refused
        return _replace(folder, texts, file, text, wanted)


def _texts_now(folder: Path, file: str) -> dict[str, str]:
    """The texts of the folder in today's schema, with the file that is to be changed among them."""
    upgrade(folder)
    texts = read_texts(folder)
    if file not in texts:
        raise InputError(
            Problem(file, f"must be a file of the model folder; there is none; {nearest(file, list(texts))}")
        )
    return texts


def _replace(
    folder: Path, texts: Mapping[str, str], file: str, text: str, wanted: Mapping[str, Any]
) -> Model:
    """Write the text if it reads as a model and says what is wanted, no more and no less."""
    model = model_of_texts({**texts, file: text})
    if parsed(text, file) != wanted:
        raise _by_hand(file)
    if read_text(folder / file, file) != texts[file]:
        raise InputError(
            Problem(
                file,
                "must stay as it is while it is changed; another program wrote it meanwhile; "
                "nothing was written, do it again",
            )
        )
    write_whole(folder / file, text)
    return model


def _by_hand(file: str) -> InputError:
    return InputError(
        Problem(
            file,
            "must change in one place only; the way it is written does not allow that by program; "
            "make the change by hand",
        )
    )


def _checked(file: str, keys: Keys) -> None:
    """Refuse a place that no table can have."""
    if not keys or not isinstance(keys[0], str) or not _NAME.fullmatch(keys[0]):
        where = " ".join([file, *map(str, keys)])
        raise InputError(Problem(where, "must begin with the name of a table or a key; correct the name"))


def _chunks(text: str) -> list[str]:
    """The text cut before every table header; the first chunk is what stands above all tables."""
    cuts = [0, *(found.start() for found in _HEADER.finditer(text)), len(text)]
    return [text[start:end] for start, end in pairwise(cuts)]


def _header(chunk: str) -> tuple[str, str]:
    """Brackets and name of the table that a chunk holds; empty for what stands above all tables."""
    found = _HEADER.match(chunk)
    return (found[1], found[2]) if found else ("", "")


def _head_and_tail(chunk: str) -> tuple[str, str]:
    """A chunk without, and its blank and comment lines at the end, which lead on to what follows."""
    lines = chunk.splitlines(keepends=True)
    end = len(lines)
    while end > 1 and lines[end - 1].strip()[:1] in ("", "#"):
        end -= 1
    return "".join(lines[:end]), "".join(lines[end:])


def _chunk_at(chunks: Sequence[str], tables: Mapping[str, Any], place: Keys, file: str) -> int | None:
    """Which chunk holds the table at a place; None for a single table that does not exist yet."""
    if not place:
        return 0
    where = " ".join([file, *(str(step) for step in place)])
    several = [number for number, chunk in enumerate(chunks) if _header(chunk) == ("[[", place[0])]
    if several and len(place) == 1:
        raise InputError(Problem(where, "must be one of several tables; none was named; say which one"))
    if several:
        which = _index_of(tables[str(place[0])], place[1])
        if which is not None and len(place) == 2:
            return several[which]
    single = [number for number, chunk in enumerate(chunks) if _header(chunk) == ("[", place[0])]
    if len(place) == 1:
        return single[0] if single else None
    raise InputError(Problem(where, "must be a table of this file; there is none; correct the name"))


def _index_of(tables: Sequence[Any], step: str | int) -> int | None:
    """The place of the table that an id, a name or a count from 0 means."""
    if isinstance(step, int):
        return step if 0 <= step < len(tables) else None
    names = [
        (table.get("id"), table.get("name"), table.get("part")) if isinstance(table, Mapping) else ()
        for table in tables
    ]
    return next((place for place, known in enumerate(names) if step in known), None)


def _table_at(tables: dict[str, Any], place: Keys) -> dict[str, Any]:
    """The parsed table at a place that is known to exist."""
    found: Any = tables
    for step in place:
        key = _index_of(found, step) if isinstance(found, list) else step
        found = found[key]
    table: dict[str, Any] = found
    return table


def _with_key(chunk: str, key: str, value: Value) -> str:
    """The chunk with one key set; a new one goes behind the last, before blank lines and comments."""
    head, tail = _head_and_tail(chunk)
    document = tomlkit.parse(head)
    name = _header(chunk)[1]
    found: Any = document[name] if name else document
    table = found[0] if isinstance(found, AoT) else found
    table[key] = _item(value)
    changed = tomlkit.dumps(document)
    if tail and not changed.endswith("\n"):
        changed += "\n"
    return changed.replace("\r\n", "\n").replace("\n", _newline(chunk)) + tail


def _without_key(chunk: str, key: str) -> str:
    """The chunk without one key; a comment behind its value goes with it."""
    head, tail = _head_and_tail(chunk)
    document = tomlkit.parse(head)
    name = _header(chunk)[1]
    found: Any = document[name] if name else document
    table = found[0] if isinstance(found, AoT) else found
    del table[key]
    return tomlkit.dumps(document).replace("\r\n", "\n").replace("\n", _newline(chunk)) + tail


def _set(text: str, file: str, keys: Keys, value: Value) -> tuple[str, dict[str, Any]]:
    """The text with one key set, and what it must then say."""
    _checked(file, keys)
    wanted = parsed(text, file)
    *place, key = keys
    chunks = _chunks(text)
    number = _chunk_at(chunks, wanted, place, file)
    if number is None:
        name, newline = str(place[0]), _newline(text)
        chunks[-1] = chunks[-1].rstrip("\r\n") + 2 * newline
        chunks.append(f"[{name}]{newline}")
        wanted[name] = {}
        number = len(chunks) - 1
    chunks[number] = _with_key(chunks[number], str(key), value)
    _table_at(wanted, place)[str(key)] = _plain(value)
    return "".join(chunks), wanted


def _with_table(text: str, file: str, name: str, table: Mapping[str, Value]) -> tuple[str, dict[str, Any]]:
    """The text with one more of several tables, and what it must then say."""
    _checked(file, (name,))
    wanted = parsed(text, file)
    if not isinstance(wanted.get(name, []), list):
        words = "must be the name of tables of which there may be several; it is no such name; correct it"
        raise InputError(Problem(f"{file} {name}", words))
    chunks = _chunks(text)
    same = [number for number, chunk in enumerate(chunks) if _header(chunk) == ("[[", name)]
    last = same[-1] if same else len(chunks) - 1
    head, tail = _head_and_tail(chunks[last]) if same else (chunks[last], "")
    newline = _newline(text)
    fresh = tomlkit.table()
    for key, value in table.items():
        fresh.add(key, _item(value))
    body = tomlkit.dumps({name: [fresh]}).replace("\n", newline)
    gap = "" if head.endswith(2 * newline) else newline if head.endswith("\n") else 2 * newline
    chunks[last] = head + gap + body + tail
    wanted.setdefault(name, []).append({key: _plain(value) for key, value in table.items()})
    return "".join(chunks), wanted


def _without_value(text: str, file: str, keys: Keys) -> tuple[str, dict[str, Any]]:
    """The text without a key, and what it must then say."""
    _checked(file, keys)
    wanted = parsed(text, file)
    *place, key = keys
    chunks = _chunks(text)
    number = _chunk_at(chunks, wanted, place, file)
    if number is None or str(key) not in _table_at(wanted, place):
        return text, wanted
    chunks[number] = _without_key(chunks[number], str(key))
    del _table_at(wanted, place)[str(key)]
    return "".join(chunks), wanted


def _without_table(text: str, file: str, keys: Keys) -> tuple[str, dict[str, Any]]:
    """The text without one of several tables, and what it must then say."""
    _checked(file, keys)
    wanted = parsed(text, file)
    chunks = _chunks(text)
    number = _chunk_at(chunks, wanted, keys, file)
    which = _index_of(wanted.get(str(keys[0]), []), keys[-1]) if len(keys) == 2 else None
    if number is None or which is None:
        where = " ".join([file, *map(str, keys)])
        raise InputError(Problem(where, "must be a table of this file; there is none; correct the name"))
    chunks[number] = _head_and_tail(chunks[number])[1].lstrip("\r\n")
    del wanted[str(keys[0])][which]
    if not wanted[str(keys[0])]:
        del wanted[str(keys[0])]
    return "".join(chunks), wanted


def _newline(text: str) -> str:
    return "\r\n" if "\r\n" in text else "\n"


def _item(value: Value) -> Any:
    """The value as tomlkit writes it, a mapping on one line."""
    if not isinstance(value, Mapping):
        return tomlkit.item(_plain(value))
    inline = tomlkit.inline_table()
    inline.update(_plain(value))
    return inline


def _plain(value: Any) -> Any:
    """Plain Python values, as the reader of the written text will see them."""
    if isinstance(value, Mapping):
        return {key: _plain(part) for key, part in value.items()}
    if isinstance(value, str | bool | int):
        return value
    return float(value) if isinstance(value, float) else list(value)
