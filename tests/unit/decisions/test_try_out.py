"""Trying out: nothing tried is the model itself, what is tried is the model with it."""

import pytest

from glidewright.base.errors import OutsideModelError
from glidewright.decisions import launch, power
from glidewright.decisions.try_out import Trial, tried_model, try_launch, try_power
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.model import Model

DRAWS = 64


@pytest.fixture(scope="module")
def trial(demo: Model, hill_class: ClassLimits) -> Trial:
    return Trial(model=demo, rule=hill_class, draws=DRAWS)


def test_nothing_tried_is_the_model_itself(trial: Trial) -> None:
    assert tried_model(trial) == trial.model


def test_power_as_it_is_says_what_the_report_says(trial: Trial) -> None:
    found = try_power(trial)
    report = power.run(power.PowerRequest(model=trial.model, rule=trial.rule, draws=DRAWS)).power
    assert found.airspeeds_m_s == report.airspeeds_m_s
    thrust = next(one for one in report.over_airspeed if one.name == "thrust_N")
    assert next(one for one in found.over_airspeed if one.name == "thrust_N").value == thrust.value
    at_rest = {named.name: named.figure.value for named in report.at_rest.figures}
    assert all(named.figure.value == at_rest[named.name] for named in found.at_rest)


def test_a_launch_as_it_is_says_what_the_report_says(trial: Trial) -> None:
    found = try_launch(trial)
    report = launch.run(launch.LaunchRequest(model=trial.model, rule=trial.rule, draws=DRAWS)).launch
    assert found.times_s == report.times_s
    said = {named.name: named.figure.value for named in report.figures}
    assert all(named.figure.value == said[named.name] for named in found.figures)


def test_another_pack_takes_the_place_of_the_fitted_one(trial: Trial) -> None:
    model = tried_model(trial.model_copy(update={"pack": "p3-450"}))
    pack = next(item.part for item in model.items if item.name == "pack")
    old = next(item.part for item in trial.model.items if item.name == "pack")
    assert pack.id == "p3-450"
    assert pack.x_m == old.x_m
    three = try_power(trial.model_copy(update={"pack": "p3-450"})).at_rest[0].figure.value
    two = try_power(trial).at_rest[0].figure.value
    assert three is not None and two is not None and three > 1.2 * two


def test_a_warmer_and_higher_field_gives_less_thrust_and_keeps_its_spread(trial: Trial) -> None:
    other = trial.model_copy(update={"temperature_K": 308.15, "elevation_m": 2500.0})
    model = tried_model(other)
    assert model.field.temperature_K is not None
    assert model.field.temperature_K.value == 308.15
    assert model.field.elevation_m.grade == trial.model.field.elevation_m.grade
    high, low = (try_power(one).at_rest[0].figure.value for one in (other, trial))
    assert high is not None and low is not None and high < 0.9 * low


def test_an_emptier_pack_gives_less_current(trial: Trial) -> None:
    empty = try_power(trial.model_copy(update={"charge_at_start": 0.3})).at_rest[1].figure.value
    full = try_power(trial).at_rest[1].figure.value
    assert empty is not None and full is not None and empty < full


def test_more_head_wind_lifts_the_launch(trial: Trial) -> None:
    calm, windy = (
        try_launch(trial.model_copy(update={"headwind_m_s": wind})).figures[1].figure.value
        for wind in (0.0, 6.0)
    )
    assert calm is not None and windy is not None and windy > calm


def test_what_is_not_in_the_drawer_is_said(trial: Trial) -> None:
    with pytest.raises(OutsideModelError, match="must be a pack of the drawer"):
        tried_model(trial.model_copy(update={"pack": "m28-880"}))


def test_a_power_train_that_is_not_whole_is_said(trial: Trial) -> None:
    items = tuple(item for item in trial.model.items if item.name != "pack")
    weighings = tuple(w for w in trial.model.weighings if "pack" not in w.of)
    bare = trial.model.model_copy(update={"items": items, "weighings": weighings})
    with pytest.raises(OutsideModelError, match="fit what is missing"):
        try_power(trial.model_copy(update={"model": bare}))
