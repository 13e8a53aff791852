"""Limits held against a log: chances by hand, the stop of a limiter, the error of the device."""

import numpy as np
import pytest

from glidewright.base.figure import Figure, Given
from glidewright.domain.class_limits import ClassLimits, Limit
from glidewright.domain.flight_reading import FlightReading, FlightTrace, LaunchReading
from glidewright.domain.model import Item, Model
from glidewright.domain.parts import Altimeter
from glidewright.rules.log_rules import judge_log, not_from_log, with_device_error


def figure(value: float, half: float, unit: str = "m", shown: str = "m") -> Figure:
    return Figure(
        value=value,
        low=value - half,
        high=value + half,
        unit=unit,
        shown=shown,
        grade="measured",
        because="log",
    )


def launch(**own: Figure) -> LaunchReading:
    names = [n for n, info in LaunchReading.model_fields.items() if info.annotation is Figure]
    values = {name: Figure.unknown("m", "m", "not recorded") for name in names}
    values |= {
        "motor_start": figure(60.0, 0.2, "s", "s"),
        "motor_stop": figure(85.0, 0.2, "s", "s"),
        "motor_run": figure(25.0, 0.3, "s", "s"),
        "counted_height": figure(112.0, 1.0),
        "height_at_stop": figure(110.0, 1.0),
        "mean_climb": figure(4.3, 0.1, "m/s", "m/s"),
        "best_climb": figure(4.6, 0.1, "m/s", "m/s"),
    }
    return LaunchReading(number=1, motor_sign="current", **(values | own))


def reading(*launches: LaunchReading, trace: FlightTrace | None = None) -> FlightReading:
    found = FlightReading(
        source_name="a.csv",
        source_sha256="0" * 64,
        duration=figure(400.0, 0.0, "s", "s"),
        sampling_rate=figure(5.0, 0.0, "1/s", "Hz"),
        longest_gap=figure(0.2, 0.0, "s", "s"),
        ground_height=figure(0.0, 0.3),
        drift=figure(0.0, 0.3),
        noise=figure(0.1, 0.0),
        scale=figure(1.0, 0.0, "1", ""),
        phases=(),
        launches=launches,
    )
    return found.model_copy(update={"trace": trace})


def rule(*limits: Limit, **own: object) -> ClassLimits:
    return ClassLimits(id="own", title="Own", limits=limits, **own)


def without_limiter(model: Model) -> Model:
    return model.model_copy(
        update={"items": tuple(item for item in model.items if not isinstance(item.part, Altimeter))}
    )


def limit(measure: str, shown: str, **own: object) -> Limit:
    return Limit(measure=measure, shown=shown, **own)


def test_every_launch_is_held_against_every_limit_that_a_log_shows(demo: Model) -> None:
    own = rule(
        limit("launch_height", "m", at_most=120.0),
        limit("motor_run", "s", at_most=30.0),
        limit("span", "m", at_most=2.0),
    )
    second = launch(counted_height=figure(131.0, 1.0)).model_copy(update={"number": 2})
    found = judge_log(without_limiter(demo), own, reading(launch(), second))
    assert [(one.name, one.severity) for one in found] == [
        ("launch_height", "kept"),
        ("motor_run", "kept"),
        ("launch_height", "broken"),
        ("motor_run", "kept"),
    ]
    assert found[2].title == "Launch height (launch 2)"
    assert list(not_from_log(own)) == ["Span"]
    assert judge_log(demo, None, reading(launch())) == ()
    assert judge_log(demo, own, reading()) == ()


