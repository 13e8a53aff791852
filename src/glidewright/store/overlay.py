"""An overlay: tables that say what differs, laid over the parsed tables of model.toml.

Nothing is added or removed without a word: a table that model.toml does not have must say ``new = true``,
one that goes says ``remove = true``, a key that goes stands in ``leave_out``. A table of a list is found by
its id or name, or by ``number``. Whether keys and values make sense is for the door, which reads the outcome.
"""

from bisect import insort
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from glidewright.base.errors import Problem, nearest

from .tables import Problems, Table
from .texts import MODEL_FILE

NEW, REMOVE, LEAVE_OUT, NUMBER = "new", "remove", "leave_out", "number"
_ORDERS = (NEW, REMOVE, LEAVE_OUT, NUMBER)
_NAMED_BY = ("id", "name")
_CALLED_BY = (*_NAMED_BY, "part")  # a fitted part without a name is called by its part
_FOUND_BY = (*_CALLED_BY, "surface")  # and a control by its surface
_OF_VARIANT = ("schema", "name")
_ENDS = (":", ".", " ")


class Laid:
    """The tables of model.toml with an overlay laid over them.

    head: the tables; problems: what could not be laid; where: the file of the overlay.
    """

    def __init__(self, head: Table, overlay: Table, where: str) -> None:
        self.head = dict(head)
        self.where = where
        self.problems = Problems()
        self._places: dict[str, str] = {}
        for key, value in overlay.items():
            if key in _OF_VARIANT:
                continue
            if key == "grade":
                self._refuse_grade(": grade")
            elif isinstance(value, Mapping):
                self._single(key, value)
            elif isinstance(value, list) and value and all(isinstance(one, Mapping) for one in value):
                self._several(key, value)
            else:
                self._key(key, value)

    def named(self, problem: Problem) -> Problem:
        """A problem of the door, with the place in the overlay that it is about.

        Where the overlay only caused it elsewhere in model.toml, both are named.
        """
        fits = [
            place
            for place in self._places
            if problem.where == place
            or (problem.where.startswith(place) and problem.where[len(place)] in _ENDS)
        ]
        if not fits:
            return Problem(f"{self.where}, laid over {problem.where}", problem.message)
        place = max(fits, key=len)
        return Problem(self._places[place] + problem.where[len(place) :], problem.message)

    def _say(self, here: str, message: str) -> None:
        self.problems.say(f"{self.where}{here}", message)

    def _stands(self, there: str, here: str) -> None:
        """Remember that what the door calls ``there`` is ``here`` in the overlay."""
        self._places[f"{MODEL_FILE}{there}"] = f"{self.where}{here}"

    def _refuse_grade(self, here: str) -> None:
        self._say(
            here,
            "must not stand in a variant, it would change numbers that the variant does not name; "
            'remove it and write { value = ..., grade = "..." } for a number',
        )

    def _key(self, key: str, value: Any) -> None:
        old = self.head.get(key)
        if isinstance(old, Mapping | list):
            shown = f"[{key}]" if isinstance(old, Mapping) else f"[[{key}]]"
            self._say(f": {key}", f"must be a table; {value!r} came; write {shown}")
            return
        self.head[key] = value
        self._stands(f": {key}", f": {key}")

    def _single(self, name: str, table: Table) -> None:
        old, here = self.head.get(name), f" [{name}]"
        if isinstance(old, list):
            self._say(f": {name}", f"must be written as [[{name}]]; [{name}] came; double the brackets")
            return
        if old is not None and not isinstance(old, Mapping):
            self._say(
                f": {name}", f"must be written as {name} = ...; [{name}] came; write it above the tables"
            )
            return
        self._stands(here, here)
        self._stands(f":{here}", here)
        changed = self._changed(old, table, here, f"[{name}]")
        if changed is None:
            self.head.pop(name, None)
        else:
            self.head[name] = changed

    def _several(self, name: str, tables: Sequence[Table]) -> None:
        old = self.head.get(name, [])
        if not isinstance(old, list):
            once = f"[{name}]" if isinstance(old, Mapping) else f"{name} = ..."
            self._say(f": {name}", f"must be written as {once}; [[{name}]] came; correct it")
            return
        self._stands(f": [{name}]", f" [[{name}]]")
        laid: list[dict[str, Any] | None] = [dict(one) for one in old]
        stands: list[str] = [""] * len(laid)
        labels = _Labels(_label(one, _FOUND_BY) for one in old)
        for place, table in enumerate(tables, start=1):
            label = _label(table, _NAMED_BY)
            here = f" [[{name}]] " + (str(place) if label is None else repr(label))
            meant = self._meant(name, table, label, here, labels, stands)
            if meant is None:
                continue
            if meant == len(laid):
                laid.append(None)
                stands.append("")
                labels.add(None)
            changed = self._changed(laid[meant], table, here, f"[[{name}]]")
            laid[meant], stands[meant] = changed, here
            labels.change(meant, None if changed is None else _label(changed, _FOUND_BY))
        pairs = [(one, here) for one, here in zip(laid, stands, strict=True) if one is not None]
        self.head[name] = [one for one, _ in pairs]
        for number, (one, here) in enumerate(pairs, start=1):
            if here:
                own = _label(one, _CALLED_BY)
                self._stands(f" [[{name}]] " + (str(number) if own is None else repr(own)), here)

    def _meant(
        self,
        name: str,
        table: Table,
        label: str | None,
        here: str,
        labels: "_Labels",
        stands: Sequence[str],
    ) -> int | None:
        """Which table of a list is meant, from 0; one past the last for a new one, None when refused."""
        fits = labels.places(label)
        if NUMBER in table:
            number = table[NUMBER]
            if isinstance(number, bool) or not isinstance(number, int) or not 1 <= number <= len(labels.own):
                message = f"must be the number of a [[{name}]] of {MODEL_FILE}, 1 to {len(labels.own)}"
                self._say(f"{here}: {NUMBER}", f"{message}; {number!r} came; correct it")
                return None
            fits = [number - 1]
        is_new = table.get(NEW) is True
        if not fits and is_new:
            return len(labels.own)
        if len(fits) == 1 and is_new:
            message = f"must have a name of its own where it is new; {MODEL_FILE} has it already"
            self._say(here, f"{message}; rename it, or remove {NEW} = true to change that one")
        elif len(fits) == 1 and stands[fits[0]]:
            self._say(here, f"must stand once; it stands twice; put both into one [[{name}]]")
        elif len(fits) == 1:
            return fits[0]
        elif fits:
            message = f"must mean one [[{name}]] of {MODEL_FILE}; {len(fits)} bear that name"
            self._say(here, f"{message}; write {NUMBER} = ... beside it")
        else:
            self._say(here, _nobody(name, label, [own for own in labels.own if own is not None]))
        return None

    def _changed(self, old: Table | None, table: Table, here: str, shown: str) -> dict[str, Any] | None:
        """The table as the overlay makes it; None when it goes, or was refused."""
        if not self._orders_are_right(table, here):
            return None if old is None else dict(old)
        values = {key: value for key, value in table.items() if key not in _ORDERS}
        is_new = table.get(NEW, False)
        if old is None and not is_new:
            message = f"must change a table of {MODEL_FILE}; there is no {shown}"
            self._say(here, f"{message}; write {NEW} = true in it to add it, or correct its name")
            return None
        if old is not None and is_new:
            message = f"must not say {NEW} = true; {MODEL_FILE} has {shown} already"
            self._say(here, f"{message}; remove that line to change the table")
            return dict(old)
        if table.get(REMOVE, False):
            odd = next((key for key in table if key not in (*_NAMED_BY, NUMBER, REMOVE)), None)
            if odd is not None:
                self._say(f"{here}: {odd}", f"must not stand beside {REMOVE} = true; remove one of the two")
            return None
        if "grade" in values and not is_new:
            self._refuse_grade(f"{here}: grade")
        found = {**(old or {}), **values}
        for key in table.get(LEAVE_OUT, ()):
            if key in values or key not in found:
                came = "the variant states it itself" if key in values else f"{key!r} came"
                message = (
                    f"must name keys that {MODEL_FILE} states here; {came}; {nearest(key, list(old or ()))}"
                )
                self._say(f"{here}: {LEAVE_OUT}", message)
            found.pop(key, None)
        return found

    def _orders_are_right(self, table: Table, here: str) -> bool:
        before = len(self.problems)
        for key in (NEW, REMOVE):
            if not isinstance(table.get(key, False), bool):
                self._say(f"{here}: {key}", f"must be true or false; {table[key]!r} came; correct it")
        left = table.get(LEAVE_OUT, [])
        if not isinstance(left, list) or not all(isinstance(key, str) for key in left):
            message = f'must be a list of keys; {left!r} came; write {LEAVE_OUT} = ["key"]'
            self._say(f"{here}: {LEAVE_OUT}", message)
        return len(self.problems) == before


