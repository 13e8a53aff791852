from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from glidewright.base.figure import Given
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.parts import Altimeter, Controller, Motor, Pack, Propeller
from glidewright.domain.scoring import HeightKnee, Scoring
from glidewright.forecast.prediction import Prediction
from glidewright.rules.finding import Finding
from glidewright.rules.part_limits import equal_heat_current_A, judge_parts

Predict = Callable[..., Prediction]
MOTOR = Motor(id="motor", max_current_A=Given(value=20.0), max_current_time_s=Given(value=30.0))
PACK = Pack(id="pack", cells=2, capacity_As=Given(value=1980.0), c_rating=Given(value=30.0))


def by_name(findings: list[Finding]) -> dict[str, Finding]:
    named = {found.name: found for found in findings}
    assert len(named) == len(findings)
    return named


def test_the_motor_current_is_judged_by_its_draws(predict: Predict) -> None:
    prediction = predict(MOTOR, launch_motor_current_A=[18.0, 19.0, 20.0, 21.0], motor_run_s=30.0)
    found = by_name(judge_parts(prediction))["motor_current"]
    assert (found.chance, found.severity) == (0.75, "doubtful")


def test_a_limit_that_holds_for_less_than_the_run_is_judged_by_equal_heat(predict: Predict) -> None:
    short = MOTOR.model_copy(update={"max_current_time_s": Given(value=15.0)})
    for current_A, kept in ((14.0, True), (14.3, False)):
        found = by_name(judge_parts(predict(short, launch_motor_current_A=current_A, motor_run_s=30.0)))
        assert found["motor_current"].kept is kept
        assert found["motor_current"].value.value == current_A
        assert "equal heat" in found["motor_current"].because


def test_a_run_shorter_than_the_stated_time_keeps_the_stated_current(predict: Predict) -> None:
    found = by_name(judge_parts(predict(MOTOR, launch_motor_current_A=20.0, motor_run_s=10.0)))
    assert found["motor_current"].kept is True
    assert "equal heat" not in found["motor_current"].because


@given(st.floats(1, 100), st.floats(1, 100), st.floats(1, 100))
def test_equal_heat_never_allows_more_than_stated(limit_A: float, time_s: float, run_s: float) -> None:
    allowed_A = float(equal_heat_current_A(limit_A, time_s, np.array([run_s]))[0])
    assert allowed_A <= limit_A
    assert allowed_A**2 * max(run_s, time_s) == pytest.approx(limit_A**2 * time_s)


def test_what_no_seller_states_is_unknown_and_asks_for_it(predict: Predict) -> None:
    bare_pack = PACK.model_copy(update={"c_rating": None})
    propeller = Propeller(id="blades", diameter_m=Given(value=0.2794), pitch_m=Given(value=0.1524))
    parts = (Motor(id="motor"), Controller(id="esc"), bare_pack, propeller)
    findings = judge_parts(predict(*parts, launch_motor_current_A=15.0))
    assert len(findings) > 8
    for found in findings:
        assert (found.kept, found.chance, found.severity) == (None, None, "unknown")
        assert "state" in found.because


def test_the_label_of_a_pack_is_the_limit_with_the_remark_of_practice(predict: Predict) -> None:
    # 30 C of 550 mAh is 16.5 A: arithmetic of the label, multiples of the capacity in one hour
    found = by_name(judge_parts(predict(PACK, launch_pack_current_A=12.0)))["pack_current"]
    assert found.at_most == pytest.approx(16.5)
    assert found.kept is True
    assert "50 % to 60 % of it" in found.because
    assert "this is 73 %" in found.because


def test_an_own_pack_limit_replaces_the_label(predict: Predict) -> None:
    pack = PACK.model_copy(update={"max_current_A": Given(value=11.0)})
    assert by_name(judge_parts(predict(pack, launch_pack_current_A=12.0)))["pack_current"].kept is False


