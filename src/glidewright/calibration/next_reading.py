"""Which reading would narrow the main figures most: what is expected of each, computed before it is taken.

A reading y of the draws, with its own error, leaves of the variance of a figure f the share
``1 - cov(f, y) cov(y, y)^-1 cov(y, f) / var(f)`` (the variance of the best linear estimate, A. Gelb, Applied
Optimal Estimation, 1974, section 4.2), whatever it will show. Everything is counted over the draws of a
forecast after all that taught already; what is new in every launch is never narrowed.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from glidewright.data import coefficients
from glidewright.forecast.draws import column
from glidewright.forecast.predict import Forecast, forecast
from glidewright.forecast.spread import Z90
from glidewright.models.launch import layout as ll

from .scores import shares
from .season import meter_sigma, practice

Array = NDArray[np.float64]
GLIDES = 10
LEAST_DRAWS = 64


@dataclass(frozen=True)
class Candidate:
    """A reading that could be taken: draws of what it would show, shape (draws, numbers), errors in them."""

    name: str
    title: str
    shown: Array


@dataclass(frozen=True)
class Worth:
    """What a reading is expected to leave of the width of each figure, 1 nothing gained; mean over them."""

    candidate: Candidate
    left: Mapping[str, float]

    @property
    def mean_left(self) -> float:
        """Mean over the figures."""
        return float(np.mean(list(self.left.values()))) if self.left else 1.0


def ranked(found: Forecast, figures: Sequence[str]) -> tuple[Worth, ...]:
    """Every reading that can be worked out, the best first; figures: names of results of the forecast."""
    targets = {name: draws for name in figures if (draws := found.prediction.draws(name)) is not None}
    usable = {
        name: draws
        for name, draws in targets.items()
        if draws.size >= LEAST_DRAWS and np.ptp(draws[np.isfinite(draws)], axis=0) > 0.0
    }
    worths = [
        Worth(one, {name: _left(draws, one.shown[: draws.size]) for name, draws in usable.items()})
        for one in candidates(found)
    ]
    return tuple(sorted(worths, key=lambda worth: (worth.mean_left, worth.candidate.name)))


def _left(figure: Array, shown: Array) -> float:
    """Share of the width of a figure that is left when a reading has been taken."""
    known = np.isfinite(figure) & np.all(np.isfinite(shown), axis=1)
    if np.count_nonzero(known) < LEAST_DRAWS:
        return 1.0
    f = figure[known] - np.mean(figure[known])
    y = shown[known] - np.mean(shown[known], axis=0)
    scale = y.std(axis=0)
    y = y[:, scale > 0.0] / scale[scale > 0.0]
    variance = float(np.mean(f**2))
    if y.shape[1] == 0 or variance <= 0.0:
        return 1.0
    tied = y.T @ f / f.size
    solved = np.linalg.lstsq(y.T @ y / f.size, tied, rcond=1e-9)[0]
    # a regression on draws finds some of its own noise: take it off
    explained = float(tied @ solved) / variance - y.shape[1] / f.size
    return float(np.sqrt(np.clip(1.0 - explained, 0.0, 1.0)))


def candidates(found: Forecast) -> list[Candidate]:
    """The readings that a flyer can take with what flyers have."""
    other = _another_day(found)
    made = [_bench(found), _bare(found), _weighing(found), _log(other), _airspeed(other), _glides(found)]
    made += [_input(found, *row) for row in _METERED]
    return [one for one in made if one is not None]


def _error(name: str, count: int) -> Array:
    """Standard-normal draws for the error of a reading, tied to nothing else."""
    return column(f"error:{name}", count)


def _with_errors(name: str, title: str, rows: Sequence[tuple[str, Array, float]]) -> Candidate | None:
    if any(not np.any(np.isfinite(draws)) for _, draws, _ in rows):
        return None
    shown = [draws + sigma * _error(f"{name}.{what}", draws.size) for what, draws, sigma in rows]
    return Candidate(name, title, np.stack(shown, axis=1))


def _logs(draws: Array) -> Array:
    with np.errstate(divide="ignore", invalid="ignore"):
        found: Array = np.where(draws > 0.0, np.log(np.maximum(draws, 1e-300)), np.nan)
    return found


def _bench(found: Forecast) -> Candidate | None:
    values = found.prediction.values
    if "static_pack_current_A" not in values:
        return None
    rows = [
        ("amps", _logs(values["static_pack_current_A"]), meter_sigma("ammeter")),
        ("speed", _logs(values["static_revs_per_s"]), meter_sigma("tachometer")),
        ("thrust", _logs(values["static_thrust_N"]), meter_sigma("thrust_scale")),
    ]
    title = "volts, amps, speed and thrust at full throttle on the bench, with the propeller that flies"
    return _with_errors("bench", title, rows)


def _bare(found: Forecast) -> Candidate | None:
    setup = found.setup
    if "motor.kv" not in setup.inputs:
        return None
    rows = [
        ("amps", _logs(setup["motor.no_load_current"]), meter_sigma("ammeter")),
        ("speed", _logs(setup["motor.kv"]), meter_sigma("tachometer")),
    ]
    return _with_errors("bare", "volts, amps and speed of the motor without propeller", rows)


def _weighing(found: Forecast) -> Candidate | None:
    mass = found.prediction.draws("mass_kg")
    if mass is None:
        return None
    sigma = float(np.log1p(coefficients("grades")["scale"]["measured"])) / Z90
    return _with_errors("weighing", "weigh the whole model, ready to fly", [("mass", _logs(mass), sigma)])


def _another_day(found: Forecast) -> Forecast:
    """The same draws of everything that lasts, with another day, another throw and another hand."""
    setup = found.setup
    scores = dict(setup.scores)
    for name, own in setup.scores.items():
        lasting = shares(name)[0]
        if lasting < 1.0:
            middle = float(np.mean(own))
            fresh = column(f"another:{name}", own.size)
            scores[name] = middle + lasting * (own - middle) + np.sqrt(1.0 - lasting**2) * fresh
    values = {name: entry.draws(scores[name]) for name, entry in setup.inputs.items()}
    other = replace(setup, scores=scores, values=values)
    return forecast(
        other,
        with_trace=False,
        with_many=False,
        with_causes=False,
        with_power_curves=False,
        with_glide=False,
        like=found.orders,
    )


def _log(other: Forecast) -> Candidate | None:
    """One more launch with height, volts and amps."""
    height, first = other.prediction.values.get("height_without_limiter_m"), other.first
    if height is None or first is None:
        return None
    run_s = float(np.median(other.prediction.values["motor_run_s"]))
    sigma = np.hypot(practice("air_in_climb") * run_s, practice("climb_model") * float(np.median(height)))
    noise = np.hypot(meter_sigma("ammeter"), practice("drive_model"))
    volts = np.hypot(meter_sigma("voltmeter"), practice("drive_model"))
    rows = [
        ("height", height, float(sigma)),
        ("amps", _logs(first[:, ll.MEAN_PACK_CURRENT]), float(noise)),
        ("volts", _logs(first[:, ll.LOWEST_PACK_VOLTAGE]), float(volts)),
    ]
    return _with_errors("log", "one more launch with a log of height, volts and amps", rows)


def _airspeed(other: Forecast) -> Candidate | None:
    if other.orders is None:
        return None
    speed = _logs(other.climb_speed_draws_m_s())
    sigma = meter_sigma("airspeed_meter")
    return _with_errors("airspeed", "log the airspeed in a climb", [("airspeed", speed, sigma)])


def _glides(found: Forecast) -> Candidate | None:
    sink = found.prediction.draws("sink_least_m_s")
    if sink is None:
        return None
    sigma = float(
        np.hypot(practice("air_in_glide") / np.sqrt(GLIDES), practice("glide_model") * np.median(sink))
    )
    title = f"{GLIDES} straight glides with a log, on calm evenings"
    return _with_errors("glides", title, [("sink", sink, sigma)])


# name, title, input, row of the grade table that gives the error of a measured value
_METERED = (
    ("pack_resistance", "resistance of the pack by a meter", "pack.resistance", "pack_resistance"),
    ("capacity", "charge that a charger puts back, with resting volts before", "pack.capacity", "charger"),
    ("area", "measure the chords of the wing", "airframe.wing_area", "area"),
    ("motor_resistance", "four-wire reading of the winding", "motor.resistance", "motor_resistance"),
)


def _input(found: Forecast, name: str, title: str, entry: str, row: str) -> Candidate | None:
    if entry not in found.setup.inputs or found.setup.inputs[entry].is_exact:
        return None
    half = float(coefficients("grades")[row]["measured"])
    return _with_errors(name, title, [(entry, _logs(found.setup[entry]), float(np.log1p(half)) / Z90)])