def test_the_error_of_the_device_makes_a_near_miss_doubtful(demo: Model) -> None:
    bare = without_limiter(demo)
    own = rule(limit("launch_height", "m", at_most=120.0))
    (found,) = judge_log(bare, own, reading(launch(counted_height=figure(119.0, 0.2))))
    # from memory 1.5 m for a device that states none: sqrt(0.2^2 + 1.5^2) half wide
    assert found.value.high == pytest.approx(119.0 + np.hypot(0.2, 1.5))
    assert (found.severity, found.kept) == ("doubtful", None)
    assert "error of the altimeter" in found.because
    stated = Altimeter(id="a", height_error_m=Given(value=0.3, grade="measured"))
    sure = bare.model_copy(update={"items": (*bare.items, Item(name="a", part=stated))})
    assert with_device_error(sure, figure(119.0, 0.4)).high == pytest.approx(119.5)


def test_a_stop_by_the_limiter_keeps_the_height(demo: Model) -> None:
    own = rule(limit("launch_height", "m", at_most=120.0), cut_height_m=120.0, motor_run_s=30.0)
    stopped = launch(height_at_stop=figure(120.3, 0.4), counted_height=figure(124.0, 0.4))
    (found,) = judge_log(demo, own, reading(stopped))
    assert (found.severity, found.chance) == ("kept", 1.0)
    assert "limiter" in found.remark
    strict = rule(
        limit("launch_height", "m", at_most=120.0, stop_keeps=False), cut_height_m=120.0, motor_run_s=30.0
    )
    assert judge_log(demo, strict, reading(stopped))[0].severity == "broken"
    late = launch(height_at_stop=figure(127.0, 0.4), counted_height=figure(129.0, 0.4))
    assert judge_log(demo, own, reading(late))[0].severity == "broken"


def test_a_stop_by_the_clock_of_the_limiter_keeps_the_motor_run(demo: Model) -> None:
    own = rule(limit("motor_run", "s", at_most=30.0), motor_run_s=30.0)
    (found,) = judge_log(demo, own, reading(launch(motor_run=figure(30.3, 0.3, "s", "s"))))
    assert (found.severity, found.chance) == ("kept", 1.0)
    (found,) = judge_log(demo, own, reading(launch(motor_run=figure(33.0, 0.3, "s", "s"))))
    assert found.severity == "broken"


def test_energy_is_watts_times_seconds(demo: Model) -> None:
    # by hand: 72 W for 25 s are 1800 J, half a watt hour
    own = rule(limit("energy", "Wh", at_most=1900.0))
    (found,) = judge_log(demo, own, reading(launch(mean_power=figure(72.0, 2.0, "W", "W"))))
    assert found.value.value == pytest.approx(1800.0)
    assert found.kept
    (unknown,) = judge_log(demo, own, reading(launch()))
    assert (unknown.severity, unknown.chance) == ("unknown", None)


def test_the_climb_rate_is_taken_over_the_window_of_the_class(demo: Model) -> None:
    time_s = np.arange(0.0, 120.0, 0.5)
    # 10 s at 6 m/s, then 15 s at 2 m/s
    height_m = np.interp(time_s, [0.0, 60.0, 70.0, 85.0, 120.0], [0.0, 0.0, 60.0, 90.0, 70.0])
    trace = FlightTrace(time_s=time_s, height_m=height_m, raw_height_m=height_m, climb_m_s=0.0 * height_m)
    own = launch(best_climb=figure(6.0, 0.1, "m/s", "m/s"), mean_climb=figure(3.6, 0.1, "m/s", "m/s"))
    climbs = []
    for window_s in (None, 5.0, 20.0, 40.0):
        limits = rule(limit("climb_rate", "m/s", at_most=5.0, window_s=window_s))
        (found,) = judge_log(demo, limits, reading(own, trace=trace))
        climbs.append(found.value.value)
    # by hand over 20 s: 60 m and 10 s at 2 m/s, 80 m / 20 s
    assert climbs[:2] == [3.6, 6.0]
    assert climbs[2] == pytest.approx(4.0, abs=0.01)
    assert climbs[3] is None
    limits = rule(limit("climb_rate", "m/s", at_most=5.0, window_s=20.0))
    (without,) = judge_log(demo, limits, reading(own))
    assert "curves" in without.because
