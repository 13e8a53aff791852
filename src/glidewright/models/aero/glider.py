"""From the geometry of an airframe to what its flow is worked out from: lattice, strip sections, body, gaps.

What is not stated stands in: a cambered section for a wing, a thin symmetric one for tails. Strips run
through the body as if it were not there; a body carries no lift, but its pitching moment counts.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from glidewright.domain.geometry import Geometry
from glidewright.domain.geometry_places import Piece, Place, body_rings, fin_piece, tail_pieces, wing_pieces
from glidewright.domain.geometry_section import Datum, OwnSection
from glidewright.models.aero import section as sections
from glidewright.models.aero.body_moment import body_moment_volume_m3
from glidewright.models.aero.buildup import Junction, Rest
from glidewright.models.aero.joints import joined
from glidewright.models.aero.lattice import Lattice, build_lattice
from glidewright.models.aero.lattice_mesh import evenly_split
from glidewright.models.aero.planform import mirrored_planform, wetted_area_m2
from glidewright.models.aero.section_drag import StripSections, curves_of
from glidewright.models.aero.shape import Hinge, Reference, Section, Surface, Twist, area_m2

Array = NDArray[np.float64]
WING_STAND_IN, TAIL_STAND_IN = "ag35", "ht08"
WING_TURN, TAIL_TURN = "wing incidence", "tail incidence"
_SECTION_REYNOLDS = 1.0e5  # of zero-lift angles, moments and slopes: of these models by and large
_WING_BOXES, _TAIL_BOXES, _FIN_BOXES = 14, 6, 6
_WING_CHORDWISE, _TAIL_CHORDWISE = 4, 3


@dataclass(frozen=True)
class Glider:
    """A whole glider, ready for any flight state.

    reference: wing area that coefficients are made of, span and mean chord; strip, weight: which strips of
    the lattice enter drag, and how often (2 for a strip whose mirror image is left out); wing: which of these
    are of the wing; rest: what the build-up counts; chord_front_x_m: leading edge of the mean chord;
    body_moment_m3: growth of the pitching moment of the body with the angle of attack, over dynamic pressure.
    """

    lattice: Lattice
    reference: Reference
    sections: StripSections
    strip: NDArray[np.int64]
    weight: Array
    wing: NDArray[np.bool_]
    rest: Rest
    chord_front_x_m: float
    body_moment_m3: float

    @property
    def trims(self) -> bool:
        """Whether an elevator is there to trim with."""
        return "elevator" in self.lattice.inputs

    def has_flap(self, control: str) -> bool:
        """Whether a control is a flap somewhere, and not whole surfaces."""
        return any(
            hinge.control == control and hinge.chord_fraction < 1.0
            for surface in self.lattice.surfaces
            for part in surface.hinges
            for hinge in part
        )


def glider_of(geometry: Geometry, wing_area_m2: float | None = None) -> Glider:
    """Lay out a geometry that passed its checks.

    wing_area_m2: area that coefficients are referred to; that of the panels when left out. Raises
    OutsideModelError for a section that neither a table nor the geometry knows, InputError for an incidence
    that is measured from a coordinate file that is not there.
    """
    wing = wing_pieces(geometry)
    plan = mirrored_planform(wing)
    sizes = _WING_BOXES, _WING_CHORDWISE
    of_wing = _Sections(geometry.sections, WING_STAND_IN, geometry.wing.incidence_from)
    surfaces = [_surface("wing", wing, of_wing, sizes)]
    named = [of_wing.pairs(wing)]
    tail = tail_pieces(geometry.tail) if geometry.tail is not None else ()
    twists = [Twist(WING_TURN, "wing")]
    if tail and geometry.tail is not None:
        sizes = _TAIL_BOXES, _TAIL_CHORDWISE
        of_tail = _Sections(geometry.sections, TAIL_STAND_IN, geometry.tail.incidence_from)
        hinges = _tail_hinges(tail[0], geometry.tail.v_tail)
        surfaces.append(_surface("tail", tail, of_tail, sizes, hinges))
        named.append(of_tail.pairs(tail))
        twists.append(Twist(TAIL_TURN, "tail"))
    of_fin = _Sections(geometry.sections, TAIL_STAND_IN, "chord")
    for number, fin in enumerate(geometry.fins, start=1):
        piece = _from_foot_up(fin_piece(fin))
        hinge = (Hinge("rudder", min(piece.movable, 1.0)),) if piece.movable > 0.0 else ()
        sizes = _FIN_BOXES, _TAIL_CHORDWISE
        surfaces.append(_surface(f"fin {number}", (piece,), of_fin, sizes, hinge, symmetric=False))
        named.append(of_fin.pairs((piece,)))
    slope = float(sections.slope_over_thin(_SECTION_REYNOLDS).value)
    lattice = build_lattice(joined(surfaces), twists, {surface.name: slope for surface in surfaces})
    strip, weight, found = _strip_sections(lattice, surfaces, named)
    return Glider(
        lattice=lattice,
        reference=Reference(wing_area_m2 or plan.area_m2, plan.span_m, plan.mean_chord_m),
        sections=found,
        strip=strip,
        weight=weight,
        wing=lattice.strips.surface[strip] == 0,
        rest=_rest(geometry, wing, tail),
        chord_front_x_m=plan.chord_front_x_m,
        body_moment_m3=_body_moment(geometry, lattice),
    )


@dataclass(frozen=True)
class _Sections:
    """Sections of one surface: own ones, what stands in for none, from where incidence is measured."""

    own: tuple[OwnSection, ...]
    stand_in: str
    datum: Datum

    def of(self, place: Place) -> sections.Section:
        """The aerofoil at a place."""
        return sections.section_of(place.section or self.stand_in, self.own)

    def pairs(self, pieces: Sequence[Piece]) -> list[tuple[sections.Section, sections.Section]]:
        """Inner and outer aerofoil of each piece."""
        return [(self.of(piece.inner), self.of(piece.outer)) for piece in pieces]

    def laid(self, place: Place) -> Section:
        """The station of the lattice."""
        known = self.of(place)
        zero = float(sections.zero_lift_angle(known, _SECTION_REYNOLDS))
        _, _, moment = sections.coefficients(known, zero, _SECTION_REYNOLDS)
        angle = known.chord_angle_rad(place.incidence_rad, self.datum)
        return Section(place.x_m, place.y_m, place.z_m, place.chord_m, angle, zero, float(moment))


def _surface(
    name: str,
    pieces: Sequence[Piece],
    known: _Sections,
    boxes: tuple[int, int],
    hinges: tuple[Hinge, ...] = (),
    *,
    symmetric: bool = True,
) -> Surface:
    """One surface; boxes: along the span of all its pieces, and along the chord."""
    places = [pieces[0].inner, *(piece.outer for piece in pieces)]
    surface = Surface(
        name=name,
        sections=tuple(known.laid(place) for place in places),
        spanwise=(1,) * len(pieces),
        symmetric=symmetric,
        chordwise=boxes[1],
        hinges=(hinges,) * len(pieces) if hinges else (),
    )
    return evenly_split(surface, boxes[0])


def _tail_hinges(piece: Piece, v_tail: bool) -> tuple[Hinge, ...]:
    """The elevator, and on a V-tail the rudder mixed to it."""
    if not piece.movable > 0.0:
        return ()
    moving = min(piece.movable, 1.0)
    elevator = Hinge("elevator", moving)
    # A trailing edge to the right is one that goes down on the right half of an upright V.
    right = math.copysign(1.0, piece.up_m)
    return (elevator, Hinge("rudder", moving, right, -right)) if v_tail else (elevator,)


def _from_foot_up(piece: Piece) -> Piece:
    """A fin that hangs down, turned over, so that its upper side is the left one as with every fin."""
    return piece if piece.up_m > 0.0 else Piece(piece.name, piece.outer, piece.inner, piece.movable)


def _strip_sections(
    lattice: Lattice,
    drawn: Sequence[Surface],
    named: Sequence[Sequence[tuple[sections.Section, sections.Section]]],
) -> tuple[NDArray[np.int64], Array, StripSections]:
    """The strips that count, how often, and their sections.

    drawn: the surfaces before they were closed up, whose area is what the air rubs; named: of these, by
    surface and part, inner and outer; a surface that was cut has one section all along.
    """
    strips = lattice.strips
    keep = np.flatnonzero(strips.mirrored == 0)
    twice = np.array([2.0 if surface.symmetric else 1.0 for surface in lattice.surfaces])
    twice *= [area_m2(one) / area_m2(laid) for one, laid in zip(drawn, lattice.surfaces, strict=True)]
    order = list(dict.fromkeys(one for parts in named for pair in parts for one in pair))
    curves = [curves_of(one) for one in order]
    pairs = [
        named[surface][min(part, len(named[surface]) - 1)]
        for surface, part in zip(strips.surface[keep], strips.part[keep], strict=True)
    ]
    inner, outer = (np.array([order.index(pair[end]) for pair in pairs], dtype=np.int64) for end in (0, 1))
    found = StripSections(
        np.stack([curve.drag for curve in curves]),
        np.stack([curve.highest for curve in curves]),
        inner,
        outer,
        strips.share[keep],
    )
    return keep, twice[strips.surface[keep]], found


def _rest(geometry: Geometry, wing: Sequence[Piece], tail: Sequence[Piece]) -> Rest:
    """What the build-up counts of this geometry."""
    hinged = sum(2.0 * _area(piece) for piece in tail if piece.movable > 0.0)
    fins = [fin_piece(fin) for fin in geometry.fins]
    hinged += sum(_area(piece) for piece in fins if piece.movable > 0.0)
    slits = sum(
        2.0 * panel.gap_m.value * piece.inner.chord_m
        for panel, piece in zip(geometry.panels, wing, strict=True)
        if panel.gap_m is not None and panel.join == "plugged"
    )
    of_wing, of_tail = (_Sections(geometry.sections, one, "chord") for one in (WING_STAND_IN, TAIL_STAND_IN))
    corners = [_corner(wing[0].inner, of_wing, 2)]
    corners += [_corner(piece.inner, of_tail, 2) for piece in (*tail, *fins)]
    spoiler = geometry.spoiler
    blades = 0.0 if spoiler is None else 2.0 * (spoiler.to_y_m.value - spoiler.from_y_m.value)
    of_wing_and_tail = Rest(hinged_area_m2=hinged, slit_area_m2=slits, closed_brake_span_m=blades)
    if geometry.body is None:
        return of_wing_and_tail
    body = geometry.body
    rings = body_rings(body)
    stated = body.wetted_area_m2
    thick = math.sqrt(body.width_m.value * body.height_m.value)
    return replace(
        of_wing_and_tail,
        wetted_area_m2=stated.value if stated else wetted_area_m2(rings, body.cross_section),
        length_m=body.end_x_m.value - body.nose_x_m.value,
        fineness=(body.pod_end_x_m.value - body.nose_x_m.value) / thick,
        angular=body.cross_section == "box",
        junctions=tuple(corners),
    )


def _area(piece: Piece) -> float:
    return 0.5 * piece.length_m * (piece.inner.chord_m + piece.outer.chord_m)


def _corner(place: Place, known: _Sections, corners: int) -> Junction:
    return Junction(known.of(place).thickness * place.chord_m, place.chord_m, corners)


def _body_moment(geometry: Geometry, lattice: Lattice) -> float:
    if geometry.body is None:
        return 0.0
    rings = body_rings(geometry.body)
    root = wing_pieces(geometry)[0].inner
    return body_moment_volume_m3(
        np.array([(ring.x_m, ring.width_m, 0.5 * (ring.bottom_z_m + ring.top_z_m)) for ring in rings]),
        lattice,
        (root.x_m, root.x_m + root.chord_m),
    )
