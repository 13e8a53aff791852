"""Reading logs: an hour of flying at 10 Hz, and the flights of a season, against plain Python.

Run as ``python benchmarks/bench_logs.py``. The reference reads the same text with the ``csv`` module and
``float`` and finds the launches with loops over lists: running median, running mean, threshold on the amps,
highest height to 10 s after the stop, and nothing else: no phases, no lift, no sink, no spreads, no second
channel. Both find the same launch heights; the ratios are of one run on one machine.
"""

import csv
import io
import os
import statistics
import sys
import time
from collections.abc import Sequence
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "studies"))

from glidewright.domain.flight_reading import FlightReading
from glidewright.domain.raw_log import RawLog
from glidewright.logs.read_flight import read_flight
from glidewright.logs.read_log import read_log
from glidewright.logs.season import read_season
from measure import Measured, fastest, finish
from synthetic_flights import Instrument, flights, recorded

CHANNELS = ("current_A", "voltage_V", "revs_per_s", "throttle", "airspeed_m_s")
HEAD = "Time (s),Height (m),Amps (A),Volts (V),rpm,Throttle (%),Airspeed (m/s),Temp (°C),Vario (m/s)\n"
HOUR_s, SEASON = 3600.0, 1000
GOAL_HOUR_s, GOAL_SEASON_s = 0.5, 60.0


def text_of(seed: int) -> str:
    """The log of one flight, with eight channels beside the clock."""
    [flight] = flights(1, seed)
    record = recorded(flight, Instrument(channels=CHANNELS), seed)
    own = record.channels
    vario = np.gradient(own["height_m"], record.time_s)
    columns = (
        record.time_s,
        own["height_m"],
        own["current_A"],
        own["voltage_V"],
        own["revs_per_s"] * 60.0,
        own["throttle"] * 100.0,
        own["airspeed_m_s"],
        np.full(record.time_s.size, 21.0),
        vario,
    )
    return "\n".join(",".join(f"{value:.2f}" for value in row) for row in zip(*columns, strict=True)) + "\n"


def hour(duration_s: float = HOUR_s) -> bytes:
    """Flights one after the other on one clock, up to an hour or what is told."""
    rows: list[str] = []
    begin, seed = 0.0, 0
    while begin < duration_s:
        lines = text_of(seed).splitlines()
        for line in lines:
            at, _, rest = line.partition(",")
            rows.append(f"{begin + float(at):.2f},{rest}")
        begin = float(rows[-1].partition(",")[0]) + 0.1
        seed += 1
    return (HEAD + "\n".join(rows[: round(duration_s * 10.0)]) + "\n").encode()


def plain(data: bytes) -> list[float]:
    """Launch heights by loops over lists."""
    reader = csv.reader(io.StringIO(data.decode()))
    next(reader)
    columns: list[list[float]] = [[] for _ in range(9)]
    for row in reader:
        for place, cell in enumerate(row):
            columns[place].append(float(cell))
    time_s, height, amps = columns[0], columns[1], columns[2]
    middle = [statistics.median(height[max(place - 2, 0) : place + 3]) for place in range(len(height))]
    calm = [statistics.fmean(middle[max(place - 2, 0) : place + 3]) for place in range(len(height))]
    found, start = [], -1
    for place, ampere in enumerate(amps):
        if ampere > 3.0 and start < 0:
            start = place
        if ampere < 3.0 and start >= 0:
            end = place
            while end < len(time_s) and time_s[end] < time_s[place] + 10.0:
                end += 1
            ground = statistics.median(calm[max(start - 600, 0) : max(start - 20, 1)])
            if max(calm[start:end]) - ground > 10.0:
                found.append(max(calm[start:end]) - ground)
            start = -1
    return found


def ours(data: bytes) -> FlightReading:
    """The reading of the first record of a log."""
    return read_flight(read_log(RawLog.of("hour.csv", data))[0])


def season_of(count: int) -> list[RawLog]:
    """Logs of one flight each, 40 different ones again and again."""
    few = [RawLog.of(f"{seed}.csv", (HEAD + text_of(seed)).encode()) for seed in range(min(count, 40))]
    return [few[number % len(few)] for number in range(count)]


def main() -> dict[str, float]:
    """Time both, compare what they found, say and return the times."""
    data = hour()
    reading, heights = ours(data), plain(data)
    counted = [launch.counted_height.value or 0.0 for launch in reading.launches]
    off = max(abs(one - other) for one, other in zip(counted, heights, strict=True))
    print(f"an hour: {len(data) / 1e6:.1f} MB, {len(counted)} launches, heights agree within {off:.2f} m")
    own, other = fastest(lambda: ours(data), 5), fastest(lambda: plain(data), 3)
    print(f"  read and segmented in {own:.3f} s (goal {GOAL_HOUR_s} s)")
    print(f"  plain Python for the launch heights alone {other:.3f} s, {other / own:.1f} times as long")

    found = {"hour_s": own, "plain_hour_s": other, "off_m": off}
    season = season_of(SEASON)
    few = season[:40]
    begin = time.perf_counter()
    outcomes = read_season(season, workers=2)
    own = time.perf_counter() - begin
    begin = time.perf_counter()
    for raw in few:
        plain(raw.data)
    other = (time.perf_counter() - begin) * SEASON / len(few)
    launches = sum(len(one.readings[0].launches) for one in outcomes)
    print(f"a season: {SEASON} flights, {launches} launches, on two of {os.cpu_count()} cores")
    print(f"  {own:.1f} s (goal {GOAL_SEASON_s:.0f} s)")
    print(f"  plain Python for the heights alone, on one core {other:.1f} s, {other / own:.1f} times as long")
    return found | {"season_s": own, "plain_season_s": other}


def measured() -> Sequence[Measured]:
    """The figures of the report."""
    found = main()
    of = "csv, float and loops, launch heights alone"
    agree = f"heights of both within {found['off_m']:.2f} m"
    hour_s, season_s = found["plain_hour_s"], found["plain_season_s"]
    many = f"{SEASON} flights read, two processes"
    return [
        Measured("an hour of 10 Hz log read", found["hour_s"], "s", hour_s, of, GOAL_HOUR_s, note=agree),
        Measured(many, found["season_s"], "s", season_s, f"{of}, one process", GOAL_SEASON_s),
    ]


if __name__ == "__main__":
    finish(measured)
