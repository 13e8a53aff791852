"""TOML texts become tables in today's schema; problems are gathered, so that all come at once."""

import re
import tomllib
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any, TypeVar

from pydantic import BaseModel

from glidewright.base.door import read_noun
from glidewright.base.errors import InputError, Problem, nearest
from glidewright.base.figure import GRADES, Grade

from .migrations import SCHEMA, migrated, schema_of
from .texts import MODEL_FILE, PARTS_FOLDER, SECTIONS_FOLDER

Table = Mapping[str, Any]
T = TypeVar("T")
N = TypeVar("N", bound=BaseModel)
_LARGEST = 2**63
_DEEPEST = 20
_MOST_UNKNOWN = 20
_WORD = r"""(?:[\w-]+|"[^"\n]*"|'[^'\n]*')"""
_LONG_KEY = re.compile(rf"(?:^|[\[{{,])[ \t]*{_WORD}(?:[ \t]*\.[ \t]*{_WORD}){{16}}", re.MULTILINE)
_PLACE = re.compile(r"\s*\(at (line \d+, column \d+|end of document)\)$")


class Problems(list[Problem]):
    """What was found wrong so far."""

    def say(self, where: str, message: str) -> None:
        """Note one problem."""
        self.append(Problem(where, message))

    def attempt(self, read: Callable[..., T], *args: Any, **kwargs: Any) -> T | None:
        """The result of a reading, or nothing with its problems noted."""
        try:
            return read(*args, **kwargs)
        except InputError as refused:
            self.extend(refused.problems)
            return None


def parsed(text: str, where: str) -> dict[str, Any]:
    """One TOML text as tables; raises InputError that names line and column."""
    if long := _LONG_KEY.search(text):  # the reader of TOML needs gigabytes for a key of ten thousand parts
        number = text.count("\n", 0, long.end()) + 1
        words = "must have keys of 16 parts at most between dots; a longer one came; correct it"
        raise InputError(Problem(f"{where} line {number}", words))
    try:
        tables = tomllib.loads(text)
    except (ValueError, RecursionError) as refused:
        said = str(refused)
        place = _PLACE.search(said)
        line = f"{where} {place[1]}" if place else where
        reason = said[: place.start()] if place else said
        raise InputError(
            Problem(line, f"must be valid TOML; {reason[0].lower()}{reason[1:]}; correct it there")
        ) from refused
    if found := _beyond(tables):
        raise InputError(Problem(f"{where}: {found[0]}", found[1]))
    return tables


def _beyond(tables: Mapping[str, Any]) -> tuple[str, str] | None:
    """A key at which a file holds what no reader of TOML must bear, and what is wrong there."""
    open_ends: list[tuple[str, int, Any]] = [("", 0, tables)]
    while open_ends:
        key, depth, found = open_ends.pop()
        if depth > _DEEPEST:
            return key, f"must stand in {_DEEPEST} brackets at most; more came; correct it"
        if isinstance(found, dict):
            open_ends.extend((name, depth + 1, one) for name, one in found.items())
        elif isinstance(found, list):
            open_ends.extend((key, depth + 1, one) for one in found)
        elif isinstance(found, int) and not -_LARGEST <= found < _LARGEST:
            words = "must be a whole number of 64 bits at most, as TOML has them"
            return key, f"{words}; a larger one came; correct it"
    return None


def parsed_files(texts: Mapping[str, str], problems: Problems) -> dict[str, Table]:
    """Tables by file name in today's schema; a file that cannot be read is left out and its problem noted."""
    head = problems.attempt(parsed, texts[MODEL_FILE], MODEL_FILE)
    if head is None:
        return _drawer_files(texts, problems)
    schema = problems.attempt(schema_of, head, MODEL_FILE)
    if schema is None:
        return {}
    if schema < SCHEMA:
        tables = {name: text for name, text in texts.items() if not name.startswith(f"{SECTIONS_FOLDER}/")}
        broken = [name for name, text in tables.items() if problems.attempt(parsed, text, name) is None]
        if broken:
            return {}
        texts = migrated(texts, schema)
        head = parsed(texts[MODEL_FILE], MODEL_FILE)
    return {MODEL_FILE: head} | _drawer_files(texts, problems)


