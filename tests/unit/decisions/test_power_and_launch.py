"""The jobs power and launch: complete, honest, and refused in a sentence where nothing can be said."""

import re
from collections.abc import Callable
from typing import Any

import pytest

from glidewright.base.errors import OutsideModelError
from glidewright.base.figure import Figure, Given
from glidewright.decisions import launch, power
from glidewright.domain.bench import BenchReading
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.model import Item, Model
from glidewright.domain.parts import Motor

Vary = Callable[..., Model]


def powered(model: Model, rule: ClassLimits | None = None, draws: int = 256) -> power.PowerResult:
    return power.run(power.PowerRequest(model=model, rule=rule, draws=draws))


def launched(model: Model, rule: ClassLimits | None = None, draws: int = 64) -> launch.LaunchResult:
    return launch.run(launch.LaunchRequest(model=model, rule=rule, draws=draws))


def figures(answer: Any) -> dict[str, Figure]:
    return {named.name: named.figure for named in answer.figures}


def known(figure: Figure) -> float:
    assert figure.value is not None
    return figure.value


def width(figure: Figure) -> float:
    assert figure.low is not None
    assert figure.high is not None
    return figure.high - figure.low


@pytest.fixture(scope="module")
def demo_power(demo: Model, hill_class: ClassLimits) -> power.PowerResult:
    return powered(demo, hill_class)


@pytest.fixture(scope="module")
def demo_launch(demo: Model, hill_class: ClassLimits) -> launch.LaunchResult:
    return launched(demo, hill_class, 256)


def test_both_have_finite_figures_in_order(
    demo_power: power.PowerResult,
    demo_launch: launch.LaunchResult,
    faults_in: Callable[[Any], list[str]],
) -> None:
    assert faults_in(demo_power) == []
    assert faults_in(demo_launch) == []


def test_power_of_the_pack_is_all_accounted_for(demo_power: power.PowerResult) -> None:
    # One draw: everything at its centre. Energy has nowhere else to go.
    for point in (demo_power.power.at_rest, demo_power.power.in_climb):
        found = {name: known(figure) for name, figure in figures(point).items()}
        into_motor = found["motor_voltage_V"] * found["motor_current_A"]
        assert into_motor == pytest.approx(found["electric_power_W"], rel=0.01)
        lost = found["copper_loss_W"] + found["no_load_loss_W"]
        assert into_motor == pytest.approx(found["shaft_power_W"] + lost, rel=0.03)
        out_of_pack = found["pack_voltage_V"] * found["pack_current_A"]
        assert out_of_pack == pytest.approx(
            into_motor + found["controller_loss_W"] + found["servo_power_W"], rel=0.03
        )
        assert found["motor_efficiency"] == pytest.approx(found["shaft_power_W"] / into_motor, rel=0.03)


def test_thrust_falls_with_airspeed(demo_power: power.PowerResult) -> None:
    thrust = next(series for series in demo_power.power.over_airspeed if series.name == "thrust_N")
    assert len(thrust.value) == len(demo_power.power.airspeeds_m_s)
    assert list(thrust.value) == sorted(thrust.value, reverse=True)
    assert demo_power.power.airspeeds_m_s[0] == 0.0
    assert thrust.value[0] == pytest.approx(known(figures(demo_power.power.at_rest)["thrust_N"]))


def test_the_margins_are_findings_of_the_power_train(demo_power: power.PowerResult) -> None:
    names = {finding.name for finding in demo_power.findings}
    assert {"motor_current", "controller_current", "pack_current", "propeller_speed"} <= names
    assert all(finding.kind == "part" for finding in demo_power.power.margins)
    assert {value.part for value in demo_power.missing} == {"m28-1020", "c30", "p2-550"}


def test_a_bench_reading_narrows_what_it_read_and_what_follows(
    demo: Model, demo_power: power.PowerResult
) -> None:
    rest = figures(demo_power.power.at_rest)
    revs_per_s = known(rest["revs_per_s"]) * 1.01
    reading = BenchReading(
        voltage_V=Given(value=known(rest["pack_voltage_V"]), grade="measured"),
        current_A=Given(value=known(rest["pack_current_A"]) * 1.02, grade="measured"),
        revs_per_s=Given(value=revs_per_s, grade="measured"),
    )
    taught = powered(demo.model_copy(update={"bench": (reading,)}))
    after = figures(taught.power.at_rest)
    for name in ("revs_per_s", "pack_current_A", "thrust_N", "shaft_power_W"):
        assert width(after[name]) < width(rest[name]), name
    assert width(after["revs_per_s"]) < 0.7 * width(rest["revs_per_s"])
    assert len(taught.power.evidence) == 1


