"""Handling: motions, margins, turn and faults over draws, and models that lack something."""

import math
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from glidewright.base.figure import Given
from glidewright.data import packaged
from glidewright.decisions import glide
from glidewright.decisions.gliding.handling import feels
from glidewright.decisions.gliding.handling_edges import (
    elevator_edge_chord_m,
    lift_of_edge_m,
    rudder_edge_chord_m,
)
from glidewright.decisions.gliding.handling_nouns import HandlingAnswer
from glidewright.decisions.gliding.nouns import GlideResult
from glidewright.domain.geometry import Geometry
from glidewright.domain.model import Model
from glidewright.store.reading import read_model

DRAWS = 128


@pytest.fixture(scope="module")
def model() -> Model:
    return read_model(Path(str(packaged("demo", "hill-demo"))))


@pytest.fixture(scope="module")
def handling(model: Model) -> HandlingAnswer:
    found = glide.run(glide.GlideRequest(model=model, draws=DRAWS)).handling
    assert found is not None
    return found


def changed(model: Model, **update: object) -> GlideResult:
    assert model.airframe.geometry is not None
    geometry = model.airframe.geometry.model_copy(update=update)
    airframe = model.airframe.model_copy(update={"geometry": geometry})
    return glide.run(glide.GlideRequest(model=model.model_copy(update={"airframe": airframe}), draws=DRAWS))


def geometry_of(model: Model) -> Geometry:
    assert model.airframe.geometry is not None
    return model.airframe.geometry


@given(st.floats(-0.3, 0.5))
def test_every_margin_feels_somehow(margin: float) -> None:
    assert feels(margin)
    assert feels(margin).startswith("unstable") == (margin <= 0.0)


def test_margins_count_back_from_the_neutral_point(handling: HandlingAnswer, model: Model) -> None:
    neutral = handling.neutral_point_x.value
    assert neutral is not None
    chord = 0.18416
    for row in handling.margins:
        assert row.centre_x.value == pytest.approx(neutral - row.static_margin * chord, abs=0.0005)
    stated = [row.centre_x.value for row in handling.margins[3:]]
    ends = (model.airframe.balance_front_x_m, model.airframe.balance_rear_x_m)
    assert stated == [end.value for end in ends if end is not None]


def test_both_speeds_have_all_motions_with_their_names(handling: HandlingAnswer) -> None:
    assert len(handling.modes) == 2
    for at in handling.modes:
        assert [mode.name for mode in at.longitudinal] == ["short period", "phugoid"]
        assert [mode.name for mode in at.lateral] == ["roll subsidence", "Dutch roll", "spiral"]
    slow, fast = handling.modes
    assert fast.airspeed_m_s > slow.airspeed_m_s
    # roll damping goes with speed, so the roll dies away faster
    assert fast.lateral[0].root_real_per_s < slow.lateral[0].root_real_per_s < 0.0


def test_times_and_damping_follow_from_the_root(handling: HandlingAnswer) -> None:
    for at in handling.modes:
        for mode in (*at.longitudinal, *at.lateral):
            root = complex(mode.root_real_per_s, mode.root_imaginary_per_s)
            time = mode.time_to_half if root.real < 0.0 else mode.time_to_double
            if time.value is None:  # a root about zero grows in some draws and dies away in others
                assert abs(root.real) < 0.05
            else:
                assert time.value == pytest.approx(math.log(2.0) / abs(root.real), rel=0.05)
            if root.imag == 0.0:
                assert mode.period.value is None
                assert mode.damping_ratio.value is None
            else:
                assert mode.damping_ratio.value == pytest.approx(-root.real / abs(root), rel=0.05)


def test_rudder_to_the_right_turns_to_the_right_and_faster_at_speed(handling: HandlingAnswer) -> None:
    assert handling.turn is not None
    slow, fast = handling.turn.rows
    assert 0.0 < (slow.bank_after.value or 0.0) < (fast.bank_after.value or 0.0)
    assert 0.0 < (slow.roll_rate.value or 0.0) < (fast.roll_rate.value or 0.0)


