"""Hinge moments of plain flaps, all-moving surfaces and brake blades.

Plain flaps after thin-aerofoil theory: H. Glauert, R&M 1095 (1927); the closed forms below are those of
T. Theodorsen, NACA report 496 (1935), equation 17 for steady flow, with his T functions. Coefficients are
made with the square of the flap's own chord: H = q c_f^2 (span) c_h; trailing edge down positive, so that a
flap that is blown back has a negative slope. Real flaps feel less: see ``data/coefficients/control.toml``.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


@dataclass(frozen=True)
class HingeSlopes:
    """Growth of the hinge-moment coefficient for a radian of angle of attack and of flap; plane flow."""

    alpha: float
    deflection: float


def flap_hinge_slopes(chord_fraction: float) -> HingeSlopes:
    """Slopes of a plain flap; chord_fraction: flap chord over whole chord, above 0 and below 1.

    c_h,alpha = -T12 / (2 E^2) and c_h,delta = -(T5 - T4 T10 + T12 T10) / (2 pi E^2) for a flap of share E;
    Theodorsen, NACA report 496, equation 17.

    >>> slopes = flap_hinge_slopes(0.25)
    >>> round(slopes.alpha, 4), round(slopes.deflection, 4)
    (-0.5653, -0.9436)
    """
    c = 1.0 - 2.0 * chord_fraction
    root, arc = math.sqrt(1.0 - c * c), math.acos(c)
    t4 = c * root - arc
    t5 = -(1.0 - c * c) - arc * arc + 2.0 * c * root * arc
    t10 = root + arc
    t12 = root * (2.0 + c) - arc * (2.0 * c + 1.0)
    share = 2.0 * chord_fraction**2
    return HingeSlopes(-t12 / share, -(t5 - t4 * t10 + t12 * t10) / (math.pi * share))


def strip_m3(root_chord_m: float, tip_chord_m: float, span_m: float) -> float:
    """Integral of the square of a tapered chord along a span: what a hinge moment grows with.

    span (c1^2 + c1 c2 + c2^2) / 3, all lengths above or at 0.

    >>> round(strip_m3(0.045, 0.045, 0.42), 8)
    0.0008505
    """
    square = root_chord_m**2 + root_chord_m * tip_chord_m + tip_chord_m**2
    return span_m * square / 3.0


def flap_moment_Nm(
    strip: ArrayLike,
    slopes: HingeSlopes,
    deflection_rad: ArrayLike,
    alpha_rad: ArrayLike,
    pressure_Pa: ArrayLike,
    factor: ArrayLike = 1.0,
) -> Array:
    """Moment about the hinge of a plain flap, trailing edge down positive; arguments broadcast.

    strip: from ``strip_m3``; alpha_rad: of the whole surface; pressure_Pa: dynamic; factor: real over theory.

    An elevator of 45 x 420 mm with c_h = -0.6 a radian, 20 degrees down at 12 m/s, is blown back with 0.16 kg
    cm (the trade's own arithmetic):

    >>> moment = flap_moment_Nm(0.0008505, HingeSlopes(0.0, -0.6), np.radians(20.0), 0.0, 0.6125 * 12.0**2)
    >>> round(float(moment) / 0.0980665, 2)
    -0.16
    """
    area = np.asarray(strip, dtype=np.float64)
    push = slopes.alpha * np.asarray(alpha_rad) + slopes.deflection * np.asarray(deflection_rad)
    found: Array = np.asarray(pressure_Pa) * area * np.asarray(factor) * push
    return found


def all_moving_moment_Nm(
    area_m2: ArrayLike,
    lift_slope: ArrayLike,
    pivot_off_m: ArrayLike,
    angle_rad: ArrayLike,
    pressure_Pa: ArrayLike,
) -> Array:
    """Moment about the pivot of a whole surface that turns: its lift at the quarter chord times the lever.

    area_m2: of both halves; pivot_off_m: pivot ahead of the quarter chord; angle_rad: to the flow.

    >>> round(float(all_moving_moment_Nm(0.04, 4.0, 0.005, 0.1, 100.0)), 6)
    -0.008
    """
    lift = np.asarray(pressure_Pa) * np.asarray(area_m2) * np.asarray(lift_slope) * np.asarray(angle_rad)
    found: Array = -lift * np.asarray(pivot_off_m)
    return found


def blade_moment_Nm(
    span_m: ArrayLike, chord_m: ArrayLike, normal_coefficient: ArrayLike, pressure_Pa: ArrayLike
) -> Array:
    """Moment about the front edge of an open brake blade, closing it: normal force at half its chord.

    span_m: of the blades that one servo moves.

    A pair of 25 x 300 mm with a normal-force coefficient of 1.2 at 12 m/s takes 0.2 kg cm (the trade's own
    arithmetic):

    >>> moment = blade_moment_Nm(0.6, 0.025, 1.2, 0.6125 * 12.0**2)
    >>> round(float(moment) / 0.0980665, 1)
    0.2
    """
    chord = np.asarray(chord_m, dtype=np.float64)
    force = np.asarray(pressure_Pa) * np.asarray(span_m) * chord * np.asarray(normal_coefficient)
    found: Array = 0.5 * force * chord
    return found
