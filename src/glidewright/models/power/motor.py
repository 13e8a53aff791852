"""Brushless motor with three constants: Kv, resistance and no-load current.

M. Drela, "First-Order DC Electric Motor Model", MIT Aero & Astro, February 2007, equations (1) to (7) with
the torque constant equal to the voltage constant; M. Drela, "Second-Order DC Electric Motor Model", MIT
Aero & Astro, March 2006, for the resistance that grows with temperature and the no-load current that grows
with speed. Equation numbers are quoted from memory of the two papers. All functions take numbers or numpy
arrays.
"""

from glidewright.data import coefficients
from glidewright.models.air.atmosphere import N

_TABLE = coefficients("motor")
COPPER_RISE_per_K: float = _TABLE["copper_rise"]["value"]
COPPER_TEMPERATURE_K: float = _TABLE["copper_reference"]["value"]
NO_LOAD_SPEED_SHARE: float = _TABLE["no_load_speed_share"]["value"]


def winding_resistance_ohm(
    resistance_20C_ohm: N, temperature_K: N, rise_per_K: float = COPPER_RISE_per_K
) -> N:
    """Resistance in ohm of a copper winding at a temperature, from its value at 20 °C; 230 to 450 K.

    IEC 60028:1925 gives 0.00393 per kelvin for annealed copper at 20 °C.

    >>> round(winding_resistance_ohm(0.100, 353.15), 4)
    0.1236
    """
    return resistance_20C_ohm * (1.0 + rise_per_K * (temperature_K - COPPER_TEMPERATURE_K))


def no_load_current_A(
    speed_rad_s: N, current_A: float, reference_speed_rad_s: float, speed_share: float = NO_LOAD_SPEED_SHARE
) -> N:
    """No-load current in A at a speed, from the one measured at a reference speed.

    The part ``speed_share`` (0 to 1) grows with speed (eddy currents, air), the rest does not (hysteresis,
    bearings): the linear form of Drela's second-order model, ``I0 = I00 + I01 w``. Not above about
    twice the reference speed.

    >>> no_load_current_A(500.0, 0.8, 1000.0, 0.5)
    0.6000000000000001
    """
    return current_A * (1.0 - speed_share + speed_share * speed_rad_s / reference_speed_rad_s)


def back_voltage_V(speed_rad_s: N, kv_rad_per_Vs: N) -> N:
    """Voltage in V that the turning motor sets against its supply; Drela first-order (2).

    >>> back_voltage_V(800.0, 100.0)
    8.0
    """
    return speed_rad_s / kv_rad_per_Vs


def current_for_torque_A(torque_Nm: N, no_load_A: N, kv_rad_per_Vs: N) -> N:
    """Current in A at a shaft torque in N m; Drela first-order (1) with ``KQ = Kv``, solved for the current.

    >>> current_for_torque_A(0.19, 1.0, 100.0)
    20.0
    """
    return torque_Nm * kv_rad_per_Vs + no_load_A


def shaft_power_W(current_A: N, no_load_A: N, speed_rad_s: N, kv_rad_per_Vs: N) -> N:
    """Shaft power in W; Drela first-order (6).

    >>> shaft_power_W(20.0, 1.0, 800.0, 100.0)
    152.0
    """
    return (current_A - no_load_A) * (speed_rad_s / kv_rad_per_Vs)
