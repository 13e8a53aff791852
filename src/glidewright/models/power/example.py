"""An invented power train, for the examples in the docs, for tests and benchmarks. It is nobody's product."""

import math

import numpy as np
import numpy.typing as npt

from glidewright.models.power.layout import Array, cell_table, curve_table, power_matrix

_VALUES = {
    "motor_kv_rad_per_Vs": 1020.0 * 2.0 * math.pi / 60.0,
    "motor_resistance_ohm": 0.080,
    "motor_copper_coefficient_per_K": 0.00393,
    "motor_no_load_current_A": 0.9,
    "motor_no_load_speed_rad_s": 800.0,
    "motor_no_load_linear_share": 0.5,
    "motor_heat_capacity_J_K": 25.0,
    "motor_conductance_W_K": 0.3,
    "controller_resistance_ohm": 0.012,
    "controller_part_load_factor": 0.05,
    "controller_soft_start_s": 0.7,
    "controller_low_voltage_cut_V": 6.0,
    "servo_current_A": 0.2,
    "pack_cells_in_series": 2.0,
    "pack_capacity_As": 1980.0,
    "pack_resistance_ohm": 0.045,
    "pack_temperature_coefficient_K": 1500.0,
    "pack_reference_temperature_K": 298.15,
    "pack_slow_resistance_ratio": 0.6,
    "pack_time_constant_s": 20.0,
    "pack_heat_capacity_J_K": 35.0,
    "pack_conductance_W_K": 0.15,
    "lead_resistance_ohm": 0.006,
    "propeller_diameter_m": 0.279,
    "propeller_advance_step": 0.05,
    "propeller_reference_revs_per_s": 100.0,
    "propeller_lowest_revs_per_s": 40.0,
    "propeller_highest_revs_per_s": 180.0,
}


def example_power(**changes: npt.ArrayLike) -> Array:
    """Power train of the example, shape (draws, ``POWER_FIELDS``), with some fields changed."""
    return power_matrix(**{**_VALUES, **changes})


def example_curves() -> Array:
    """Curve table of the example, shape (1, nodes, 16): C_P and C_T fall to zero near advance ratio 0.8."""
    ratio = np.arange(0.0, 1.21, _VALUES["propeller_advance_step"])
    power = 0.042 + 0.02 * ratio - 0.09 * ratio**2
    thrust = 0.10 - 0.06 * ratio - 0.12 * ratio**2
    level = np.ones_like(ratio)
    return curve_table(thrust, 0.005 * level, power, 0.002 * level)[None]


def example_cells() -> Array:
    """Cell table of the example, shape (1, 41, 4)."""
    charge = np.linspace(0.0, 1.0, 41)
    volts = 3.3 + 0.9 * charge - 0.3 * np.exp(-20.0 * charge)
    return cell_table(volts, 1.0 + 0.8 * np.exp(-8.0 * charge))[None]
