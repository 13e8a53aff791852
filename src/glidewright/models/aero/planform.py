"""Measures of the plan form and of the tail: what follows from the outlines alone, without any flow.

Mean aerodynamic chord c = 2/S int c(y)^2 dy with its leading edge at 2/S int x(y) c(y) dy (NACA Report
751, 1943; Etkin and Reid, Dynamics of Flight, appendix C). Chord and leading edge are straight along each
piece, so that every integral is exact. Areas of wing and tail are projected flat, those of fins on the plane
of symmetry.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from glidewright.domain.geometry import Geometry
from glidewright.domain.geometry_places import Piece, Ring, fin_piece, tail_pieces, wing_pieces


@dataclass(frozen=True)
class Planform:
    """Measures of one surface.

    area_m2: both halves of a mirrored surface; span_m: tip to tip; mean_chord_m: mean aerodynamic chord;
    chord_front_x_m: its leading edge; chord_place_m: its place along the span, from the middle or the root;
    quarter_x_m: its quarter point; aspect_ratio: span^2 / area; taper: last chord over first chord;
    dihedral_rad: equivalent dihedral angle, see ``equivalent_dihedral_rad``.
    """

    area_m2: float
    span_m: float
    mean_chord_m: float
    chord_front_x_m: float
    chord_place_m: float
    aspect_ratio: float
    taper: float
    dihedral_rad: float

    @property
    def quarter_x_m(self) -> float:
        """The x of the quarter point of the mean chord, metres."""
        return self.chord_front_x_m + 0.25 * self.mean_chord_m


@dataclass(frozen=True)
class Measures:
    """Measures of a whole airframe; those of a tail or fin that it does not have are None.

    tail_area_m2: what works like a horizontal tail; fin_area_m2: what works like a fin, V-tails included;
    tail_arm_m, fin_arm_m: from the quarter point of the wing's mean chord to that of the surface;
    horizontal_volume, vertical_volume: V_h and V_v; quick_neutral_x_m: x of the quick neutral point.
    """

    wing: Planform
    tail: Planform | None
    tail_area_m2: float | None
    fin_area_m2: float | None
    tail_arm_m: float | None
    fin_arm_m: float | None
    horizontal_volume: float | None
    vertical_volume: float | None
    quick_neutral_x_m: float | None


def measures_of(geometry: Geometry) -> Measures:
    """All measures of a geometry that passed its checks."""
    wing = mirrored_planform(wing_pieces(geometry))
    halves = tail_pieces(geometry.tail) if geometry.tail is not None else ()
    tail = mirrored_planform(halves) if halves else None
    flat_area, steep_area = tail_areas_m2(halves)
    tail_arm = tail.quarter_x_m - wing.quarter_x_m if tail is not None else None
    horizontal = neutral = None
    if tail is not None and tail_arm is not None:
        horizontal = tail_volume(flat_area, tail_arm, wing.area_m2, wing.mean_chord_m)
        share = quick_neutral_point(wing.aspect_ratio, tail.aspect_ratio, horizontal)
        neutral = wing.chord_front_x_m + share * wing.mean_chord_m
    fins = [upright_planform([fin_piece(fin)]) for fin in geometry.fins]
    upright = [(plan.area_m2, plan.quarter_x_m) for plan in fins]
    if tail is not None and geometry.tail is not None and geometry.tail.v_tail:
        upright.append((steep_area, tail.quarter_x_m))
    fin_area = sum(area for area, _ in upright)
    fin_arm = vertical = None
    if upright:
        fin_arm = sum(area * x_m for area, x_m in upright) / fin_area - wing.quarter_x_m
        vertical = tail_volume(fin_area, fin_arm, wing.area_m2, wing.span_m)
    return Measures(
        wing=wing,
        tail=tail,
        tail_area_m2=flat_area if halves else None,
        fin_area_m2=fin_area if upright else None,
        tail_arm_m=tail_arm,
        fin_arm_m=fin_arm,
        horizontal_volume=horizontal,
        vertical_volume=vertical,
        quick_neutral_x_m=neutral,
    )


def airframe_measures(geometry: Geometry) -> dict[str, float]:
    """The measures that a folder may also state, by field of ``Airframe``, SI.

    tail_area_m2 is the projected area, as class texts count it.
    """
    found = measures_of(geometry)
    measures = {
        "span_m": found.wing.span_m,
        "wing_area_m2": found.wing.area_m2,
        "mean_chord_m": found.wing.mean_chord_m,
        "chord_front_x_m": found.wing.chord_front_x_m,
    }
    return measures if found.tail is None else measures | {"tail_area_m2": found.tail.area_m2}


def mean_product(a: tuple[float, float], b: tuple[float, float]) -> float:
    """Mean along a line of the product of two quantities that go straight from one value to another.

    a, b: (at the first end, at the last end), any unit. Exact: (2 a0 b0 + a0 b1 + a1 b0 + 2 a1 b1) / 6.

    >>> mean_product((2.0, 1.0), (2.0, 1.0)) * 3
    7.0
    """
    return (2.0 * a[0] * b[0] + a[0] * b[1] + a[1] * b[0] + 2.0 * a[1] * b[1]) / 6.0


def mirrored_planform(pieces: Sequence[Piece]) -> Planform:
    """Measures of a wing or horizontal tail from the pieces of its right half.

    pieces: root to tip, with an extent along y in sum. Raises ZeroDivisionError when it has none (never for a
    geometry that passed its checks).

    >>> from glidewright.domain.geometry_places import Place
    >>> wing = [Piece("", Place(0, 0, 0, 0.2, 0, ""), Place(0.05, 1.0, 0, 0.1, 0, ""))]
    >>> plan = mirrored_planform(wing)
    >>> round(plan.area_m2, 4), round(plan.mean_chord_m, 5), round(plan.chord_place_m, 5)
    (0.3, 0.15556, 0.44444)
    """
    extents = [piece.across_m for piece in pieces]
    span = 2.0 * max(piece.outer.y_m for piece in pieces)
    return _planform(pieces, extents, 2.0, span, equivalent_dihedral_rad(pieces))


def upright_planform(pieces: Sequence[Piece]) -> Planform:
    """Measures of a fin from all its pieces; the span is their height in sum.

    >>> from glidewright.domain.geometry_places import Place
    >>> fin = Piece("", Place(0.8, 0, 0, 0.15, 0, ""), Place(0.85, 0, 0.2, 0.1, 0, ""))
    >>> round(upright_planform([fin]).area_m2, 6)
    0.025
    """
    extents = [abs(piece.up_m) for piece in pieces]
    return _planform(pieces, extents, 1.0, sum(extents), 0.5 * math.pi)


def _planform(
    pieces: Sequence[Piece], extents: Sequence[float], halves: float, span: float, dihedral: float
) -> Planform:
    chords = [(piece.inner.chord_m, piece.outer.chord_m) for piece in pieces]
    fronts = [(piece.inner.x_m, piece.outer.x_m) for piece in pieces]
    places, start = [], 0.0
    for extent in extents:
        places.append((start, start + extent))
        start += extent
    area = sum(extent * 0.5 * sum(chord) for extent, chord in zip(extents, chords, strict=True))

    def weighted(values: Sequence[tuple[float, float]]) -> float:
        rows = zip(extents, chords, values, strict=True)
        return sum(extent * mean_product(chord, value) for extent, chord, value in rows) / area

    return Planform(
        area_m2=halves * area,
        span_m=span,
        mean_chord_m=weighted(chords),
        chord_front_x_m=weighted(fronts),
        chord_place_m=weighted(places),
        aspect_ratio=span**2 / (halves * area),
        taper=chords[-1][1] / chords[0][0],
        dihedral_rad=dihedral,
    )


def equivalent_dihedral_rad(pieces: Sequence[Piece]) -> float:
    """Angle of the plain V that rolls alike in sideslip: mean of the panel angles by area and arm.

    EDA = sum(angle * int c y dy) / sum(int c y dy) over the right half, projected: each strip counts with its
    area times its distance from the middle. The measure and its name are those of B. Beron-Rawdon,
    "Dihedral", Model Aviation, August to November 1988; the weight follows from strip theory, where sideslip
    turns into angle of attack in proportion to the panel's angle.

    >>> from glidewright.domain.geometry_places import Place
    >>> cos, sin = math.cos(math.radians(10)), math.sin(math.radians(10))
    >>> root, middle = Place(0, 0, 0, 0.2, 0, ""), Place(0, 0.5, 0, 0.2, 0, "")
    >>> tip = Place(0, 1.0, 0.5 * sin / cos, 0.2, 0, "")
    >>> round(math.degrees(equivalent_dihedral_rad([Piece("", root, middle), Piece("", middle, tip)])), 6)
    7.5
    """
    moments = [
        piece.across_m
        * mean_product((piece.inner.chord_m, piece.outer.chord_m), (piece.inner.y_m, piece.outer.y_m))
        for piece in pieces
    ]
    angled = sum(moment * piece.dihedral_rad for moment, piece in zip(moments, pieces, strict=True))
    return angled / sum(moments)


def elliptic_dihedral_rad(pieces: Sequence[Piece]) -> float:
    """The same mean with an elliptic lift distribution in place of the chord, so that chords do not matter.

    EDA = sum(angle_i (f_inner - f_outer)), f = (1 - eta^2)^(3/2), eta = y / half span (M. Drela, "Equivalent
    Dihedral Angle", course notes, Massachusetts Institute of Technology, eqs. 1 to 5). In rad.

    >>> from glidewright.domain.geometry_places import Place
    >>> rise = math.tan(math.radians(5.0))
    >>> plain = Piece("", Place(0, 0, 0, 0.2, 0, ""), Place(0, 1.0, rise, 0.1, 0, ""))
    >>> round(math.degrees(elliptic_dihedral_rad([plain])), 6)
    5.0
    """
    half = max(piece.outer.y_m for piece in pieces)

    def f(y_m: float) -> float:
        return float((1.0 - min(y_m / half, 1.0) ** 2) ** 1.5)

    return sum(piece.dihedral_rad * (f(piece.inner.y_m) - f(piece.outer.y_m)) for piece in pieces)


def tail_areas_m2(pieces: Sequence[Piece]) -> tuple[float, float]:
    """Area that works like a horizontal tail, and like a fin: true area times cos^2 and sin^2 of its angle.

    pieces: right half of the tail; both halves are counted. Purser and Campbell, NACA Report 823 (1945), eqs.
    for the V-tail; a flat tail has its whole area in the first number.

    >>> from glidewright.domain.geometry_places import Place
    >>> upright = Piece("", Place(0, 0, 0, 0.1, 0, ""), Place(0, 0.2, 0.2, 0.1, 0, ""))
    >>> [round(area, 6) for area in tail_areas_m2([upright])]  # 45 degrees: half and half
    [0.028284, 0.028284]
    """
    true = [piece.length_m * (piece.inner.chord_m + piece.outer.chord_m) for piece in pieces]
    angles = [piece.dihedral_rad for piece in pieces]
    flat = sum(area * math.cos(angle) ** 2 for area, angle in zip(true, angles, strict=True))
    return flat, sum(true) - flat


def tail_volume(area_m2: float, arm_m: float, wing_area_m2: float, length_m: float) -> float:
    """Tail volume S_t l_t / (S L): L the mean chord for the horizontal tail, the span for the fin.

    arm_m: from the quarter point of the wing's mean chord to that of the tail, negative for a canard.

    >>> round(tail_volume(0.041, 0.722, 0.36, 0.184), 3)
    0.447
    """
    return area_m2 * arm_m / (wing_area_m2 * length_m)


def spiral_parameter(fin_arm_m: float, span_m: float, dihedral_rad: float, lift_coefficient: float) -> float:
    """B = (l_v / b) (EDA in degrees / C_L); above about 5 the model rights itself (common practice).

    Blaine's rule as in M. Drela's course notes "Basic Aircraft Design Rules", Massachusetts Institute of
    Technology. lift_coefficient above 0.

    >>> round(spiral_parameter(0.65, 2.0, math.radians(8.0), 0.6), 1)
    4.3
    """
    return fin_arm_m / span_m * math.degrees(dihedral_rad) / lift_coefficient


def quick_neutral_point(aspect_ratio: float, tail_aspect_ratio: float, horizontal_volume: float) -> float:
    """Neutral point in shares of the mean chord, without body: a quick upper estimate.

    x_np / c = 1/4 + (1 + 2/AR) / (1 + 2/AR_h) (1 - 4 / (AR + 2)) V_h, the same notes.

    >>> round(quick_neutral_point(11.0, 5.5, 0.45), 2)
    0.52
    """
    slopes = (1.0 + 2.0 / aspect_ratio) / (1.0 + 2.0 / tail_aspect_ratio)
    return 0.25 + slopes * (1.0 - 4.0 / (aspect_ratio + 2.0)) * horizontal_volume


def wetted_area_m2(rings: Sequence[Ring], cross_section: str = "oval") -> float:
    """Outer surface of a body: frustums between its cross-sections, front and rear faces left out.

    rings: in order along x; cross_section: ``oval`` (Ramanujan's second formula for the ellipse), ``box``, or
    ``rounded``, half way between.

    >>> tube = [Ring(0.0, 0.02, -0.01, 0.01), Ring(0.5, 0.02, -0.01, 0.01)]
    >>> round(wetted_area_m2(tube) / (math.pi * 0.02 * 0.5), 9)
    1.0
    """
    rounds = [_perimeter_m(ring, cross_section) for ring in rings]
    area = 0.0
    for (front, rear), (one, other) in zip(pairwise(rings), pairwise(rounds), strict=True):
        rise = 0.25 * (rear.width_m - front.width_m + rear.height_m - front.height_m)
        area += 0.5 * (one + other) * math.hypot(rear.x_m - front.x_m, rise)
    return area


def _perimeter_m(ring: Ring, cross_section: str) -> float:
    box = 2.0 * (ring.width_m + ring.height_m)
    a, b = 0.5 * ring.width_m, 0.5 * ring.height_m
    if a + b == 0.0:
        return 0.0
    h = ((a - b) / (a + b)) ** 2
    oval = math.pi * (a + b) * (1.0 + 3.0 * h / (10.0 + math.sqrt(4.0 - 3.0 * h)))
    return {"box": box, "oval": oval, "rounded": 0.5 * (box + oval)}[cross_section]
