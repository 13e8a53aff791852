"""Tables ``[[limit]]``, of a class and of a rule option alike: bounds that carry their unit in the key.

The known measures come as an argument, name -> SI symbol, ``words`` for those that are no number.
"""

import math
from collections.abc import Mapping, Sequence
from typing import Any

from glidewright.base.door import read_noun
from glidewright.base.errors import Problem, nearest
from glidewright.base.units import BY_SUFFIX, Unit, unit
from glidewright.domain.class_limits import Limit

from .tables import Problems

WORDS = "words"
_BOUNDS = ("at_least", "at_most", "tolerance")


def read_limit(
    raw: Mapping[str, Any], where: str, measures: Mapping[str, str], problems: Problems
) -> Limit | None:
    """One table [[limit]], or None with its problems added to the list; ``where`` names it in messages."""
    before = len(problems)
    name = raw.get("measure")
    if not isinstance(name, str) or name not in measures:
        came = f"{name!r} came" if name else "it is missing"
        problems.say(
            f"{where}: measure",
            f"must be a known measure; {came}; correct it; {nearest(str(name or ''), list(measures))}",
        )
        return None
    bounds, shown = _bounds(raw, where, measures[name], problems)
    if not problems[before:]:
        problems.extend(_missing_bound(raw, bounds, where, measures[name]))
    rest = {key: value for key, value in raw.items() if bound_of(key) is None}
    also = {**bounds, "unit": measures[name], "shown": shown.symbol if shown else ""}
    unset = {"at_least": None, "at_most": None, "tolerance": 0.0}
    limit = problems.attempt(read_noun, Limit, rest, where, also={**unset, **also})
    return limit if len(problems) == before else None


def bound_of(key: str) -> str | None:
    """Which of the bounds a key states, with or without a unit."""
    return next((stem for stem in _BOUNDS if key == stem or key.startswith(f"{stem}_")), None)


def _bounds(
    raw: Mapping[str, Any], where: str, si: str, problems: Problems
) -> tuple[dict[str, float], Unit | None]:
    """Bounds and tolerance in SI by field name, and the unit in which the bounds were written."""
    values: dict[str, float] = {}
    shown: Unit | None = None
    for key, number in raw.items():
        stem = bound_of(key)
        if stem is None:
            continue
        place = f"{where}: {key}"
        suffix = key.removeprefix(stem).removeprefix("_")
        found = BY_SUFFIX.get(suffix) if suffix else unit("")
        if si == WORDS or found is None or found.si != si:
            problems.say(place, _unit_sentence(stem, key, si))
        elif isinstance(number, bool) or not isinstance(number, int | float):
            problems.say(place, f"must be a number; {number!r} came; write it without a unit")
        elif not math.isfinite(number) or number < 0:
            problems.say(place, f"must be a finite number, zero or more; {number} came; correct it")
        elif stem in values:
            problems.say(place, f"must be stated once; {stem} came twice; keep one of them")
        else:
            values[stem] = found.to_si(float(number))
            shown = found if stem != "tolerance" else shown
    return values, shown


def _unit_sentence(stem: str, key: str, si: str) -> str:
    if si == WORDS:
        return f"must not stand here: this measure has words, not numbers; {key} came; write allowed = [...]"
    fits = [f"{stem}_{u.suffix}" if u.suffix else stem for u in BY_SUFFIX.values() if u.si == si]
    names = ", ".join([stem, *fits] if si == "1" else fits)
    return f"must be written as one of {names}; {key} came; rename it and convert the number"


def _missing_bound(
    raw: Mapping[str, Any], bounds: Mapping[str, float], where: str, si: str
) -> Sequence[Problem]:
    allowed = raw.get("allowed")
    if si == WORDS and not allowed:
        return [Problem(where, "must list the allowed words; there are none; add allowed = [...]")]
    if si != WORDS and allowed:
        return [Problem(f"{where}: allowed", "must not stand here: this measure is a number; remove it")]
    if si != WORDS and not {"at_least", "at_most"} & bounds.keys():
        return [Problem(where, "must have a bound; there is none; add at_least_... or at_most_...")]
    low, high = bounds.get("at_least", -math.inf), bounds.get("at_most", math.inf)
    if low > high:
        return [Problem(where, "must have at_least below at_most; they are the other way round; swap them")]
    return []
