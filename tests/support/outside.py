"""Checks against the outside: they hold or the test fails, and the validation report lists them.

``docs/make_validation.py`` sets the file in ``GLIDEWRIGHT_CHECKS``; without it nothing is written.
"""

import json
import math
import os
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import numpy as np

CHECKS = "GLIDEWRIGHT_CHECKS"


def held(
    what: str,
    found: float,
    expected: float,
    *,
    source: str,
    because: str,
    rel: float | None = None,
    abs: float | None = None,
    unit: str = "",
) -> None:
    """Fail unless a number agrees with one from outside.

    source: publication, standard, or general library with its function; because: where the tolerance comes
    from; rel, abs: relative and absolute tolerance, one of both or the greater of both, as pytest's approx.
    An abs of 0 asks for the very number.
    """
    row = _compared(what, found, expected, source, because, rel, abs, unit)
    _write_down({"kind": "held", **row})
    assert row["keeps"], _said(row)


def held_all(
    what: str,
    found: Iterable[float],
    expected: Iterable[float],
    *,
    source: str,
    because: str,
    rel: float | None = None,
    abs: float | None = None,
    unit: str = "",
) -> None:
    """``held`` for each pair of two rows; the pair that uses most of its tolerance is written down."""
    pairs = list(zip(np.ravel(list(found)), np.ravel(list(expected)), strict=True))
    if not pairs:
        raise ValueError(f"{what}: there is nothing to compare")
    name = f"{what}, worst of {len(pairs)}"
    rows = [_compared(name, mine, theirs, source, because, rel, abs, unit) for mine, theirs in pairs]
    worst = max(rows, key=_used)
    _write_down({"kind": "held", **worst})
    assert all(row["keeps"] for row in rows), _said(worst)


def within(
    what: str, found: float, low: float, high: float, *, source: str, because: str, unit: str = ""
) -> None:
    """Fail unless a number lies in a range from outside, its ends included; infinity leaves an end open.

    because: where the ends of the range come from.
    """
    if not (source and because):
        raise TypeError("a check against the outside names its source and where its range comes from")
    value, low, high = float(found), float(low), float(high)
    row: dict[str, Any] = {"kind": "within", "what": what, "found": value, "low": low, "high": high}
    row |= {"keeps": low <= value <= high, "source": source, "because": because, "unit": unit}
    _write_down(row)
    assert row["keeps"], f"{what}: {value:.8g} {unit} is not within {low:.8g} to {high:.8g} ({source})"


def covers(
    what: str, low: float, high: float, expected: float, *, source: str, because: str, unit: str = ""
) -> None:
    """Fail unless a range of this program holds a number from outside, its ends included.

    because: what the range is.
    """
    if not (source and because):
        raise TypeError("a check against the outside names its source and what the range is")
    ends, value = (float(low), float(high)), float(expected)
    row: dict[str, Any] = {"kind": "covers", "what": what, "expected": value, "low": ends[0], "high": ends[1]}
    row |= {"keeps": ends[0] <= value <= ends[1], "source": source, "because": because, "unit": unit}
    _write_down(row)
    assert row["keeps"], f"{what}: {ends[0]:.8g} to {ends[1]:.8g} {unit} do not hold {value:.8g} ({source})"


def missed(
    what: str,
    found: float,
    expected: float,
    *,
    source: str,
    why: str,
    because: str,
    rel: float | None = None,
    abs: float | None = None,
    unit: str = "",
) -> None:
    """``held`` for what is known not to hold: it fails as that does, and stands among the known misses.

    It belongs into a test marked as a strict expected failure, which fails on the day that the number is met.
    why: what makes the number miss, as far as that is known; because: why no more was to be allowed.
    """
    row = _compared(what, found, expected, source, because, rel, abs, unit)
    _write_down({"kind": "missed", "why": why, **row})
    assert row["keeps"], _said(row)


def _compared(
    what: str,
    found: float,
    expected: float,
    source: str,
    because: str,
    rel: float | None,
    absolute: float | None,
    unit: str,
) -> dict[str, Any]:
    if not (source and because and (rel is not None or absolute is not None)):
        raise TypeError("a check against the outside names its source, a tolerance and where that comes from")
    mine, theirs = float(found), float(expected)
    allowed = float(max((rel or 0.0) * math.fabs(theirs), absolute or 0.0))
    return {
        "what": what,
        "found": mine,
        "expected": theirs,
        "allowed": allowed,
        "keeps": math.fabs(mine - theirs) <= allowed,
        "source": source,
        "because": because,
        "unit": unit,
    }


def _used(row: dict[str, Any]) -> tuple[bool, float]:
    """Whether a pair fails, then the share of its tolerance that it uses."""
    off = math.fabs(row["found"] - row["expected"])
    return not row["keeps"], off / row["allowed"] if row["allowed"] > 0.0 else off


def _said(row: dict[str, Any]) -> str:
    off = math.fabs(row["found"] - row["expected"])
    numbers = f"{row['found']:.8g} {row['unit']} against {row['expected']:.8g}, off by {off:.3g}"
    return f"{row['what']}: {numbers}, {row['allowed']:.3g} allowed ({row['source']})"


def _write_down(row: dict[str, Any]) -> None:
    file = os.environ.get(CHECKS)
    if not file:
        return
    test = os.environ.get("PYTEST_CURRENT_TEST", "").rsplit(" ", 1)[0]
    with Path(file).open("a", encoding="utf-8") as lines:
        lines.write(json.dumps({"test": test, **row}, ensure_ascii=False) + "\n")
