"""Further parts files: parts beside those of a model's drawer, with their prices in the model's currency."""

from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any

from glidewright.base.errors import InputError, Problem
from glidewright.base.figure import Given
from glidewright.domain.parts import Part

from .drawer import read_drawer
from .migrations import schema_of
from .tables import Problems, Table, parsed
from .texts import read_text

_MONEY = ("price", "postage")


def read_parts_files(
    paths: Sequence[Path],
    currency: str,
    rates: Mapping[str, float],
    taken: Iterable[str] = (),
) -> tuple[Part, ...]:
    """The parts of some files in their order, each name once, also over the names that are taken already.

    A file has the form of one in parts/ of a model folder and may state its ``currency``, else prices are in
    that of the model. rates: what one unit of another currency is worth in that of the model. Raises
    MissingError for a file that does not exist, InputError with every other problem.
    """
    problems = Problems()
    files: dict[str, Table] = {}
    currencies: dict[str, str] = {}
    for path in paths:
        found = problems.attempt(_table, path)
        if found is None:
            continue
        name = str(path)
        if name in files:
            problems.say(name, "must be given once; it came twice; leave one")
        files[name] = {key: value for key, value in found.items() if key != "currency"}
        currencies[name] = _currency(found, name, currency, rates, problems)
    drawer = read_drawer(files, not problems, problems)
    known = set(taken)
    for name, table in files.items():
        for part_id in _ids(table):
            if part_id in known:
                problems.say(
                    f"{name}: id", f"must be unique; {part_id!r} is in the drawer already; rename one of them"
                )
    if problems:
        raise InputError(problems)
    home = {part_id: name for name, table in files.items() for part_id in _ids(table)}
    return tuple(
        _converted(part, currencies[home[part.id]], currency, rates) for part in drawer.parts.values()
    )


def _table(path: Path) -> dict[str, Any]:
    where = str(path)
    if not path.exists():
        raise InputError(
            Problem(where, "must be a parts file; nothing with that name exists; correct the name")
        )
    table = parsed(read_text(path, where), where)
    schema_of(table, where)
    return table


def _currency(table: Table, where: str, home: str, rates: Mapping[str, float], problems: Problems) -> str:
    """The currency of a file; one that has no rate is noted."""
    stated = table.get("currency", home)
    if not isinstance(stated, str) or not stated:
        problems.say(
            f"{where}: currency", f"must be a word such as {home}; {stated!r} came; write it in quotes"
        )
        return home
    if stated != home and stated not in rates:
        problems.say(
            f"{where}: currency",
            f"must be {home}, the currency of the model, or have a rate; {stated} came; add "
            f"--rate {stated}=NUMBER, what one {stated} is worth in {home}",
        )
    return stated


def _ids(table: Table) -> list[str]:
    return [
        raw["id"]
        for tables in table.values()
        if isinstance(tables, list)
        for raw in tables
        if isinstance(raw, Mapping) and isinstance(raw.get("id"), str)
    ]


def _converted(part: Part, stated: str, home: str, rates: Mapping[str, float]) -> Part:
    """The part with its money in the model's currency."""
    if stated == home:
        return part
    rate = rates[stated]
    update = {}
    for field in _MONEY:
        given: Given | None = getattr(part, field)
        if given is not None:
            because = f"{given.value:g} {stated} at {rate:g} {home}"
            scaled = {
                end: None if number is None else number * rate
                for end, number in (("low", given.low), ("high", given.high))
            }
            update[field] = Given(value=given.value * rate, grade=given.grade, because=because, **scaled)
    return part.model_copy(update=update)
