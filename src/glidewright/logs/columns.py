"""Cells of a delimited log as numbers: decimal sign, empty cells, clocks."""

import math
import re
from collections.abc import Sequence
from datetime import UTC, date, datetime

import numpy as np

from glidewright.domain.flight_record import Samples

_DAYS = (
    r"\d{4}-\d{1,2}-\d{1,2}",
    r"\d{1,2}\.\d{1,2}\.\d{2,4}",
    r"\d{1,2}/\d{1,2}/\d{2,4}",
    r"\d{4}/\d{1,2}/\d{1,2}",
)
_DATE = rf"(?:(?:{'|'.join(_DAYS)})[T ]\s*)"
CLOCK = re.compile(
    rf"({_DATE})?(\d{{1,3}}):([0-5]?\d):((?:[0-5]?\d|60)(?:[.,]\d{{1,9}})?)\s*(Z|[+-]\d\d:?\d\d)?",
    re.IGNORECASE,
)
_SHORT = re.compile(r"(\d{1,4}):([0-5]?\d(?:[.,]\d{1,9})?)")
_ISO_DAY = re.compile(r"(\d{4})-(\d{1,2})-(\d{1,2})")
_YEAR_FIRST = re.compile(r"(\d{4})[-/](\d{1,2})[-/](\d{1,2})(?!\d)")
_DAY_FIRST = re.compile(r"(\d{1,2})\.(\d{1,2})\.(\d{4}|\d{2})(?!\d)")
_NUMBER = re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d{1,3})?")
_NOT_A_NUMBER = {"", "nan", "null", "none", "n/a", "na", "-", "--", "inf", "-inf"}


def numbers(cells: Sequence[str], decimal: str) -> Samples:
    """The cells as floats, NaN for what is no finite number; decimal: ``point`` or ``comma``.

    >>> numbers(["1,5", "", "x", "-2"], "comma").tolist()
    [1.5, nan, nan, -2.0]
    """
    words = [cell.replace(",", ".") for cell in cells] if decimal == "comma" else cells
    try:
        found = np.array(words, dtype=np.float64)
    except ValueError:
        found = np.array([_number(word) for word in words], dtype=np.float64)
    found[~np.isfinite(found)] = np.nan
    return found


def _number(word: str) -> float:
    word = word.strip()
    return float(word) if _NUMBER.fullmatch(word) else math.nan


def is_number(cell: str) -> bool:
    """Whether a cell is a number with either decimal sign."""
    return _NUMBER.fullmatch(cell.strip().replace(",", ".", 1)) is not None


def has_no_value(cell: str) -> bool:
    """Whether a cell says that there is no value."""
    return cell.strip().lower() in _NOT_A_NUMBER


def is_clock(cell: str) -> bool:
    """Whether a cell is a time with colons, with or without a date."""
    word = cell.strip()
    return CLOCK.fullmatch(word) is not None or _SHORT.fullmatch(word) is not None


def clocks(cells: Sequence[str]) -> Samples:
    """Seconds of cells such as 13:05:07.25; with a date in ISO order seconds since 1970, NaN for no time.

    A zone is taken off, so that the seconds count in UTC where it is stated.

    >>> clocks(["0:01:00", "0:01:00.5"]).tolist(), clocks(["1970-01-02T00:00:01+01:00"]).tolist()
    ([60.0, 60.5], [82801.0])
    """
    return np.array([_clock(cell) for cell in cells], dtype=np.float64)


def _clock(cell: str) -> float:
    found = CLOCK.fullmatch(cell.strip())
    if found is None:
        return math.nan
    day, hours, minutes, seconds, zone = found.groups()
    time_s = 3600.0 * int(hours) + 60.0 * int(minutes) + float(seconds.replace(",", "."))
    iso = _ISO_DAY.match(day) if day else None
    if iso is not None:
        try:
            time_s += datetime(int(iso[1]), int(iso[2]), int(iso[3]), tzinfo=UTC).timestamp()
        except ValueError:
            return math.nan
    return time_s - _zone_s(zone)


def _zone_s(zone: str | None) -> float:
    if zone is None or zone.upper() == "Z":
        return 0.0
    digits = zone[1:].replace(":", "")
    offset = 3600.0 * int(digits[:2]) + 60.0 * int(digits[2:])
    return -offset if zone[0] == "-" else offset


def short_clocks(cells: Sequence[str]) -> Samples:
    """Seconds of cells such as 3:07.5, minutes and seconds.

    >>> short_clocks(["0:59.5", "1:00.0"]).tolist()
    [59.5, 60.0]
    """
    found = [_SHORT.fullmatch(cell.strip()) for cell in cells]
    return np.array(
        [math.nan if one is None else 60.0 * int(one[1]) + float(one[2].replace(",", ".")) for one in found],
        dtype=np.float64,
    )


def day_of(cell: str) -> date | None:
    """The day that a cell begins with: year-month-day, day.month.year, or year/month/day; None for any other.

    Day and month with a slash between them stand in either order, and say nothing.

    >>> day_of("1.5.2024 12:00"), day_of("2024-05-01"), day_of("05/06/2024")
    (datetime.date(2024, 5, 1), datetime.date(2024, 5, 1), None)
    """
    word = cell.strip()
    found = _YEAR_FIRST.match(word)
    year, month, day = found.groups() if found else ("", "", "")
    if found is None and (dotted := _DAY_FIRST.match(word)) is not None:
        day, month, year = dotted.groups()
    if not year:
        return None
    try:
        return date(int(year) + (2000 if len(year) == 2 else 0), int(month), int(day))
    except ValueError:
        return None


def has_zone_and_day(cell: str) -> bool:
    """Whether a clock states its day in ISO order and its zone, so that it is a time in UTC."""
    found = CLOCK.fullmatch(cell.strip())
    return (
        found is not None and found[5] is not None and bool(found[1]) and _ISO_DAY.match(found[1]) is not None
    )


def has_day(cell: str) -> bool:
    """Whether a clock states its day in ISO order."""
    found = CLOCK.fullmatch(cell.strip())
    return found is not None and bool(found[1]) and _ISO_DAY.match(found[1]) is not None
