"""Readings of a made-up truth: scores are drawn, the models fly, instruments with errors read what they did.

Used by the study of coverage, the benchmark of calibration and the tests. Everything that the learning takes
for granted about habits, days, air and meters is drawn as it is stated there (``flying.toml``); the errors of
the air and of the readings are plain normal.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from glidewright.base.figure import Figure
from glidewright.calibration.flown import COLUMN, OBSERVABLES, Flown, expected
from glidewright.calibration.scores import Score
from glidewright.calibration.season import Season, local_scores, masses, meter_sigma, practice, season_of
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.flight_reading import LaunchReading
from glidewright.domain.logbook import Flight
from glidewright.domain.model import Model
from glidewright.forecast.spread import Z90

Array = NDArray[np.float64]

HEIGHT_SIGMA_m = 0.5
"""One standard deviation of a height in the reading, beside the altimeter's own error."""
SHARE_OF_NOISE = 0.2
"""Of a meter's lasting error: what a single reading misses beside it, as the learning takes it at least."""
RUN_s = 25.0
REST_s = 300.0
_SHOWN_OF = {"m": "m", "s": "s", "A": "A", "V": "V", "m/s": "m/s", "A s": "mAh", "1": ""}


@dataclass(frozen=True)
class Outing:
    """One log: its day, and the launches in it."""

    date: str
    launches: int = 1
    run_s: float = RUN_s


def figure(value: float, sigma: float, unit: str) -> Figure:
    """A measured figure with its spread."""
    low, high = value - Z90 * sigma, value + Z90 * sigma
    shown, because = _SHOWN_OF[unit], "made up"
    return Figure(value=value, low=low, high=high, unit=unit, shown=shown, grade="measured", because=because)


def blank_launch(number: int, run_s: float) -> LaunchReading:
    """A launch of which only the times are known."""
    start = 20.0 + (number - 1) * (run_s + REST_s)
    none, climb = (Figure.unknown(unit, unit, "made up") for unit in ("m", "m/s"))
    return LaunchReading(
        number=number,
        motor_sign="current",
        motor_start=figure(start, 0.1, "s"),
        motor_stop=figure(start + run_s, 0.1, "s"),
        motor_run=figure(run_s, 0.1, "s"),
        counted_height=none,
        highest_raw=none,
        height_at_start=figure(1.8, 0.3, "m"),
        height_at_stop=figure(100.0, HEIGHT_SIGMA_m, "m"),
        height_at_window_end=none,
        top_height=none,
        top=figure(start + run_s + 1.0, 0.3, "s"),
        zoom_gain=none,
        slipstream_step=none,
        mean_climb=climb,
        best_climb=climb,
    )


def blank_flight(number: int, outing: Outing) -> Flight:
    """A flight of which only day and times are known."""
    launches = tuple(blank_launch(k + 1, outing.run_s) for k in range(outing.launches))
    return Flight(
        source_sha256=f"{number:064x}",
        source_name=f"{outing.date}-{number}.csv",
        date=outing.date,
        start_utc=f"{outing.date}T10:{number % 60:02d}:00",
        invented=True,
        is_charged=True,
        scale=figure(1.0, 0.002, "1"),
        launches=launches,
    )


def draw_truth(season: Season, random: np.random.Generator) -> dict[Score, float]:
    """A value of every score that the launches of a season depend on."""
    meters = sorted({f"meter.{row.meter}" for row in OBSERVABLES.values() if row.meter})
    found: dict[Score, float] = {}
    for one in season.flown:
        scores = [score for parts in season.inputs_of(one).values() for score, _ in parts]
        scores += [Score(meter) for meter in meters] + list(season.masses_of(one).values())
        for score in scores:
            if score not in found:
                found[score] = float(random.standard_normal())
    return found


