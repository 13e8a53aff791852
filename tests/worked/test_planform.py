"""Plan form against textbooks, published rules and the trade's check values."""

import math
from itertools import pairwise

import pytest

from glidewright.domain.geometry_places import Piece, Place, Ring
from glidewright.models.aero.planform import (
    elliptic_dihedral_rad,
    equivalent_dihedral_rad,
    mirrored_planform,
    quick_neutral_point,
    spiral_parameter,
    tail_areas_m2,
    upright_planform,
    wetted_area_m2,
)


def row(*ends: tuple[float, float, float, float]) -> list[Piece]:
    """Pieces between ends given as x, y, z of the leading edge, and chord."""
    places = [Place(x, y, z, chord, 0.0, "") for x, y, z, chord in ends]
    return [Piece("", inner, outer) for inner, outer in pairwise(places)]


def polyhedral(*panels: tuple[float, float, float], chord: float = 0.2) -> list[Piece]:
    """Pieces of one chord from (end of the panel along y, its angle in degrees, its outer chord)."""
    ends = [(0.0, 0.0, 0.0, chord)]
    for y, angle, outer in panels:
        _, y0, z0, _ = ends[-1]
        ends.append((0.0, y, z0 + (y - y0) * math.tan(math.radians(angle)), outer))
    return row(*ends)


@pytest.mark.parametrize("taper", [0.2, 0.45, 1.0])
def test_mean_chord_of_a_trapezoid(taper: float) -> None:
    """MAC = 2/3 c_r (1 + t + t^2)/(1 + t), y = b/6 (1 + 2t)/(1 + t): Raymer, Aircraft Design, fig. 4.17."""
    root, half = 0.24, 1.1
    sweep = math.radians(20)  # of the leading edge
    plan = mirrored_planform(row((0, 0, 0, root), (half * math.tan(sweep), half, 0, taper * root)))
    chord = 2 / 3 * root * (1 + taper + taper**2) / (1 + taper)
    place = 2 * half / 6 * (1 + 2 * taper) / (1 + taper)
    assert plan.mean_chord_m == pytest.approx(chord, rel=1e-12)
    assert plan.chord_place_m == pytest.approx(place, rel=1e-12)
    assert plan.chord_front_x_m == pytest.approx(place * math.tan(sweep), rel=1e-12)
    assert plan.area_m2 == pytest.approx(half * root * (1 + taper), rel=1e-12)
    assert plan.aspect_ratio == pytest.approx(4 * half / (root * (1 + taper)), rel=1e-12)


def test_mean_chord_of_the_warren_12_wing() -> None:
    """Published reference planform: span, area and aspect ratio 2 sqrt(2), taper 1/3; mean chord as above.

    Root chord 1.5, tip chord 0.5, leading edge swept 53.54 degrees (the common definition of the benchmark).
    """
    half = math.sqrt(2)
    plan = mirrored_planform(row((0, 0, 0, 1.5), (half * math.tan(math.radians(53.54)), half, 0, 0.5)))
    assert plan.area_m2 == pytest.approx(2 * half, rel=1e-12)
    assert plan.aspect_ratio == pytest.approx(2 * half, rel=1e-12)
    assert plan.mean_chord_m == pytest.approx(13 / 12, rel=1e-12)


def test_mean_chord_of_an_ellipse_in_many_pieces() -> None:
    """Elliptic wing: mean chord 8 / (3 pi) of the root chord, at 4 / (3 pi) of the half span, by sums."""
    count, root = 400, 0.22
    ends = []
    for step in range(count + 1):
        eta = math.sin(0.5 * math.pi * step / count)
        ends.append((0.0, eta, 0.0, root * math.sqrt(max(1.0 - eta**2, 0.0))))
    plan = mirrored_planform(row(*ends))
    assert plan.mean_chord_m == pytest.approx(8 / (3 * math.pi) * root, rel=1e-5)
    assert plan.chord_place_m == pytest.approx(4 / (3 * math.pi), rel=1e-5)
    assert plan.area_m2 == pytest.approx(0.5 * math.pi * root, rel=1e-5)


