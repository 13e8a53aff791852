"""The numbers of a power train in one row of an array, the order that the compiled kernels read.

One row is one draw. ``POWER_FIELDS`` names every column and says what it is; the constant of the same
name in capitals is its place. :func:`power_matrix` builds the rows from keyword arguments,
:func:`curve_table` and :func:`cell_table` turn tabulated curves into the form that the kernels look up.
"""

from collections.abc import Mapping, Sequence

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]

POWER_FIELDS: Mapping[str, str] = {
    "motor_kv_rad_per_Vs": "speed constant of the motor",
    "motor_resistance_ohm": "winding resistance at 20 degrees Celsius",
    "motor_copper_coefficient_per_K": "rise of the winding resistance per kelvin, from 20 degrees Celsius",
    "motor_no_load_current_A": "current without load at the reference speed",
    "motor_no_load_speed_rad_s": "reference speed of the no-load current",
    "motor_no_load_linear_share": "share of the no-load current that grows with speed, 0 to 1",
    "motor_heat_capacity_J_K": "heat to warm the motor by one kelvin",
    "motor_conductance_W_K": "heat flow from the motor to the air per kelvin",
    "controller_resistance_ohm": "on-resistance of the controller",
    "controller_part_load_factor": "part-load loss over d (1-d) pack volts x motor current",
    "controller_soft_start_s": "time of the linear rise to the full duty",
    "controller_low_voltage_cut_V": "the motor is cut when the volts at the controller fall to it",
    "servo_current_A": "mean current of servos and receiver, drawn from the pack",
    "pack_cells_in_series": "cells in series, with the shift of the open-circuit volts as a share of them",
    "pack_capacity_As": "charge of the full pack",
    "pack_resistance_ohm": "quick resistance of the whole pack at the reference temperature",
    "pack_temperature_coefficient_K": "k in exp(k (1/T - 1/T_ref)) of the resistance",
    "pack_reference_temperature_K": "T_ref of the resistance",
    "pack_slow_resistance_ratio": "slow resistance (of the RC pair) over the quick one",
    "pack_time_constant_s": "time constant of the RC pair",
    "pack_heat_capacity_J_K": "heat to warm the pack by one kelvin",
    "pack_conductance_W_K": "heat flow from the pack to the air per kelvin",
    "lead_resistance_ohm": "leads and plugs between pack and controller",
    "propeller_diameter_m": "diameter",
    "propeller_advance_step": "distance of the nodes of the curve in advance ratio",
    "propeller_reference_revs_per_s": "n_ref in base + slope ln(n / n_ref)",
    "propeller_lowest_revs_per_s": "n is taken as at least this in the coefficients",
    "propeller_highest_revs_per_s": "n is taken as at most this in the coefficients",
    "propeller_thrust_factor": "correction of the thrust coefficient",
    "propeller_power_factor": "correction of the power coefficient",
    "propeller_installation_factor": "thrust behind which the fuselage stands over free thrust",
    "propeller_curve": "which of the curve tables, counted from 0",
    "pack_table": "which of the cell tables, counted from 0",
}
POWER_DEFAULTS: Mapping[str, float] = {
    "propeller_thrust_factor": 1.0,
    "propeller_power_factor": 1.0,
    "propeller_installation_factor": 1.0,
    "propeller_curve": 0.0,
    "pack_table": 0.0,
}
(
    MOTOR_KV_RAD_PER_VS,
    MOTOR_RESISTANCE_OHM,
    MOTOR_COPPER_COEFFICIENT_PER_K,
    MOTOR_NO_LOAD_CURRENT_A,
    MOTOR_NO_LOAD_SPEED_RAD_S,
    MOTOR_NO_LOAD_LINEAR_SHARE,
    MOTOR_HEAT_CAPACITY_J_K,
    MOTOR_CONDUCTANCE_W_K,
    CONTROLLER_RESISTANCE_OHM,
    CONTROLLER_PART_LOAD_FACTOR,
    CONTROLLER_SOFT_START_S,
    CONTROLLER_LOW_VOLTAGE_CUT_V,
    SERVO_CURRENT_A,
    PACK_CELLS_IN_SERIES,
    PACK_CAPACITY_AS,
    PACK_RESISTANCE_OHM,
    PACK_TEMPERATURE_COEFFICIENT_K,
    PACK_REFERENCE_TEMPERATURE_K,
    PACK_SLOW_RESISTANCE_RATIO,
    PACK_TIME_CONSTANT_S,
    PACK_HEAT_CAPACITY_J_K,
    PACK_CONDUCTANCE_W_K,
    LEAD_RESISTANCE_OHM,
    PROPELLER_DIAMETER_M,
    PROPELLER_ADVANCE_STEP,
    PROPELLER_REFERENCE_REVS_PER_S,
    PROPELLER_LOWEST_REVS_PER_S,
    PROPELLER_HIGHEST_REVS_PER_S,
    PROPELLER_THRUST_FACTOR,
    PROPELLER_POWER_FACTOR,
    PROPELLER_INSTALLATION_FACTOR,
    PROPELLER_CURVE,
    PACK_TABLE,
) = range(33)

