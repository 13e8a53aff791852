"""Lifting surfaces as plain numbers, the input of the vortex lattice.

Axes of everything here: x aft, y to the right, z up, metres, any origin that all surfaces share.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from glidewright.base.errors import InputError


@dataclass(frozen=True)
class Section:
    """One station of a surface: the place of its leading edge, its chord, and how the aerofoil lies there.

    incidence_rad: chord line against the x axis, nose towards the surface's upper side positive, twist
    included; zero_lift_rad: angle of zero lift of the aerofoil against that chord line, negative for positive
    camber; moment_c4: pitching-moment coefficient of the aerofoil about its quarter chord. Angles within
    +-0.35 rad.
    """

    x_m: float
    y_m: float
    z_m: float
    chord_m: float
    incidence_rad: float = 0.0
    zero_lift_rad: float = 0.0
    moment_c4: float = 0.0


@dataclass(frozen=True)
class Hinge:
    """A control along one part of a surface.

    control: name of the control; chord_fraction: moving chord behind the hinge over the chord, 0 < f <= 1,
    and 1 means that the whole chord turns about its quarter; gain: deflection here for one radian of the
    control, trailing edge to the lower side positive; mirrored_gain: the same on the mirrored half (-1 for a
    rudder mixed on a V-tail or for ailerons).
    """

    control: str
    chord_fraction: float
    gain: float = 1.0
    mirrored_gain: float = 1.0


@dataclass(frozen=True)
class Surface:
    """A wing, tail or fin: sections in order, with straight edges between them.

    A symmetric surface is given from root to right tip and is mirrored in y = 0. The upper side is the side
    of ``x axis cross (direction from the first to the last section)``: up for a right wing, left for a fin
    that is given from foot to top, so that a positive deflection of its rudder moves the trailing edge to the
    right.

    spanwise: boxes between neighbouring sections, one number each; chordwise: boxes along the chord; hinges:
    for each part between neighbouring sections the controls there, or nothing at all; even: strips of equal
    width, as in calculations by hand, in place of strips that grow narrower towards the tips.
    """

    name: str
    sections: tuple[Section, ...]
    spanwise: tuple[int, ...]
    symmetric: bool = True
    chordwise: int = 4
    hinges: tuple[tuple[Hinge, ...], ...] = ()
    even: bool = False

    def __post_init__(self) -> None:
        """Refuse what no lattice can be laid on."""
        parts = len(self.sections) - 1
        if parts < 1:
            raise InputError.at(self.name, f"a surface needs two sections or more, here {parts + 1}")
        if len(self.spanwise) != parts or min(self.spanwise) < 1 or self.chordwise < 1:
            raise InputError.at(self.name, f"state one or more boxes for each of its {parts} parts")
        if self.hinges and len(self.hinges) != parts:
            raise InputError.at(
                self.name, f"state the hinges of all its {parts} parts, empty where there is none"
            )
        for number, section in enumerate(self.sections, start=1):
            if not section.chord_m > 0.0:
                where = f"{self.name}, section {number}"
                raise InputError.at(where, f"the chord must be above zero, here {section.chord_m:g} m")
        for number, (inner, outer) in enumerate(zip(self.sections, self.sections[1:], strict=False), start=1):
            self._check_part(f"{self.name}, part {number}", inner, outer)
        for hinge in (hinge for part in self.hinges for hinge in part):
            if not 0.0 < hinge.chord_fraction <= 1.0:
                message = f"the moving chord must be above 0 and at most 1, here {hinge.chord_fraction:g}"
                raise InputError.at(f"{self.name}, {hinge.control}", message)

    def _check_part(self, where: str, inner: Section, outer: Section) -> None:
        if math.hypot(outer.y_m - inner.y_m, outer.z_m - inner.z_m) <= 0.0:
            raise InputError.at(
                where, "both sections stand at the same place along the span; move one outwards"
            )
        if self.symmetric and (inner.y_m < 0.0 or outer.y_m < inner.y_m):
            message = "a mirrored surface must run outwards from the middle, so that its halves do not cross"
            raise InputError.at(where, message)


@dataclass(frozen=True)
class Twist:
    """A turn of part of a surface, nose to the upper side: an incidence setting or a building fault.

    surface: its name; parts: which parts, counted from 0 at the first section, or all; side: ``both``,
    ``right`` (as given) or ``left`` (mirrored); at_inner and at_outer: shares of the angle at the first and
    last section of the chosen parts, linear along the span between.
    """

    name: str
    surface: str
    parts: tuple[int, ...] | None = None
    side: str = "both"
    at_inner: float = 1.0
    at_outer: float = 1.0


@dataclass(frozen=True)
class Reference:
    """What makes coefficients of forces: wing area, span for rolling and yawing, chord for pitching."""

    area_m2: float
    span_m: float
    chord_m: float


def area_m2(surface: Surface) -> float:
    """Area of a surface as given, in its own planes; without its mirror image."""
    total = 0.0
    for inner, outer in pairwise(surface.sections):
        across = math.hypot(outer.y_m - inner.y_m, outer.z_m - inner.z_m)
        total += 0.5 * across * (inner.chord_m + outer.chord_m)
    return total


def flap_lift_share(chord_fraction: float) -> float:
    """Turn of the zero-lift line for a radian of flap, thin-aerofoil theory; chord_fraction from 0 to 1.

    tau = 1 - (h - sin h) / pi with h = arccos(2 f - 1); Abbott and von Doenhoff, Theory of Wing Sections,
    section 4.6; Glauert, R&M 1095 (1927). Real flaps of light models give less.

    >>> round(flap_lift_share(0.25), 4), flap_lift_share(1.0)
    (0.609, 1.0)
    """
    hinge = math.acos(2.0 * chord_fraction - 1.0)
    return 1.0 - (hinge - math.sin(hinge)) / math.pi


def flap_moment_slope(chord_fraction: float) -> float:
    """Moment coefficient about the quarter chord for a radian of flap: -sin h (1 - cos h) / 2, same sources.

    >>> round(flap_moment_slope(0.25), 4), flap_moment_slope(1.0)
    (-0.6495, -0.0)
    """
    hinge = math.acos(2.0 * chord_fraction - 1.0)
    return -0.5 * math.sin(hinge) * (1.0 - math.cos(hinge))


def whole(surface: Surface) -> Surface:
    """A mirrored surface written out from left tip to right tip, so that it can be tilted.

    Halves that do not touch in the middle stay apart only as mirrored ones: here they are refused.
    """
    if not surface.symmetric:
        return surface
    if surface.sections[0].y_m != 0.0:
        raise InputError.at(surface.name, "its halves do not meet at y = 0, so they cannot be written as one")
    left = tuple(replace(section, y_m=-section.y_m) for section in surface.sections[:0:-1])
    hinges = tuple(tuple(replace(h, gain=h.mirrored_gain) for h in part) for part in surface.hinges[::-1])
    return replace(
        surface,
        sections=left + surface.sections,
        spanwise=surface.spanwise[::-1] + surface.spanwise,
        symmetric=False,
        hinges=hinges + surface.hinges,
    )


def tilted(surface: Surface, angle_rad: float, about_y_m: float = 0.0, about_z_m: float = 0.0) -> Surface:
    """The surface turned about a line along x, right side down positive: a tail that does not sit square.

    >>> fin = Surface("fin", (Section(0, 0, 0, 0.1), Section(0, 0, 0.2, 0.1)), (4,), symmetric=False)
    >>> top = tilted(fin, 0.1).sections[1]
    >>> round(top.y_m, 5), round(top.z_m, 5)
    (0.01997, 0.199)
    """
    cos, sin, full = math.cos(angle_rad), math.sin(angle_rad), whole(surface)
    turned = tuple(_turned(section, cos, sin, about_y_m, about_z_m) for section in full.sections)
    return replace(full, sections=turned)


def _turned(section: Section, cos: float, sin: float, about_y_m: float, about_z_m: float) -> Section:
    y, z = section.y_m - about_y_m, section.z_m - about_z_m
    return replace(section, y_m=about_y_m + y * cos + z * sin, z_m=about_z_m + z * cos - y * sin)


def names_of_controls(surfaces: Sequence[Surface]) -> tuple[str, ...]:
    """All controls in the order in which the surfaces first name them."""
    found = (hinge.control for surface in surfaces for part in surface.hinges for hinge in part)
    return tuple(dict.fromkeys(found))
