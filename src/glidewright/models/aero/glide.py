"""Straight glide on a quadratic polar: speed of least sink and of best glide."""

import math

import numpy as np
from numpy.typing import NDArray

from glidewright.models.aero.polar import (
    DRAG_RISE,
    HIGHEST_LIFT_COEFFICIENT,
    LEAST_DRAG_COEFFICIENT,
    LEAST_DRAG_LIFT_COEFFICIENT,
)

Array = NDArray[np.float64]
_GRID = 400
_STALL_SHARE = 0.9  # nobody flies on at the last tenth of the lift before the stall


def glide_speeds(
    polar: Array, mass_kg: Array, wing_area_m2: Array, density_kg_m3: Array, gravity_m_s2: float
) -> tuple[Array, Array, Array, Array]:
    """Airspeed of least sink, that sink, airspeed of best glide, that glide ratio; each shape (n,), SI.

    polar: shape (n, fields of the polar layout); the others (n,). Small glide angles: lift is weight,
    sink = V CD / CL (Anderson, Introduction to Flight, equations 6.85 and 6.87). The lift coefficient is
    searched from 0.05 to 0.9 of the ceiling on 400 steps.

    >>> row = np.array([[0.02, 0.04, 0.0, 1.4, -0.5]])
    >>> one = np.ones(1)
    >>> v, sink, _, ratio = glide_speeds(row, 0.5 * one, 0.36 * one, 1.225 * one, 9.80665)
    >>> round(float(ratio[0]), 2)  # 1 / (2 sqrt(CD0 k)), closed form: 17.68
    17.68
    """
    share = np.linspace(0.0, 1.0, _GRID)
    top = _STALL_SHARE * polar[:, HIGHEST_LIFT_COEFFICIENT, None]
    lift = 0.05 + share * (top - 0.05)
    from_least = lift - polar[:, LEAST_DRAG_LIFT_COEFFICIENT, None]
    drag = polar[:, LEAST_DRAG_COEFFICIENT, None] + polar[:, DRAG_RISE, None] * from_least**2
    loading = (mass_kg * gravity_m_s2 / wing_area_m2)[:, None]
    speed = np.sqrt(2.0 * loading / (density_kg_m3[:, None] * lift))
    sink = speed * drag / lift
    rows = np.arange(polar.shape[0])
    slow, flat = np.argmin(sink, axis=1), np.argmax(lift / drag, axis=1)
    return speed[rows, slow], sink[rows, slow], speed[rows, flat], (lift / drag)[rows, flat]


def drag_rise(aspect_ratio: Array, span_efficiency: Array) -> Array:
    """Growth k of the drag coefficient with the square of lift: 1 / (pi A e); Anderson equation 5.62.

    >>> drag_rise(np.array([10.0]), np.array([0.8])).round(5).item()
    0.03979
    """
    rise: Array = 1.0 / (math.pi * aspect_ratio * span_efficiency)
    return rise
