"""NMEA sentences of a satellite receiver: GGA (position, height) and RMC (position, speed, course, date).

Source: NMEA 0183; fields as in its public summaries. The checksum is the exclusive or of all signs between
``$`` and ``*``; a sentence with a wrong one is left out, one without a checksum is read.
"""

import re
from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from glidewright.base.errors import InputError, Problem
from glidewright.domain.channel_map import ChannelMap
from glidewright.logs.clock import counted
from glidewright.logs.log_format import LogFormat, Recording

_SENTENCE = re.compile(r"\$([A-Z]{2}(GGA|RMC),[^*$\r\n]*)(?:\*([0-9A-Fa-f]{2}))?")
_TIME = re.compile(r"(\d\d)([0-5]\d)([0-6]\d(?:\.\d{1,9})?)")
_ANGLE = re.compile(r"(\d{1,3})(\d\d(?:\.\d{1,9})?)")
_NUMBER = re.compile(r"-?\d{1,9}(?:\.\d{1,9})?")
_DATE = re.compile(r"(\d\d)(\d\d)(\d\d)")
_KNOT_m_s = 1852.0 / 3600.0
_CHANNELS = ("latitude_rad", "longitude_rad", "gnss_height_m", "ground_speed_m_s", "course_rad")
_LATITUDE, _LONGITUDE, _HEIGHT, _SPEED, _COURSE = range(5)
_CENTURY = 80  # a year of two digits from here on is one of the last century
Row = list[float]


def _sniff(head: str) -> bool:
    return _SENTENCE.search(head) is not None


def _read(name: str, text: str, maps: Sequence[ChannelMap]) -> list[Recording]:
    del maps  # the sentences state their channels
    clock: list[float] = []
    rows: list[Row] = []
    said: set[str] = set()
    midnight: datetime | None = None
    wrong = 0
    for body, kind, checksum in _SENTENCE.findall(text):
        if checksum and int(checksum, 16) != _checksum(body):
            wrong += 1
            continue
        fields = body.split(",")
        time_s = _time_s(fields)
        if time_s is None:
            continue
        if not clock or time_s != clock[-1] or kind in said:
            clock.append(time_s)
            rows.append([np.nan] * len(_CHANNELS))
            said = set()
        said.add(kind)
        (_put_gga if kind == "GGA" else _put_rmc)(fields, rows[-1])
        if kind == "RMC" and midnight is None:
            midnight = _midnight(fields, clock)
    if not rows:
        raise InputError(
            Problem(
                name,
                "must hold GGA or RMC sentences with a time; none can be read; "
                "let the receiver find its position before it records",
            )
        )
    notes = (f"{counted(wrong, 'sentence')} with a wrong checksum left out.",) if wrong else ()
    columns = np.array(rows, dtype=np.float64).T
    channels = dict(zip(_CHANNELS, columns, strict=True))
    return [Recording(np.array(clock), channels, midnight, is_time_of_day=True, notes=notes)]


def _checksum(body: str) -> int:
    signs: NDArray[np.uint8] = np.frombuffer(body.encode("latin-1", "replace"), dtype=np.uint8)
    return int(np.bitwise_xor.reduce(signs))


def _time_s(fields: Sequence[str]) -> float | None:
    found = _TIME.fullmatch(fields[1]) if len(fields) > 1 else None
    return None if found is None else int(found[1]) * 3600.0 + int(found[2]) * 60.0 + float(found[3])


def _put_gga(fields: Sequence[str], row: Row) -> None:
    """GGA: time, latitude, N or S, longitude, E or W, quality, satellites, dilution, height, M, ..."""
    if len(fields) < 10 or fields[6] in ("", "0"):
        return
    row[_LATITUDE] = _angle(fields[2], fields[3] == "S")
    row[_LONGITUDE] = _angle(fields[4], fields[5] == "W")
    row[_HEIGHT] = _number(fields[9])


def _put_rmc(fields: Sequence[str], row: Row) -> None:
    """RMC: time, A or V, latitude, N or S, longitude, E or W, knots, course, date, ..."""
    if len(fields) < 10 or fields[2] != "A":
        return
    row[_LATITUDE] = _angle(fields[3], fields[4] == "S")
    row[_LONGITUDE] = _angle(fields[5], fields[6] == "W")
    row[_SPEED] = _number(fields[7]) * _KNOT_m_s
    row[_COURSE] = np.radians(_number(fields[8]))


def _angle(word: str, is_negative: bool) -> float:
    found = _ANGLE.fullmatch(word)
    if found is None:
        return np.nan
    angle = float(np.radians(int(found[1]) + float(found[2]) / 60.0))
    return -angle if is_negative else angle


def _number(word: str) -> float:
    return float(word) if _NUMBER.fullmatch(word) else np.nan


def _midnight(fields: Sequence[str], clock: Sequence[float]) -> datetime | None:
    """Midnight before the first time of the clock, from the date of a sentence."""
    found = _DATE.fullmatch(fields[9]) if len(fields) > 9 else None
    if found is None:
        return None
    day, month, year = (int(word) for word in found.groups())
    try:
        own = datetime(1900 + year if year >= _CENTURY else 2000 + year, month, day, tzinfo=UTC)
    except ValueError:
        return None
    passed = sum(after < before - 43_200.0 for before, after in pairwise(clock))
    return own - timedelta(days=passed)


FORMAT = LogFormat(
    "nmea",
    "NMEA sentences",
    20,
    _sniff,
    _read,
    endings=(".nmea", ".nma"),
    known_by="a sentence that begins with $, two letters, and GGA or RMC",
    brings=_CHANNELS,
)
