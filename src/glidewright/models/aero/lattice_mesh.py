"""Boxes and strips of the vortex lattice, laid on lifting surfaces once.

A box carries a bound vortex along its quarter-chord line and a control point at its three-quarter chord
(Bertin and Smith, Aerodynamics for Engineers, section 7.5). All boxes lie flat in planes along x: incidence,
camber and deflection enter as angles of the flow condition only, so that geometry is worked out once.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glidewright.base.errors import InputError, nearest
from glidewright.models.aero.shape import (
    Surface,
    Twist,
    flap_lift_share,
    flap_moment_slope,
    names_of_controls,
)

Array = NDArray[np.float64]
Whole = NDArray[np.int64]


@dataclass(frozen=True)
class Strips:
    """Strips from first to last chord point, shape (strips,) each, (strips, 3) for points and directions.

    left_m, right_m: quarter-chord points of the two edges; point_m, point_chord_m: quarter-chord point and
    chord where the flow condition is held; chord_m: at mid strip; width_m: across x; normal: unit, to the
    upper side; surface, part: indices; mirrored: 1 on the mirrored half; share: place of the point in the
    part, 0 at its first section and 1 at its last; angle_rad: incidence less zero-lift angle; zero_lift_rad,
    moment_c4 of the aerofoil.
    """

    left_m: Array
    right_m: Array
    point_m: Array
    point_chord_m: Array
    chord_m: Array
    width_m: Array
    normal: Array
    surface: Whole
    part: Whole
    mirrored: Whole
    share: Array
    angle_rad: Array
    zero_lift_rad: Array
    moment_c4: Array

    @property
    def span_direction(self) -> Array:
        """Unit vectors across x, from left to right: the axes about which strips pitch."""
        x = np.array([1.0, 0.0, 0.0])
        found: Array = np.cross(self.normal, x)
        return found


@dataclass(frozen=True)
class Boxes:
    """Boxes, all fields of shape (boxes, ...).

    left_m, right_m: ends of the bound vortex; bound_m: its point straight ahead of control_m, where the flow
    condition is held; strip: index.
    """

    left_m: Array
    right_m: Array
    bound_m: Array
    control_m: Array
    strip: Whole


def lay_strips(surfaces: Sequence[Surface]) -> Strips:
    """All strips of all surfaces, narrower towards the tips.

    Edges and points of a plane wing stand at equal steps on a half circle over the whole span, the spacing
    for which a lattice gives an elliptic wing its exact drag (de Young, in NASA SP-405, 1976); each part
    takes the arc between its sections in steps of its own.
    """
    columns: dict[str, list[Any]] = {}
    for number, surface in enumerate(surfaces):
        for part, count in enumerate(surface.spanwise):
            for mirrored in (1, 0) if surface.symmetric else (0,):
                for name, values in _part_strips(surface, part, count, bool(mirrored)).items():
                    columns.setdefault(name, []).append(values)
                for name, index in (("surface", number), ("part", part), ("mirrored", mirrored)):
                    columns.setdefault(name, []).append(np.full(count, index))
    whole: dict[str, Any] = {name: np.concatenate(values) for name, values in columns.items()}
    return Strips(**whole)


def _part_strips(surface: Surface, part: int, count: int, mirrored: bool) -> dict[str, Array]:
    inner, outer = surface.sections[part], surface.sections[part + 1]
    edges, point = _spacing(surface, part, count)
    middle = 0.5 * (edges[1:] + edges[:-1])

    def along(name: str, share: Array) -> Array:
        first, last = float(getattr(inner, name)), float(getattr(outer, name))
        return first + (last - first) * share

    def quarter(share: Array) -> Array:
        x = along("x_m", share) + 0.25 * along("chord_m", share)
        return np.stack([x, along("y_m", share), along("z_m", share)], axis=1)

    start, end, held = quarter(edges[:-1]), quarter(edges[1:]), quarter(point)
    if mirrored:
        flip = np.array([1.0, -1.0, 1.0])
        start, end, held = end * flip, start * flip, held * flip
    across = (end - start)[:, 1:]
    width = np.hypot(across[:, 0], across[:, 1])
    normal = np.stack([np.zeros(count), -across[:, 1] / width, across[:, 0] / width], axis=1)
    return {
        "left_m": start,
        "right_m": end,
        "point_m": held,
        "point_chord_m": along("chord_m", point),
        "chord_m": along("chord_m", middle),
        "width_m": width,
        "normal": normal,
        "share": point,
        "angle_rad": along("incidence_rad", point) - along("zero_lift_rad", point),
        "zero_lift_rad": along("zero_lift_rad", point),
        "moment_c4": along("moment_c4", point),
    }


def _arc(surface: Surface) -> Array:
    """Place of the sections on the half circle over the span: 0 at its start or middle, growing outwards."""
    lengths = _lengths(surface)
    if surface.symmetric:
        found: Array = np.arcsin(lengths / lengths[-1])
        return found
    whole: Array = np.arccos(1.0 - 2.0 * lengths / lengths[-1])
    return whole


def _spacing(surface: Surface, part: int, count: int) -> tuple[Array, Array]:
    """Edges and points of the strips of a part, as shares of the part."""
    if surface.even:
        even = np.linspace(0.0, 1.0, 2 * count + 1)
        return even[::2], even[1::2]
    arc, lengths = _arc(surface), _lengths(surface)
    steps = np.linspace(arc[part], arc[part + 1], 2 * count + 1)
    place = np.sin(steps) if surface.symmetric else 0.5 * (1.0 - np.cos(steps))
    share = (place * lengths[-1] - lengths[part]) / (lengths[part + 1] - lengths[part])
    share[0], share[-1] = 0.0, 1.0
    return share[::2], share[1::2]


def evenly_split(surface: Surface, total: int) -> Surface:
    """The surface with about `total` strips (of one half, if it is mirrored), as even on the arc as may be.

    Strips that grow or shrink all at once where parts meet would put a kink into the lift along the span.

    >>> from glidewright.models.aero.shape import Section
    >>> plan = Section(0, 0, 0, 0.2), Section(0, 0.5, 0, 0.2), Section(0, 1, 0.1, 0.1)
    >>> evenly_split(Surface("wing", plan, (1, 1)), 12).spanwise
    (4, 8)
    """
    arc = np.diff(_arc(surface))
    return replace(surface, spanwise=tuple(max(1, round(float(total * step / arc.sum()))) for step in arc))


def lay_boxes(surfaces: Sequence[Surface], strips: Strips) -> Boxes:
    """Boxes of equal chord on every strip: bound vortex at a quarter, control point at three quarters."""
    left, right, held, control, owner = [], [], [], [], []
    chord_left, chord_right = _edge_chords(surfaces, strips)
    x = np.array([1.0, 0.0, 0.0])
    for number, surface in enumerate(surfaces):
        rows = np.flatnonzero(strips.surface == number)
        for j in range(surface.chordwise):
            bound = (j + 0.25) / surface.chordwise - 0.25
            point = (j + 0.75) / surface.chordwise - 0.25
            left.append(strips.left_m[rows] + (bound * chord_left[rows])[:, None] * x)
            right.append(strips.right_m[rows] + (bound * chord_right[rows])[:, None] * x)
            held.append(strips.point_m[rows] + (bound * strips.point_chord_m[rows])[:, None] * x)
            control.append(strips.point_m[rows] + (point * strips.point_chord_m[rows])[:, None] * x)
            owner.append(rows)
    return Boxes(*(np.concatenate(column) for column in (left, right, held, control, owner)))


def _edge_chords(surfaces: Sequence[Surface], strips: Strips) -> tuple[Array, Array]:
    left, right = np.empty(strips.share.size), np.empty(strips.share.size)
    for number, surface in enumerate(surfaces):
        for part in range(len(surface.spanwise)):
            rows = (strips.surface == number) & (strips.part == part)
            inner, outer = surface.sections[part], surface.sections[part + 1]
            reach = np.hypot(outer.y_m - inner.y_m, outer.z_m - inner.z_m)
            slope = (outer.chord_m - inner.chord_m) / reach
            sign = np.where(strips.mirrored[rows] == 1, -1.0, 1.0)
            step = 0.5 * slope * sign * strips.width_m[rows]
            left[rows] = strips.chord_m[rows] - step
            right[rows] = strips.chord_m[rows] + step
    return left, right


def lay_inputs(
    surfaces: Sequence[Surface], strips: Strips, twists: Sequence[Twist]
) -> tuple[tuple[str, ...], Array, Array]:
    """Names of controls and twists; turn of the zero-lift line and moment of each strip for a radian of each.

    Both arrays have the shape (strips, inputs).
    """
    controls = names_of_controls(surfaces)
    angle = np.zeros((strips.share.size, len(controls) + len(twists)))
    moment = np.zeros_like(angle)
    for number, surface in enumerate(surfaces):
        for part, hinges in enumerate(surface.hinges):
            rows = (strips.surface == number) & (strips.part == part)
            for hinge in hinges:
                gain = np.where(strips.mirrored[rows] == 1, hinge.mirrored_gain, hinge.gain)
                column = controls.index(hinge.control)
                angle[rows, column] += gain * flap_lift_share(hinge.chord_fraction)
                moment[rows, column] += gain * flap_moment_slope(hinge.chord_fraction)
    for column, twist in enumerate(twists, start=len(controls)):
        angle[:, column] = _twist_angle(surfaces, strips, twist)
    return (*controls, *(twist.name for twist in twists)), angle, moment


def _twist_angle(surfaces: Sequence[Surface], strips: Strips, twist: Twist) -> Array:
    names = [surface.name for surface in surfaces]
    if twist.surface not in names:
        raise InputError.at(
            twist.name, f"no surface is called {twist.surface!r}; {nearest(twist.surface, names)}"
        )
    if twist.side not in ("both", "right", "left"):
        raise InputError.at(twist.name, f"the side must be both, right or left, here {twist.side!r}")
    number = names.index(twist.surface)
    surface = surfaces[number]
    parts = range(len(surface.spanwise)) if twist.parts is None else twist.parts
    rows = (strips.surface == number) & np.isin(strips.part, list(parts))
    if twist.side != "both":
        rows &= strips.mirrored == (1 if twist.side == "left" else 0)
    place = _place_along(surface, strips)[rows]
    ends = [_place(surface, part, share) for part, share in ((min(parts), 0.0), (max(parts), 1.0))]
    share = (place - ends[0]) / (ends[1] - ends[0])
    found = np.zeros(strips.share.size)
    found[rows] = twist.at_inner + (twist.at_outer - twist.at_inner) * share
    return found


def _lengths(surface: Surface) -> Array:
    points = np.array([(section.y_m, section.z_m) for section in surface.sections])
    steps = np.linalg.norm(np.diff(points, axis=0), axis=1)
    return np.concatenate([[0.0], np.cumsum(steps)])


def _place(surface: Surface, part: int, share: float) -> float:
    lengths = _lengths(surface)
    return float(lengths[part] + share * (lengths[part + 1] - lengths[part]))


def _place_along(surface: Surface, strips: Strips) -> Array:
    lengths = _lengths(surface)
    last = len(surface.spanwise) - 1
    part = np.minimum(strips.part, last)
    found: Array = lengths[part] + strips.share * (lengths[part + 1] - lengths[part])
    return found


def winds(point_m: Array) -> Array:
    """Air velocity at points for unit winds along x, y, z and turns about the origin; (points, 3, 6)."""
    x, y, z = point_m.T
    found = np.zeros((point_m.shape[0], 3, 6))
    found[:, (0, 1, 2), (0, 1, 2)] = 1.0
    found[:, 1, 3], found[:, 2, 3] = -z, y
    found[:, 0, 4], found[:, 2, 4] = -z, x
    found[:, 0, 5], found[:, 1, 5] = -y, x
    return found