CONDITION_FIELDS: Mapping[str, str] = {
    "airspeed_m_s": "speed of the air along the propeller's axis",
    "density_kg_m3": "density of the air",
    "duty": "throttle as the controller applies it, 0 to 1",
    "charge_state": "charge left over the capacity, 0 to 1",
    "slow_voltage_V": "volts across the RC pair of the pack",
    "motor_temperature_K": "temperature of the winding",
    "pack_temperature_K": "temperature of the cells",
}
AIRSPEED_M_S, DENSITY_KG_M3, DUTY, CHARGE_STATE, SLOW_VOLTAGE_V, MOTOR_TEMPERATURE_K, PACK_TEMPERATURE_K = (
    range(7)
)

POINT_FIELDS: Mapping[str, str] = {
    "status": "0 found, 1 the motor cannot turn the propeller, 2 stalled, 3 motor off, 4 no answer",
    "revs_per_s": "revolutions of the propeller",
    "motor_current_A": "current through the winding",
    "pack_current_A": "current out of the pack, servos included",
    "pack_voltage_V": "volts at the terminals of the pack",
    "controller_voltage_V": "volts at the input of the controller",
    "motor_voltage_V": "volts at the motor, mean over the switching",
    "thrust_N": "thrust, installed",
    "torque_Nm": "torque of the shaft",
    "shaft_power_W": "power of the shaft",
    "propeller_efficiency": "thrust x airspeed over shaft power, 0 without shaft power",
    "advance_ratio": "airspeed over revolutions x diameter, 0 at standstill",
    "copper_loss_W": "heat in the winding",
    "no_load_loss_W": "iron, bearings and air in the motor",
    "controller_loss_W": "heat in the on-resistance of the controller",
    "part_load_loss_W": "switching at part load",
    "pack_loss_W": "quick resistance and RC pair, what the pair stores included",
    "lead_loss_W": "heat in the leads",
    "servo_power_W": "power of servos and receiver",
    "chemical_power_W": "open-circuit volts x pack current",
    "pack_heat_W": "heat inside the pack: quick resistance and the resistor of the RC pair",
    "slow_voltage_rate_V_s": "change of the volts across the RC pair",
}
(
    STATUS,
    REVS_PER_S,
    MOTOR_CURRENT_A,
    PACK_CURRENT_A,
    PACK_VOLTAGE_V,
    CONTROLLER_VOLTAGE_V,
    MOTOR_VOLTAGE_V,
    THRUST_N,
    TORQUE_NM,
    SHAFT_POWER_W,
    PROPELLER_EFFICIENCY,
    ADVANCE_RATIO,
    COPPER_LOSS_W,
    NO_LOAD_LOSS_W,
    CONTROLLER_LOSS_W,
    PART_LOAD_LOSS_W,
    PACK_LOSS_W,
    LEAD_LOSS_W,
    SERVO_POWER_W,
    CHEMICAL_POWER_W,
    PACK_HEAT_W,
    SLOW_VOLTAGE_RATE_V_S,
) = range(22)
POINT_SIZE = len(POINT_FIELDS)

STATUS_FOUND, STATUS_CANNOT_TURN, STATUS_STALLED, STATUS_OFF, STATUS_NO_ANSWER = range(5)
LEAST_DUTY = 1e-6
"""Below this share no controller switches at all: the motor is off."""
STALLED_SPEED_SHARE = 0.5
"""Below this share of its speed without load a linear motor gives less power the harder it is loaded."""


def matrix(
    fields: Mapping[str, str], defaults: Mapping[str, float], values: Mapping[str, npt.ArrayLike]
) -> Array:
    """Rows of an array in the order of `fields`, one row a draw, from one number or array a field.

    Raises ``ValueError`` when a field without default is missing, a name is unknown or lengths differ.

    >>> matrix({"a": "", "b": ""}, {"b": 2.0}, {"a": [1.0, 5.0]})
    array([[1., 2.], [5., 2.]])
    """
    unknown = sorted(set(values) - set(fields))
    missing = [name for name in fields if name not in values and name not in defaults]
    if unknown or missing:
        raise ValueError(f"the fields must be those of the layout; unknown: {unknown}, missing: {missing}")
    columns = [np.asarray(values.get(name, defaults.get(name)), dtype=np.float64) for name in fields]
    return np.ascontiguousarray(np.stack(np.broadcast_arrays(*map(np.atleast_1d, columns)), axis=-1))


def power_matrix(**values: npt.ArrayLike) -> Array:
    """Power trains, shape (draws, fields of ``POWER_FIELDS``), from a number or an array a field.

    Every field of ``POWER_FIELDS`` must be given except those of ``POWER_DEFAULTS``.

    >>> power_matrix(motor_kv_rad_per_Vs=100.0)
    Traceback (most recent call last):
    ...
    ValueError: the fields must be those of the layout; unknown: [], missing: ['motor_resistance_ohm', ...
    """
    return matrix(POWER_FIELDS, POWER_DEFAULTS, values)


