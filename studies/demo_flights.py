"""The demo's flight logs: INVENTED flights of the invented model, flown by the launch model in light air.

The truth behind them is one draw from the spreads of the folder (the same lasting scores in every flight, new
ones for every day and launch), so that reading and calibrating them has something to find. A logger with a
barometer, volts, amps and motor speed records them at 5 Hz: noise of a data sheet, 0.1 m steps, slow drift,
an ammeter that reads 2 % high. Run: ``python studies/demo_flights.py``; the same files come out every time.
"""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from glidewright.calibration.craft import Craft
from glidewright.calibration.flown import Flown, rows_for
from glidewright.calibration.pack_state import rested
from glidewright.calibration.season import Season, local_scores, masses, season_of
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.model import Model
from glidewright.models.air.indicated import indicated_height_m
from glidewright.models.launch import layout as ll
from glidewright.models.launch.flights import launch_trace
from glidewright.models.power import layout as pl
from glidewright.rules.measures import MEASURE_UNITS
from glidewright.store.class_files import read_class
from glidewright.store.reading import read_model
from truths import Outing, blank_flight, draw_truth
from write_table import REPOSITORY

Array = NDArray[np.float64]

DEMO = REPOSITORY / "src/glidewright/data/demo"
TARGET = DEMO / "hill-demo-flights"
SEED = 20250503
STEP_s = 0.2
GROUND_s, BETWEEN_s, AFTER_s = 60.0, 90.0, 40.0
AMMETER = 1.02
NOISE_m, NOISE_V, NOISE_A, NOISE_RPM = 0.12, 0.015, 0.15, 30.0
DRIFT_m_s = 0.0015
TRACE = list(ll.TRACE_FIELDS)
HEAD = (
    "# INVENTED flight log of an invented model, made by studies/demo_flights.py for the demo.",
    "# Nobody flew it.",
    "UTC,Altitude (m),Voltage (V),Current (A),Motor speed (rpm)",
)


@dataclass(frozen=True)
class Session:
    """One log: when it begins, how many launches, and the name of its file."""

    begin: datetime
    launches: int
    name: str


SESSIONS = (
    Session(datetime(2025, 5, 3, 17, 10, tzinfo=UTC), 1, "evening-1.csv"),
    Session(datetime(2025, 5, 10, 16, 30, tzinfo=UTC), 2, "evening-2.csv"),
    Session(datetime(2025, 5, 24, 9, 0, tzinfo=UTC), 5, "club-contest.csv"),
)


def main() -> None:
    """Write every log."""
    model = read_model(DEMO / "hill-demo")
    rule = read_class(None, model.class_id, MEASURE_UNITS)
    random = np.random.Generator(np.random.PCG64(SEED))
    outings = [Outing(one.begin.date().isoformat(), one.launches) for one in SESSIONS]
    blanks = [blank_flight(number, outing) for number, outing in enumerate(outings, start=1)]
    season = season_of(model, rule, blanks)
    # half of the spread of the folder: a model near what its papers say
    truth = {score: 0.5 * value for score, value in draw_truth(season, random).items()}
    TARGET.mkdir(exist_ok=True)
    for session, blank in zip(SESSIONS, season.flights, strict=True):
        places = season.of_flight(blank)
        rows = _log(model, rule, season, [season.flown[place] for place in places], truth, random)
        lines = [*HEAD, *_lines(session.begin, rows, random)]
        (TARGET / session.name).write_text("\n".join(lines) + "\n", encoding="utf-8")
        print(session.name, len(lines), "lines")


