"""Short manoeuvres of a flight test in closed form: the hand glide, a dive, and the way out of it."""

import math

import numpy as np
from numpy.typing import NDArray

from glidewright.models.air.atmosphere import GRAVITY_m_s2

Array = NDArray[np.float64]


def hand_glide(
    height_m: float, airspeed_m_s: Array, sink_m_s: Array, headwind_m_s: Array
) -> tuple[Array, Array]:
    """Distance over ground in m and time in s of a straight glide from hand height, each of any shape.

    Statics of the steady glide: time = height / sink, distance = (sqrt(V^2 - w^2) - wind) time. The cushion
    of air near the ground (less induced drag below half a span) is left out: the model goes somewhat further.
    height_m: 0 up; airspeed_m_s: along the path, above the sink; sink_m_s: above 0; headwind_m_s: tail wind
    negative. Raises ValueError where the sink is not between 0 and the airspeed.

    >>> far, time = hand_glide(1.8, np.array([6.0]), np.array([0.4]), np.array([0.0]))
    >>> far.round(1), time.round(1)
    (array([26.9]), array([4.5]))
    """
    if not np.all((sink_m_s > 0.0) & (sink_m_s < airspeed_m_s)):
        raise ValueError("sink_m_s must be above 0 and below airspeed_m_s")
    time_s = height_m / sink_m_s
    forward = np.sqrt(airspeed_m_s**2 - sink_m_s**2)
    return (forward - headwind_m_s) * time_s, time_s


def dive(airspeed_m_s: Array, path_rad: float, time_s: float) -> tuple[Array, Array]:
    """Airspeed in m/s at the end of a straight dive, and height in m that it takes; drag left out.

    ``V = V0 + g sin(path) t`` and ``h = sin(path) (V0 t + g sin(path) t^2 / 2)``: uniform acceleration along
    an inclined plane (any textbook of mechanics). Drag only lowers both, so they are upper bounds.
    path_rad: 0 to pi/2 below the horizon; time_s: 0 up.

    >>> speed, lost = dive(np.array([6.0]), math.radians(30.0), 2.0)
    >>> speed.round(1), lost.round(1)
    (array([15.8]), array([10.9]))
    """
    along = GRAVITY_m_s2 * math.sin(path_rad)
    return airspeed_m_s + along * time_s, math.sin(path_rad) * (
        airspeed_m_s * time_s + 0.5 * along * time_s**2
    )


def pull_out_height_m(airspeed_m_s: Array, path_rad: float, load_factor: Array) -> Array:
    """Height in m that the way from a dive to level flight takes, at a held airspeed and load factor.

    Across the path ``V dpath/dt = -g (n - cos path)``, down it ``dh/dt = V sin path``, so
    ``h = V^2/g ln((n - cos path) / (n - 1))`` (point-mass equations of motion, for example J. D. Anderson,
    Aircraft Performance and Design, 1999, chapter 4). path_rad: 0 to pi/2; load_factor: lift by weight,
    above 1. Raises ValueError for a load factor of 1 or less.

    >>> pull_out_height_m(np.array([10.0]), math.radians(30.0), np.array([2.0])).round(2)
    array([1.28])
    """
    if not np.all(load_factor > 1.0):
        raise ValueError("load_factor must be above 1")
    return airspeed_m_s**2 / GRAVITY_m_s2 * np.log((load_factor - math.cos(path_rad)) / (load_factor - 1.0))


def stall_height_m(stall_speed_m_s: Array, speed_share: float, path_rad: float) -> Array:
    """Height in m that a full stall takes at the most, from no speed at all to level flight again.

    The model falls until it has ``speed_share`` times its stalling speed again (all height into speed,
    ``V^2 / 2g``: conservation of energy), then comes out of a dive as ``pull_out_height_m`` has it, at the
    load factor that this speed carries, ``speed_share^2``: lift grows with the square of the airspeed.
    stall_speed_m_s: above 0, any shape; speed_share: above 1; path_rad: 0 to pi/2 below the horizon. Raises
    ValueError for a share of 1 or less.

    >>> stall_height_m(np.array([4.6]), 1.4, math.radians(60.0)).round(1)
    array([3.9])
    """
    if speed_share <= 1.0:
        raise ValueError("speed_share must be above 1")
    speed = speed_share * stall_speed_m_s
    load = np.full_like(speed, speed_share**2)
    return speed**2 / (2.0 * GRAVITY_m_s2) + pull_out_height_m(speed, path_rad, load)
