"""IGC flight records: the format of the FAI for gliding recorders.

Source: FAI, Technical Specification for GNSS Flight Recorders, appendix A (the B, H and I records). Heights
are metres, pressure height by the standard atmosphere. The dates and the extension list are read by the
library aerofiles, the fixes here: it goes on by a whole day whenever a time repeats or falls.

Extensions of the fixes are named by three letters. Their digits are, from memory of that text, km/h for the
speeds and 0 to 999 for the noise; more than three digits are taken as decimals, which agrees with ground
speeds from the positions of a public recording.
"""

import re
from collections.abc import Mapping, Sequence
from datetime import UTC, date, datetime

import numpy as np
from aerofiles.igc.reader import LowLevelReader

from glidewright.base.errors import InputError, Problem
from glidewright.domain.channel_map import ChannelMap
from glidewright.domain.flight_record import Samples
from glidewright.logs.clock import counted
from glidewright.logs.log_format import LogFormat, Recording

_FIX = re.compile(
    r"^B(\d\d)([0-5]\d)([0-5]\d|60)(\d\d)(\d{5})([NS])(\d{3})(\d{5})([EW])([AV])(-\d{4}|\d{5})(-\d{4}|\d{5})(.*)$"
)
_SNIFFED = re.compile(r"^B\d{6}\d{7}[NS]\d{8}[EW][AV]", re.MULTILINE)
_FIX_LENGTH = 35
_DIGITS = 3  # of a whole number of km/h, degrees or per mille
_KMH = 1.0 / 3.6
# extension: channel, factor and offset to SI of a number of three digits; the first one found counts
_EXTENSIONS: Mapping[str, tuple[str, float, float]] = {
    "TAS": ("airspeed_m_s", _KMH, 0.0),
    "IAS": ("airspeed_m_s", _KMH, 0.0),
    "GSP": ("ground_speed_m_s", _KMH, 0.0),
    "TRT": ("course_rad", np.pi / 180.0, 0.0),
    "ENL": ("engine_noise", 1.0 / 999.0, 0.0),
    "MOP": ("engine_noise", 1.0 / 999.0, 0.0),
    "OAT": ("temperature_K", 1.0, 273.15),
}
_REFUSALS = (ValueError, IndexError, TypeError, NotImplementedError)  # of the library, for odd lines


def _sniff(head: str) -> bool:
    return _SNIFFED.search(head) is not None


def _read(name: str, text: str, maps: Sequence[ChannelMap]) -> list[Recording]:
    del maps  # the format states its channels
    found = [_recording(lines) for lines in _flights(text)]
    whole = [one for one in found if one is not None]
    if not whole:
        raise InputError(
            Problem(name, "must hold fixes (lines with B); none can be read; give the whole IGC file")
        )
    return whole


def _flights(text: str) -> list[list[str]]:
    """The lines of each flight: an A record behind fixes begins the next one."""
    flights: list[list[str]] = [[]]
    has_fix = False
    for line in text.splitlines():
        if line.startswith("A") and has_fix:
            flights.append([])
            has_fix = False
        has_fix = has_fix or line.startswith("B")
        flights[-1].append(line)
    return flights


