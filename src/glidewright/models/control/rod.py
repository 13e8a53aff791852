"""The pushrod as a column: buckling, give and growth with temperature.

Strength of materials as in F. P. Beer and E. R. Johnston, Mechanics of Materials: give by equation 2.7,
growth with temperature by 2.21, Euler's column by 10.11, second moment of area of a circle from its
appendix (numbers of equations and appendix from memory).
"""

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


def second_moment_m4(diameter_m: ArrayLike, inner_m: ArrayLike = 0.0) -> Array:
    """Second moment of area of a round rod or tube: pi (d^4 - i^4) / 64.

    >>> round(float(second_moment_m4(0.002)) * 1e12, 4)
    0.7854
    """
    outer, inner = np.asarray(diameter_m, dtype=np.float64), np.asarray(inner_m, dtype=np.float64)
    found: Array = math.pi * (outer**4 - inner**4) / 64.0
    return found


def buckling_force_N(modulus_Pa: ArrayLike, second_m4: ArrayLike, free_m: ArrayLike) -> Array:
    """Push at which a rod that is hinged at both ends buckles: Euler, pi^2 E I / L^2.

    L. Euler (1744); F. P. Beer and E. R. Johnston, Mechanics of Materials, equation 10.11. free_m: length
    between guides, or of the whole rod where there is none, above 0.

    >>> round(float(buckling_force_N(13.0e9, 7.794e-6, 2.0)) / 1e3)  # kN
    250
    """
    found: Array = math.pi**2 * np.asarray(modulus_Pa) * np.asarray(second_m4) / np.asarray(free_m) ** 2
    return found


def stretch_m(
    force_N: ArrayLike,
    length_m: ArrayLike,
    modulus_Pa: ArrayLike,
    diameter_m: ArrayLike,
    inner_m: ArrayLike = 0.0,
) -> Array:
    """How much a rod grows or shrinks under a force along it: F L / (E A).

    >>> round(float(stretch_m(10.0, 0.8, 200e9, 0.002)) * 1e6, 1)
    12.7
    """
    area = 0.25 * math.pi * (np.asarray(diameter_m) ** 2 - np.asarray(inner_m) ** 2)
    found: Array = np.asarray(force_N) * np.asarray(length_m) / (np.asarray(modulus_Pa) * area)
    return found


def warmth_growth_m(length_m: ArrayLike, expansion_per_K: ArrayLike, warmer_K: ArrayLike) -> Array:
    """How much longer a rod grows when it gets warmer than the fuselage around it stays in length.

    >>> round(float(warmth_growth_m(0.8, 80e-6, 10.0)) * 1e3, 2)
    0.64
    """
    found: Array = np.asarray(length_m) * np.asarray(expansion_per_K) * np.asarray(warmer_K)
    return found