_POSITIVE = [
    MOTOR_KV_RAD_PER_VS,
    MOTOR_RESISTANCE_OHM,
    MOTOR_NO_LOAD_SPEED_RAD_S,
    MOTOR_HEAT_CAPACITY_J_K,
    PACK_CELLS_IN_SERIES,
    PACK_CAPACITY_AS,
    PACK_REFERENCE_TEMPERATURE_K,
    PACK_TIME_CONSTANT_S,
    PACK_HEAT_CAPACITY_J_K,
    PROPELLER_DIAMETER_M,
    PROPELLER_ADVANCE_STEP,
    PROPELLER_REFERENCE_REVS_PER_S,
    PROPELLER_LOWEST_REVS_PER_S,
    PROPELLER_HIGHEST_REVS_PER_S,
]


def check_positive(block: Array, places: Sequence[int], fields: Mapping[str, str]) -> None:
    """Raise ``ValueError`` when a number in one of the columns is not above zero.

    >>> check_positive(np.array([[1.0, 0.0]]), [0, 1], {"mass_kg": "", "span_m": ""})
    Traceback (most recent call last):
    ...
    ValueError: span_m must be above zero in every draw, got 0.0
    """
    for place in places:
        least = float(np.min(block[:, place], initial=np.inf))
        if not least > 0.0:
            raise ValueError(f"{list(fields)[place]} must be above zero in every draw, got {least}")


def check_power(power: Array, curves: Array, tables: Array) -> None:
    """Raise ``ValueError`` when the kernels would divide by zero, miss a number or leave a table.

    >>> from glidewright.models.power.example import example_cells, example_curves, example_power
    >>> check_power(example_power(pack_table=1), example_curves(), example_cells())
    Traceback (most recent call last):
    ...
    ValueError: pack_table must be one of the 1 given, counted from 0
    """
    if not all(np.all(np.isfinite(block)) for block in (power, curves, tables)):
        raise ValueError("every number of power train, curves and tables must be finite")
    check_positive(power, _POSITIVE, POWER_FIELDS)
    for place, block in ((PROPELLER_CURVE, curves), (PACK_TABLE, tables)):
        if np.any((power[:, place] < 0.0) | (power[:, place] >= block.shape[0])):
            name = list(POWER_FIELDS)[place]
            raise ValueError(f"{name} must be one of the {block.shape[0]} given, counted from 0")


POWER_COLUMNS, THRUST_COLUMNS = 0, 8
"""Where the two coefficients begin in a row of a curve table."""


def curve_table(
    thrust_base: npt.ArrayLike,
    thrust_slope: npt.ArrayLike,
    power_base: npt.ArrayLike,
    power_slope: npt.ArrayLike,
) -> Array:
    """Look-up table of one propeller, shape (nodes, 16), from its coefficients at the nodes of advance ratio.

    Row i holds the cubic on the interval from node i to node i+1, in the share u of the interval: four
    coefficients each of power base, power slope, thrust base and thrust slope. The node slopes of the cubic
    Hermite form are central differences, one-sided at the ends. The last row carries on in a straight line.
    At least three nodes, else ``ValueError``. Stack the tables of several propellers with ``numpy.stack``.

    >>> line = [0.3, 0.2, 0.1]
    >>> curve_table(line, [0.0] * 3, line, [0.0] * 3)[0, :4].round(9)
    array([ 0.3, -0.1,  0. ,  0. ])
    """
    return np.ascontiguousarray(
        np.concatenate([_hermite(y) for y in (power_base, power_slope, thrust_base, thrust_slope)], axis=1)
    )


def _hermite(nodes: npt.ArrayLike) -> Array:
    y = np.asarray(nodes, dtype=np.float64)
    if y.ndim != 1 or y.size < 3 or not np.all(np.isfinite(y)):
        raise ValueError(f"a curve must be at least three finite numbers in one row, got shape {y.shape}")
    slope = np.gradient(y)
    rise = np.diff(y)
    table = np.zeros((y.size, 4))
    table[:, 0] = y
    table[:, 1] = slope
    table[:-1, 2] = 3.0 * rise - 2.0 * slope[:-1] - slope[1:]
    table[:-1, 3] = slope[:-1] + slope[1:] - 2.0 * rise
    return table


def cell_table(open_circuit_V: npt.ArrayLike, resistance_factor: npt.ArrayLike) -> Array:
    """Look-up table of one cell, shape (nodes, 4), from values on a uniform grid of charge state 0 to 1.

    Row i holds open-circuit volts and resistance factor at node i and their rise to node i+1: straight
    lines between the nodes. At least two nodes and equal lengths, else ``ValueError``.

    >>> cell_table([3.0, 4.0], [1.5, 1.0])[0]
    array([ 3. , 1. , 1.5, -0.5])
    """
    volts = np.asarray(open_circuit_V, dtype=np.float64)
    factor = np.asarray(resistance_factor, dtype=np.float64)
    if volts.ndim != 1 or volts.shape != factor.shape or volts.size < 2:
        raise ValueError(f"both curves must be rows of equal length, got {volts.shape} and {factor.shape}")
    rises = [np.append(np.diff(y), 0.0) for y in (volts, factor)]
    return np.ascontiguousarray(np.stack([volts, rises[0], factor, rises[1]], axis=1))
