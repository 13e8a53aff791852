import json
from collections.abc import Callable

import numpy as np
import pytest

from glidewright.base.figure import Given
from glidewright.domain.class_limits import CHECK_NOTE, ClassLimits, HeightRule, Limit
from glidewright.domain.parts import Altimeter, Motor
from glidewright.forecast.prediction import Prediction
from glidewright.rules.class_rules import judge_class
from glidewright.rules.finding import Finding

Predict = Callable[..., Prediction]
LIMITER = Altimeter(
    id="limiter",
    stops_motor=True,
    cut_height_m=Given(value=120.0),
    cut_time_s=Given(value=30.0),
)


def rule(*limits: Limit, **more: object) -> ClassLimits:
    return ClassLimits(id="test", title="Test", edition="2024", limits=limits, **more)  # type: ignore[arg-type]  # fields by name


def only(findings: list[Finding]) -> Finding:
    assert len(findings) == 1
    return findings[0]


def test_without_a_class_there_is_nothing_to_judge(predict: Predict) -> None:
    assert judge_class(predict(span_m=2.0)) == []


def test_a_span_inside_is_kept_and_says_value_limit_source_and_note(predict: Predict) -> None:
    limit = Limit(measure="span", at_most=2.0, unit="m", shown="m", source="rule 1", consequence="no start")
    found = only(judge_class(predict(rule=rule(limit), span_m=[1.98, 1.99, 2.0])))
    assert (found.kept, found.chance, found.severity) == (True, 1.0, "kept")
    assert "1990 (1982 to 1998) mm" in found.because
    assert "at most 2000 mm" in found.because
    assert (found.source, found.note, found.consequence) == ("rule 1 (2024)", CHECK_NOTE, "no start")


def test_doubtful_between_and_broken_below_one_half(predict: Predict) -> None:
    limit = Limit(measure="mass", at_most=0.6, unit="kg", shown="g")
    doubtful = only(judge_class(predict(rule=rule(limit), mass_kg=[0.58, 0.59, 0.6, 0.62])))
    assert (doubtful.kept, doubtful.chance, doubtful.severity) == (None, 0.75, "doubtful")
    broken = only(judge_class(predict(rule=rule(limit), mass_kg=[0.58, 0.61, 0.62])))
    assert broken.kept is False
    assert broken.severity == "broken"


def test_the_chance_needed_is_the_one_of_the_limit(predict: Predict) -> None:
    limit = Limit(measure="mass", at_most=0.6, unit="kg", shown="g", chance_needed=0.7)
    assert only(judge_class(predict(rule=rule(limit), mass_kg=[0.58, 0.59, 0.6, 0.62]))).kept is True


def test_a_missing_result_is_unknown_and_says_why(predict: Predict) -> None:
    limit = Limit(measure="mass", at_most=0.6, unit="kg", shown="g")
    prediction = predict(rule=rule(limit), span_m=2.0)
    prediction = Prediction(
        prediction.model, prediction.rule, prediction.count, {}, unknown={"mass_kg": "no mass of the wing"}
    )
    found = only(judge_class(prediction))
    assert (found.kept, found.chance, found.severity) == (None, None, "unknown")
    assert "no mass of the wing" in found.because


def test_the_contract_is_plain_json_without_nan(predict: Predict) -> None:
    limits = (
        Limit(measure="mass", at_most=0.6, unit="kg", shown="g"),
        Limit(measure="nose_radius", at_least=0.005, unit="m", shown="mm"),
        Limit(measure="structure", allowed=("wood",), unit="words"),
    )
    for found in judge_class(predict(rule=rule(*limits), mass_kg=[0.5, np.nan])):
        told = found.contract()
        assert list(told) == ["name", "kept", "chance", "value", "limit", "unit", "because"]
        json.dumps(told, allow_nan=False)


def test_words_are_judged_one_by_one(predict: Predict) -> None:
    limit = Limit(measure="control_kinds", allowed=("rudder", "elevator", "spoiler"), unit="words")
    kept = only(judge_class(predict(rule=rule(limit), controls=("Rudder", "elevator", "spoilers"))))
    assert kept.kept is True
    broken = only(judge_class(predict(rule=rule(limit), controls=("rudder", "elevator", "ailerons"))))
    assert broken.kept is False
    assert "not allowed: ailerons" in broken.because


def test_a_geared_motor_is_not_direct(predict: Predict) -> None:
    limit = Limit(measure="drive", allowed=("direct",), unit="words")
    geared = Motor(id="m", gear_ratio=Given(value=4.4))
    assert only(judge_class(predict(geared, rule=rule(limit)))).kept is False
    assert only(judge_class(predict(Motor(id="m"), rule=rule(limit)))).kept is True
    assert only(judge_class(predict(rule=rule(limit)))).severity == "unknown"


