"""What becomes of flight logs whose clock jumps, stands, or is of another day: a part of ``faults.py``.

    python studies/clocks.py [FLIGHTS]

Flights of the launch model (``synthetic_flights.py``) are written as a text with dates at 10 Hz and as an IGC
record at 1 Hz, once with a sound clock and once with a spoiled one. A log with a spoiled clock may be read as
one recording or as several, or be refused in sentences. A launch that it shows must be that of the sound log;
a change of the clock in the middle of the launch is counted by itself, since then the log does not know how
long the motor ran.
"""

import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

import numpy as np
from numpy.typing import NDArray

from doors import fault_of
from glidewright.base.errors import GlidewrightError
from glidewright.domain.flight_reading import LaunchReading
from glidewright.domain.flight_record import FlightRecord
from glidewright.domain.raw_log import RawLog
from glidewright.logs.read_flight import read_flight
from glidewright.logs.read_log import read_log
from synthetic_flights import Instrument, flights, recorded

Array = NDArray[np.float64]
Spoil = Callable[[Array, float, np.random.Generator], Array]
FLIGHTS, SEED = 40, 8
NOON_s = datetime(2026, 5, 31, 12, tzinfo=UTC).timestamp()
HOUR_s, DAY_s, WEEK_s = 3600.0, 86400.0, 604800.0
ROLLOVER_s = 1024 * WEEK_s
CLOSE_s, CLOSE_m = 0.5, 0.5
_LAUNCH_MARGIN_s = 12.0
_YEAR_2000_s = datetime(2000, 1, 1, tzinfo=UTC).timestamp()


def _after(clock: Array, at: float, by: float) -> Array:
    """The clock shifted from a moment on."""
    return np.where(clock >= at, clock + by, clock)


def _before(clock: Array, at: float, first: float) -> Array:
    """The clock runs from another begin until a moment: that of the first fix."""
    return np.where(clock < at, clock - clock[0] + first, clock)


def _stands(clock: Array, at: float, random: np.random.Generator, *, is_caught_up: bool) -> Array:
    length = float(random.uniform(1.0, 30.0))
    still = np.where((clock >= at) & (clock < at + length), at, clock)
    return still if is_caught_up else np.where(clock >= at + length, clock - length, still)


CLOCKS: Mapping[str, Spoil] = {
    "midnight passes": lambda clock, at, _: clock + (np.ceil(at / DAY_s) * DAY_s - at),
    "set back by 1 to 5 s": lambda clock, at, draw: _after(clock, at, -float(draw.uniform(1.0, 5.0))),
    "set back by 5 to 60 s": lambda clock, at, draw: _after(clock, at, -float(draw.uniform(5.0, 60.0))),
    "set back by an hour, as summer time ends": lambda clock, at, _: _after(clock, at, -HOUR_s),
    "set ahead by an hour, as summer time begins": lambda clock, at, _: _after(clock, at, HOUR_s),
    "set right by hours at the first fix": lambda clock, at, draw: _after(
        clock, at, float(draw.uniform(-11.0, 11.0)) * HOUR_s
    ),
    "1970 until the first fix": lambda clock, at, _: _before(clock, at, 0.0),
    "2000 until the first fix": lambda clock, at, _: _before(clock, at, _YEAR_2000_s),
    "1024 weeks early until the first fix": lambda clock, at, _: _after(
        clock - ROLLOVER_s, at - ROLLOVER_s, ROLLOVER_s
    ),
    "1024 weeks early": lambda clock, _, __: clock - ROLLOVER_s,
    "years ahead": lambda clock, _, draw: clock + float(draw.integers(400, 9000)) * DAY_s,
    "stands for 1 to 30 s and catches up": lambda clock, at, draw: _stands(
        clock, at, draw, is_caught_up=True
    ),
    "stands for 1 to 30 s and goes on": lambda clock, at, draw: _stands(clock, at, draw, is_caught_up=False),
    "three odd times": lambda clock, _, draw: _odd(clock, draw),
    "runs backwards": lambda clock, _, __: clock[::-1].copy(),
}


HEAD = (
    "Clock of the log", "Logs", "Read as one", "In parts", "Refused in sentences", "Changed in the launch",
    "Launch as of a sound clock", "Launch not found", "Launch otherwise", "Faults",
)  # fmt: skip
_NEVER_IN_LAUNCH = (
    "midnight passes", "1024 weeks early", "years ahead", "stands for 1 to 30 s and catches up",
)  # fmt: skip


def _odd(clock: Array, random: np.random.Generator) -> Array:
    found = clock.copy()
    found[random.integers(1, clock.size - 1, 3)] += random.uniform(-HOUR_s, HOUR_s, 3)
    return found


@dataclass
class Told:
    """Logs of one kind of clock: how they came out."""

    logs: int = 0
    whole: int = 0
    parts: int = 0
    refused: int = 0
    in_launch: int = 0
    same: int = 0
    other: int = 0
    none: int = 0
    faults: tuple[str, ...] = ()


def as_text(record: FlightRecord, clock: Array) -> RawLog:
    """A text with semicolons and dates in UTC."""
    rows = zip(clock, record.channels["height_m"], record.channels["current_A"], strict=True)
    lines = [f"{_iso(time)};{height:.1f};{amps:.1f}" for time, height, amps in rows]
    return RawLog.of("clock.csv", "\n".join(["time (utc);height (m);current (A)", *lines]).encode())


