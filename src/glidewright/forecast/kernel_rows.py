"""The rows that the compiled kernels read, from the draws of a set-up."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glidewright.data import coefficient
from glidewright.data.standard_air import ISA_LAPSE_K_m
from glidewright.forecast.aero_inputs import (
    Aero,
    aero_of,
    ceiling_is_computed,
    computed_rows,
    drag_is_computed,
)
from glidewright.forecast.air import air_of
from glidewright.forecast.day_inputs import typical
from glidewright.forecast.power_inputs import SUPPLY_VOLTAGE_V, PowerInputs, no_load_voltage_V
from glidewright.forecast.setup import Setup
from glidewright.models.aero.glide import drag_rise
from glidewright.models.air.atmosphere import GAS_CONSTANT_J_kg_K
from glidewright.models.air.indicated import scale_temperature_K
from glidewright.models.launch.layout import (
    LaunchInputs,
    launch_inputs,
    launch_matrix,
    polar_matrix,
    start_matrix,
)
from glidewright.models.power.controller import linear_supply_current_A, switching_supply_current_A
from glidewright.models.power.layout import cell_table, curve_table, power_matrix
from glidewright.models.power.pack import PACK_TEMPERATURE_K, cell_voltage_table, charge_factor_table

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Orders:
    """How the launch is to be flown and what stops the motor.

    motor_run_s, cut_height_m: limits in force (none: no such limit), the height as the altimeter reads it;
    run_by, height_by: who sets them, in words; speeds: centre of what the pilot holds.
    """

    climb_speed_m_s: float
    glide_speed_m_s: float
    motor_run_s: float
    run_by: str
    cut_height_m: float | None
    height_by: str
    window_s: float
    run_from_release: bool


NOMINAL_CELL_V: float = coefficient("pack", "nominal_voltage")
STEEPEST_DIVE_RAD: float = coefficient("launch", "steepest_dive")
LOWEST_POWERED_PATH_RAD: float = coefficient("launch", "lowest_powered_path")
LOWEST_RELEASE_M = 0.01  # a model released on the ground would have landed before it flies


def air(setup: Setup) -> tuple[Array, Array]:
    """Density and temperature of the air on the field, shape (count,)."""
    temperature = setup["field.temperature"]
    return air_of(setup.model.field).pressure_Pa / (GAS_CONSTANT_J_kg_K * temperature), temperature


def radio_current_A(setup: Setup, power: PowerInputs) -> Array:
    """Current that receiver and servos take from the pack, shape (count,)."""
    load = setup["radio.current"]
    controller = power.drive.controller
    if controller.servo_supply == "switching":
        volts = (controller.servo_supply_voltage_V or SUPPLY_VOLTAGE_V).value
        return switching_supply_current_A(
            load, volts, np.full(setup.count, NOMINAL_CELL_V * power.drive.pack.cells)
        )
    return linear_supply_current_A(load)


def power_rows(setup: Setup, power: PowerInputs) -> Array:
    """Power trains, shape (count, fields of the layout).

    A gear is carried as a lower Kv; the shift of open-circuit volts between makes as a share of the cells;
    the error of the zero-thrust advance ratio stretches the grid of the propeller curve.
    """
    drive, curve = power.drive, power.curve
    gear = drive.motor.gear_ratio.value if drive.motor.gear_ratio else 1.0
    kv = setup["motor.kv"]
    resistance, idle = setup["motor.resistance"], setup["motor.no_load_current"]
    volts = no_load_voltage_V(drive.motor)
    cells = drive.pack.cells
    return power_matrix(
        motor_kv_rad_per_Vs=kv / gear,
        motor_resistance_ohm=resistance,
        motor_copper_coefficient_per_K=coefficient("motor", "copper_rise"),
        motor_no_load_current_A=idle,
        motor_no_load_speed_rad_s=kv * np.maximum(volts - resistance * idle, 0.5 * volts) / gear,
        motor_no_load_linear_share=np.clip(setup["motor.loss_slope"], 0.0, 1.0),
        motor_heat_capacity_J_K=setup["motor.heat_capacity"],
        motor_conductance_W_K=setup["motor.cooling"],
        controller_resistance_ohm=setup["controller.resistance"] + setup["motor.apparent_resistance"],
        controller_part_load_factor=np.maximum(setup["controller.part_load"], 0.0),
        controller_soft_start_s=setup["controller.soft_start"],
        controller_low_voltage_cut_V=setup["controller.low_voltage_cut"] * cells,
        servo_current_A=radio_current_A(setup, power),
        pack_cells_in_series=cells * (1.0 + setup["pack.open_voltage"] / NOMINAL_CELL_V),
        pack_capacity_As=setup["pack.capacity"],
        pack_resistance_ohm=setup["pack.resistance"],
        pack_temperature_coefficient_K=setup["pack.cold"],
        pack_reference_temperature_K=PACK_TEMPERATURE_K,
        pack_slow_resistance_ratio=setup["pack.slow_ratio"],
        pack_time_constant_s=setup["pack.relaxation"],
        pack_heat_capacity_J_K=setup["pack.heat_capacity"],
        pack_conductance_W_K=setup["pack.cooling"],
        lead_resistance_ohm=0.0,
        propeller_diameter_m=curve.diameter_m,
        propeller_advance_step=curve.advance_ratio_step * setup["propeller.zero_thrust"],
        propeller_reference_revs_per_s=curve.revs_ref_per_s,
        propeller_lowest_revs_per_s=curve.revs_low_per_s,
        propeller_highest_revs_per_s=curve.revs_high_per_s,
        propeller_thrust_factor=setup["propeller.thrust"],
        propeller_power_factor=setup["propeller.power"],
        propeller_installation_factor=setup["airframe.installation"],
    )


def tables(power: PowerInputs) -> tuple[Array, Array]:
    """Curve table of the propeller and cell table of the pack, as the kernels look them up."""
    curve = power.curve
    _, volts = cell_voltage_table()
    factor = charge_factor_table()
    return (
        curve_table(curve.thrust_base, curve.thrust_slope, curve.power_base, curve.power_slope)[None],
        cell_table(volts, factor)[None],
    )


def launch_rows(setup: Setup, power: PowerInputs, mass_kg: Array, orders: Orders) -> LaunchInputs:
    """Everything that a launch needs, one row a draw."""
    density, temperature = air(setup)
    area = setup["airframe.wing_area"]
    polar = polar_rows(setup)
    plan, field = setup.model.launch, setup.model.field
    curves, cells = tables(power)
    launch = launch_matrix(
        mass_kg=mass_kg,
        wing_area_m2=area,
        folded_drag_area_m2=setup["airframe.folded_drag_area"],
        throw_speed_m_s=setup["launch.throw_speed"],
        throw_height_m=max(plan.throw_height_m.value, LOWEST_RELEASE_M),
        climb_speed_m_s=orders.climb_speed_m_s * setup["launch.climb_speed"],
        glide_speed_m_s=orders.glide_speed_m_s * setup["launch.glide_speed"],
        speed_time_constant_s=setup["launch.speed_time"],
        path_time_constant_s=setup["launch.path_time"],
        steepest_climb_rad=plan.steepest_path_rad.value,
        lowest_powered_path_rad=LOWEST_POWERED_PATH_RAD,
        steepest_dive_rad=STEEPEST_DIVE_RAD,
        wind_speed_m_s=setup["field.headwind"],
        wind_reference_height_m=field.wind_height_m.value,
        wind_exponent=np.maximum(setup["field.wind_exponent"], 0.0),
        ground_density_kg_m3=density,
        ground_temperature_K=temperature,
        lapse_rate_K_m=ISA_LAPSE_K_m,
        run_limit_s=np.maximum(orders.motor_run_s + setup["launch.motor_run"], 0.1),
        run_from_release=float(orders.run_from_release),
        cut_height_m=true_cut_height_m(setup, orders.cut_height_m, temperature),
        window_s=orders.window_s,
        rest_s=plan.rest_s.value,
    )
    start = start_matrix(
        charge_As=setup["pack.capacity"] * (1.0 - plan.charge_at_start.value),
        motor_temperature_K=temperature,
        pack_temperature_K=temperature,
    )
    return launch_inputs(power_rows(setup, power), curves, cells, polar, launch, start)


def polar_rows(setup: Setup) -> Array:
    """Polars, shape (count, numbers of a polar): computed from the shape as far as nothing else is stated."""
    airframe, day = setup.model.airframe, setup.model.field
    aspect_ratio = setup["airframe.span"] ** 2 / setup["airframe.wing_area"]
    by_drag, by_ceiling = drag_is_computed(airframe, day), ceiling_is_computed(airframe, day)
    zeros = np.zeros(setup.count)
    stated = polar_matrix(
        least_drag_coefficient=zeros if by_drag else setup["airframe.drag_zero"],
        drag_rise=zeros if by_drag else drag_rise(aspect_ratio, setup["airframe.span_efficiency"]),
        least_drag_lift_coefficient=zeros if by_drag else setup["airframe.lift_least_drag"],
        highest_lift_coefficient=zeros if by_ceiling else setup["airframe.lift_ceiling"],
        lowest_lift_coefficient=typical("lift_floor").value,
    )
    aero = aero_of(airframe, day)
    if not isinstance(aero, Aero) or not (by_drag or by_ceiling):
        return stated
    return computed_rows(aero, setup.values, stated, drag=by_drag, ceiling=by_ceiling)


def true_cut_height_m(setup: Setup, indicated_m: float | None, temperature_K: Array) -> Array:
    """True height at which a device that reads this height stops the motor, shape (count,)."""
    if indicated_m is None:
        return np.full(setup.count, np.inf)
    error = setup["altimeter.error"]
    return (indicated_m - error) * temperature_K / _scale_temperature_K(setup)


def read_height_m(setup: Setup, true_m: Array) -> Array:
    """What the altimeter reads at a true height over the field, its own error included, shape (count,)."""
    _, temperature = air(setup)
    return true_m * _scale_temperature_K(setup) / temperature + setup["altimeter.error"]


def _scale_temperature_K(setup: Setup) -> float:
    """Temperature at the ground at which the altimeter's scale would be right."""
    return scale_temperature_K(air_of(setup.model.field).pressure_Pa, "difference")
