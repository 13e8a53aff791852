"""Where the surfaces and the body of a geometry lie in space, as plain numbers.

Axes: x aft, y to the right, z up, from the datum. A surface is a row of pieces, each a flat trapezoid between
an inner and an outer place. The row of a wing or tail is its right half; the left half is its mirror image.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from .geometry import Geometry
from .geometry_body import Body
from .geometry_tail import Fin, Tail

_STEPS = 12
_RUN_OUT_STEPS = 16


@dataclass(frozen=True)
class Place:
    """One end of a piece: leading edge, chord, section name, and its stated angle to the datum line."""

    x_m: float
    y_m: float
    z_m: float
    chord_m: float
    incidence_rad: float
    section: str


@dataclass(frozen=True)
class Piece:
    """A flat trapezoid from inner to outer place; movable: share of its chord behind the hinge."""

    name: str
    inner: Place
    outer: Place
    movable: float = 0.0

    @property
    def across_m(self) -> float:
        """Extent along y, outwards positive."""
        return self.outer.y_m - self.inner.y_m

    @property
    def up_m(self) -> float:
        """Extent along z."""
        return self.outer.z_m - self.inner.z_m

    @property
    def length_m(self) -> float:
        """Length along the piece, square to the flow."""
        return math.hypot(self.across_m, self.up_m)

    @property
    def dihedral_rad(self) -> float:
        """Angle against the horizontal, upwards positive."""
        return math.atan2(self.up_m, self.across_m)


@dataclass(frozen=True)
class Ring:
    """One cross-section of the body: station, full width, and its lower and upper edge."""

    x_m: float
    width_m: float
    bottom_z_m: float
    top_z_m: float

    @property
    def height_m(self) -> float:
        """Full height."""
        return self.top_z_m - self.bottom_z_m


def wing_pieces(geometry: Geometry) -> tuple[Piece, ...]:
    """The right wing from root to tip; its angles are incidence plus twist of all panels further in.

    An inner chord or a section that is left out is that of the panel before.
    """
    wing = geometry.wing
    x_m, y_m, z_m, angle = wing.x_m.value, 0.0, wing.z_m.value, wing.incidence_rad.value
    chord, section = 0.0, ""
    pieces = []
    for number, panel in enumerate(geometry.panels, 1):
        chord = panel.root_chord_m.value if panel.root_chord_m is not None else chord
        section = panel.section or section
        inner = Place(x_m, y_m, z_m, chord, angle, section)
        x_m += panel.sweep_m.value
        y_m += panel.length_m.value * math.cos(panel.dihedral_rad.value)
        z_m += panel.length_m.value * math.sin(panel.dihedral_rad.value)
        angle += panel.twist_rad.value
        chord, section = panel.tip_chord_m.value, panel.tip_section or section
        pieces.append(
            Piece(panel.name or f"panel {number}", inner, Place(x_m, y_m, z_m, chord, angle, section))
        )
    return tuple(pieces)


def tail_pieces(tail: Tail) -> tuple[Piece, ...]:
    """The right half of the tail."""
    half, angle = 0.5 * tail.span_m.value, tail.incidence_rad.value
    x_m, z_m = tail.x_m.value, tail.z_m.value
    outer_x_m, outer_z_m = x_m + tail.sweep_m.value, z_m + half * math.tan(tail.dihedral_rad.value)
    root = Place(x_m, 0.0, z_m, tail.root_chord_m.value, angle, tail.section)
    tip = Place(outer_x_m, half, outer_z_m, tail.tip_chord_m.value, angle, tail.section)
    return (Piece("tail", root, tip, tail.elevator_share.value),)


def fin_piece(fin: Fin) -> Piece:
    """One piece of the fin from its root to its tip, upright."""
    up = -1.0 if fin.below else 1.0
    x_m, y_m, z_m = fin.x_m.value, fin.y_m.value, fin.z_m.value
    root = Place(x_m, y_m, z_m, fin.root_chord_m.value, 0.0, fin.section)
    tip = Place(
        x_m + fin.sweep_m.value, y_m, z_m + up * fin.height_m.value, fin.tip_chord_m.value, 0.0, fin.section
    )
    return Piece(fin.name or "fin", root, tip, fin.rudder_share.value)


def edges_m(pieces: Sequence[Piece], y_m: float) -> tuple[float, float] | None:
    """The x of leading and trailing edge at a place along the span, None outside of the pieces."""
    for piece in pieces:
        inner, outer = piece.inner, piece.outer
        if piece.across_m > 0.0 and inner.y_m <= y_m <= outer.y_m:
            share = (y_m - inner.y_m) / piece.across_m
            front = inner.x_m + share * (outer.x_m - inner.x_m)
            return front, front + inner.chord_m + share * (outer.chord_m - inner.chord_m)
    return None


def body_rings(body: Body) -> tuple[Ring, ...]:
    """Cross-sections from nose to end: quarter sine to full size, straight, half cosine to the boom, boom."""
    nose, full_from, full_to = body.nose_x_m.value, body.full_from_x_m.value, body.full_to_x_m.value
    pod_end, end = body.pod_end_x_m.value, body.end_x_m.value
    front = [nose + (full_from - nose) * step / _STEPS for step in range(_STEPS)]
    back = [full_to + (pod_end - full_to) * step / _RUN_OUT_STEPS for step in range(_RUN_OUT_STEPS + 1)]
    return tuple(_ring(body, x_m) for x_m in [*front, full_from, *back, end])


def ring_at(body: Body, x_m: float) -> Ring | None:
    """The cross-section at a station, None ahead of the nose or behind the end."""
    return _ring(body, x_m) if body.nose_x_m.value <= x_m <= body.end_x_m.value else None


def _ring(body: Body, x_m: float) -> Ring:
    width, height, middle = body.width_m.value, body.height_m.value, body.z_m.value
    nose, full_from, full_to = body.nose_x_m.value, body.full_from_x_m.value, body.full_to_x_m.value
    pod_end, end = body.pod_end_x_m.value, body.end_x_m.value
    boom = body.boom_diameter_m.value
    boom_end = body.boom_end_diameter_m.value if body.boom_end_diameter_m is not None else boom
    boom_middle = body.boom_z_m.value if body.boom_z_m is not None else middle
    if x_m < full_from:
        grown = math.sin(0.5 * math.pi * (x_m - nose) / (full_from - nose))
        width, height = (
            body.nose_diameter_m.value + grown * (full - body.nose_diameter_m.value)
            for full in (width, height)
        )
    elif x_m > full_to and x_m < pod_end:
        left = 0.5 + 0.5 * math.cos(math.pi * (x_m - full_to) / (pod_end - full_to))
        width, height = (boom + left * (full - boom) for full in (width, height))
        middle = boom_middle + left * (middle - boom_middle)
    elif x_m >= pod_end:
        gone = (x_m - pod_end) / (end - pod_end) if end > pod_end else 0.0
        width = height = boom + gone * (boom_end - boom)
        middle = boom_middle
    return Ring(x_m, width, middle - 0.5 * height, middle + 0.5 * height)
