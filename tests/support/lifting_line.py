"""Prandtl's lifting line of a straight wing by Fourier series, by numpy: a theory beside the lattice.

Glauert, The Elements of Aerofoil and Airscrew Theory, chapter 11: circulation 2 b V sum A_n sin n theta.
"""

import math
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
TERMS = 400


def load_terms(
    span_m: float,
    chord_m: Callable[[Array], Array],
    angle_rad: Callable[[Array], Array],
    section_slope: float = 2.0 * math.pi,
) -> Array:
    """A_1, A_3, A_5 ... of a load alike on both halves; chord and angle by distance from the middle."""
    order = 2.0 * np.arange(TERMS) + 1.0
    theta = 0.5 * math.pi * (np.arange(TERMS) + 0.5) / TERMS
    across = 0.5 * span_m * np.cos(theta)
    mu = section_slope * chord_m(across) / (4.0 * span_m)
    sines = np.sin(np.outer(theta, order))
    matrix = sines * (np.sin(theta)[:, None] + mu[:, None] * order)
    found: Array = np.linalg.solve(matrix, mu * angle_rad(across) * np.sin(theta))
    return found


def lift_of(terms: Array, aspect: float) -> float:
    """Lift coefficient, pi A A_1."""
    return float(math.pi * aspect * terms[0])


def induced_drag_of(terms: Array, aspect: float) -> float:
    """Induced drag coefficient, pi A sum n A_n^2."""
    order = 2.0 * np.arange(terms.size) + 1.0
    return float(math.pi * aspect * np.sum(order * terms**2))


def horseshoe_upwash(ahead_m: float, half_span_m: float) -> float:
    """Upwash on the centre line ahead of a horseshoe vortex, for a circulation of one, 1/m (Biot and Savart).

    Of the bound vortex, less the downwash of the two that trail from its ends.
    """
    away = math.hypot(ahead_m, half_span_m)
    bound, trailing = half_span_m / (ahead_m * away), (1.0 - ahead_m / away) / half_span_m
    return (bound - trailing) / (2.0 * math.pi)


def wash_on_wing(tail_lift: float, area_m2: float, ahead_m: float, half_span_m: float) -> float:
    """Upwash that the lift of a tail makes at the wing ahead, rad, as if all of it were in its middle.

    tail_lift: coefficient on the area; its circulation over the speed is lift S / (2 b).
    """
    return tail_lift * area_m2 / (4.0 * half_span_m) * horseshoe_upwash(ahead_m, half_span_m)


def demo_hole(height_m: float, lift_coefficient: float) -> tuple[float, float]:
    """Lift that open blades take from the wing of the demo, and induced drag more at the same lift.

    Two panels of 530 and 479 mm at 3 and 12 degrees of dihedral, chords 206, 194 and 124 mm, the tip washed
    out by 1 degree; blades from 80 to 380 mm, whose sections lose 4.5 heights over the chord; sections of 0.9
    of 2 pi; coefficients on 0.36 m2.
    """
    slope, area = 0.9 * 2.0 * math.pi, 0.36
    kink = 0.53 * math.cos(math.radians(3.0))
    half = kink + 0.479 * math.cos(math.radians(12.0))
    aspect = 4.0 * half**2 / area

    def chord(y: Array) -> Array:
        return np.interp(y, [0.0, kink, half], [0.206, 0.194, 0.124])

    def under(y: Array) -> Array:
        return np.where((y > 0.08) & (y < 0.38), -4.5 * height_m / chord(y) / slope, 0.0)

    def washout(y: Array) -> Array:
        return -math.radians(1.0) * np.clip((y - kink) / (half - kink), 0.0, 1.0)

    plain, hole, twist = (load_terms(2.0 * half, chord, one, slope) for one in (np.ones_like, under, washout))
    loss = -lift_of(hole, aspect)

    def turned(wanted: float) -> Array:
        """The plain load that brings the twisted wing to a lift."""
        return plain * (wanted - lift_of(twist, aspect)) / lift_of(plain, aspect) + twist

    before, after = turned(lift_coefficient), turned(lift_coefficient + loss) + hole
    return loss, induced_drag_of(after, aspect) - induced_drag_of(before, aspect)