def as_leap(record: FlightRecord, clock: Array) -> RawLog:
    """The same text with a leap second: the first second of a minute is written as the 60th of the last."""
    text = as_text(record, clock).data.decode()
    minute = sorted({line[:17] for line in text.splitlines()[1:]})[1]
    before = _iso(datetime.fromisoformat(f"{minute}00+00:00").timestamp() - 1.0)[:17]
    return RawLog.of("clock.csv", text.replace(f"{minute}00.", f"{before}60.").encode())


def as_zones(record: FlightRecord, clock: Array) -> RawLog:
    """The same text whose second half states another zone, as after a journey."""
    lines = as_text(record, clock).data.decode().splitlines()
    middle = len(lines) // 2
    for place in range(middle, len(lines)):
        stamp, rest = lines[place].split(";", 1)
        moved = _iso(datetime.fromisoformat(stamp).timestamp() + 2.0 * HOUR_s).removesuffix("+00:00")
        lines[place] = f"{moved}+02:00;{rest}"
    return RawLog.of("clock.csv", "\n".join(lines).encode())


def as_igc(record: FlightRecord, clock: Array) -> RawLog:
    """An IGC record: a time of day without a date of its own in every fix."""
    lines = ["AXXX001", f"HFDTE{datetime.fromtimestamp(clock[0], UTC):%d%m%y}"]
    for time, height in zip(clock, record.channels["height_m"], strict=True):
        stamp = f"{datetime.fromtimestamp(time, UTC):%H%M%S}"
        lines.append(f"B{stamp}4700000N01100000EA{max(round(height) + 500, 0):05d}00500")
    return RawLog.of("clock.igc", "\r\n".join(lines).encode())


def _iso(time: float) -> str:
    return datetime.fromtimestamp(round(float(time), 2), UTC).isoformat(timespec="milliseconds")


def launches_of(raw: RawLog) -> tuple[int, list[LaunchReading]]:
    """How many recordings a log holds, and the launches in all of them."""
    records = read_log(raw)
    found: list[LaunchReading] = []
    for record in records:
        found += read_flight(record).launches
    return len(records), found


def is_same(one: LaunchReading, sound: LaunchReading) -> bool:
    """Whether two readings of a launch tell the same."""
    run = abs((one.motor_run.value or 0.0) - (sound.motor_run.value or 0.0))
    height = abs((one.counted_height.value or 0.0) - (sound.counted_height.value or 0.0))
    return run <= CLOSE_s and height <= CLOSE_m


def judged(told: Told, raw: RawLog, sound: Sequence[LaunchReading], *, is_in_launch: bool) -> None:
    """Read a log with a spoiled clock and count what came of it."""
    told.logs += 1
    try:
        count, found = launches_of(raw)
    except GlidewrightError as said:
        told.refused += 1
        told.faults += tuple(fault for problem in said.problems if (fault := fault_of(str(problem))))
        return
    except Exception as mistake:  # it is what is looked for
        told.faults += (f"{type(mistake).__name__}: {mistake}",)
        return
    told.whole += count == 1
    told.parts += count > 1
    if is_in_launch:
        told.in_launch += 1
    elif not found:
        told.none += 1
    elif any(is_same(one, sound[0]) for one in found):
        told.same += 1
    else:
        told.other += 1


def clocks(many: int) -> Iterator[tuple[str, Told]]:
    """Every kind of clock in both formats."""
    own = flights(many, SEED)
    for rate, write, form in ((10.0, as_text, "text"), (1.0, as_igc, "IGC")):
        instrument = Instrument(samples_per_s=rate, channels=("current_A",))
        cases = [(flight, recorded(flight, instrument, number)) for number, flight in enumerate(own)]
        known = [
            (one, record, launches_of(write(record, NOON_s + record.time_s))[1]) for one, record in cases
        ]
        sound = [case for case in known if len(case[2]) == 1]
        for name, spoil in CLOCKS.items():
            told, draw = Told(), np.random.Generator(np.random.PCG64(SEED))
            for flight, record, launches in sound:
                clock = NOON_s + np.round(record.time_s, 2)
                at = float(draw.uniform(clock[10], clock[-10]))
                near = flight.motor_start_s - _LAUNCH_MARGIN_s, flight.motor_stop_s + _LAUNCH_MARGIN_s
                is_in = near[0] - 30.0 * ("stands" in name) < at - NOON_s < near[1]
                is_in = is_in and name not in _NEVER_IN_LAUNCH
                judged(told, write(record, spoil(clock, at, draw)), launches, is_in_launch=is_in)
            yield f"{form}: {name}", told
        for name, other in (("leap second", as_leap), ("two zones", as_zones)) if form == "text" else ():
            told = Told()
            for _, record, launches in sound:
                judged(told, other(record, NOON_s + np.round(record.time_s, 2)), launches, is_in_launch=False)
            yield f"{form}: {name}", told


def row(name: str, told: Told) -> tuple[str, ...]:
    """A row of the table."""
    numbers: tuple[Any, ...] = (
        told.logs, told.whole, told.parts, told.refused, told.in_launch, told.same, told.none, told.other,
        len(told.faults),
    )  # fmt: skip
    return name, *map(str, numbers)


if __name__ == "__main__":
    for NAME, TOLD in clocks(int(sys.argv[1]) if len(sys.argv) > 1 else FLIGHTS):
        print(" | ".join(row(NAME, TOLD)), *sorted(set(TOLD.faults))[:2])