def test_power_without_a_class_and_without_masses_is_still_answered(demo: Model) -> None:
    items = tuple(
        Item(name=i.name, part=i.part.model_copy(update={"mass_kg": None})) if i.name == "boom" else i
        for i in demo.items
    )
    result = powered(demo.model_copy(update={"items": items}), draws=32)
    assert known(figures(result.power.at_rest)["thrust_N"]) > 0
    unknown = {finding.name for finding in result.findings if finding.severity == "unknown"}
    assert "pack_current" in unknown  # the launch that would say it cannot be flown


def test_power_without_a_motor_says_what_is_not_fitted(demo: Model) -> None:
    items = tuple(item for item in demo.items if not isinstance(item.part, Motor))
    model = demo.model_copy(update={"items": items})
    with pytest.raises(OutsideModelError, match="no motor is fitted"):
        powered(model)
    with pytest.raises(OutsideModelError, match="no motor is fitted"):
        launched(model)


def test_launch_without_a_mass_says_whose(demo: Model) -> None:
    items = tuple(
        Item(name=i.name, part=i.part.model_copy(update={"mass_kg": None})) if i.name == "boom" else i
        for i in demo.items
    )
    with pytest.raises(OutsideModelError, match="no mass is known of boom"):
        launched(demo.model_copy(update={"items": items}))


def test_the_trace_begins_in_the_hand_and_reaches_the_counted_height(
    demo: Model, demo_launch: launch.LaunchResult
) -> None:
    answer = demo_launch.launch
    height = next(series for series in answer.trace if series.name == "height_m")
    assert len(height.value) == len(answer.times_s)
    assert list(answer.times_s) == sorted(answer.times_s)
    assert height.value[0] == pytest.approx(demo.launch.throw_height_m.value, abs=0.01)
    # at no time is the median above that of the highest points, which draws reach at different times
    counted = figures(answer)["height_true_m"]
    assert counted.low is not None
    assert counted.low < max(height.value) <= known(counted)
    assert all(
        low <= value <= high for low, value, high in zip(height.low, height.value, height.high, strict=True)
    )


def test_launches_use_up_the_pack(demo_launch: launch.LaunchResult) -> None:
    rows = demo_launch.launch.rows
    assert [row.number for row in rows] == list(range(1, len(rows) + 1))
    left = [known(row.charge_left) for row in rows]
    useful = [row.useful_chance for row in rows]
    assert left == sorted(left, reverse=True)
    assert useful == sorted(useful, reverse=True)
    assert 1.0 > left[0] > left[-1] >= 0.0
    expected = sum(useful)  # of the launches that are listed
    assert known(demo_launch.launch.useful_launches) == pytest.approx(expected, abs=1.0)


def test_the_chance_of_a_launch_is_counted_like_the_number_of_launches(
    demo_launch: launch.LaunchResult,
) -> None:
    low, high = (getattr(demo_launch.launch.useful_launches, name) for name in ("low", "high"))
    for row in demo_launch.launch.rows:
        if row.number <= low:
            assert row.useful_chance >= 0.9
        if row.number > high:
            assert row.useful_chance <= 0.1


def test_launch_judges_what_belongs_to_a_launch(demo_launch: launch.LaunchResult) -> None:
    names = {finding.name for finding in demo_launch.findings}
    assert names >= {"motor_run", "launch_height", "climb_rate", "height_ceiling", "limiter_height"}
    assert "balance" not in names


def test_launch_says_when_the_motor_cannot_turn_the_propeller(vary: Vary, hill_class: ClassLimits) -> None:
    result = launched(vary((Motor, {"resistance_ohm": 1.0, "no_load_current_A": 20.0})), hill_class)
    assert "drive" in {finding.name for finding in result.findings if finding.severity == "broken"}


def test_the_words_for_what_stops_the_motor_add_up(demo_launch: launch.LaunchResult) -> None:
    shares = [int(word) for word in re.findall(r"(\d+) %", demo_launch.launch.stop)]
    assert sum(shares) == pytest.approx(100, abs=len(shares))
