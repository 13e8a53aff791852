"""A check against the outside: it holds or the test fails, and it is written down for the validation report.

``docs/make_validation.py`` sets the file in ``GLIDEWRIGHT_CHECKS``; without it nothing is written.
"""

import json
import math
import os
from pathlib import Path

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
    """
    if not (source and because and (rel is not None or abs is not None)):
        raise TypeError("a check against the outside names its source, a tolerance and where that comes from")
    allowed = max((rel or 0.0) * math.fabs(expected), abs or 0.0)
    off = math.fabs(found - expected)
    keeps = off <= allowed
    _write_down(what, float(found), float(expected), allowed, keeps, source, because, unit)
    numbers = f"{found:.8g} {unit} against {expected:.8g}, off by {off:.3g}, {allowed:.3g} allowed"
    assert keeps, f"{what}: {numbers} ({source})"


def _write_down(
    what: str,
    found: float,
    expected: float,
    allowed: float,
    keeps: bool,
    source: str,
    because: str,
    unit: str,
) -> None:
    file = os.environ.get(CHECKS)
    if not file:
        return
    row = {
        "test": os.environ.get("PYTEST_CURRENT_TEST", "").split(" ")[0],
        "what": what,
        "found": found,
        "expected": expected,
        "allowed": allowed,
        "keeps": keeps,
        "source": source,
        "because": because,
        "unit": unit,
    }
    with Path(file).open("a", encoding="utf-8") as lines:
        lines.write(json.dumps(row, ensure_ascii=False) + "\n")
