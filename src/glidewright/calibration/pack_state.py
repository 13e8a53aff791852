"""Pack and motor between launches: resting volts, and what a rest of some length does.

The same closed forms as the compiled ``rest`` of ``models/launch/flights.py``, for one rest time a row; a
test holds the two against each other.
"""

import numpy as np
from numpy.typing import NDArray

from glidewright.models.power import layout as pl
from glidewright.models.power.pack import cell_voltage_table, charge_factor_table

Array = NDArray[np.float64]
CHARGE, SLOW, MOTOR, PACK = range(4)
"""Places in a row of ``START_FIELDS``."""


def quick_resistance_ohm(power: Array, start: Array) -> Array:
    """Quick resistance of the pack, shape (rows,), at the charge and temperature of the start rows.

    Charge and warmth as in methods/pack.md. Full and at its reference temperature it is the stated one:

    >>> from glidewright.models.launch.example import example_inputs
    >>> inputs = example_inputs()
    >>> start = inputs.start.copy()
    >>> start[:, CHARGE], start[:, PACK] = 0.0, inputs.power[:, pl.PACK_REFERENCE_TEMPERATURE_K]
    >>> shares = quick_resistance_ohm(inputs.power, start) / inputs.power[:, pl.PACK_RESISTANCE_OHM]
    >>> shares.round(6).tolist()
    [1.0]
    """
    nodes, _ = cell_voltage_table()
    left = np.clip(1.0 - start[:, CHARGE] / power[:, pl.PACK_CAPACITY_AS], 0.0, 1.0)
    rise, reference = power[:, pl.PACK_TEMPERATURE_COEFFICIENT_K], power[:, pl.PACK_REFERENCE_TEMPERATURE_K]
    warmth = np.exp(rise * (1.0 / start[:, PACK] - 1.0 / reference))
    found: Array = power[:, pl.PACK_RESISTANCE_OHM] * np.interp(left, nodes, charge_factor_table()) * warmth
    return found


def resting_voltage_V(power: Array, start: Array) -> Array:
    """Volts of the rested pack, shape (rows,), under the current of the radio alone.

    Half full and without that current a cell shows 3.79 V (0.1C discharge of a published cell, pack.toml):

    >>> from glidewright.models.launch.example import example_inputs
    >>> inputs = example_inputs()
    >>> inputs.power[:, pl.SERVO_CURRENT_A] = 0.0
    >>> inputs.start[:, CHARGE] = 0.5 * inputs.power[:, pl.PACK_CAPACITY_AS]
    >>> cells = inputs.power[:, pl.PACK_CELLS_IN_SERIES]
    >>> (resting_voltage_V(inputs.power, inputs.start) / cells).round(2).tolist()
    [3.79]
    """
    nodes, volts = cell_voltage_table()
    left = np.clip(1.0 - start[:, CHARGE] / power[:, pl.PACK_CAPACITY_AS], 0.0, 1.0)
    slow = 1.0 + power[:, pl.PACK_SLOW_RESISTANCE_RATIO]
    fall = power[:, pl.SERVO_CURRENT_A] * quick_resistance_ohm(power, start) * slow
    found: Array = power[:, pl.PACK_CELLS_IN_SERIES] * np.interp(left, nodes, volts) - fall
    return found


def rested(power: Array, ends: Array, air_temperature_K: Array, rest_s: Array) -> Array:
    """States before the next launch, shape (rows, 4), from those at the end of the last one.

    Servos and receiver go on drawing their current; the RC pair and both temperatures come to their ends
    exponentially. States: charge taken in A s, volts of the slow pair, temperatures of motor and pack in K;
    air_temperature_K, rest_s: (rows,). Long rested, both are as warm as the air:

    >>> from glidewright.models.launch.example import example_inputs
    >>> inputs = example_inputs()
    >>> warm = inputs.start + [0.0, 0.0, 40.0, 15.0]
    >>> later = rested(inputs.power, warm, np.array([290.0]), np.array([1e5]))
    >>> later[:, [MOTOR, PACK]].round(3).tolist()
    [[290.0, 290.0]]
    """
    settled = power[:, pl.SERVO_CURRENT_A] * quick_resistance_ohm(power, ends)
    settled = settled * power[:, pl.PACK_SLOW_RESISTANCE_RATIO]
    found = ends.copy()
    found[:, CHARGE] += power[:, pl.SERVO_CURRENT_A] * rest_s
    fade = np.exp(-rest_s / power[:, pl.PACK_TIME_CONSTANT_S])
    found[:, SLOW] = settled + (ends[:, SLOW] - settled) * fade
    for place, conductance, capacity in (
        (MOTOR, pl.MOTOR_CONDUCTANCE_W_K, pl.MOTOR_HEAT_CAPACITY_J_K),
        (PACK, pl.PACK_CONDUCTANCE_W_K, pl.PACK_HEAT_CAPACITY_J_K),
    ):
        fade = np.exp(-rest_s * power[:, conductance] / power[:, capacity])
        found[:, place] = air_temperature_K + (ends[:, place] - air_temperature_K) * fade
    return found
