"""Chords from hinge to trailing edge, and sizes of faults at an edge, for a ruler."""

import math

from glidewright.domain.geometry import Geometry
from glidewright.domain.geometry_places import Piece, fin_piece, tail_pieces

_PIVOT_BACK = 0.75  # an all-moving surface turns about its quarter chord


def elevator_edge_chord_m(geometry: Geometry | None) -> float | None:
    """Moving chord of the elevator at the root of the tail; None where there is none."""
    pieces = tail_pieces(geometry.tail) if geometry is not None and geometry.tail is not None else ()
    return _edge(pieces[0]) if pieces and pieces[0].movable > 0.0 else None


def rudder_edge_chord_m(geometry: Geometry) -> float | None:
    """Moving chord of the rudder at the root, the widest of all fins; of the tail where that is a V."""
    if geometry.tail is not None and geometry.tail.v_tail:
        return elevator_edge_chord_m(geometry)
    pieces = [piece for fin in geometry.fins if (piece := fin_piece(fin)).movable > 0.0]
    return max(map(_edge, pieces)) if pieces else None


def lift_of_edge_m(chord_m: float, angle_rad: float) -> float:
    """How far one edge stands off when a chord is turned about the other."""
    return chord_m * math.sin(angle_rad)


def _edge(piece: Piece) -> float:
    return piece.inner.chord_m * (piece.movable if piece.movable < 1.0 else _PIVOT_BACK)
