"""The check answers every question, for the demo and for models that leave much out."""

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from glidewright.base.errors import OutsideModelError
from glidewright.base.figure import Given
from glidewright.decisions import check
from glidewright.decisions.nouns import CheckResult
from glidewright.domain.bench import BenchReading
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.model import Item, Model
from glidewright.domain.parts import Altimeter, Controller, Motor, Pack, Propeller
from glidewright.forecast.predict import Forecast, forecast
from glidewright.forecast.setup import prepare
from glidewright.rules.finding import Finding

Vary = Callable[..., Model]
POWER_TRAIN = (Motor, Controller, Pack, Propeller)


def checked(model: Model, rule: ClassLimits | None, draws: int = 32) -> CheckResult:
    return check.run(check.CheckRequest(model=model, rule=rule, draws=draws))


def by_name(result: CheckResult) -> dict[str, Finding]:
    return {finding.name: finding for finding in result.findings}


def severity(result: CheckResult) -> dict[str, str]:
    return {finding.name: finding.severity for finding in result.findings}


def glider(model: Model) -> Model:
    items = tuple(item for item in model.items if not isinstance(item.part, (*POWER_TRAIN, Altimeter)))
    return model.model_copy(update={"items": items})


@pytest.fixture
def without_changes(monkeypatch: pytest.MonkeyPatch) -> None:
    """Leave out the search for changes where a test does not look at it; it is most of the time."""
    monkeypatch.setattr(check, "best_changes", lambda *_: ())


quick = pytest.mark.usefixtures("without_changes")


@pytest.fixture(scope="module")
def demo_check(demo: Model, hill_class: ClassLimits) -> CheckResult:
    return checked(demo, hill_class, check.DRAWS)


@pytest.fixture(scope="module")
def demo_forecast(demo: Model, hill_class: ClassLimits) -> Forecast:
    return forecast(prepare(demo, hill_class, check.DRAWS), with_causes=False)


def test_the_flaws_of_the_demo_are_found(demo_check: CheckResult) -> None:
    found = severity(demo_check)
    assert {name for name, word in found.items() if word == "broken"} == {"balance", "pack_current"}
    assert {name for name, word in found.items() if word == "doubtful"} == {"climb_rate"}
    unknown = {"motor_power", "motor_voltage", "motor_temperature"}
    assert {name for name, word in found.items() if word == "unknown"} == unknown


def test_every_limit_of_the_class_has_a_finding(demo_check: CheckResult, hill_class: ClassLimits) -> None:
    limits = [limit.measure for limit in hill_class.limits]
    limits += ["limiter_height", "limiter_time"]  # what the class says of the limiter itself
    assert [finding.name for finding in demo_check.findings if finding.kind == "class"] == limits


def test_the_missing_values_of_the_motor_are_named_with_what_stands_in(demo_check: CheckResult) -> None:
    missing = {(value.part, value.key): value for value in demo_check.missing}
    for key in ("resistance_mohm", "no_load_current_A"):
        value = missing["m28-1020", key]
        assert value.stand_in is not None
        assert value.stand_in.grade == "typical"
        assert value.narrows
    assert [key for part, key in missing if part == "airframe"] == []  # its polar follows from its shape


def test_every_question_has_an_answer(demo_check: CheckResult) -> None:
    assert len(demo_check.verdicts) == 8
    assert all(verdict.text and verdict.question.endswith("?") for verdict in demo_check.verdicts)
    assert [verdict.tone for verdict in demo_check.verdicts[:3]] == ["warning", "alarm", "alarm"]
    assert None not in (demo_check.mass, demo_check.power, demo_check.launch)
    assert demo_check.measure_next
    assert demo_check.sources
    assert 1 <= len(demo_check.changes) <= 3


def test_the_same_model_has_the_same_answer(demo: Model, hill_class: ClassLimits) -> None:
    assert checked(demo, hill_class, 64) == checked(demo, hill_class, 64)


def test_the_draws_are_the_same_at_every_set_up(demo: Model, hill_class: ClassLimits) -> None:
    first, again = (prepare(demo, hill_class, 128) for _ in range(2))
    assert first.values.keys() == again.values.keys()
    for name, draws in first.values.items():
        np.testing.assert_array_equal(draws, again[name])


