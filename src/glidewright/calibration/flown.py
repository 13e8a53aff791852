"""What the models expect the log of a flight to read, for any scores of the inputs.

The motor run of the log is taken as it was flown: it is an order to the model, not a result. So a launch that
a limiter stopped and one that a timer stopped teach alike.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from glidewright.base.figure import Figure
from glidewright.domain.flight_reading import LaunchReading
from glidewright.domain.logbook import Flight
from glidewright.domain.model import Model
from glidewright.domain.parts import Motor
from glidewright.forecast.kernel_rows import Orders, air, launch_rows, polar_rows, read_height_m
from glidewright.forecast.power_inputs import PowerInputs
from glidewright.forecast.setup import Setup
from glidewright.forecast.spread import Z90, Input, from_field
from glidewright.models.aero.glide import glide_at
from glidewright.models.air.atmosphere import GRAVITY_m_s2
from glidewright.models.launch import layout as ll
from glidewright.models.launch.flights import launch_trace
from glidewright.models.power import layout as pl

from .craft import Craft, in_flight
from .pack_state import MOTOR, PACK, resting_voltage_V

Array = NDArray[np.float64]
Places = NDArray[np.int64]

_TRACE = list(ll.TRACE_FIELDS)
_LEAST_LIFT = 0.05
_LEAST_RUN_s = 0.5


@dataclass(frozen=True)
class Observable:
    """One number that a log can show; is_log: held against the model in the logarithm."""

    title: str
    shown: str
    is_log: bool
    meter: str = ""


OBSERVABLES: Mapping[str, Observable] = {
    "height_at_stop_m": Observable("Height at motor stop", "m", False),
    "zoom_m": Observable("Zoom", "m", False),
    "mean_current_A": Observable("Mean current", "A", True, "ammeter"),
    "mean_voltage_V": Observable("Mean volts", "V", True, "voltmeter"),
    "lowest_voltage_V": Observable("Lowest volts", "V", True, "voltmeter"),
    "resting_voltage_V": Observable("Resting volts", "V", True, "voltmeter"),
    "motor_revs_per_s": Observable("Mean motor speed", "rpm", True, "tachometer"),
    "climb_airspeed_m_s": Observable("Mean airspeed in the climb", "m/s", True, "airspeed_meter"),
    "sink_m_s": Observable("Sink in still-looking air, true", "m/s", False),
    "glide_airspeed_m_s": Observable("Airspeed of that glide", "m/s", True, "airspeed_meter"),
}
COLUMN = {name: place for place, name in enumerate(OBSERVABLES)}


@dataclass(frozen=True)
class Flown:
    """One launch of a log with the glide after it, or a glide alone, made ready for the models.

    inputs: where they differ from the craft's own, the weather of the flight; start: pack and motor before
    it, as ``START_FIELDS`` with both temperatures above that of the air; observed, read, sigma: places in
    ``OBSERVABLES``, what the log shows (its logarithm where the model is met in that) and the standard
    deviation.
    """

    flight: Flight
    launch: LaunchReading | None
    craft: int
    day: str
    key: str
    inputs: Mapping[str, Input]
    run_s: float
    start: Array
    observed: Places
    read: Array
    sigma: Array

    @property
    def title(self) -> str:
        """How sentences name it."""
        number = f", launch {self.launch.number}" if self.launch is not None else ""
        return f"{self.flight.name}{number}"


def weather_inputs(model: Model, flight: Flight) -> dict[str, Input]:
    """Inputs of the air of one flight: what was read then, else that of the field with a guess's spread."""
    field, weather = model.field, flight.weather
    found = {}
    for name, key, title in (
        ("field.temperature", "temperature_K", "air temperature"),
        ("field.headwind", "headwind_m_s", "head wind"),
    ):
        if getattr(weather, key) is not None:
            found[name] = from_field(weather, key, name, title)
        elif getattr(field, key) is not None:
            guess = getattr(field, key).model_copy(update={"grade": "guessed", "low": None, "high": None})
            found[name] = from_field(field.model_copy(update={key: guess}), key, name, title)
    return found


def expected(
    craft: Craft, flown: Sequence[Flown], which: Places, scores: Mapping[str, Array], mass_kg: Array
) -> Array:
    """What the logs of some launches would read, shape (rows, ``OBSERVABLES``).

    which: place in `flown` of every row; scores: of the inputs by name, shape (rows,), those left out are 0;
    mass_kg: (rows,). Columns that no launch of `flown` observes may be NaN.
    """
    count = which.size
    setup = _setup(craft, flown, which, scores)
    found = np.full((count, len(OBSERVABLES)), np.nan)
    if craft.orders is not None:
        _launch(setup, craft.power, craft.orders, flown, which, mass_kg, found)
    if craft.orders is not None and any(COLUMN["sink_m_s"] in one.observed for one in flown):
        _glide(setup, craft.orders, mass_kg, found)
    for name, place in COLUMN.items():
        if OBSERVABLES[name].is_log:
            found[:, place] = np.log(np.maximum(found[:, place], 1e-12))
    return found


def _setup(craft: Craft, flown: Sequence[Flown], which: Places, scores: Mapping[str, Array]) -> Setup:
    count = which.size
    zeros = np.zeros(count)
    values = {}
    for name, entry in craft.setup.inputs.items():
        if not in_flight(name):
            continue
        z = scores.get(name, zeros)
        values[name] = entry.draws(z)
    for name in {name for one in flown for name in one.inputs}:
        drawn = np.empty(count)
        z = scores.get(name, zeros)
        for place, one in enumerate(flown):
            rows = which == place
            drawn[rows] = one.inputs[name].draws(z[rows])
        values[name] = drawn
    return replace(craft.setup, count=count, values=values, scores={})


