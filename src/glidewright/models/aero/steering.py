"""What rudder, or something built crooked, does to a model: roll and bank, and the body's part in yaw.

All from the linear lateral equations of ``modes`` (Etkin and Reid, Dynamics of Flight, equation 4.9,19):
small angles, controls moved at once, air at rest.
"""

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

from glidewright.models.aero.modes import Body, SideSlopes, lateral_matrix
from glidewright.models.aero.shape import Reference

Array = NDArray[np.float64]
_TAYLOR = 16


def forcing(side: float, roll: float, yaw: float, body: Body, reference: Reference) -> Array:
    """Growth of v, p, r, phi, shape (4,), from coefficients of side force, rolling and yawing moment.

    They stand in the equations as those of a sideslip of v = V do, so they go the same way.
    """
    as_slopes = SideSlopes(
        side_beta=side,
        roll_beta=roll,
        yaw_beta=yaw,
        roll_roll=0.0,
        yaw_roll=0.0,
        roll_yaw=0.0,
        yaw_yaw=0.0,
    )
    found: Array = body.speed_m_s * lateral_matrix(as_slopes, body, reference)[:, 0]
    return found


def response(matrix: Array, push: Array, time_s: float) -> Array:
    """State after a time, from rest, under a constant push: x' = A x + b; time_s above 0.

    The exponential of the matrix bordered by b, by Taylor series with scaling and squaring.

    >>> response(np.array([[-2.0]]), np.array([2.0]), 1.0).round(6)  # 1 - exp(-2)
    array([0.864665])
    """
    size = push.size
    bordered = np.zeros((size + 1, size + 1))
    bordered[:size, :size], bordered[:size, size] = matrix * time_s, push * time_s
    halvings = max(0, math.ceil(math.log2(max(float(np.abs(bordered).sum(axis=1).max()), 1e-12))) + 2)
    step = bordered / 2.0**halvings
    power = term = np.eye(size + 1)
    for order in range(1, _TAYLOR + 1):
        term = term @ step / order
        power = power + term
    for _ in range(halvings):
        power = power @ power
    return power[:size, size]


def steady_roll_rad_s(matrix: Array, push: Array) -> float:
    """Roll rate that a constant push settles at before the bank makes itself felt: v, p, r steady, phi zero.

    >>> matrix = np.diag([-1.0, -4.0, -1.0, 0.0])
    >>> steady_roll_rad_s(matrix, np.array([0.0, 2.0, 0.0, 0.0]))
    0.5
    """
    return float(np.linalg.solve(matrix[:3, :3], -push[:3])[1])


def body_yaw_volume_m3(station_m: Array, height_m: Array) -> float:
    """Yawing moment of a slender body for a radian of sideslip, over dynamic pressure, m3: it turns away.

    pi / 2 int h^2 dx: M. Munk, The Aerodynamic Forces on Airship Hulls, NACA report 184 (1924), twice the
    volume of a round body; the long-body limit. station_m rising, height_m full height, both (n,).

    >>> tube = np.array([0.0, 1.0]), np.array([0.1, 0.1])
    >>> round(body_yaw_volume_m3(*tube) / (2.0 * np.pi / 4.0 * 0.1**2), 9)
    1.0
    """
    return float(0.5 * math.pi * np.trapezoid(height_m**2, station_m))


def edge_travel_m(angle_rad: ArrayLike, chord_m: float) -> Array:
    """Way of a trailing edge, straight across its arc: 2 c sin(angle / 2), shape of angle_rad.

    chord_m: from hinge to edge.

    >>> edge_travel_m(math.radians(10.0), 0.040).round(5).item()
    0.00697
    """
    found: Array = 2.0 * chord_m * np.sin(0.5 * np.asarray(angle_rad, dtype=np.float64))
    return found
