"""Servo: torque through the linkage, current from the supply, steps of spline and signal.

Torque by virtual work; current in proportion to torque, as a direct-current motor has it (M. Drela, First-
order DC electric motor model, MIT 2007, equation 1); steps are shares of a turn.
"""

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


def torque_at_servo_Nm(hinge_moment_Nm: ArrayLike, ratio: ArrayLike, friction: ArrayLike = 0.0) -> Array:
    """Torque that holds a hinge moment: the moment times the ratio of the linkage (virtual work).

    ratio: growth of the deflection with the servo angle; friction: share that hinges and guides add.

    >>> round(float(torque_at_servo_Nm(0.03, 0.5, 0.2)), 6)
    0.018
    """
    found: Array = np.abs(np.asarray(hinge_moment_Nm) * np.asarray(ratio)) * (1.0 + np.asarray(friction))
    return found


def stall_current_A(
    torque_Nm: ArrayLike, speed_s_per_rad: ArrayLike, voltage_V: ArrayLike, efficiency: ArrayLike
) -> Array:
    """Current of a blocked servo from its stall torque and unloaded speed.

    A direct-current motor has torque and back-voltage by one constant, so stall torque x unloaded speed =
    efficiency x volts x stall current (M. Drela, First-order DC electric motor model, MIT 2007, equations 1
    to 3, with the resistance alone). efficiency: of the gears, 0 to 1.

    >>> speed = 0.1 / (np.pi / 3.0)  # 0.10 s for 60 degrees
    >>> round(float(stall_current_A(0.11, speed, 5.0, 0.6)), 2)
    0.38
    """
    power = np.asarray(torque_Nm, dtype=np.float64) / np.asarray(speed_s_per_rad)
    found: Array = power / (np.asarray(voltage_V) * np.asarray(efficiency))
    return found


def holding_current_A(
    needed_Nm: ArrayLike, torque_Nm: ArrayLike, stall_A: ArrayLike, idle_A: ArrayLike
) -> Array:
    """Current of a servo that holds a torque: in proportion to it, never above its stall current.

    >>> round(float(holding_current_A(0.05, 0.10, 0.4, 0.006)), 3)
    0.206
    """
    share = np.minimum(np.asarray(needed_Nm, dtype=np.float64) / np.asarray(torque_Nm), 1.0)
    found: Array = np.asarray(idle_A) + share * np.asarray(stall_A)
    return found


def spline_step_rad(splines: int) -> float:
    """Servo angle from one tooth of the shaft to the next.

    >>> math.degrees(spline_step_rad(15))
    24.0
    """
    return 2.0 * math.pi / splines


def signal_step_rad(throw_rad: ArrayLike, steps: ArrayLike) -> Array:
    """Servo angle of one step of the transmitter; throw_rad: each way, steps: from end to end.

    >>> round(math.degrees(float(signal_step_rad(math.radians(40.0), 1024.0))), 4)
    0.0781
    """
    found: Array = 2.0 * np.asarray(throw_rad, dtype=np.float64) / np.asarray(steps)
    return found


def signal_band_rad(travel_rad: ArrayLike, pulse_s: ArrayLike, band_s: ArrayLike) -> Array:
    """Servo angle within which a change of the pulse moves nothing; travel_rad belongs to pulse_s.

    >>> round(math.degrees(float(signal_band_rad(math.radians(90.0), 1e-3, 4e-6))), 2)
    0.36
    """
    found: Array = np.asarray(travel_rad, dtype=np.float64) * np.asarray(band_s) / np.asarray(pulse_s)
    return found
