"""From a set-up through the models to a prediction: mass, power, launch, and launches of one charge."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glidewright.base.figure import Figure
from glidewright.base.units import unit
from glidewright.data import coefficient
from glidewright.forecast.aero_results import aero_results
from glidewright.forecast.causes import Causes
from glidewright.forecast.flights import ManyLaunches, first_launch, many_launches
from glidewright.forecast.items import (
    ItemDraws,
    item_draws,
    items_without_mass,
    items_without_station,
    stations_at_datum,
)
from glidewright.forecast.kernel_rows import Orders, air, launch_rows, power_rows, tables
from glidewright.forecast.orders import launch_orders
from glidewright.forecast.power_inputs import PowerInputs
from glidewright.forecast.prediction import Prediction, unexplained
from glidewright.forecast.setup import Setup
from glidewright.models.power import layout as pl
from glidewright.models.power.kernel import operating_points

Array = NDArray[np.float64]

SPEED_STEPS = 13
FULL_CELL_V: float = coefficient("pack", "full_voltage")
GUESSED_CLIMB_SPEED_M_S = 8.0


@dataclass(frozen=True)
class Forecast:
    """A prediction with the arrays behind its tables and charts.

    points: (count, 2 + speeds, point fields): at rest, in the climb, over `airspeeds_m_s`; trace: (count,
    times, trace fields); many: launches of one charge.
    """

    setup: Setup
    prediction: Prediction
    causes: Causes
    items: ItemDraws | None
    orders: Orders | None
    first: Array | None
    airspeeds_m_s: Array
    points: Array | None
    trace: Array | None
    many: ManyLaunches | None

    def figure(self, draws: Array, shown: str) -> Figure:
        """Draws as a figure, with what most of its spread comes from."""
        because, grade = self.causes.sentence(draws)
        return Figure.of_draws(draws, unit(shown).si, shown, grade, because)

    def climb_speed_draws_m_s(self) -> Array:
        """Airspeed that the pilot holds in the climb, shape (count,)."""
        centre = self.orders.climb_speed_m_s if self.orders else GUESSED_CLIMB_SPEED_M_S
        speed: Array = centre * self.setup["launch.climb_speed"]
        return speed


def forecast(
    setup: Setup,
    *,
    with_trace: bool = True,
    with_many: bool = True,
    with_causes: bool = True,
    with_power_curves: bool = True,
    with_glide: bool = True,
    climb_speed_m_s: float | None = None,
    like: Orders | None = None,
) -> Forecast:
    """Everything that can be computed for a set-up; what cannot is said in ``prediction.unknown``.

    with_trace, with_many, with_glide: the trace of the first launch, all launches of a charge, the glide;
    with_causes: explain spreads when asked; with_power_curves: operating points over a whole range of
    airspeeds, and not at its ends only, where the propeller turns fastest; climb_speed_m_s: hold this
    airspeed instead of looking for the best one (a stated speed still comes first); like: orders of a model
    with like parts (see launch_orders).
    """
    values: dict[str, Array] = {}
    unknown: dict[str, str] = {}
    _stated(setup, values, unknown)
    items = _mass(setup, values, unknown)
    if with_glide:
        results, unsaid = aero_results(setup, values.get("mass_kg"), values.get("cg_x_m"), unknown)
        values |= results
        unknown |= unsaid
    orders = points = trace = many = first = None
    airspeeds = np.zeros(0)
    power = setup.power
    if isinstance(power, str):
        unknown |= dict.fromkeys(POWER_RESULTS + LAUNCH_RESULTS, power)
    else:
        density, temperature = air(setup)
        centre = GUESSED_CLIMB_SPEED_M_S
        if items is not None:
            orders = launch_orders(setup, power, items.now.mass_kg, climb_speed_m_s, like)
            inputs = launch_rows(setup, power, items.now.mass_kg, orders)
            results, first, trace = first_launch(setup, inputs, orders, with_trace)
            values |= results
            if with_many:
                results, many = many_launches(setup, inputs)
                values |= results
            centre = orders.climb_speed_m_s
        else:
            unknown |= dict.fromkeys(LAUNCH_RESULTS, unknown["mass_kg"])
        airspeeds = np.linspace(0.0, 2.0 * centre, SPEED_STEPS if with_power_curves else 2)
        points = _points(
            setup, power, density, temperature, centre * setup["launch.climb_speed"], airspeeds, values
        )
    causes = Causes(setup.inputs, setup.scores)
    explain = causes.sentence if with_causes else unexplained
    prediction = Prediction(setup.model, setup.rule, setup.count, values, unknown, explain)
    return Forecast(setup, prediction, causes, items, orders, first, airspeeds, points, trace, many)


POWER_RESULTS = (
    "static_pack_current_A",
    "static_motor_current_A",
    "motor_power_W",
    "static_thrust_N",
    "static_revs_per_s",
    "pack_volts_highest_V",
    "propeller_revs_per_s",
    "servo_supply_load_A",
)
LAUNCH_RESULTS = (
    "motor_run_s",
    "height_counted_m",
    "height_true_m",
    "height_at_cut_m",
    "height_highest_m",
    "mean_climb_m_s",
    "best_climb_m_s",
    "cut_by_limiter",
    "motor_run_lost_s",
    "height_without_limiter_m",
    "energy_J",
    "launch_motor_current_A",
    "launch_pack_current_A",
    "motor_temperature_K",
    "motor_temperature_last_K",
    "pack_temperature_K",
    "lowest_cell_V",
    "launches",
)


def _stated(setup: Setup, values: dict[str, Array], unknown: dict[str, str]) -> None:
    model, ones = setup.model, np.ones(setup.count)
    values["span_m"] = setup["airframe.span"]
    values["wing_area_m2"] = setup["airframe.wing_area"]
    if model.airframe.controls:
        values["controls"] = len(model.airframe.controls) * ones
    else:
        unknown["controls"] = "the airframe lists no controls"
    if model.airframe.tail_area_m2 is not None:
        values["tail_area_m2"] = model.airframe.tail_area_m2.value * ones
    else:
        unknown["tail_area_m2"] = "the airframe does not state tail_area_dm2"
    if "airframe.spoiler_setback" in setup.values:
        values["spoiler_setback_m"] = setup["airframe.spoiler_setback"]
    else:
        why = "model.toml has no [spoiler] with setback_mm; measure it on the plan or the wing and add it"
        unknown["spoiler_setback_m"] = why
    pack = setup.power.drive.pack if isinstance(setup.power, PowerInputs) else None
    for name in ("cells", "capacity_As", "pack_full_voltage_V"):
        if pack is None:
            unknown[name] = "no complete power train is fitted"
    if pack is not None:
        values["cells"] = pack.cells * ones
        values["capacity_As"] = pack.capacity_As.value * ones
        values["pack_full_voltage_V"] = FULL_CELL_V * pack.cells * ones


def _mass(setup: Setup, values: dict[str, Array], unknown: dict[str, str]) -> ItemDraws | None:
    model = setup.model
    without_mass, without_place = items_without_mass(model), items_without_station(model)
    names = ("mass_kg", "wing_loading_kg_m2", "cg_x_m", "cg_y_m", "cg_z_m")
    if not model.items or without_mass:
        why = f"no mass is known of {', '.join(without_mass)}" if without_mass else "nothing is fitted"
        unknown |= dict.fromkeys(names, why)
        return None
    if without_place:
        # Stations do not touch the mass: it is still summed, the balance is not.
        unknown |= dict.fromkeys(names[2:], f"no station is known of {', '.join(without_place)}")
    at_datum = stations_at_datum(model)
    scores = setup.scores | dict.fromkeys(at_datum, np.zeros(setup.count))
    items = item_draws(model, setup.inputs | at_datum, scores, setup.values)
    values["mass_kg"] = items.now.mass_kg
    values["wing_loading_kg_m2"] = items.now.mass_kg / setup["airframe.wing_area"]
    if not without_place:
        for axis, name in enumerate(names[2:]):
            values[name] = items.now.centre_m[:, axis]
    return items


def _points(
    setup: Setup,
    power: PowerInputs,
    density: Array,
    temperature: Array,
    climb_speed: Array,
    airspeeds: Array,
    values: dict[str, Array],
) -> Array:
    """Operating points at rest, at the climb speed, and over airspeeds, from a full and rested pack."""
    speeds = np.column_stack([np.zeros(setup.count), climb_speed, np.tile(airspeeds, (setup.count, 1))])
    curves, cells = tables(power)
    charge = setup.model.launch.charge_at_start.value
    points = operating_points(
        power_rows(setup, power),
        curves,
        cells,
        airspeed_m_s=speeds,
        density_kg_m3=density[:, None],
        charge_state=charge,
        motor_temperature_K=temperature[:, None],
        pack_temperature_K=temperature[:, None],
    )
    rest = points[:, 0]
    values["static_pack_current_A"] = rest[:, pl.PACK_CURRENT_A]
    values["static_motor_current_A"] = rest[:, pl.MOTOR_CURRENT_A]
    values["static_thrust_N"] = rest[:, pl.THRUST_N]
    values["static_revs_per_s"] = rest[:, pl.REVS_PER_S]
    values["motor_power_W"] = rest[:, pl.MOTOR_VOLTAGE_V] * rest[:, pl.MOTOR_CURRENT_A]
    values["propeller_revs_per_s"] = points[:, 1:, pl.REVS_PER_S].max(axis=1)
    values["drive_status"] = rest[:, pl.STATUS]
    values["pack_volts_highest_V"] = values["pack_full_voltage_V"]
    values["servo_supply_load_A"] = setup["radio.current"]
    return points
