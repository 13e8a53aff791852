"""The tables of model.toml on controls: how surfaces are moved and steered, how true the model was built."""

from collections import Counter
from collections.abc import Iterator, Sequence
from typing import TypeVar

from glidewright.base.errors import nearest
from glidewright.base.figure import Grade
from glidewright.domain.control import Build, Control, Steering
from glidewright.domain.model import Item
from glidewright.domain.parts import Linkage, Part, Servo

from .tables import Problems, Table, read_graded, table_named, tables_named
from .texts import MODEL_FILE

CONTROL_TABLES: tuple[str, ...] = (Control.table, Steering.table, Build.table)
N = TypeVar("N", Steering, Build)


def read_controls(
    head: Table, items: Sequence[Item], grade: Grade, problems: Problems
) -> tuple[Control, ...]:
    """The tables ``[[control]]``; servo and rod must be fitted items of their kind, names must differ.

    grade: of bare numbers. Problems are noted.
    """
    found = tuple(_each(head, grade, problems))
    for number, control in enumerate(found, 1):
        where = f"{MODEL_FILE} [[{Control.table}]] {control.label!r}"
        for key, kind in (("servo", Servo), ("rod", Linkage)):
            name = getattr(control, key)
            if name:
                _refuse_stranger(name, f"{where}: {key}", kind, items, problems)
        if any(other.label == control.label for other in found[: number - 1]):
            problems.say(
                f"{where}: name",
                f"must be a name of its own; {control.label!r} came twice; name them, left and right for "
                "example",
            )
    return found


def _each(head: Table, grade: Grade, problems: Problems) -> Iterator[Control]:
    for number, raw in enumerate(tables_named(head, Control.table, MODEL_FILE, problems), 1):
        name = raw.get("name") or raw.get("surface") or number
        where = f"{MODEL_FILE} [[{Control.table}]] {name!r}"
        control = read_graded(Control, raw, where, grade, problems)
        if control is not None:
            yield control


def _refuse_stranger(
    name: str, where: str, kind: type[Part], items: Sequence[Item], problems: Problems
) -> None:
    named = [item for item in items if item.name == name]
    if any(isinstance(item.part, kind) for item in named):
        return
    known = list(Counter(item.name for item in items if isinstance(item.part, kind)))
    came = f"{name!r} is a {named[0].part.kind}" if named else f"{name!r} came"
    todo = nearest(name, known) if known else f"no {kind.kind} is fitted, add it to [[fitted]]"
    problems.say(where, f"must be the name of a fitted {kind.kind}; {came}; {todo}")


def read_steering(head: Table, grade: Grade, problems: Problems) -> Steering:
    """The table ``[steering]``; one that says nothing where it is left out or cannot be read."""
    return _single(Steering, head, grade, problems)


def read_build(head: Table, problems: Problems) -> Build:
    """The table ``[build]``, bare numbers measured; one that says nothing where it is left out."""
    return _single(Build, head, "measured", problems)


def _single(noun: type[N], head: Table, grade: Grade, problems: Problems) -> N:
    raw = table_named(head, noun.table, MODEL_FILE, problems)
    if raw is None:
        return noun()
    found = read_graded(noun, raw, f"{MODEL_FILE} [{noun.table}]", grade, problems)
    return noun() if found is None else found