def test_a_climb_over_a_window_that_is_not_computed_is_unknown(predict: Predict) -> None:
    values = {"mean_climb_m_s": 3.8, "best_climb_m_s": 5.2}
    for window_s, kept in ((None, True), (5.0, False), (7.0, None)):
        limit = Limit(measure="climb_rate", at_most=5.0, unit="m/s", shown="m/s", window_s=window_s)
        assert only(judge_class(predict(rule=rule(limit), **values))).kept is kept


HEIGHT = Limit(measure="launch_height", at_most=120.0, unit="m", shown="m")
STOPPED = {
    "height_counted_m": [124.0, 124.0, 118.0],
    "height_highest_m": [124.0, 124.0, 118.0],
    "height_at_cut_m": [120.0, 120.0, 116.0],
    "height_without_limiter_m": [140.0, 140.0, 118.0],
    "motor_run_s": [25.0, 25.0, 30.0],
    "motor_run_lost_s": [5.0, 5.0, 0.0],
    "cut_by_limiter": [1.0, 1.0, 0.0],
}
CLASS = rule(HEIGHT, motor_run_s=30.0, cut_height_m=120.0)


def test_a_stop_by_the_limiter_keeps_the_height_and_says_what_it_costs(predict: Predict) -> None:
    found = only(judge_class(predict(LIMITER, rule=CLASS, **STOPPED)))
    assert (found.kept, found.chance) == (True, 1.0)
    assert "in 67 % of the draws" in found.because
    assert "costs 5 s of motor run" in found.because
    assert "16 m more" in found.because
    assert "rises 4 m, which counts by the height rule of the class, up to 10 s" in found.because


def test_the_zoom_after_the_stop_is_said_not_to_count_where_it_does_not(predict: Predict) -> None:
    at_cut = rule(HEIGHT, motor_run_s=30.0, cut_height_m=120.0, height=HeightRule(count="at_cut"))
    found = only(judge_class(predict(LIMITER, rule=at_cut, **STOPPED)))
    assert "does not count" in found.because


def test_a_class_may_refuse_the_stop_as_an_excuse(predict: Predict) -> None:
    strict = rule(HEIGHT.model_copy(update={"stop_keeps": False}), motor_run_s=30.0, cut_height_m=120.0)
    found = only(judge_class(predict(LIMITER, rule=strict, **STOPPED)))
    assert found.chance == pytest.approx(1 / 3)


def test_a_limiter_set_above_the_limit_does_not_excuse_the_height(predict: Predict) -> None:
    high = LIMITER.model_copy(update={"cut_height_m": Given(value=123.0)})
    found = only(judge_class(predict(high, rule=CLASS, **STOPPED)))
    assert found.chance == pytest.approx(1 / 3)


def test_a_logger_that_stops_nothing_does_not_excuse_the_height(predict: Predict) -> None:
    logger = LIMITER.model_copy(update={"stops_motor": False})
    found = only(judge_class(predict(logger, rule=CLASS, **STOPPED)))
    assert found.chance == pytest.approx(1 / 3)


RUN = Limit(measure="motor_run", at_most=30.0, unit="s", shown="s")


def test_the_limiter_is_the_clock_of_the_motor_run(predict: Predict) -> None:
    motor = Motor(id="m")
    by_device = only(judge_class(predict(motor, LIMITER, rule=rule(RUN), motor_run_s=[29.95, 30.05])))
    assert by_device.chance == 1.0
    assert "after 30 s by its own clock" in by_device.because
    by_pilot = only(judge_class(predict(motor, rule=rule(RUN), motor_run_s=[29.95, 30.05])))
    assert by_pilot.chance == 0.5


def test_a_limiter_set_to_a_longer_run_is_no_excuse(predict: Predict) -> None:
    late = LIMITER.model_copy(update={"cut_time_s": Given(value=31.0)})
    assert only(judge_class(predict(Motor(id="m"), late, rule=rule(RUN), motor_run_s=30.9))).chance == 0.0


def test_what_was_made_of_several_results_is_traced(predict: Predict) -> None:
    limit = Limit(measure="total_area", at_most=1.5, unit="m2", shown="dm²")
    found = only(judge_class(predict(rule=rule(limit), wing_area_m2=0.36, tail_area_m2=0.04)))
    assert found.value.value == pytest.approx(0.40)
    assert found.because.endswith(found.value.because)


def test_a_model_without_a_motor_keeps_a_class_launched_by_rubber(predict: Predict) -> None:
    none = Limit(measure="motor_run", at_most=0.0, unit="s", shown="s")
    assert only(judge_class(predict(rule=rule(none), span_m=2.0))).kept is True
    assert only(judge_class(predict(Motor(id="m"), rule=rule(none), motor_run_s=30.0))).kept is False
