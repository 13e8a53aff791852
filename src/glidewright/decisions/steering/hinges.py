"""Where surfaces are hinged and how large they are, from the shape of the airframe."""

import math
from dataclasses import dataclass

from glidewright.decisions.gliding.handling_edges import elevator_edge_chord_m, rudder_edge_chord_m
from glidewright.domain.geometry import Geometry
from glidewright.domain.geometry_places import Piece, fin_piece, tail_pieces
from glidewright.models.control.hinge import HingeSlopes, flap_hinge_slopes, strip_m3

_WHOLE = 1.0


@dataclass(frozen=True)
class Hinge:
    """A hinged surface of one linkage.

    edge_chord_m: from hinge to trailing edge where it is widest; span_m: along the hinge; strip_m3: integral
    of the squared chord behind the hinge; slopes: of thin-aerofoil theory, nothing for an all-moving surface
    or a brake blade; area_m2, chord_m: of the whole surface, with what stands ahead of the hinge; x_m, z_m:
    of the hinge line where the horn is, x_m not known for a spoiler.
    """

    edge_chord_m: float
    span_m: float
    strip_m3: float
    slopes: HingeSlopes | None
    area_m2: float
    chord_m: float
    x_m: float | None
    z_m: float
    is_blade: bool = False


def hinge_of(surface: str, geometry: Geometry | None) -> Hinge | None:
    """The hinge of a surface; a spoiler's is that of one side, a V-tail's that of one half."""
    if geometry is None:
        return None
    if surface in ("elevator", "v-tail"):
        return _tail(geometry, is_half=surface == "v-tail")
    return _spoiler(geometry) if surface == "spoiler" else _rudder(geometry)


def _tail(geometry: Geometry, *, is_half: bool) -> Hinge | None:
    edge = elevator_edge_chord_m(geometry)
    if geometry.tail is None or edge is None:
        return None
    piece = tail_pieces(geometry.tail)[0]
    sides = 1.0 if is_half else 2.0
    return _flap((piece,), sides, edge, piece)


def _rudder(geometry: Geometry) -> Hinge | None:
    edge = rudder_edge_chord_m(geometry)
    pieces = tuple(piece for fin in geometry.fins if (piece := fin_piece(fin)).movable > 0.0)
    if edge is None or not pieces:
        return None
    widest = max(pieces, key=lambda piece: piece.inner.chord_m * piece.movable)
    return _flap(pieces, 1.0, edge, widest)


def _flap(pieces: tuple[Piece, ...], sides: float, edge_m: float, at: Piece) -> Hinge:
    """Surfaces that move together; slopes of the piece that carries the horn."""
    moving = min(at.movable, _WHOLE)
    strip = sides * sum(
        strip_m3(p.inner.chord_m * p.movable, p.outer.chord_m * p.movable, p.length_m) for p in pieces
    )
    area = sides * sum(0.5 * (p.inner.chord_m + p.outer.chord_m) * p.length_m for p in pieces)
    ahead = 0.25 if moving >= _WHOLE else 1.0 - moving
    return Hinge(
        edge_chord_m=edge_m,
        span_m=sides * sum(piece.length_m for piece in pieces),
        strip_m3=strip,
        slopes=None if moving >= _WHOLE else flap_hinge_slopes(moving),
        area_m2=area,
        chord_m=at.inner.chord_m,
        x_m=at.inner.x_m + ahead * at.inner.chord_m * math.cos(at.inner.incidence_rad),
        z_m=at.inner.z_m,
    )


def _spoiler(geometry: Geometry) -> Hinge | None:
    spoiler = geometry.spoiler
    if spoiler is None:
        return None
    chord, span = spoiler.chord_m.value, spoiler.to_y_m.value - spoiler.from_y_m.value
    return Hinge(
        edge_chord_m=chord,
        span_m=span,
        strip_m3=chord**2 * span,
        slopes=None,
        area_m2=chord * span,
        chord_m=chord,
        x_m=None,
        z_m=0.0,
        is_blade=True,
    )