def test_dihedral_by_area_and_arm_of_two_and_three_equal_panels() -> None:
    """By hand, one chord: weights 1/4 and 3/4; three equal panels 1/9, 3/9 and 5/9."""
    two = polyhedral((0.5, 3, 0.2), (1.0, 10, 0.2))
    assert math.degrees(equivalent_dihedral_rad(two)) == pytest.approx(8.25, abs=1e-9)
    three = polyhedral((1 / 3, 0, 0.2), (2 / 3, 8, 0.2), (1.0, 16, 0.2))
    assert math.degrees(equivalent_dihedral_rad(three)) == pytest.approx((8 * 3 + 16 * 5) / 9, abs=1e-9)


def test_dihedral_with_an_elliptic_weight() -> None:
    """M. Drela, "Equivalent Dihedral Angle", MIT course notes, eq. 5 with f = (1 - eta^2)^(3/2), by hand.

    f(1/2) = (3/4)^(3/2) = 0.649519, so that 3 and 10 degrees make 3 (1 - f) + 10 f.
    """
    two = polyhedral((0.5, 3, 0.2), (1.0, 10, 0.12))
    assert math.degrees(elliptic_dihedral_rad(two)) == pytest.approx(3 * 0.350481 + 10 * 0.649519, abs=1e-5)


def test_the_trade_values_of_dihedral_lie_between_the_taper_of_common_wings() -> None:
    """Check values of the trade, chords not stated: 3 and 10 degrees at half span 7.95 degrees.

    A wing of one chord makes more, one with a pointed tip less; the trade's value is that of a taper between.
    """
    plain, pointed = (
        math.degrees(equivalent_dihedral_rad(polyhedral((0.5, 3, 0.5 * (0.2 + tip)), (1.0, 10, tip))))
        for tip in (0.2, 1e-6)
    )
    assert pointed < 7.95 < plain


def test_the_spiral_parameter_of_the_trade() -> None:
    """Check values of the trade: arm 0.65 m, span 2 m, 8 degrees; lift 0.6 makes 4.3, lift 0.9 makes 2.9."""
    found = [spiral_parameter(0.65, 2.0, math.radians(8), lift) for lift in (0.6, 0.9)]
    assert [round(number, 1) for number in found] == [4.3, 2.9]


@pytest.mark.parametrize(("volume", "share"), [(0.35, 0.46), (0.45, 0.52), (0.55, 0.58)])
def test_the_quick_neutral_point_of_the_trade(volume: float, share: float) -> None:
    """Check values of the trade for aspect ratios 11 and 5.5, after M. Drela's course notes at MIT."""
    assert round(quick_neutral_point(11.0, 5.5, volume), 2) == share


def test_a_v_tail_shares_its_area_by_squares() -> None:
    """Purser and Campbell, NACA Report 823 (1945): S cos^2 and S sin^2; at 45 degrees half and half."""
    flat, steep = tail_areas_m2(row((0, 0, 0, 0.1), (0, 0.2, 0.2, 0.1)))
    assert flat == pytest.approx(steep)
    assert flat + steep == pytest.approx(2 * 0.1 * math.hypot(0.2, 0.2))


def test_a_fin_of_two_pieces_is_their_sum() -> None:
    upper, lower = row((0, 0, 0, 0.15), (0.05, 0, 0.2, 0.1)), row((0, 0, 0, 0.15), (0.02, 0, -0.05, 0.12))
    both = upright_planform([*upper, *lower])
    assert both.area_m2 == pytest.approx(0.2 * 0.125 + 0.05 * 0.135)
    assert both.span_m == pytest.approx(0.25)


def test_the_surface_of_a_cone() -> None:
    """Lateral surface of a circular cone: pi r sqrt(r^2 + h^2)."""
    cone = [Ring(0.0, 0.0, 0.0, 0.0), Ring(0.3, 0.1, -0.05, 0.05)]
    assert wetted_area_m2(cone) == pytest.approx(math.pi * 0.05 * math.hypot(0.05, 0.3), rel=1e-12)


def test_the_perimeter_of_an_ellipse() -> None:
    """Ellipse with half axes 2 and 1: perimeter 9.688448220547675 (4 a E(m), complete elliptic integral)."""
    ellipse = [Ring(x, 4.0, -1.0, 1.0) for x in (0.0, 1.0)]
    assert wetted_area_m2(ellipse) == pytest.approx(9.688448220547675, rel=1e-7)
