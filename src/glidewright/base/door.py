"""The door from a file or a form to a noun: keys with units in, SI nouns out, every problem named at once.

A quantity stands in a file as a bare number (grade of the surrounding table) or as an inline table
``{ value = 42, grade = "measured", low = 41, high = 43, because = "kitchen scale" }`` in the key's unit.
"""

import math
import sys
from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from glidewright.base.errors import InputError, Problem, nearest
from glidewright.base.fields import Quantity, nested_nouns, quantities
from glidewright.base.figure import GRADES, Given, Grade
from glidewright.base.units import unit_of_key
from glidewright.base.wording import unit_text, with_symbol

N = TypeVar("N", bound=BaseModel)
_DETAIL_KEYS = ("value", "grade", "low", "high", "because")
_MOST_UNKNOWN = 20
_LEAST = 1e-9  # no quantity of a model is so small in any unit of a file, and formulas divide by them
_KIND_WORDS = {
    "missing": "must be given and is missing",
    "greater_than_equal": "must be at least {ge}",
    "greater_than": "must be greater than {gt}",
    "less_than_equal": "must be at most {le}",
    "literal_error": "must be one of {expected}",
    "string_type": "must be text",
    "int_type": "must be a whole number",
    "int_from_float": "must be a whole number",
    "int_parsing": "must be a whole number",
    "float_parsing": "must be a number",
    "float_type": "must be a number",
    "finite_number": "must be a finite number",
    "bool_type": "must be true or false",
    "bool_parsing": "must be true or false",
    "tuple_type": "must be a list",
}


def read_noun(
    noun: type[N],
    table: Mapping[str, Any],
    where: str,
    grade: Grade = "quoted",
    also: Mapping[str, Any] | None = None,
) -> N:
    """Build a noun from a file table.

    where: how to name the table in messages (file and key); grade: of bare numbers; also: fields that
    the caller has already made, by field name. Raises InputError with every problem of the table.
    """
    metas = quantities(noun)
    by_key = {meta.key: name for name, meta in metas.items()}
    tables = nested_nouns(noun)
    ready = dict(also or {})
    plain_names = [name for name in noun.model_fields if name not in metas and name not in ready]
    known = (*by_key, *plain_names)
    problems: list[Problem] = []
    values: dict[str, Any] = dict(ready)
    unknown: list[str] = []
    for key, raw in table.items():
        if key in by_key:
            name = by_key[key]
            given = _given(raw, metas[name], f"{where}: {key}", grade, problems)
            if given is not None:
                values[name] = given
        elif key in tables:
            values[key] = _nested(tables[key], raw, f"{where}: {key}", grade, problems)
        elif key in plain_names:
            values[key] = tuple(raw) if isinstance(raw, list) else raw
        else:
            unknown.append(key)
    problems.extend(_unknown(unknown, known, where))
    named = {problem.where for problem in problems} | {
        f"{where}: {_same_stem(key, known)}" for key in unknown[:_MOST_UNKNOWN]
    }
    try:
        made = noun.model_validate(values, strict=True)
    except ValidationError as refused:
        is_first = not problems
        said = _from_pydantic(refused, metas, where)
        problems.extend(p for p in said if p.where not in named and (is_first or p.where != where))
        raise InputError(problems) from None
    if problems:
        raise InputError(problems)
    return made


def _nested(
    noun: type[BaseModel], raw: Any, where: str, grade: Grade, problems: list[Problem]
) -> tuple[Any, ...]:
    """The nouns of a list of tables inside a table; problems are collected."""
    if not isinstance(raw, list) or not all(isinstance(table, Mapping) for table in raw):
        problems.append(
            Problem(
                where, f"must be a list of tables; {raw!r} came; write [[...{where.rsplit(maxsplit=1)[-1]}]]"
            )
        )
        return ()
    made = []
    for number, table in enumerate(raw, start=1):
        try:
            made.append(read_noun(noun, table, f"{where} {number}", grade))
        except InputError as refused:
            problems.extend(refused.problems)
    return tuple(made)


def _unknown(keys: Sequence[str], known: tuple[str, ...], where: str) -> Iterator[Problem]:
    """The problems of keys that nobody knows, many of them as a number: each costs a search."""
    for key in keys[:_MOST_UNKNOWN]:
        yield Problem(f"{where}: {key}", _unknown_key(key, known))
    more = len(keys) - _MOST_UNKNOWN
    if more > 0:
        yield Problem(where, f"has {more} more keys that are not known here; correct or remove them")


@lru_cache(maxsize=256)
def _unknown_key(key: str, known: tuple[str, ...]) -> str:
    """The sentence for a key that nobody knows; a known stem with another unit is named as such."""
    right = _same_stem(key, known)
    if right:
        wanted = unit_of_key(right)
        unit_words = f" in {wanted.symbol}" if wanted else ""
        return f"must be written as {right}{unit_words}; the key {key} came; rename it and convert the number"
    return f"is not a key that is known here; correct or remove it; {nearest(key, known)}"


