"""Fins and tail closed up: which ends meet, which surfaces are cut, and that the grid does not decide."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest

from glidewright.models.aero.derivatives import Derivatives, derivatives
from glidewright.models.aero.joints import cut_at, joined
from glidewright.models.aero.lattice import Flow, build_lattice
from glidewright.models.aero.shape import Hinge, Reference, Section, Surface, area_m2

REFERENCE = Reference(0.36, 2.0, 0.184)
WING = Surface(
    "wing",
    (Section(0.0, 0.0, 0.01, 0.2), Section(0.0, 0.5, 0.04, 0.2), Section(0.02, 1.0, 0.14, 0.12)),
    (5, 9),
    chordwise=2,
)
RUDDER = ((Hinge("rudder", 0.5),),)


def tail(z_m: float) -> Surface:
    plan = Section(0.74, 0.0, z_m, 0.11), Section(0.76, 0.21, z_m, 0.08)
    return Surface("tail", plan, (6,), chordwise=2)


def fin(low_m: float, top_m: float, y_m: float = 0.0, number: int = 1) -> Surface:
    plan = Section(0.72, y_m, low_m, 0.16), Section(0.76, y_m, top_m, 0.11)
    return Surface(f"fin {number}", plan, (6,), symmetric=False, chordwise=2, hinges=RUDDER)


def finer(surfaces: Sequence[Surface], times: int) -> list[Surface]:
    return [replace(one, spanwise=tuple(times * count for count in one.spanwise)) for one in surfaces]


def slopes(surfaces: Sequence[Surface]) -> Derivatives:
    lattice = build_lattice(surfaces)
    return derivatives(lattice, REFERENCE, Flow(alpha_rad=0.04), (0.06, 0.0, 0.0))


LAYOUTS = {
    "tail near the foot": (tail(0.005), fin(-0.005, 0.2)),
    "fin above and below": (tail(0.005), fin(-0.005, 0.2), fin(-0.06, -0.015, number=2)),
    "tail through the fin": (tail(0.08), fin(0.0, 0.2)),
    "tail on top": (tail(0.19), fin(0.0, 0.2)),
    "fins at the tips": (tail(0.0), fin(0.01, 0.12, 0.205), fin(0.01, 0.12, -0.205, 2)),
    "fins inboard": (tail(0.0), fin(0.01, 0.12, 0.11), fin(0.01, 0.12, -0.11, 2)),
}


@pytest.mark.parametrize("layout", LAYOUTS)
def test_the_grid_does_not_decide_what_sideslip_does(layout: str) -> None:
    # Before ends were closed up, four times the strips gave twice the yaw stiffness. A fin whose foot alone
    # stands on the tail converges slowest, from below.
    surfaces = joined([WING, *LAYOUTS[layout]])
    used, fine = slopes(surfaces), slopes(finer(surfaces, 4))
    for pair in (("side", "beta"), ("yaw", "beta"), ("yaw", "yaw_rate"), ("yaw", "rudder")):
        assert used.of(*pair)[0] == pytest.approx(fine.of(*pair)[0], rel=0.10), pair


def test_near_ends_meet_and_far_ones_stay() -> None:
    for gap in (-0.02, 0.0, 0.02):
        _, closed = joined([tail(0.0), fin(gap, 0.2)])
        assert [section.z_m for section in closed.sections] == [0.0, 0.2]
    _, far = joined([tail(-0.15), fin(0.0, 0.2)])
    assert far == fin(0.0, 0.2)
    ahead = replace(tail(0.0), sections=tuple(replace(one, x_m=0.3) for one in tail(0.0).sections))
    assert joined([ahead, fin(0.01, 0.2)]) == [ahead, fin(0.01, 0.2)]


def test_a_tail_through_a_fin_cuts_it_and_keeps_its_rudder() -> None:
    _, cut = joined([tail(0.08), fin(0.0, 0.2)])
    assert [section.z_m for section in cut.sections] == [0.0, 0.08, 0.2]
    assert cut.hinges == RUDDER * 2
    assert area_m2(cut) == pytest.approx(area_m2(fin(0.0, 0.2)))


def test_fins_inboard_cut_the_tail_once_for_a_pair() -> None:
    found, first, second = joined([tail(0.0), fin(0.01, 0.12, 0.11), fin(0.01, 0.12, -0.11, 2)])
    assert [section.y_m for section in found.sections] == [0.0, 0.11, 0.21]
    assert (first.sections[0].z_m, second.sections[0].y_m) == (0.0, -0.11)


def test_halves_of_a_fin_without_a_tail_meet_in_the_middle() -> None:
    upper, lower = joined([fin(0.0, 0.2), fin(-0.06, -0.02, number=2)])
    assert upper.sections[0].z_m == lower.sections[-1].z_m == pytest.approx(-0.01)


def test_a_cut_keeps_the_shape() -> None:
    cut = cut_at(WING, "y_m", (0.25, 0.5, 0.75))
    assert [section.y_m for section in cut.sections] == [0.0, 0.25, 0.5, 0.75, 1.0]
    assert area_m2(cut) == pytest.approx(area_m2(WING))
    assert cut_at(WING, "y_m", (0.0, 1.0)) is WING
    assert np.sum(cut.spanwise) == pytest.approx(14, abs=2)