def _drawer_files(texts: Mapping[str, str], problems: Problems) -> dict[str, Table]:
    found: dict[str, Table] = {}
    for name in (name for name in texts if name.startswith(f"{PARTS_FOLDER}/")):
        table = problems.attempt(parsed, texts[name], name)
        if table is not None and problems.attempt(schema_of, table, name) is not None:
            found[name] = table
    return found


def unknown_tables(table: Table, known: Sequence[str], where: str, problems: Problems) -> None:
    """Note the keys at the top of a file that nobody knows, many of them as a number."""
    unknown = [key for key in table if key not in known]
    for key in unknown[:_MOST_UNKNOWN]:
        shown = f"[{key}]" if isinstance(table[key], Mapping | list) else key
        problems.say(
            f"{where}: {shown}",
            f"is not a table or key that is known here; correct or remove it; {nearest(key, known)}",
        )
    more = len(unknown) - _MOST_UNKNOWN
    if more > 0:
        problems.say(where, f"has {more} more keys that are not known here; correct or remove them")


def grade_of(table: Table, where: str, otherwise: Grade, problems: Problems) -> Grade:
    """The grade that a file or a table states for its bare numbers."""
    stated = table.get("grade", otherwise)
    found = next((grade for grade in GRADES if grade == stated), None)
    if found is not None:
        return found
    problems.say(
        f"{where}: grade", f"must be one of {', '.join(GRADES)}; {stated!r} came; choose one of them"
    )
    return otherwise


def check_schema(table: Table, newest: int, where: str, problems: Problems) -> None:
    """Note a schema that is not the one schema which files of this kind have had so far."""
    found = table.get("schema")
    if isinstance(found, int) and not isinstance(found, bool) and found > newest:
        problems.say(
            f"{where}: schema",
            f"must be at most {newest} for this version; {found} came, from a newer one; update glidewright",
        )
    elif found != newest or isinstance(found, bool):
        came = "it is missing" if found is None else f"{found!r} came"
        problems.say(f"{where}: schema", f"must be {newest}; {came}; write schema = {newest}")


def table_named(table: Table, name: str, where: str, problems: Problems) -> Table | None:
    """The one table ``[name]`` of a file, empty where it is left out; None, and noted, for anything else."""
    found = table.get(name, {})
    if isinstance(found, Mapping):
        return found
    came = f"[[{name}]]" if isinstance(found, list) else repr(found)
    problems.say(f"{where}: {name}", f"must be one table [{name}]; {came} came; write it as [{name}]")
    return None


def tables_named(table: Table, name: str, where: str, problems: Problems, title: str = "") -> Iterator[Table]:
    """The tables ``[[name]]`` of a file in order; anything else under that name is noted.

    title: what stands in their brackets, where that is not the name alone.
    """
    found, header = table.get(name, []), title or name
    if isinstance(found, list) and all(isinstance(one, Mapping) for one in found):
        yield from found
        return
    came = f"[{header}]" if isinstance(found, Mapping) else repr(found)
    problems.say(f"{where}: {header}", f"must be written as [[{header}]]; {came} came; double the brackets")


def read_graded(
    noun: type[N],
    table: Table,
    where: str,
    grade: Grade,
    problems: Problems,
    also: Mapping[str, Any] | None = None,
) -> N | None:
    """A noun from a table that may state the grade of its bare numbers, or nothing with its problems noted.

    grade: where it states none; also: fields that are ready, by field name.
    """
    own_grade = grade_of(table, where, grade, problems)
    return problems.attempt(read_noun, noun, without_grade(table), where, own_grade, also)


def without_grade(table: Table) -> dict[str, Any]:
    """The table without the grade of its bare numbers, which is no field of any noun."""
    return {key: value for key, value in table.items() if key != "grade"}