def test_the_motor_temperature_is_the_one_over_all_useful_launches_when_it_is_known(
    predict: Predict,
) -> None:
    motor = MOTOR.model_copy(update={"limit_temperature_K": Given(value=350.0)})
    first = by_name(judge_parts(predict(motor, motor_temperature_K=340.0)))["motor_temperature"]
    assert first.kept is True
    both = predict(motor, motor_temperature_K=340.0, motor_temperature_last_K=352.0)
    assert by_name(judge_parts(both))["motor_temperature"].kept is False


def test_controller_cells_are_counted(predict: Predict) -> None:
    esc = Controller(id="esc", cells_least=3, cells_most=4)
    assert by_name(judge_parts(predict(esc, PACK)))["controller_cells"].kept is False
    wide = Controller(id="esc", cells_least=2, cells_most=4)
    assert by_name(judge_parts(predict(wide, PACK)))["controller_cells"].kept is True


def test_the_margin_of_practice_is_named_when_the_controller_is_small(predict: Predict) -> None:
    esc = Controller(id="esc", max_current_A=Given(value=20.0))
    near = by_name(judge_parts(predict(esc, launch_motor_current_A=17.0, static_motor_current_A=18.0)))
    assert "1.2 to 1.5 times" in near["controller_current"].because
    far = by_name(judge_parts(predict(esc, launch_motor_current_A=9.0, static_motor_current_A=10.0)))
    assert "1.2 to 1.5 times" not in far["controller_current"].because


def test_the_lowest_cell_stays_above_the_low_voltage_cut(predict: Predict) -> None:
    esc = Controller(id="esc", low_voltage_cut_V=Given(value=3.2))
    found = by_name(judge_parts(predict(esc, PACK, lowest_cell_V=[3.1, 3.3])))["low_voltage"]
    assert found.chance == 0.5
    assert found.at_least == 3.2


def test_a_linear_supply_on_three_cells_is_cautioned(predict: Predict) -> None:
    esc = Controller(id="esc", servo_supply="linear", servo_supply_current_A=Given(value=2.0))
    three = PACK.model_copy(update={"cells": 3})
    assert (
        "heat" in by_name(judge_parts(predict(esc, three, servo_supply_load_A=0.5)))["servo_supply"].because
    )
    assert (
        "heat"
        not in by_name(judge_parts(predict(esc, PACK, servo_supply_load_A=0.5)))["servo_supply"].because
    )


def test_the_propeller_speed_is_shown_in_rpm(predict: Predict) -> None:
    propeller = Propeller(
        id="blades",
        diameter_m=Given(value=0.28),
        pitch_m=Given(value=0.15),
        max_revs_per_s=Given(value=130.0),
    )
    found = by_name(judge_parts(predict(propeller, propeller_revs_per_s=100.0)))["propeller_speed"]
    assert found.kept is True
    assert "6000 rpm" in found.because


CUT = ClassLimits(id="c", title="C", motor_run_s=30.0, cut_height_m=120.0)


def test_a_class_that_cuts_needs_a_limiter(predict: Predict) -> None:
    assert by_name(judge_parts(predict(rule=CUT)))["limiter"].kept is False
    logger = Altimeter(id="logger")
    assert by_name(judge_parts(predict(logger, rule=CUT)))["limiter"].kept is False


def test_a_class_that_scores_height_needs_a_recorder_only(predict: Predict) -> None:
    knees = (HeightKnee(above_m=0.0, points_per_m=0.5),)
    scored = ClassLimits(id="c", title="C", motor_run_s=30.0, score=Scoring(height=knees))
    assert by_name(judge_parts(predict(rule=scored)))["limiter"].kept is False
    assert judge_parts(predict(Altimeter(id="logger"), rule=scored)) == []


def test_the_setting_of_the_limiter_is_compared_with_the_class(predict: Predict) -> None:
    limiter = Altimeter(
        id="l", stops_motor=True, cut_height_m=Given(value=125.0), cut_time_s=Given(value=28.0)
    )
    found = by_name(judge_parts(predict(limiter, rule=CUT)))
    assert found["limiter_height"].kept is False
    assert found["limiter_time"].kept is True
    assert "gives away 2 s" in found["limiter_time"].because
    unset = by_name(judge_parts(predict(Altimeter(id="l", stops_motor=True), rule=CUT)))
    assert unset["limiter_height"].severity == "unknown"