@pytest.mark.parametrize(
    ("name", "result", "low", "high"),
    [
        ("span", "span_m", -np.inf, 2.005),  # class: at most 2.0 m, tolerance 5 mm
        ("mass", "mass_kg", 0.450, 0.700),
        ("climb_rate", "best_climb_m_s", -np.inf, 5.2),  # class: at most 5 m/s, tolerance 0.2 m/s
        ("balance", "cg_x_m", 0.064, 0.079),
        ("pack_current", "launch_pack_current_A", -np.inf, 15 * 0.55),  # label: 15 C of 550 mAh
        ("controller_burst", "static_motor_current_A", -np.inf, 40.0),
        ("low_voltage", "lowest_cell_V", 3.0, np.inf),
        ("height_ceiling", "height_highest_m", -np.inf, 150.0),
    ],
)
def test_a_chance_is_the_counted_share_of_the_draws(
    demo_check: CheckResult, demo_forecast: Forecast, name: str, result: str, low: float, high: float
) -> None:
    draws = demo_forecast.prediction.draws(result)
    assert draws is not None
    assert draws.shape == (check.DRAWS,)
    # a bound that went through a unit conversion contains itself; a draw without a number keeps nothing
    counted = np.count_nonzero((draws >= low * (1 - 1e-9)) & (draws <= high * (1 + 1e-9))) / draws.size
    finding = by_name(demo_check)[name]
    assert finding.chance == pytest.approx(counted, abs=1e-12)
    assert finding.value.value == pytest.approx(float(np.nanmedian(draws)), rel=1e-12)


def test_a_limiter_keeps_the_height_limit_in_the_draws_that_it_stops(
    demo_check: CheckResult, demo_forecast: Forecast
) -> None:
    read, stopped = (demo_forecast.prediction.draws(n) for n in ("height_counted_m", "cut_by_limiter"))
    assert read is not None
    assert stopped is not None
    assert by_name(demo_check)["launch_height"].chance == np.mean((read <= 122.0) | (stopped == 1.0))


@quick
def test_without_a_class_everything_else_is_answered(demo: Model) -> None:
    result = checked(demo, None)
    assert {finding.kind for finding in result.findings} == {"part", "field"}
    assert severity(result)["balance"] == "broken"
    assert result.class_title == ""
    assert None not in (result.mass, result.power, result.launch)


@quick
def test_without_a_field_ceiling_the_height_over_ground_is_not_judged(
    vary: Vary, hill_class: ClassLimits
) -> None:
    finding = by_name(checked(vary(field={"ceiling_m": None}), hill_class))["height_ceiling"]
    assert (finding.severity, finding.chance, finding.kept) == ("unknown", None, None)
    assert finding.value.value is not None


def test_without_a_balance_range_the_centre_is_still_told(vary: Vary, hill_class: ClassLimits) -> None:
    open_ends = {"balance_front_x_m": None, "balance_rear_x_m": None, "geometry": None}
    result = checked(vary(airframe=open_ends), hill_class)
    finding = by_name(result)["balance"]
    assert (finding.severity, finding.chance) == ("unknown", None)
    assert finding.value.value == pytest.approx(0.059, abs=0.002)
    assert result.mass is not None
    assert result.mass.chance_inside is None
    assert not any(change.kind in ("ballast", "place") for change in result.changes)


@quick
def test_an_unknown_mass_leaves_mass_balance_and_launch_unknown(demo: Model, hill_class: ClassLimits) -> None:
    items = tuple(
        Item(name=i.name, part=i.part.model_copy(update={"mass_kg": None})) if i.name == "boom" else i
        for i in demo.items
    )
    result = checked(demo.model_copy(update={"items": items}), hill_class)
    found = by_name(result)
    for name in ("mass", "wing_loading", "balance", "launch_height", "climb_rate", "motor_run"):
        assert found[name].severity == "unknown", name
        assert "boom" in found[name].because, name
    assert (result.mass, result.launch) == (None, None)
    assert result.power is not None
    assert found["controller_burst"].severity == "kept"
    assert [v.value for v in result.missing if v.stand_in is None] == ["mass of boom"]


@quick
def test_a_glider_without_power_train_has_mass_and_class_answered(
    demo: Model, hill_class: ClassLimits
) -> None:
    result = checked(glider(demo), hill_class)
    found = severity(result)
    assert (result.power, result.launch) == (None, None)
    assert result.mass is not None
    assert result.mass.total.value == pytest.approx(0.45, abs=0.05)
    assert {found[name] for name in ("span", "controls", "control_kinds")} == {"kept"}
    assert {found[name] for name in ("launch_height", "climb_rate", "cells")} == {"unknown"}
    assert found["motor_run"] == "kept"  # what has no motor runs none
    assert found["balance"] in ("kept", "doubtful", "broken")


@quick
def test_a_bench_reading_is_told_as_evidence(demo: Model, hill_class: ClassLimits) -> None:
    reading = BenchReading(
        voltage_V=Given(value=7.3, grade="measured"), current_A=Given(value=13.5, grade="measured")
    )
    result = checked(demo.model_copy(update={"bench": (reading,)}), hill_class)
    assert result.power is not None
    assert len(result.power.evidence) == 1