def _launch(
    setup: Setup,
    power: PowerInputs,
    orders: Orders,
    flown: Sequence[Flown],
    which: Places,
    mass_kg: Array,
    found: Array,
) -> None:
    run = np.array([one.run_s for one in flown])[which]
    inputs, trace, out = _fly(setup, power, orders, flown, which, mass_kg)
    found[:, COLUMN["height_at_stop_m"]] = read_height_m(setup, out[:, ll.HEIGHT_AT_CUT])
    gain = read_height_m(setup, out[:, ll.TOP_HEIGHT]) - found[:, COLUMN["height_at_stop_m"]]
    found[:, COLUMN["zoom_m"]] = gain
    found[:, COLUMN["mean_current_A"]] = out[:, ll.MEAN_PACK_CURRENT]
    found[:, COLUMN["lowest_voltage_V"]] = out[:, ll.LOWEST_PACK_VOLTAGE]
    under_power = trace[:, :, 0] <= run[:, None]
    share = under_power / np.maximum(under_power.sum(axis=1, keepdims=True), 1)
    for name, column in (
        ("mean_voltage_V", "pack_voltage_V"),
        ("motor_revs_per_s", "revs_per_s"),
        ("climb_airspeed_m_s", "airspeed_m_s"),
    ):
        samples = np.where(under_power, trace[:, :, _TRACE.index(column)], 0.0)
        found[:, COLUMN[name]] = np.sum(share * samples, axis=1)
    motor = setup.model.first(Motor)
    gear = motor.gear_ratio.value if motor is not None and motor.gear_ratio else 1.0
    found[:, COLUMN["motor_revs_per_s"]] *= gear
    found[:, COLUMN["resting_voltage_V"]] = resting_voltage_V(inputs.power, inputs.start)


def _fly(
    setup: Setup, power: PowerInputs, orders: Orders, flown: Sequence[Flown], which: Places, mass_kg: Array
) -> tuple[ll.LaunchInputs, Array, Array]:
    """Inputs, traces and outputs of the launches, each with the motor run of its log."""
    run = np.array([one.run_s for one in flown])[which]
    start = np.stack([one.start for one in flown])[which]
    _, temperature = air(setup)
    start[:, [MOTOR, PACK]] += temperature[:, None]
    inputs = launch_rows(setup, power, mass_kg, orders)
    inputs = inputs.with_launch(run_limit_s=np.maximum(run, _LEAST_RUN_s), cut_height_m=np.inf)
    rows = inputs.power.copy()
    rows[:, pl.CONTROLLER_LOW_VOLTAGE_CUT_V] = 0.0  # the motor ran as long as the log says
    inputs = inputs._replace(power=rows, start=start)
    trace, out = launch_trace(inputs, duration_s=float(run.max()))
    return inputs, trace, out


def rows_for(
    craft: Craft, one: Flown, scores: Mapping[str, Array], mass_kg: Array
) -> tuple[Setup, ll.LaunchInputs]:
    """Set-up and rows of a launch that is still to be flown: stopped by what stops the model's motor."""
    assert craft.orders is not None  # a craft that flies has orders
    which = np.zeros(mass_kg.size, dtype=np.int64)
    setup = _setup(craft, [one], which, scores)
    inputs = launch_rows(setup, craft.power, mass_kg, craft.orders)
    _, temperature = air(setup)
    start = np.repeat(one.start[None], mass_kg.size, axis=0)
    start[:, [MOTOR, PACK]] += temperature[:, None]
    return setup, inputs._replace(start=start)


def after_launch(
    craft: Craft, one: Flown, scores: Mapping[str, Array], mass_kg: Array
) -> tuple[ll.LaunchInputs, Array]:
    """The row of a launch and its state of pack and motor at the end, shape (1, 4)."""
    assert craft.orders is not None  # a craft that flies has orders
    which = np.zeros(1, dtype=np.int64)
    setup = _setup(craft, [one], which, scores)
    inputs, _, out = _fly(setup, craft.power, craft.orders, [one], which, mass_kg)
    return inputs, out[:, ll.END_CHARGE : ll.END_CHARGE + ll.START_SIZE]


def _glide(setup: Setup, orders: Orders, mass_kg: Array, found: Array) -> None:
    density, _ = air(setup)
    area = setup["airframe.wing_area"]
    speed = orders.glide_speed_m_s * setup["launch.glide_speed"]
    polar = polar_rows(setup)
    loading = mass_kg * GRAVITY_m_s2 / area
    lift = np.maximum(2.0 * loading / (density * speed**2), _LEAST_LIFT)
    folded = setup["airframe.folded_drag_area"] / area
    _, sink, _ = glide_at(polar, lift[:, None], loading, density, folded)
    found[:, COLUMN["sink_m_s"]] = sink[:, 0]
    found[:, COLUMN["glide_airspeed_m_s"]] = speed


def sigma_of(figure: Figure, *, is_log: bool) -> float:
    """Standard deviation that low and high of a figure stand for, in its unit; of its logarithm if asked for.

    Low and high are the 10 % and 90 % points of a normal law; both must be known.

    >>> height = Figure(
    ...     value=100.0, low=97.0, high=103.0, unit="m", shown="m", grade="measured", because="log"
    ... )
    >>> round(sigma_of(height, is_log=False), 3), round(sigma_of(height, is_log=True), 4)
    (2.341, 0.0234)
    """
    assert figure.value is not None and figure.low is not None and figure.high is not None
    if is_log:
        return math.log(max(figure.high, 1e-12) / max(figure.low, 1e-12)) / (2.0 * Z90)
    return (figure.high - figure.low) / (2.0 * Z90)