def fly(
    model: Model, rule: ClassLimits | None, outings: Sequence[Outing], random: np.random.Generator
) -> tuple[dict[Score, float], list[Flight]]:
    """A truth, and the flights that instruments read of it."""
    blanks = [blank_flight(number, outing) for number, outing in enumerate(outings, start=1)]
    blank = season_of(model, rule, blanks)
    truth = draw_truth(blank, random)
    season = replace(blank.at(truth), crafts=blank.crafts)
    launches: dict[str, list[LaunchReading]] = {}
    sinks: dict[str, Figure] = {}
    for one in season.flown:
        values = _shown(season, one, truth, random)
        assert one.launch is not None  # every outing has launches
        log = one.flight.source_sha256
        launches.setdefault(log, []).append(_reading(one.launch, values))
        sink = values["sink_m_s"] + practice("air_in_glide") * float(random.standard_normal())
        sinks[log] = figure(sink, 0.03, "m/s")
    flights = []
    for flight in blanks:
        log = flight.source_sha256
        update = {"launches": tuple(launches[log]), "still_sink": sinks[log]}
        flights.append(flight.model_copy(update=update))
    return truth, flights


def _shown(
    season: Season, one: Flown, truth: dict[Score, float], random: np.random.Generator
) -> dict[str, float]:
    """What the instruments show of one launch of the truth."""
    craft = season.crafts[one.craft]
    local = local_scores(season, one, truth)
    mass = craft.mass_kg(masses(season, one, truth), 1)
    every = replace(one, observed=np.arange(len(OBSERVABLES)))
    row = expected(craft, [every], np.zeros(1, dtype=np.int64), local, mass)[0]
    height = row[COLUMN["height_at_stop_m"]]
    errors = (practice("air_in_climb") * one.run_s, practice("climb_model") * height, HEIGHT_SIGMA_m)
    row[COLUMN["height_at_stop_m"]] += np.linalg.norm(errors) * random.standard_normal()
    row[COLUMN["zoom_m"]] += np.hypot(practice("zoom_model"), HEIGHT_SIGMA_m) * random.standard_normal()
    row[COLUMN["sink_m_s"]] *= 1.0 + practice("glide_model") * random.standard_normal()
    found = {}
    for (name, observable), value in zip(OBSERVABLES.items(), row.tolist(), strict=True):
        found[name] = value
        if observable.is_log:
            lasting = meter_sigma(observable.meter)
            error = lasting * truth[Score(f"meter.{observable.meter}")]
            noise = np.hypot(practice("drive_model"), SHARE_OF_NOISE * lasting)
            found[name] = float(np.exp(value + error + noise * random.standard_normal()))
    return found


_ELECTRIC = {
    "mean_current": ("mean_current_A", "A"),
    "mean_voltage": ("mean_voltage_V", "V"),
    "lowest_voltage": ("lowest_voltage_V", "V"),
    "resting_voltage": ("resting_voltage_V", "V"),
}


def _reading(launch: LaunchReading, values: dict[str, float]) -> LaunchReading:
    run = launch.motor_run.value or RUN_s
    stop, zoom = values["height_at_stop_m"], values["zoom_m"]
    top = figure(stop + zoom, HEIGHT_SIGMA_m, "m")
    update = {
        field: figure(values[name], values[name] * meter_sigma(OBSERVABLES[name].meter), unit)
        for field, (name, unit) in _ELECTRIC.items()
    }
    charge = values["mean_current_A"] * run
    update |= {
        "charge": figure(charge, charge * meter_sigma("ammeter"), "A s"),
        "height_at_stop": figure(stop, HEIGHT_SIGMA_m, "m"),
        "zoom_gain": figure(zoom, HEIGHT_SIGMA_m, "m"),
        "counted_height": top,
        "highest_raw": top,
        "top_height": top,
        "height_at_window_end": figure(stop - 3.0, HEIGHT_SIGMA_m, "m"),
        "mean_climb": figure((stop - 1.8) / run, HEIGHT_SIGMA_m / run, "m/s"),
        "best_climb": figure(1.1 * (stop - 1.8) / run, 0.1, "m/s"),
    }
    return launch.model_copy(update=update)
