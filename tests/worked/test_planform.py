"""Plan form against textbooks, published rules and the trade's check values."""

import math
from itertools import pairwise

import pytest
from outside import held, held_all

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

ROUNDING = "rounding"
DIGIT = "half of the last printed digit"


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
    raymer = {
        "source": "Raymer, Aircraft Design, figure 4.17",
        "because": ROUNDING,
        "rel": 1e-12,
    }
    held(f"mean chord, taper {taper:g}", plan.mean_chord_m, chord, unit="m", **raymer)
    held(f"place of the mean chord along the span, taper {taper:g}", plan.chord_place_m, place, **raymer)
    front = place * math.tan(sweep)
    held(f"front of the mean chord, taper {taper:g}", plan.chord_front_x_m, front, unit="m", **raymer)
    assert plan.area_m2 == pytest.approx(half * root * (1 + taper), rel=1e-12)
    assert plan.aspect_ratio == pytest.approx(4 * half / (root * (1 + taper)), rel=1e-12)


def test_mean_chord_of_the_warren_12_wing() -> None:
    """Published reference planform: span, area and aspect ratio 2 sqrt(2), taper 1/3; mean chord as above.

    Root chord 1.5, tip chord 0.5, leading edge swept 53.54 degrees (the common definition of the benchmark).
    """
    half = math.sqrt(2)
    plan = mirrored_planform(row((0, 0, 0, 1.5), (half * math.tan(math.radians(53.54)), half, 0, 0.5)))
    warren = {"source": "Warren-12, a published reference planform", "because": ROUNDING, "rel": 1e-12}
    held("area of the Warren-12 wing", plan.area_m2, 2 * half, unit="m2", **warren)
    held("aspect ratio of the Warren-12 wing", plan.aspect_ratio, 2 * half, **warren)
    held("mean chord of the Warren-12 wing", plan.mean_chord_m, 13 / 12, unit="m", **warren)


def test_mean_chord_of_an_ellipse_in_many_pieces() -> None:
    """Elliptic wing: mean chord 8 / (3 pi) of the root chord, at 4 / (3 pi) of the half span, by sums."""
    count, root = 400, 0.22
    ends = []
    for step in range(count + 1):
        eta = math.sin(0.5 * math.pi * step / count)
        ends.append((0.0, eta, 0.0, root * math.sqrt(max(1.0 - eta**2, 0.0))))
    plan = mirrored_planform(row(*ends))
    ellipse = {"source": "closed form of an ellipse", "because": "400 straight pieces", "rel": 1e-5}
    held("mean chord of an ellipse", plan.mean_chord_m, 8 / (3 * math.pi) * root, unit="m", **ellipse)
    held("place of its mean chord", plan.chord_place_m, 4 / (3 * math.pi), unit="m", **ellipse)
    held("its area", plan.area_m2, 0.5 * math.pi * root, unit="m2", **ellipse)


def test_dihedral_by_area_and_arm_of_two_and_three_equal_panels() -> None:
    """By hand, one chord: weights 1/4 and 3/4; three equal panels 1/9, 3/9 and 5/9."""
    two = polyhedral((0.5, 3, 0.2), (1.0, 10, 0.2))
    by_hand = {"source": "area and arm by hand", "because": ROUNDING, "abs": 1e-9, "unit": "deg"}
    held("dihedral of two equal panels", math.degrees(equivalent_dihedral_rad(two)), 8.25, **by_hand)
    three = polyhedral((1 / 3, 0, 0.2), (2 / 3, 8, 0.2), (1.0, 16, 0.2))
    found = math.degrees(equivalent_dihedral_rad(three))
    held("dihedral of three equal panels", found, (8 * 3 + 16 * 5) / 9, **by_hand)


def test_dihedral_with_an_elliptic_weight() -> None:
    """M. Drela, "Equivalent Dihedral Angle", MIT course notes, eq. 5 with f = (1 - eta^2)^(3/2), by hand.

    f(1/2) = (3/4)^(3/2) = 0.649519, so that 3 and 10 degrees make 3 (1 - f) + 10 f.
    """
    two = polyhedral((0.5, 3, 0.2), (1.0, 10, 0.12))
    held(
        "dihedral with an elliptic weight",
        math.degrees(elliptic_dihedral_rad(two)),
        3 * 0.350481 + 10 * 0.649519,
        abs=1e-5,
        unit="deg",
        source="Drela, Equivalent Dihedral Angle, MIT course notes, equation 5, by hand",
        because="six digits worked by hand",
    )


def tapered(*panels: tuple[float, float], taper: float) -> float:
    """Dihedral in degrees by area and arm, half span 1 m, straight taper; panels: end, angle in degrees."""
    ends = [(y, angle, 0.2 * (1.0 - (1.0 - taper) * y)) for y, angle in panels]
    return math.degrees(equivalent_dihedral_rad(polyhedral(*ends)))


TWO = ((0.5, 3.0), (1.0, 10.0))
THREE = ((1 / 3, 0.0), (2 / 3, 8.0), (1.0, 16.0))