def _log(
    model: Model,
    rule: ClassLimits,
    season: Season,
    flown: list[Flown],
    truth: dict,  # type: ignore[type-arg]
    random: np.random.Generator,
) -> dict[str, Array]:
    """Height, volts, amps and motor speed of a whole log on an even clock."""
    del rule
    columns: dict[str, list[Array]] = {"height": [], "volts": [], "amps": [], "revs": []}
    start = None
    craft = season.crafts[0]
    for number, one in enumerate(flown):
        scores, mass = local_scores(season, one, truth), craft.mass_kg(masses(season, one, truth), 1)
        setup, inputs = rows_for(craft, one, scores, mass)
        if start is not None:
            inputs = inputs._replace(start=start)
        air = float(inputs.launch[0, ll.GROUND_TEMPERATURE_K])
        trace, out = launch_trace(inputs, duration_s=600.0)
        flight = _through_air(trace[0], out[0], random)
        wait = int((GROUND_s if number == 0 else BETWEEN_s) / STEP_s)
        rest_V = float(inputs.power[0, pl.PACK_CELLS_IN_SERIES]) * 0.0 + float(flight["volts"][0])
        idle = float(inputs.power[0, pl.SERVO_CURRENT_A])
        for name, first in (("height", 0.0), ("volts", rest_V), ("amps", idle), ("revs", 0.0)):
            columns[name] += [np.full(wait, first), flight[name]]
        ends = out[:, ll.END_CHARGE : ll.END_CHARGE + ll.START_SIZE]
        rest_s = np.array([flight["height"].size * STEP_s + BETWEEN_s])
        start = rested(inputs.power, ends, np.array([air]), rest_s)
        pressure = craft.setup.model.field
        del setup, pressure
    tail = int(AFTER_s / STEP_s)
    last = {name: pieces[-1][-1] for name, pieces in columns.items()}
    for name, pieces in columns.items():
        pieces.append(np.full(tail, 0.0 if name in ("height", "revs") else last[name]))
    whole = {name: np.concatenate(pieces) for name, pieces in columns.items()}
    temperature = float(model.field.temperature_K.value if model.field.temperature_K else 288.15)
    whole["height"] = indicated_height_m(whole["height"], temperature, _pressure(craft))
    return whole


def _pressure(craft: Craft) -> float:
    from glidewright.forecast.air import air_of  # noqa: PLC0415 - one use

    return air_of(craft.setup.model.field).pressure_Pa


def _through_air(trace: Array, out: Array, random: np.random.Generator) -> dict[str, Array]:
    """One flight on the clock of the logger: the launch as computed, the glide through light air."""
    known = trace[np.isfinite(trace[:, TRACE.index("height_m")])]
    time = np.arange(0.0, known[-1, 0], STEP_s)

    def column(name: str) -> Array:
        found: Array = np.interp(time, known[:, 0], known[:, TRACE.index(name)])
        return found

    stop = float(out[ll.CUT_TIME])
    air = np.zeros(time.size)
    if random.random() < 0.6:  # one thermal
        begin = stop + float(random.uniform(30.0, 60.0))
        length, strength = float(random.uniform(30.0, 70.0)), float(random.uniform(0.8, 1.5))
        ramp = np.clip(np.minimum(time - begin, begin + length - time) / 4.0, 0.0, 1.0)
        air += strength * ramp
    motion = 0.0
    for place in range(time.size):
        motion = 0.97 * motion + float(random.normal(0.0, 0.03))
        air[place] += motion if time[place] > stop + 8.0 else 0.0
    height = column("height_m") + np.cumsum(air) * STEP_s
    down = np.flatnonzero((height <= 0.0) & (time > stop))
    if down.size == 0:  # brakes out
        late = time > time[-1] - 60.0
        height = height - np.where(late, (time - time[-1] + 60.0) / 60.0 * height[-1], 0.0)
        down = np.array([time.size - 1])
    end = int(down[0]) + 1
    return {
        "height": np.maximum(height[:end], 0.0),
        "volts": column("pack_voltage_V")[:end],
        "amps": column("pack_current_A")[:end],
        "revs": np.where(time < stop, column("revs_per_s"), 0.0)[:end],
    }


def _lines(begin: datetime, rows: dict[str, Array], random: np.random.Generator) -> list[str]:
    count = rows["height"].size
    time = STEP_s * np.arange(count)
    height = rows["height"] + random.normal(0.0, NOISE_m, count) + DRIFT_m_s * time
    height = np.round((height - height[:20].mean()) * 10.0) / 10.0
    volts = rows["volts"] + random.normal(0.0, NOISE_V, count)
    amps = np.maximum(AMMETER * rows["amps"] + random.normal(0.0, NOISE_A, count), 0.0)
    revs = np.where(rows["revs"] > 0.0, 60.0 * rows["revs"] + random.normal(0.0, NOISE_RPM, count), 0.0)
    return [
        f"{(begin + timedelta(seconds=float(t))).isoformat(timespec='milliseconds').replace('+00:00', 'Z')},"
        f"{h:.1f},{v:.2f},{a:.1f},{round(n / 10.0) * 10:.0f}"
        for t, h, v, a, n in zip(time, height, volts, amps, revs, strict=True)
    ]


if __name__ == "__main__":
    main()
