"""Lithium polymer pack: open-circuit voltage, resistance, one slow RC pair, and its heat.

``V = OCV(soc) - I R0 - V1`` with ``dV1/dt = (I R1 - V1) / tau1``: the circuit of M. Chen and G. A.
Rincon-Mora, "Accurate electrical battery model capable of predicting runtime and I-V performance", IEEE
Transactions on Energy Conversion 21(2), 2006, doi 10.1109/TEC.2006.874229, with one of its two RC pairs.
State of charge runs from 0 to 1, temperature in K, current positive when the pack gives it. Voltages and
resistances are those of the whole pack; a pack of n in series and m in parallel has ``n/m`` cell
resistances. Numbers or numpy arrays; ``open_circuit_voltage_V`` interpolates, the rest is arithmetic.
"""

import math

import numpy as np
from numpy.typing import NDArray

from glidewright.data import coefficients
from glidewright.models.air.atmosphere import N

_TABLE = coefficients("pack")
PACK_TEMPERATURE_K: float = _TABLE["reference_temperature"]["value"]
EMPTY_RISE: float = _TABLE["empty_rise"]["value"]
EMPTY_RATE: float = _TABLE["empty_rate"]["value"]
TEMPERATURE_RISE_K: float = _TABLE["temperature_rise"]["value"]
SLOW_RATIO: float = _TABLE["slow_ratio"]["value"]
CELL_VOLTAGE_SIGMA_V: float = _TABLE["cell_voltage_sigma"]["value"]


def cell_voltage_table() -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Nodes of charge (0 to 1, evenly spaced) and the open-circuit voltage in V of one cell at each.

    >>> soc, volts = cell_voltage_table()
    >>> len(soc), float(soc[0]), float(soc[-1])
    (41, 0.0, 1.0)
    """
    volts = np.array(_TABLE["cell_voltage"]["value"], dtype=np.float64)
    return np.linspace(0.0, 1.0, len(volts)), volts


def charge_factor_table() -> NDArray[np.float64]:
    """Rise of the resistance towards empty at the nodes of ``cell_voltage_table``.

    >>> charge_factor_table().round(2)[[0, 4, 40]]
    array([3.1 , 1.18, 1.  ])
    """
    nodes, _ = cell_voltage_table()
    return charge_factor(nodes)


def open_circuit_voltage_V(soc: N, cells: int) -> N:
    """Open-circuit voltage in V of a pack with ``cells`` in series; charge outside 0 to 1 is held at the end.

    >>> round(float(open_circuit_voltage_V(0.5, 2)), 3)
    7.579
    """
    nodes, volts = cell_voltage_table()
    found: N = cells * np.interp(soc, nodes, volts)
    return found


def resting_charge(voltage_V: N, cells: int) -> N:
    """State of charge, 0 to 1, of a pack that rests at these volts: the open-circuit curve read backwards.

    >>> round(float(resting_charge(7.579, 2)), 3), float(resting_charge(9.0, 2))
    (0.5, 1.0)
    """
    nodes, volts = cell_voltage_table()
    found: N = np.interp(voltage_V / cells, volts, nodes)
    return found


def charge_factor(soc: N) -> N:
    """Rise of the resistance towards empty, 1 when full: ``1 + a exp(-b soc)``.

    The form and b of Chen and Rincon-Mora (2006), equation (3), divided by the value at full charge.

    >>> round(charge_factor(0.1), 3), round(charge_factor(0.5), 3)
    (1.183, 1.0)
    """
    factor: N = 1.0 + EMPTY_RISE * math.e ** (-EMPTY_RATE * soc)
    return factor


def temperature_factor(
    temperature_K: N, rise_K: float = TEMPERATURE_RISE_K, reference_K: float = PACK_TEMPERATURE_K
) -> N:
    """Resistance at a temperature over that at the reference, 295.15 K unless given; 263 to 333 K.

    ``exp(k (1/T - 1/T0))``, Arrhenius.

    >>> round(temperature_factor(295.15), 3)
    1.0
    """
    factor: N = math.e ** (rise_K * (1.0 / temperature_K - 1.0 / reference_K))
    return factor


def pack_voltage_V(open_circuit_V: N, current_A: N, resistance_ohm: N, slow_V: N) -> N:
    """Terminal voltage in V.

    >>> pack_voltage_V(8.0, 10.0, 0.04, 0.1)
    7.5
    """
    return open_circuit_V - current_A * resistance_ohm - slow_V


def pack_heat_W(current_A: N, resistance_ohm: N, slow_V: N, ratio: float = SLOW_RATIO) -> N:
    """Heat in W: ``I^2 R0 + V1^2 / R1``. The heat of reaction is left out (small above 1C).

    >>> round(pack_heat_W(10.0, 0.04, 0.2, 0.5), 3)
    6.0
    """
    return current_A * current_A * resistance_ohm + slow_V * slow_V / (ratio * resistance_ohm)
