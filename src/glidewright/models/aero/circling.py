"""Steady circles, thermals, and the speed to fly against the wind, on the polar of the straight glide.

In a steady turn at bank angle phi the lift is weight / cos(phi), so at a given lift coefficient speed grows
as cos(phi)^-1/2 and sink as cos(phi)^-3/2; radius = V^2 / (g tan phi) (F. Thomas, Fundamentals of Sailplane
Design, circling flight; Anderson, Introduction to Flight, equations 6.118 and 6.119, for the radius). No
circle that was measured is behind it, and the drag that the turn itself adds along a long wing is left out.
"""

from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from glidewright.models.aero.glide import STALL_SHARE, glide_at
from glidewright.models.aero.polar import lift_ceilings, stalling_speed_m_s

Array = NDArray[np.float64]
_LEAST_LIFT = 0.15


def usable_lift(polar: Array, loading_N_m2: Array, density_kg_m3: Array, count: int) -> Array:
    """Lift coefficients from 0.15 to 0.9 of the ceiling at the stall, shape (n, count), rising."""
    stall = stalling_speed_m_s(polar, loading_N_m2, density_kg_m3)
    top = STALL_SHARE * lift_ceilings(polar, stall[:, None])
    return _LEAST_LIFT + np.linspace(0.0, 1.0, count) * (top - _LEAST_LIFT)


def circling(
    polar: Array,
    lift_coefficient: Array,
    bank_rad: float,
    loading_N_m2: Array,
    density_kg_m3: Array,
    gravity_m_s2: float,
    other_drag: ArrayLike = 0.0,
) -> tuple[Array, Array, Array]:
    """Airspeed, sink and radius of steady circles, each (n, any); bank_rad: 0 to below pi / 2.

    polar: (n, numbers of a polar); lift_coefficient: (n, any); others (n,). No bank: an infinite radius.

    >>> from glidewright.models.aero.polar import with_tables
    >>> row = with_tables(np.array([[0.02, 0.04, 0.0, 1.4, -0.5, 0.0, 0.0, 0.0, 0.0]]))
    >>> at = row, np.array([[0.5]]), np.radians(40.0), np.array([15.3125]), np.array([1.225]), 9.80665
    >>> [round(float(one[0, 0]), 3) for one in circling(*at)]  # straight: 7.071 m/s, 0.424 m/s
    [8.079, 0.633, 7.932]
    """
    cos = np.cos(bank_rad)
    speed, sink, _ = glide_at(polar, lift_coefficient, loading_N_m2 / cos, density_kg_m3, other_drag)
    turn = gravity_m_s2 * np.tan(bank_rad)
    radius: Any = speed**2 / turn if turn > 0.0 else np.full_like(speed, np.inf)
    return speed, sink / cos, radius


def thermal_lift_m_s(radius_m: ArrayLike, core_radius_m: float, strength_m_s: float) -> Array:
    """Upward air at a distance from the middle: strength (1 - (r / R)^2), zero outside. Common practice.

    >>> thermal_lift_m_s([0.0, 7.5, 15.0, 30.0], 15.0, 2.0).tolist()
    [2.0, 1.5, 0.0, 0.0]
    """
    share = np.minimum(np.asarray(radius_m, dtype=np.float64) / core_radius_m, 1.0)
    found: Array = strength_m_s * (1.0 - share**2)
    return found


def best_in_rows(values: Array, *others: Array) -> tuple[Array, ...]:
    """The largest value of each row, and what the others are at its place; each (n,).

    >>> best_in_rows(np.array([[1.0, 3.0, 2.0]]), np.array([[7.0, 8.0, 9.0]]))
    (array([3.]), array([8.]))
    """
    place = np.argmax(values, axis=1)[:, None]
    return tuple(np.take_along_axis(one, place, axis=1)[:, 0] for one in (values, *others))


def speed_to_fly(airspeed_m_s: Array, sink_m_s: Array, headwind_m_s: float) -> tuple[Array, Array]:
    """Airspeed that goes farthest over the ground from a height, and its ground glide ratio; each (n,).

    airspeed_m_s, sink_m_s: (n, any), a polar at close steps. Farthest is the largest (V - wind) / sink: the
    tangent from the wind's place on the speed axis (F. Thomas, Fundamentals of Sailplane Design).

    >>> v = np.linspace(5.0, 12.0, 701)[None, :]
    >>> speed, ratio = speed_to_fly(v, 0.3 + 0.02 * (v - 6.0) ** 2, 0.0)
    >>> round(float(speed[0]), 2)  # the tangent from zero: sqrt(36 + 0.3 / 0.02)
    7.14
    """
    ratio, speed = best_in_rows((airspeed_m_s - headwind_m_s) / sink_m_s, airspeed_m_s)
    return speed, ratio