def _recording(lines: Sequence[str]) -> Recording | None:
    notes: list[str] = []
    fixes = [found.groups() for line in lines if line.startswith("B") and (found := _FIX.match(line))]
    broken = sum(line.startswith("B") for line in lines) - len(fixes)
    if broken:
        notes.append(f"{counted(broken, 'broken fix')} left out.")
    if not fixes:
        return None
    columns = list(zip(*fixes, strict=True))
    hour, minute, second = (np.array(one, dtype=np.float64) for one in columns[:3])
    clock = hour * 3600.0 + minute * 60.0 + second
    extensions = _extensions(lines, columns[12], notes)
    if "TDS" in extensions:
        clock = clock + _tenths(*extensions["TDS"])
    latitude = _angle(columns[3], columns[4], columns[5], "S", extensions.get("LAD"))
    longitude = _angle(columns[6], columns[7], columns[8], "W", extensions.get("LOD"))
    is_nowhere = (latitude == 0.0) & (longitude == 0.0)
    has_fix = np.array(columns[9]) == "A"
    channels = {
        "latitude_rad": np.where(is_nowhere, np.nan, latitude),
        "longitude_rad": np.where(is_nowhere, np.nan, longitude),
        "gnss_height_m": np.where(has_fix, np.array(columns[11], dtype=np.float64), np.nan),
    }
    pressure_height = np.array(columns[10], dtype=np.float64)
    if np.any(pressure_height != 0.0):
        channels["height_m"] = pressure_height
    for code, (channel, factor, offset) in _EXTENSIONS.items():
        if code in extensions and channel not in channels:
            values, digits = extensions[code]
            channels[channel] = factor * values / 10.0 ** (digits - _DIGITS) + offset
    day = _date(lines, notes)
    start = None if day is None else datetime(day.year, day.month, day.day, tzinfo=UTC)
    return Recording(clock, channels, start, is_time_of_day=True, notes=tuple(notes))


def _angle(
    degrees: Sequence[str],
    minutes: Sequence[str],
    sides: Sequence[str],
    negative: str,
    more: tuple[Samples, int] | None,
) -> Samples:
    """Latitude or longitude in radians: degrees, thousandths of minutes, further decimals of these."""
    thousandths = np.array(minutes, dtype=np.float64)
    if more is not None:
        thousandths = thousandths + np.nan_to_num(_tenths(*more))
    angle = np.radians(np.array(degrees, dtype=np.float64) + thousandths / 60_000.0)
    found: Samples = np.where(np.array(sides) == negative, -angle, angle)
    return found


def _tenths(values: Samples, digits: int) -> Samples:
    """Digits behind a point as a number below 1."""
    found: Samples = values / 10.0**digits
    return found


def _extensions(
    lines: Sequence[str], tails: Sequence[str], notes: list[str]
) -> dict[str, tuple[Samples, int]]:
    """Whole numbers of every extension that the I record declares, with their count of digits."""
    record = next((line for line in lines if line.startswith("I")), None)
    if record is None:
        return {}
    try:
        declared = LowLevelReader.decode_I_record(record)
    except _REFUSALS:
        notes.append("The list of extensions cannot be read; they are left out.")
        return {}
    found = {}
    for one in declared:
        first, last = one["bytes"]
        if _FIX_LENGTH < first <= last:
            cut = slice(first - _FIX_LENGTH - 1, last - _FIX_LENGTH)
            found[str(one["extension_type"])] = (
                _whole_numbers([tail[cut] for tail in tails]),
                last - first + 1,
            )
    return found


def _whole_numbers(words: Sequence[str]) -> Samples:
    try:
        return np.array(words, dtype=np.float64)
    except ValueError:
        is_number = re.compile(r"-?\d+").fullmatch
        return np.array([float(word) if is_number(word) else np.nan for word in words])


def _date(lines: Sequence[str], notes: list[str]) -> date | None:
    """The date of the first fix."""
    record = next((line for line in lines if line[0:1] == "H" and line[2:5] == "DTE"), None)
    if record is None:
        notes.append("It states no date.")
        return None
    try:
        day = LowLevelReader.decode_H_record(record)["utc_date"]
    except _REFUSALS:
        day = None
    if not isinstance(day, date):
        notes.append("Its date cannot be read.")
        return None
    return day


FORMAT = LogFormat(
    "igc",
    "IGC flight record (FAI)",
    10,
    _sniff,
    _read,
    endings=(".igc",),
    known_by="a fix: a line of B with time, position and an A or V for its validity",
    brings=tuple(
        dict.fromkeys(
            [
                *("latitude_rad", "longitude_rad", "gnss_height_m", "height_m"),
                *(channel for channel, _, _ in _EXTENSIONS.values()),
            ]
        )
    ),
)