@lru_cache(maxsize=256)
def _same_stem(key: str, known: tuple[str, ...]) -> str:
    """The known key that means the same in another unit, or an empty text."""
    return next((k for k in known if _stem(k) == _stem(key) and k != key), "")


def _stem(key: str) -> str:
    found = unit_of_key(key)
    return key.removesuffix("_" + found.suffix) if found else key


def _given(raw: Any, meta: Quantity, where: str, grade: Grade, problems: list[Problem]) -> Given | None:
    """A Given in SI from a number or an inline table; problems are collected, nothing is guessed."""
    details: Mapping[str, Any] = raw if isinstance(raw, Mapping) else {"value": raw}
    before = len(problems)
    problems.extend(
        Problem(f"{where}.{key}", _unknown_key(key, _DETAIL_KEYS))
        for key in details
        if key not in _DETAIL_KEYS
    )
    if "value" not in details:
        problems.append(Problem(where, "must have a value; the inline table has none; add value = ..."))
    own_grade = details.get("grade", grade)
    if not isinstance(own_grade, str) or own_grade not in GRADES:
        problems.append(
            Problem(
                f"{where}.grade",
                f"must be one of {', '.join(GRADES)}; {own_grade!r} came; choose one of them",
            )
        )
    numbers: dict[str, float] = {}
    for key in ("value", "low", "high"):
        if key in details:
            sentence = _range_problem(details[key], meta)
            if sentence:
                problems.append(Problem(where if key == "value" else f"{where}.{key}", sentence))
            else:
                numbers[key] = meta.shown.to_si(float(details[key]))
    if len(problems) > before:
        return None
    try:
        return Given(**numbers, grade=own_grade, because=str(details.get("because", "")))
    except ValidationError as refused:
        words = refused.errors()[0]["msg"].removeprefix("Value error, ")
        problems.append(Problem(where, f"{words}; {details!r} came; correct it"))
        return None


def _range_problem(number: Any, meta: Quantity) -> str:
    """What is wrong with a number in the file's unit, or an empty string."""
    unit = with_symbol("", unit_text(meta.shown.symbol))
    if isinstance(number, bool) or not isinstance(number, int | float):
        in_unit = f" in {unit.lstrip()}" if unit else ""
        return f"must be a number{in_unit}; {number!r} came; write the number without a unit"
    if abs(number) > sys.float_info.max or not math.isfinite(number):
        return f"must be a finite number; {str(number)[:40]} came; leave the key out when it is not known"
    if 0.0 < abs(number) < _LEAST:
        least = f"must be 0, or {_LEAST:g}{unit} or more in size"
        return f"{least}; {number:g} came; correct it or leave the key out"
    return _bound_problem(number, meta, unit)


def _bound_problem(number: float, meta: Quantity, unit: str) -> str:
    """Which bound a number in the file's unit breaks, or an empty string."""
    if meta.above is not None and not number > meta.above:
        return f"must be greater than {meta.above:g}{unit}; {number:g} came; correct it or leave the key out"
    if meta.at_least is not None and number < meta.at_least:
        return f"must be at least {meta.at_least:g}{unit}; {number:g} came; correct it or leave the key out"
    if meta.at_most is not None and number > meta.at_most:
        return f"must be at most {meta.at_most:g}{unit}; {number:g} came; check the unit of the key"
    return ""


def _from_pydantic(refused: ValidationError, metas: Mapping[str, Quantity], where: str) -> list[Problem]:
    """Our sentences for what the noun itself refuses (missing fields, wrong kinds, counts out of range)."""
    problems = []
    for error in refused.errors():
        names = [str(part) for part in error["loc"]]
        if not names:  # a rule of the whole noun says its own sentence
            problems.append(Problem(where, error["msg"].removeprefix("Value error, ")))
            continue
        key = metas[names[0]].key if names[0] in metas else ".".join(names)
        came = "" if error["type"] == "missing" else f"; {error['input']!r} came"
        words = what_must_be(error)
        todo = "add it" if error["type"] == "missing" else "correct it"
        problems.append(Problem(f"{where}: {key}", f"{words}{came}; {todo}"))
    return problems


def what_must_be(error: Mapping[str, Any]) -> str:
    """What a refused value must be, from one of the errors of a ``ValidationError``."""
    words = _KIND_WORDS.get(error["type"])
    if words is not None:
        return words.format(**error.get("ctx", {}))
    text = error["msg"].removeprefix("Value error, ")
    return text if text.startswith("must ") else f"must satisfy: {text[0].lower()}{text[1:]}"


def shortest_number(value: float, meta: Quantity) -> float:
    """The number with the fewest digits in the file's unit that is read back as this SI value.

    Where no number is (the steps of two units do not meet), the nearest one, one step of rounding away.

    >>> from glidewright.base.units import unit
    >>> shortest_number(unit("g").to_si(57.1), Quantity("mass_g", unit("g"), "mass"))
    57.1
    """
    exact = meta.shown.from_si(value)
    near = (exact, math.nextafter(exact, math.inf), math.nextafter(exact, -math.inf))
    short = (float(f"{number:.{digits}g}") for digits in range(1, 18) for number in near)
    return next((number for number in short if meta.shown.to_si(number) == value), exact)