@quick
def test_a_propeller_outside_the_measured_sizes_is_warned_of_and_wider(
    vary: Vary, hill_class: ClassLimits
) -> None:
    inside = checked(vary(), hill_class)
    outside = checked(vary((Propeller, {"diameter_m": 0.43, "pitch_m": 0.20})), hill_class)
    assert inside.remarks == ()
    assert any("f11x6" in remark for remark in outside.remarks)

    def width(result: CheckResult) -> float:
        assert result.power is not None
        thrust = next(f.figure for f in result.power.at_rest.figures if f.name == "thrust_N")
        assert thrust.low is not None
        assert thrust.high is not None
        return np.log(thrust.high / thrust.low)

    assert width(outside) > width(inside)

    def doubt(result: Model) -> float:
        entry = prepare(result, hill_class, 1).inputs["propeller.thrust"]
        return np.log(entry.high / entry.low)

    assert doubt(vary((Propeller, {"diameter_m": 0.43, "pitch_m": 0.20}))) > 1.5 * doubt(vary())


def test_an_absurd_propeller_is_refused_by_name(vary: Vary, hill_class: ClassLimits) -> None:
    with pytest.raises(OutsideModelError, match="propeller f11x6"):
        checked(vary((Propeller, {"diameter_m": 0.9, "pitch_m": 0.2})), hill_class)


@quick
def test_a_motor_that_cannot_turn_the_propeller_breaks_the_drive(vary: Vary, hill_class: ClassLimits) -> None:
    result = checked(vary((Motor, {"resistance_ohm": 1.0, "no_load_current_A": 20.0})), hill_class)
    assert by_name(result)["drive"].severity == "broken"


ODD: dict[str, tuple[tuple[Any, ...], dict[str, Any]]] = {
    "motor that cannot turn the propeller": (
        ((Motor, {"resistance_ohm": 1.0, "no_load_current_A": 20.0}),),
        {},
    ),
    "motor of next to no torque": (((Motor, {"resistance_ohm": 4.5}),), {}),
    "calm": ((), {"field": {"headwind_m_s": 0.0}}),
    "gale": ((), {"field": {"headwind_m_s": 15.0}}),
    "mountain": ((), {"field": {"elevation_m": 3000.0, "temperature_K": None}}),
    "deep frost": ((), {"field": {"temperature_K": 253.15}}),
    "pack nearly empty": ((), {"launch": {"charge_at_start": 0.03}}),
    "pack empty": ((), {"launch": {"charge_at_start": 0.001}}),
    "five seconds of motor": ((), {"launch": {"motor_run_s": 5.0}}),
    "cut at ten metres": ((), {"launch": {"cut_height_m": 10.0}}),
    "cut below the hand": ((), {"launch": {"cut_height_m": 1.0}}),
    "dropped on the ground": ((), {"launch": {"throw_speed_m_s": 0.0, "throw_height_m": 0.0}}),
    "thimble of a pack": (((Pack, {"capacity_As": 36.0}),), {}),
    "fourteen cells": (((Pack, {"cells": 14}),), {}),
    "climb at a crawl": ((), {"launch": {"climb_speed_m_s": 1.0}}),
    "climb at a dive": ((), {"launch": {"climb_speed_m_s": 40.0}}),
    "no lift": ((), {"airframe": {"lift_ceiling": 0.1}}),
    "loss that may be nothing": (
        ((Motor, {"resistance_ohm": Given(value=0.05, low=0.0, high=0.1, grade="guessed")}),),
        {},
    ),
}


@quick
@pytest.mark.parametrize("name", ODD)
def test_odd_models_have_finite_figures_in_order(
    vary: Vary, hill_class: ClassLimits, faults_in: Callable[[Any], list[str]], name: str
) -> None:
    parts, tables = ODD[name]
    result = checked(vary(*parts, **tables), hill_class)
    assert faults_in(result) == []
    assert result.launch is not None


@pytest.mark.parametrize("name", ["motor that cannot turn the propeller", "cut below the hand"])
def test_odd_models_have_changes_without_empty_numbers(
    vary: Vary, hill_class: ClassLimits, name: str
) -> None:
    parts, tables = ODD[name]
    changes = checked(vary(*parts, **tables), hill_class).changes
    assert changes
    assert "nan" not in " ".join(effect for change in changes for effect in change.effects)


def test_the_demo_has_finite_figures_in_order(
    demo_check: CheckResult, faults_in: Callable[[Any], list[str]]
) -> None:
    assert faults_in(demo_check) == []


def test_one_item_in_the_middle_of_its_range_needs_no_change(vary: Vary) -> None:
    model = vary()
    place = model.airframe.balance_front_x_m, model.airframe.balance_rear_x_m
    assert place[0] is not None
    assert place[1] is not None
    middle = Given(value=0.5 * (place[0].value + place[1].value), grade="measured")
    whole = next(i for i in model.items if i.name == "pod").part.model_copy(
        update={"x_m": middle, "mass_kg": Given(value=0.6, grade="measured")}
    )
    alone = model.model_copy(
        update={"items": (Item(name="whole", part=whole),), "weighings": (), "drawer": ()}
    )
    result = checked(alone, None)
    assert result.changes == ()
    assert severity(result)["balance"] == "kept"
