"""Drag of all that is no aerofoil: body, junctions, gaps, brakes. Drag areas, force over dynamic pressure.

Skin friction of a flat plate, raised by the form of the body: D. P. Raymer, Aircraft Design: A Conceptual
Approach, section 12.5 (component build-up), and S. F. Hoerner, Fluid-Dynamic Drag (1965), chapters 2, 3, 5, 6
and 8. Coefficients: ``data/coefficients/airframe_drag.toml``.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from glidewright.data import coefficients

Array = NDArray[np.float64]
_LEAST_REYNOLDS = 1e3


@dataclass(frozen=True)
class Junction:
    """A corner where a surface meets a body or another surface: thickness and chord there, and how many."""

    thickness_m: float
    chord_m: float
    corners: int


@dataclass(frozen=True)
class Rest:
    """What the build-up counts.

    wetted_area_m2, length_m, fineness: of pod with boom, fineness = length over equivalent diameter of the
    pod; angular: pod with flat sides; junctions; hinged_area_m2: area of surfaces with a control along them;
    slit_area_m2: open slits at joins, width times chord; closed_brake_span_m: of all spoiler blades together.
    """

    wetted_area_m2: float = 0.0
    length_m: float = 1.0
    fineness: float = 10.0
    angular: bool = False
    junctions: tuple[Junction, ...] = ()
    hinged_area_m2: float = 0.0
    slit_area_m2: float = 0.0
    closed_brake_span_m: float = 0.0


def laminar_friction(reynolds: ArrayLike) -> Array:
    """Friction coefficient of a plate with laminar flow: 1.328 / sqrt(Re), Raymer equation 12.26; Blasius.

    >>> laminar_friction(83_300.0).round(4).item()
    0.0046
    """
    found: Array = 1.328 / np.sqrt(np.asarray(reynolds, dtype=np.float64))
    return found


def turbulent_friction(reynolds: ArrayLike) -> Array:
    """The same with turbulent flow from the front edge: 0.455 / (log10 Re)^2.58, Raymer equation 12.27.

    Prandtl and Schlichting; Reynolds number above 1000, without compressibility.

    >>> turbulent_friction(1e6).round(5).item()
    0.00447
    """
    found: Array = 0.455 / np.log10(np.asarray(reynolds, dtype=np.float64)) ** 2.58
    return found


def body_form_factor(fineness: float) -> float:
    """Drag of a streamline body over the friction of its surface: Hoerner equation 6-28.

    1 + 1.5 (d / l)^(3/2) + 7 (d / l)^3, fineness = l / d above 2.

    >>> round(body_form_factor(5.0), 3)
    1.19
    """
    slender = 1.0 / fineness
    return float(1.0 + 1.5 * slender**1.5 + 7.0 * slender**3)


def friction(reynolds: ArrayLike, turbulent_share: float) -> Array:
    """Friction coefficient where a share of the surface has turbulent flow: Raymer, below equation 12.28.

    >>> bool(laminar_friction(5e5) < friction(5e5, 0.5) < turbulent_friction(5e5))
    True
    """
    re = np.maximum(np.asarray(reynolds, dtype=np.float64), _LEAST_REYNOLDS)
    return turbulent_share * turbulent_friction(re) + (1.0 - turbulent_share) * laminar_friction(re)


def body_drag_area_m2(rest: Rest, reynolds_per_m: ArrayLike) -> Array:
    """Drag area of pod and boom; reynolds_per_m: speed over kinematic viscosity, any shape.

    >>> tube = Rest(wetted_area_m2=0.1, length_m=1.0, fineness=20.0)
    >>> bool(0.0004 < body_drag_area_m2(tube, 5e5) < 0.0007)
    True
    """
    table = coefficients("airframe_drag")
    per_metre = np.asarray(reynolds_per_m, dtype=np.float64)
    rubbed = friction(per_metre * rest.length_m, table["turbulent_share"]["value"])
    raised = body_form_factor(rest.fineness) * (table["box_body"]["value"] if rest.angular else 1.0)
    found: Array = rest.wetted_area_m2 * raised * rubbed
    return found


def junction_drag_area_m2(junction: Junction) -> float:
    """Drag area that the corners add: t^2 (17 (t / c)^2 - 0.05) each, none below zero; Hoerner, page 8-10.

    >>> round(junction_drag_area_m2(Junction(0.02, 0.2, 1)), 9)  # 0.0004 (0.17 - 0.05)
    4.8e-05
    """
    table = coefficients("airframe_drag")
    thick = junction.thickness_m / junction.chord_m
    each = table["junction_slope"]["value"] * thick**2 - table["junction_offset"]["value"]
    return float(junction.corners * junction.thickness_m**2 * max(each, 0.0))


def gap_drag_area_m2(rest: Rest) -> float:
    """Drag area of hinge gaps and of the slits at plugged joins.

    >>> gap_drag_area_m2(Rest())
    0.0
    """
    table = coefficients("airframe_drag")
    hinges = table["hinge_gap"]["value"] * rest.hinged_area_m2
    return float(hinges + table["join_slit"]["value"] * rest.slit_area_m2)


def closed_brake_drag_area_m2(rest: Rest) -> float:
    """Drag area of the steps at closed spoiler blades.

    >>> round(closed_brake_drag_area_m2(Rest(closed_brake_span_m=0.6)), 9)  # 0.6 of 0.3 mm times 0.6 m
    0.000108
    """
    table = coefficients("airframe_drag")
    step = table["closed_brake_step"]["value"] * rest.closed_brake_span_m
    return float(table["closed_brake_drag"]["value"] * step)


def flap_drag_coefficient(chord_share: float, area_share: float, deflection_rad: ArrayLike) -> Array:
    """Profile drag that plain flaps add, on the reference area: Young, R&M 2622.

    1.7 (c_f / c)^1.38 (S_f / S) sin^2 of the deflection; chord_share: above 0, below 1; area_share: of the
    surface along the flaps.

    >>> flap_drag_coefficient(0.35, 0.11, np.radians([0.0, 10.0])).round(6).tolist()
    [0.0, 0.001324]
    """
    row = coefficients("airframe_drag")["flap_drag"]
    turned = np.sin(np.asarray(deflection_rad, dtype=np.float64)) ** 2
    found: Array = row["value"] * chord_share ** row["exponent"] * area_share * turned
    return found


def fixed_drag_area_m2(rest: Rest) -> float:
    """Drag area of what does not change with speed: junctions, gaps, closed brake.

    >>> fixed_drag_area_m2(Rest())
    0.0
    """
    corners = sum(junction_drag_area_m2(junction) for junction in rest.junctions)
    return corners + gap_drag_area_m2(rest) + closed_brake_drag_area_m2(rest)


def protuberance_drag_area_m2(rest: Rest, reynolds_per_m: ArrayLike, surfaces_m2: ArrayLike) -> Array:
    """Drag area of horns, push-rods, tape edges and air holes; shape of reynolds_per_m.

    surfaces_m2: drag area of wing and tail without that of their lift, of the same shape.

    >>> protuberance_drag_area_m2(Rest(), 4e5, 0.006).round(6).item()
    0.00045
    """
    share = coefficients("airframe_drag")["protuberances"]["value"]
    parasite = np.asarray(surfaces_m2, dtype=np.float64) + fixed_drag_area_m2(rest)
    found: Array = share * (parasite + body_drag_area_m2(rest, reynolds_per_m))
    return found


def rest_drag_area_m2(rest: Rest, reynolds_per_m: ArrayLike, surfaces_m2: ArrayLike = 0.0) -> Array:
    """Drag area of all of it, protuberances included; as ``protuberance_drag_area_m2``.

    >>> rest_drag_area_m2(Rest(), [4e5, 6e5]).tolist()
    [0.0, 0.0]
    """
    body = body_drag_area_m2(rest, reynolds_per_m) + fixed_drag_area_m2(rest)
    found: Array = body + protuberance_drag_area_m2(rest, reynolds_per_m, surfaces_m2)
    return found


def brake_drag_area_m2(span_m: float, height_m: ArrayLike, plate: ArrayLike | None = None) -> Array:
    """Drag area of brake plates that stand up from a wing: coefficient x span x standing height.

    span_m: of all plates together; plate: coefficient, that of Hoerner, page 3-8, for the plate on a wall
    unless given.

    >>> brake_drag_area_m2(0.6, 0.025).round(5).item()  # 1.25 x 0.6 x 0.025
    0.01875
    """
    known = coefficients("airframe_drag")["brake_plate"]["value"] if plate is None else plate
    found: Array = np.asarray(known) * span_m * np.asarray(height_m, dtype=np.float64)
    return found
