"""Straight glide on a polar: speed of least sink and of best glide."""

import math
from collections.abc import Callable
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from glidewright.models.aero.polar import drag_coefficients, lift_ceilings, stalling_speed_m_s

Array = NDArray[np.float64]
_COARSE, _FINE = 48, 13
_LEAST_LIFT = 0.05
_PATH_ROUNDS = 8
STALL_SHARE = 0.9
"""Of the lift ceiling: nobody flies on at the last tenth of the lift before the stall (our judgement)."""


def glide_speeds(
    polar: Array,
    mass_kg: Array,
    wing_area_m2: Array,
    density_kg_m3: Array,
    gravity_m_s2: float,
    other_drag: ArrayLike = 0.0,
) -> tuple[Array, Array, Array, Array]:
    """Airspeed of least sink, that sink, airspeed of best glide, that glide ratio; each shape (n,), SI.

    polar: shape (n, numbers of a polar); the others (n,); other_drag: drag coefficient that the polar does
    not hold, such as that of folded blades. The lift coefficient is searched from 0.05 to 0.9 of the ceiling
    on 48 steps, and again around the best one.

    >>> from glidewright.models.aero.polar import with_tables
    >>> row = with_tables(np.array([[0.02, 0.04, 0.0, 1.4, -0.5, 0.0, 0.0, 0.0, 0.0]]))
    >>> one = np.ones(1)
    >>> v, sink, _, ratio = glide_speeds(row, 0.5 * one, 0.36 * one, 1.225 * one, 9.80665)
    >>> round(float(ratio[0]), 2)  # 1 / (2 sqrt(CD0 k)), closed form: 17.68
    17.68
    """
    loading = mass_kg * gravity_m_s2 / wing_area_m2
    stall = stalling_speed_m_s(polar, loading, density_kg_m3)
    top = STALL_SHARE * lift_ceilings(polar, stall[:, None])
    share = np.linspace(0.0, 1.0, _COARSE)
    lift = _LEAST_LIFT + share * (top - _LEAST_LIFT)
    rows = np.arange(polar.shape[0])
    _, sink, ratio = glide_at(polar, lift, loading, density_kg_m3, other_drag)
    found = []
    for best in (np.argmin(sink, axis=1), np.argmax(ratio, axis=1)):
        low = lift[rows, np.maximum(best - 1, 0), None]
        high = lift[rows, np.minimum(best + 1, _COARSE - 1), None]
        near = low + np.linspace(0.0, 1.0, _FINE) * (high - low)
        found.append(glide_at(polar, near, loading, density_kg_m3, other_drag))
    (slow_speed, slow_sink, _), (flat_speed, _, flat_ratio) = found
    slow, flat = np.argmin(slow_sink, axis=1), np.argmax(flat_ratio, axis=1)
    return slow_speed[rows, slow], slow_sink[rows, slow], flat_speed[rows, flat], flat_ratio[rows, flat]


def glide_at(
    polar: Array,
    lift_coefficient: Array,
    loading_N_m2: Array,
    density_kg_m3: Array,
    other_drag: ArrayLike = 0.0,
) -> tuple[Array, Array, Array]:
    """Airspeed, sink and glide ratio at lift coefficients above 0, each shape (n, any).

    Small glide angles: lift is weight, sink = V CD / CL (Anderson, Introduction to Flight, equations 6.85 and
    6.87). loading_N_m2: weight over wing area, (n,); other_drag: a number or (n,).

    >>> from glidewright.models.aero.polar import with_tables
    >>> row = with_tables(np.array([[0.02, 0.04, 0.0, 1.4, -0.5, 0.0, 0.0, 0.0, 0.0]]))
    >>> v, sink, ratio = glide_at(row, np.array([[0.5]]), np.array([15.3125]), np.array([1.225]))
    >>> v.round(3).item(), sink.round(3).item(), ratio.round(3).item()
    (7.071, 0.424, 16.667)
    """
    lift: Any = lift_coefficient
    speed = np.sqrt(2.0 * loading_N_m2[:, None] / (density_kg_m3[:, None] * lift))
    drag = drag_coefficients(polar, lift, speed) + np.reshape(np.asarray(other_drag), (-1, 1))
    return speed, speed * drag / lift, lift / drag


def path_down_rad(level_lift: Array, drag_of: Callable[[Array], Array]) -> Array:
    """Angle of a steady glide below the horizon at a held airspeed, shape of level_lift; steep ones too.

    level_lift: lift coefficient that carries the whole weight at this airspeed; drag_of: drag coefficient at
    a lift coefficient. Along the path lift is W cos, drag W sin (Anderson, Introduction to Flight, equations
    6.83 and 6.84), so that with a drag that does not know the lift sin = CD / level_lift.

    >>> float(np.degrees(path_down_rad(np.array([0.5]), lambda _: np.array([0.25]))[0]).round(6))
    30.0
    """
    path = np.zeros_like(level_lift)
    for _ in range(_PATH_ROUNDS):
        path = np.arcsin(np.clip(drag_of(level_lift * np.cos(path)) / level_lift, 0.0, 1.0))
    return path


def drag_rise(aspect_ratio: Array, span_efficiency: Array) -> Array:
    """Growth k of the drag coefficient with the square of lift: 1 / (pi A e); Anderson equation 5.62.

    >>> drag_rise(np.array([10.0]), np.array([0.8])).round(5).item()
    0.03979
    """
    rise: Array = 1.0 / (math.pi * aspect_ratio * span_efficiency)
    return rise