def test_edges(model: Model) -> None:
    geometry = geometry_of(model)
    assert elevator_edge_chord_m(geometry) == pytest.approx(0.35 * 0.108)
    assert rudder_edge_chord_m(geometry) == pytest.approx(0.5 * 0.165)
    assert elevator_edge_chord_m(None) is None
    assert lift_of_edge_m(0.206, math.radians(1.0)) == pytest.approx(0.206 * 0.0174524)
    assert geometry.tail is not None
    share = Given(value=1.0, grade="quoted")
    moving = geometry.model_copy(update={"tail": geometry.tail.model_copy(update={"elevator_share": share})})
    assert elevator_edge_chord_m(moving) == pytest.approx(0.75 * 0.108)


def test_without_a_rudder_faults_have_no_trim_and_there_is_no_turn(model: Model) -> None:
    still = Given(value=0.0, grade="quoted")
    fins = tuple(fin.model_copy(update={"rudder_share": still}) for fin in geometry_of(model).fins)
    found = changed(model, fins=fins).handling
    assert found is not None
    assert found.turn is None
    row = next(row for row in found.faults if "Fin" in row.title)
    assert row.angle.value is None
    assert "no rudder" in row.angle.because
    assert "rolls right" in row.tendency


def test_without_a_tail_it_is_unstable_and_says_so(model: Model) -> None:
    found = changed(model, tail=None)
    assert found.handling is not None
    assert found.polar.elevator is None
    assert found.findings[0].severity == "broken"
    assert not any("Tail" in row.title for row in found.handling.faults)
    wing = next(row for row in found.handling.faults if "Wing incidence" in row.title)
    assert "no elevator" in wing.angle.because


def test_less_dihedral_turns_slower(model: Model, handling: HandlingAnswer) -> None:
    flat = Given(value=0.02, grade="quoted")
    panels = tuple(panel.model_copy(update={"dihedral_rad": flat}) for panel in geometry_of(model).panels)
    found = changed(model, panels=panels).handling
    assert found is not None
    assert found.turn is not None
    assert handling.turn is not None
    small, usual = found.turn.rows[0].roll_rate.value, handling.turn.rows[0].roll_rate.value
    assert small is not None
    assert usual is not None
    assert small < 0.5 * usual
    spiral = {one.name: one.figure.value for one in found.measures}["spiral"]
    assert spiral is not None
    assert spiral < 1.0
    named = {mode.name: mode for mode in found.modes[0].lateral}
    assert named["spiral"].root_real_per_s > np.min([m.root_real_per_s for m in named.values()])


def test_every_slope_says_what_it_is_uncertain_by(handling: HandlingAnswer) -> None:
    by_name = {named.name: named.figure for named in handling.slopes}
    for figure in by_name.values():
        assert figure.low is not None and figure.high is not None
        assert abs(figure.high - figure.low) > 0.04 * abs(figure.value or 0.0)
        assert figure.because.startswith(("spread mostly from", "many small causes"))
    for name, cause in (
        ("lift_alpha", "lift slope of the wing's sections"),
        ("yaw_beta", "the vortex lattice (yaw)"),
        ("pitch_elevator", "effect of real flaps"),
        ("yaw_rudder", "effect of real flaps"),
        ("pitch_alpha", "neutral point of the computed flow"),
    ):
        assert cause in by_name[name].because
    lift, pitch = by_name["lift_alpha"].value, by_name["pitch_alpha"].value
    assert lift is not None and pitch is not None and handling.static_margin.value is not None
    assert pitch == pytest.approx(-handling.static_margin.value * lift, rel=0.05)


def test_motions_and_turns_say_it_too(handling: HandlingAnswer) -> None:
    roll = handling.modes[0].lateral[0].time_to_half
    assert "lift slope of the wing's sections" in roll.because
    assert handling.turn is not None
    assert "effect of real flaps" in handling.turn.rows[0].bank_after.because


def test_an_all_moving_tail_is_no_flap(model: Model) -> None:
    tail = geometry_of(model).tail
    assert tail is not None
    moving = tail.model_copy(update={"elevator_share": Given(value=1.0, grade="quoted")})
    found = changed(model, tail=moving).handling
    assert found is not None
    pitch = next(named.figure for named in found.slopes if named.name == "pitch_elevator")
    assert "effect of real flaps" not in pitch.because


def test_a_shape_without_a_body_has_none_in_its_spread(model: Model) -> None:
    found = changed(model, body=None, bays=()).handling
    assert found is not None
    assert not any("body" in named.figure.because for named in found.slopes)