class _Labels:
    """What the tables of a list are called, and where each label stands."""

    def __init__(self, own: Iterable[str | None]) -> None:
        self.own: list[str | None] = []
        self._places: dict[str, list[int]] = {}
        for label in own:
            self.add(label)

    def places(self, label: str | None) -> list[int]:
        """Where a label stands, from 0."""
        return [] if label is None else self._places.get(label, [])

    def add(self, label: str | None) -> None:
        """One more table."""
        self.own.append(None)
        self.change(len(self.own) - 1, label)

    def change(self, place: int, label: str | None) -> None:
        """Call a table so."""
        old, self.own[place] = self.own[place], label
        if old is not None:
            self._places[old].remove(place)
        if label is not None:
            insort(self._places.setdefault(label, []), place)


def _label(table: Table, keys: Sequence[str]) -> str | None:
    """What a table of a list is called by the first of some keys that it states."""
    return next((table[key] for key in keys if isinstance(table.get(key), str) and table[key]), None)


def _nobody(name: str, label: str | None, known: Sequence[str]) -> str:
    """Why no table of a list is meant, and what to do."""
    if label is None:
        by = "its id or name" if known else f"{NUMBER} = ..."
        return f"must say which [[{name}]] of {MODEL_FILE} it changes; nothing came; write {by}"
    rest = f"{nearest(label, known)}; " if known else ""
    message = f"must be the id or name of a [[{name}]] of {MODEL_FILE}; {label!r} came"
    return f"{message}; {rest}to add one, write {NEW} = true"
