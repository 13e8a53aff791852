"""Speed controller: on-resistance, part-load loss, and the supply of receiver and servos.

The controller is a step-down converter: at duty d (0 to 1) the motor sees ``d V_pack - R I`` and the pack
gives ``d I`` plus what switching costs plus the servo supply. Averaged converter relations as in
R. W. Erickson and D. Maksimovic, "Fundamentals of Power Electronics", 2nd edition 2001, chapters 2 and 3.
All functions take numbers or numpy arrays.
"""

from glidewright.data import coefficients
from glidewright.models.air.atmosphere import N

_TABLE = coefficients("controller")
PART_LOAD_FACTOR: float = _TABLE["part_load_factor"]["value"]
SWITCHING_SUPPLY_EFFICIENCY: float = _TABLE["switching_supply_efficiency"]["value"]


def terminal_voltage_V(duty: N, pack_voltage_V: N, motor_current_A: N, resistance_ohm: float) -> N:
    """Voltage in V at the motor terminals; ``resistance_ohm`` is the controller's with leads.

    >>> terminal_voltage_V(0.5, 8.0, 10.0, 0.01)
    3.9
    """
    return duty * pack_voltage_V - resistance_ohm * motor_current_A


def part_load_loss_W(duty: N, pack_voltage_V: N, motor_current_A: N, factor: float = PART_LOAD_FACTOR) -> N:
    """Loss in W that switching adds below full throttle: ``k d (1 - d) V_pack I``, zero at full and at stop.

    The factor has no dimension; its evidence is in the coefficient table.

    >>> part_load_loss_W(0.5, 8.0, 10.0, 0.1)
    2.0
    """
    return factor * duty * (1.0 - duty) * pack_voltage_V * motor_current_A


def pack_current_A(
    duty: N, motor_current_A: N, supply_current_A: float, factor: float = PART_LOAD_FACTOR
) -> N:
    """Current in A from the pack: ``d I + k d (1 - d) I`` plus the servo supply's share in A.

    >>> pack_current_A(1.0, 20.0, 0.25, 0.1)
    20.25
    """
    return duty * motor_current_A * (1.0 + factor * (1.0 - duty)) + supply_current_A


def linear_supply_current_A(load_current_A: N) -> N:
    """Pack current in A of a linear servo supply: that of the load itself, the rest of the volts is heat.

    >>> linear_supply_current_A(0.3)
    0.3
    """
    return load_current_A


def switching_supply_current_A(
    load_current_A: N,
    supply_voltage_V: float,
    pack_voltage_V: N,
    efficiency: float = SWITCHING_SUPPLY_EFFICIENCY,
) -> N:
    """Pack current in A of a switching servo supply: load power over efficiency and pack voltage.

    >>> switching_supply_current_A(0.3, 5.0, 7.5, 0.8)
    0.25
    """
    return load_current_A * supply_voltage_V / (efficiency * pack_voltage_V)