def test_the_trade_value_of_two_panels_is_that_of_a_straight_taper() -> None:
    """Check value of the trade: 3 and 10 degrees from half span on make 7.95; its chords are not stated.

    One chord makes 8.25. The usual straight taper from 1 to 0.62 makes the trade's number to its last digit.
    """
    assert tapered(*TWO, taper=1.0) == pytest.approx(8.25, abs=1e-9)
    held(
        "equivalent dihedral of two panels, straight taper 0.62",
        tapered(*TWO, taper=0.62),
        7.95,
        source="check value of the trade, by area and arm, chords not stated",
        because="printed to two decimals",
        abs=0.005,
        unit="°",
    )


def test_the_trade_value_of_three_panels_needs_more_than_equal_ones() -> None:
    """Check value of the trade: 0, 8 and 16 degrees make 9.8; neither chords nor lengths are stated.

    Equal panels make 11.56 with one chord and 10.95 with the taper that gives the value above; only a tip of
    a quarter of the root would make 9.8. A wing of one chord with panels of 45, 30 and 25 per cent makes
    9.88: the number is one of unequal panels, and is not held any closer than that.
    """
    assert tapered(*THREE, taper=1.0) == pytest.approx(104.0 / 9.0, abs=1e-9)
    assert tapered(*THREE, taper=0.62) == pytest.approx(10.95, abs=0.005)
    assert tapered(*THREE, taper=0.255) == pytest.approx(9.8, abs=0.005)
    unequal = ((0.45, 0.0), (0.75, 8.0), (1.0, 16.0))
    assert tapered(*unequal, taper=1.0) == pytest.approx(9.88, abs=0.005)


def test_the_spiral_parameter_of_the_trade() -> None:
    """Check values of the trade: arm 0.65 m, span 2 m, 8 degrees; lift 0.6 makes 4.3, lift 0.9 makes 2.9."""
    found = [spiral_parameter(0.65, 2.0, math.radians(8), lift) for lift in (0.6, 0.9)]
    assert [round(number, 1) for number in found] == [4.3, 2.9]
    held_all(
        "spiral parameter at lift coefficients 0.6 and 0.9",
        found,
        [4.3, 2.9],
        abs=0.05,
        source="check values of the trade",
        because=DIGIT,
    )


@pytest.mark.parametrize(("volume", "share"), [(0.35, 0.46), (0.45, 0.52), (0.55, 0.58)])
def test_the_quick_neutral_point_of_the_trade(volume: float, share: float) -> None:
    """Check values of the trade for aspect ratios 11 and 5.5, after M. Drela's course notes at MIT."""
    found = quick_neutral_point(11.0, 5.5, volume)
    assert round(found, 2) == share
    held(
        f"quick neutral point, tail volume {volume:g}",
        found,
        share,
        abs=0.005,
        source="check values of the trade, after Drela's course notes at MIT",
        because=DIGIT,
    )


def test_a_v_tail_shares_its_area_by_squares() -> None:
    """Purser and Campbell, NACA Report 823 (1945): S cos^2 and S sin^2; at 45 degrees half and half."""
    flat, steep = tail_areas_m2(row((0, 0, 0, 0.1), (0, 0.2, 0.2, 0.1)))
    half = 0.1 * math.hypot(0.2, 0.2)
    naca = "Purser and Campbell, NACA Report 823 (1945): half and half at 45 degrees"
    areas = "flat and steep area of a V-tail"
    held_all(areas, (flat, steep), (half, half), rel=1e-6, unit="m2", source=naca, because=ROUNDING)


def test_a_fin_of_two_pieces_is_their_sum() -> None:
    upper, lower = row((0, 0, 0, 0.15), (0.05, 0, 0.2, 0.1)), row((0, 0, 0, 0.15), (0.02, 0, -0.05, 0.12))
    both = upright_planform([*upper, *lower])
    assert both.area_m2 == pytest.approx(0.2 * 0.125 + 0.05 * 0.135)
    assert both.span_m == pytest.approx(0.25)


def test_the_surface_of_a_cone() -> None:
    """Lateral surface of a circular cone: pi r sqrt(r^2 + h^2)."""
    cone = [Ring(0.0, 0.0, 0.0, 0.0), Ring(0.3, 0.1, -0.05, 0.05)]
    held(
        "surface of a cone",
        wetted_area_m2(cone),
        math.pi * 0.05 * math.hypot(0.05, 0.3),
        rel=1e-12,
        unit="m2",
        source="closed form, pi r sqrt(r^2 + h^2)",
        because=ROUNDING,
    )


def test_the_perimeter_of_an_ellipse() -> None:
    """Ellipse with half axes 2 and 1: perimeter 9.688448220547675 (4 a E(m), complete elliptic integral)."""
    ellipse = [Ring(x, 4.0, -1.0, 1.0) for x in (0.0, 1.0)]
    held(
        "perimeter of an ellipse with half axes 2 and 1",
        wetted_area_m2(ellipse),
        9.688448220547675,
        rel=1e-7,
        unit="m",
        source="complete elliptic integral, 4 a E(m)",
        because="terms of the series",
    )
