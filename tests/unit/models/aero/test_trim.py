"""The trimmed polar: laws that hold whatever the sections, and agreement of its two roads."""

import dataclasses

import numpy as np
import pytest

from glidewright.base.errors import OutsideModelError
from glidewright.domain.model import Model
from glidewright.models.aero import section as sections
from glidewright.models.aero.derivatives import coefficients, derivatives
from glidewright.models.aero.glider import Glider, glider_of
from glidewright.models.aero.lattice import Flow, forces
from glidewright.models.aero.polar_parts import polar_parts
from glidewright.models.aero.section_drag import STATES, StripSections, curves_of
from glidewright.models.aero.section_table import grid
from glidewright.models.aero.trim import (
    Factors,
    TrimmedPolar,
    attitudes,
    balance_of,
    neutral_point,
    trimmed_polar,
)

CENTRE = np.array([0.07, 0.0, 0.0])
AIR = {"density_kg_m3": 1.2, "viscosity_Pa_s": 1.8e-5}
SPEEDS = np.linspace(5.4, 14.0, 40)


@pytest.fixture(scope="module")
def glider(demo: Model) -> Glider:
    assert demo.airframe.geometry is not None
    return glider_of(demo.airframe.geometry, demo.airframe.wing_area_m2.value)


def test_lift_is_weight_and_nothing_pitches(glider: Glider) -> None:
    polar = trimmed_polar(glider, SPEEDS, mass_kg=0.6, centre_m=CENTRE, **AIR)
    flow = Flow(polar.alpha_rad, inputs={"elevator": polar.elevator_rad})
    found = coefficients(forces(glider.lattice, flow, CENTRE), glider.reference)
    weight = 0.6 * 9.80665 / (0.5 * 1.2 * SPEEDS**2 * glider.reference.area_m2)
    assert found[:, 0] == pytest.approx(weight, rel=1e-9)
    body = glider.body_moment_m3 / (glider.reference.area_m2 * glider.reference.chord_m)
    assert np.abs(found[:, 4] + body * polar.alpha_rad).max() < 2e-5


def test_it_lies_in_the_range_of_the_trade(glider: Glider) -> None:
    # common practice for such models: least sink 0.35 to 0.50 m/s, best glide 14 to 20, ceiling 1.0 to 1.2
    polar = trimmed_polar(glider, SPEEDS, mass_kg=0.6, centre_m=CENTRE, **AIR)
    flown = ~polar.stalled
    assert 14.0 < polar.glide_ratio[flown].max() < 20.0
    assert 0.30 < polar.sink_m_s[flown].min() < 0.50
    assert 0.9 < polar.lift_ceiling[0] < 1.2


def test_slower_needs_more_up_elevator_and_behind_the_neutral_point_less(glider: Glider) -> None:
    polar = trimmed_polar(glider, SPEEDS, mass_kg=0.6, centre_m=CENTRE, **AIR)
    assert np.all(np.diff(polar.elevator_rad) > 0.0)
    behind = CENTRE + np.array([neutral_point(glider, CENTRE) + 0.02 - CENTRE[0], 0.0, 0.0])
    unstable = trimmed_polar(glider, SPEEDS, mass_kg=0.6, centre_m=behind, **AIR)
    assert np.all(np.diff(unstable.elevator_rad) < 0.0)


def test_at_the_neutral_point_the_elevator_does_not_move_with_speed(glider: Glider) -> None:
    at = np.array([neutral_point(glider, CENTRE), 0.0, 0.0])
    lift = np.array([0.55, 0.65])
    low, high = attitudes(glider, lift, at).elevator_rad
    ahead_low, ahead_high = attitudes(glider, lift, CENTRE).elevator_rad
    assert abs(high - low) < 0.03 * abs(ahead_high - ahead_low)


def test_factors_do_what_their_names_say(glider: Glider) -> None:
    def flown(**changes: float) -> TrimmedPolar:
        factors = dataclasses.replace(Factors(), **changes)
        return trimmed_polar(glider, SPEEDS, mass_kg=0.6, centre_m=CENTRE, factors=factors, **AIR)

    plain = flown()
    for name, part in (("profile", "profile_drag"), ("induced", "induced_drag"), ("rest", "rest_drag")):
        assert getattr(flown(**{name: 1.2}), part) == pytest.approx(1.2 * getattr(plain, part))
    assert flown(ceiling=0.9).lift_ceiling == pytest.approx(0.9 * plain.lift_ceiling)
    assert np.all(flown(rough=1.0).profile_drag != flown(rough=0.0).profile_drag)


