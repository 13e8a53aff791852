"""Options applied to a class, derived options, and the hand arithmetic of run, height and climb."""

import pytest

from glidewright.base.errors import InputError
from glidewright.decisions.fairness.binding import arithmetic
from glidewright.decisions.fairness.options import (
    AS_IT_IS,
    applied,
    derived_options,
    limit_on,
    with_as_it_is,
)
from glidewright.decisions.fairness.words import says_of
from glidewright.domain.class_limits import ClassLimits, Limit
from glidewright.domain.rule_options import LimitChange, RuleOption
from glidewright.rules.measures import MEASURE_UNITS
from glidewright.store.class_files import list_classes, read_class


def change(measure: str, shown: str = "", **values: float) -> LimitChange:
    limit = Limit(measure=measure, unit=MEASURE_UNITS[measure], shown=shown, **values)  # type: ignore[arg-type]
    return LimitChange(limit=limit, stated=("measure", *values))


def at_most(rule: ClassLimits, measure: str) -> float | None:
    limit = limit_on(rule, measure)
    assert limit is not None
    return limit.at_most


def test_the_class_as_it_is_comes_first_and_is_left_alone(hill_class: ClassLimits) -> None:
    first, *others = with_as_it_is(hill_class, ())
    assert first.name == AS_IT_IS
    assert applied(hill_class, first) == hill_class
    assert others
    own = RuleOption(name="Own", motor_run_s=10.0)
    assert with_as_it_is(hill_class, (own,)) == (first, own)


def test_run_and_height_move_device_and_limit_together(hill_class: ClassLimits) -> None:
    shorter = applied(hill_class, RuleOption(name="x", motor_run_s=20.0))
    assert (shorter.motor_run_s, at_most(shorter, "motor_run")) == (20.0, 20.0)
    lower = applied(hill_class, RuleOption(name="x", cut_height_m=90.0))
    assert (lower.cut_height_m, at_most(lower, "launch_height")) == (90.0, 90.0)
    # the other way round: the limit is stated, the device follows
    low = applied(hill_class, RuleOption(name="x", changes=(change("launch_height", "m", at_most=100.0),)))
    assert (low.cut_height_m, at_most(low, "launch_height")) == (100.0, 100.0)
    run = applied(hill_class, RuleOption(name="x", changes=(change("motor_run", "s", at_most=25.0),)))
    assert run.motor_run_s == 25.0


def test_what_an_option_does_not_state_stays(hill_class: ClassLimits) -> None:
    lighter = applied(hill_class, RuleOption(name="x", changes=(change("mass", "g", at_most=0.6),)))
    limit = limit_on(lighter, "mass")
    assert limit is not None
    assert (limit.at_least, limit.at_most, limit.consequence) == (0.45, 0.6, "no start")
    wider = applied(hill_class, RuleOption(name="x", changes=(change("climb_rate", "m/s", window_s=10.0),)))
    climb = limit_on(wider, "climb_rate")
    assert climb is not None
    assert (climb.at_most, climb.tolerance, climb.window_s) == (5.0, 0.2, 10.0)


def test_a_limit_may_be_added_or_lifted(hill_class: ClassLimits) -> None:
    option = RuleOption(
        name="x", lift=("cells", "launch_height"), changes=(change("motor_kv", "rpm/V", at_most=110.0),)
    )
    found = applied(hill_class, option)
    names = [limit.measure for limit in found.limits]
    assert "cells" not in names
    assert "launch_height" not in names
    assert found.cut_height_m is None
    assert at_most(found, "motor_kv") == 110.0
    assert says_of(found, option) == (
        "motor kv at most 1050.42 rpm/V",
        "no limit on cells in series",
        "no limit on launch height",
    )


def test_a_limit_that_the_class_does_not_have_cannot_be_lifted(hill_class: ClassLimits) -> None:
    with pytest.raises(InputError, match="'cels' came; correct it; nearest known: cells"):
        applied(hill_class, RuleOption(name="x", lift=("cels",)))


def test_bounds_that_exclude_each_other_are_refused(hill_class: ClassLimits) -> None:
    option = RuleOption(name="x", changes=(change("mass", "g", at_most=0.4),))
    with pytest.raises(InputError, match="at least 450 g and at most 400 g came"):
        applied(hill_class, option)


@pytest.mark.parametrize("class_id", list_classes(None))
def test_every_class_has_derived_options_that_apply(class_id: str) -> None:
    rule = read_class(None, class_id, MEASURE_UNITS)
    options = derived_options(rule)
    assert options
    assert len({option.name for option in options}) == len(options)
    for option in options:
        assert applied(rule, option) != rule
        assert says_of(applied(rule, option), option)


def of(run_s: float | None, cut_m: float | None, climb_m_s: float | None) -> ClassLimits:
    climb = Limit(measure="climb_rate", at_most=climb_m_s, unit="m/s", shown="m/s", window_s=5.0)
    return ClassLimits(
        id="t",
        title="T",
        motor_run_s=run_s,
        cut_height_m=cut_m,
        limits=() if climb_m_s is None else (climb,),
    )


@pytest.mark.parametrize(
    ("rule", "words"),
    [
        # hand arithmetic: 90 / 30 = 3; 5 x 30 = 150; 120 / 5 = 24; 150 / 30 = 5; 5 x 20 = 100
        (of(30.0, 90.0, None), ("A mean climb of 3 m/s or more reaches 90 m within 30 s",)),
        (of(30.0, 120.0, 5.0), ("of 4 m/s or more", "is 150 m: at the fastest legal climb", "after 24 s")),
        (of(30.0, 150.0, 5.0), ("of 5 m/s or more", "is 150 m: run, height and climb bind together")),
        (of(20.0, 120.0, 5.0), ("is 100 m: no legal climb reaches 120 m", "the height never does")),
        (of(30.0, None, 5.0), ("is 150 m: no legal climb brings more before the zoom",)),
    ],
)
def test_run_height_and_climb_by_hand(rule: ClassLimits, words: tuple[str, ...]) -> None:
    said = " ".join(arithmetic(rule))
    for part in words:
        assert part in said


def test_nothing_is_said_where_nothing_is_limited() -> None:
    assert arithmetic(of(None, None, 5.0)) == ()