def test_the_parts_of_a_launch_put_the_same_polar_together(glider: Glider) -> None:
    lift, speed = -0.5 + 0.075 * np.arange(28), 4.0 + 2.5 * np.arange(8)
    parts = polar_parts(glider, lift, speed, CENTRE, 1.8e-5 / 1.2)
    node = 3
    mass = 0.5 * 1.2 * speed**2 * glider.reference.area_m2 * lift[14] / 9.80665
    whole = trimmed_polar(
        glider, speed[node], mass_kg=float(mass[node]), centre_m=CENTRE, factors=Factors(rough=0.0), **AIR
    )
    assert parts.profile[0, node, 14] == pytest.approx(whole.profile_drag[0], rel=1e-9)
    assert parts.rest[node] == pytest.approx(whole.rest_drag[0], rel=1e-9)
    rising = np.polynomial.polynomial.polyval(lift, parts.induced) + parts.induced_left
    assert rising[14] == pytest.approx(whole.induced_drag[0], rel=1e-9)
    assert np.abs(parts.induced_left[8:22]).max() < 1e-4  # a parabola but for large angles
    assert parts.ceiling[0, node] == pytest.approx(whole.lift_ceiling[0], rel=5e-3)


def test_balance_answers_as_a_new_trim_does(glider: Glider) -> None:
    known = attitudes(glider, [0.4, 0.8], CENTRE)
    found = balance_of(glider, known, CENTRE)
    moved = attitudes(glider, [0.4, 0.8], CENTRE + np.array([0.01, 0.0, 0.0]))
    assert moved.elevator_rad - known.elevator_rad == pytest.approx(0.01 * found.per_metre, rel=0.02)
    turned = attitudes(glider, [0.4, 0.8], CENTRE, 0.02)
    assert turned.elevator_rad - known.elevator_rad == pytest.approx(0.02 * found.per_radian, rel=0.02)


def test_slow_flight_is_marked_as_below_the_measured_range(glider: Glider) -> None:
    polar = trimmed_polar(glider, [4.0, 12.0], mass_kg=0.3, centre_m=CENTRE, **AIR)
    assert polar.below_measured.tolist() == [True, False]


def test_without_an_elevator_it_flies_untrimmed(demo: Model) -> None:
    assert demo.airframe.geometry is not None
    tailless = glider_of(demo.airframe.geometry.model_copy(update={"tail": None}))
    assert not tailless.trims
    polar = trimmed_polar(tailless, SPEEDS, mass_kg=0.6, centre_m=CENTRE, **AIR)
    lift = forces(tailless.lattice, Flow(polar.alpha_rad)).lift_m2 / tailless.reference.area_m2
    assert lift == pytest.approx(polar.lift_coefficient, rel=1e-9)
    assert np.all(polar.elevator_rad == 0.0)


def test_an_unknown_section_is_refused(demo: Model) -> None:
    shape = demo.airframe.geometry
    assert shape is not None
    panels = (shape.panels[0].model_copy(update={"section": "nosuch99"}), *shape.panels[1:])
    with pytest.raises(OutsideModelError, match="nosuch99"):
        glider_of(shape.model_copy(update={"panels": panels}))


@pytest.mark.parametrize("name", ["SD7037", "AG35", "HT08", "NACA 0009"])
@pytest.mark.parametrize("state", STATES)
def test_curves_by_lift_are_those_of_the_section_table(name: str, state: int) -> None:
    one = sections.section(name)
    strips = StripSections(
        curves_of(one).drag[None],
        curves_of(one).highest[None],
        *np.zeros((2, 1), dtype=np.int64),
        np.zeros(1),
    )
    row = 7
    reynolds = np.full((9, 1), grid().reynolds[row])
    lift = np.linspace(-0.1, 0.8, 9)[:, None]
    wanted, _ = sections.cd_of_cl(one, lift, reynolds, float(state))
    found = strips.drag_coefficient(lift, reynolds)[state] / sections.drag_factor(reynolds).value
    assert found == pytest.approx(wanted, rel=0.03)
    top, _ = sections.highest_lift(one, reynolds, float(state))
    by_tunnel = sections.highest_lift_factor(reynolds).value
    assert strips.highest_lift(reynolds)[state] / by_tunnel == pytest.approx(top)


def test_right_rudder_turns_the_nose_right_on_a_fin_and_on_a_v_tail(demo: Model) -> None:
    geometry = demo.airframe.geometry
    assert geometry is not None
    assert geometry.tail is not None
    steep = geometry.tail.dihedral_rad.model_copy(update={"value": 0.6})
    tail = geometry.tail.model_copy(update={"v_tail": True, "dihedral_rad": steep})
    v_tail = geometry.model_copy(update={"tail": tail, "fins": ()})
    yaw = {}
    for name, shape in (("fin", geometry), ("v-tail", v_tail)):
        glider = glider_of(shape)
        found = derivatives(glider.lattice, glider.reference, Flow(alpha_rad=0.05), CENTRE)
        yaw[name] = float(found.of("yaw", "rudder")[0])
    assert yaw["fin"] > 0.001
    assert yaw["v-tail"] > 0.001
