"""The test plan: order, numbers of this model, what came out, and what waits for it."""

import numpy as np
import pytest

from glidewright.base.errors import InputError
from glidewright.base.figure import Given
from glidewright.decisions.plan import PlanRequest, run, step_keys
from glidewright.decisions.planning.nouns import PlanResult, PlanStep
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.model import Model
from glidewright.domain.outcome import Outcome, bench_reading_of, weighing_of
from glidewright.domain.parts import Pack

DRAWS = 128


@pytest.fixture(scope="module")
def plan(demo: Model, hill_class: ClassLimits) -> PlanResult:
    return run(PlanRequest(model=demo, rule=hill_class, draws=DRAWS))


def step(result: PlanResult, key: str) -> PlanStep:
    return next(one for one in result.steps if one.key == key)


def value(found: PlanStep, name: str) -> float:
    number = next(one.figure.value for one in found.numbers if one.name == name)
    assert number is not None
    return number


def with_outcomes(model: Model, *outcomes: Outcome) -> Model:
    """As the reader of the folder puts it together."""
    weighings = tuple(one for one in map(weighing_of, outcomes) if one is not None)
    bench = tuple(one for one in map(bench_reading_of, outcomes) if one is not None)
    return model.model_copy(
        update={
            "outcomes": outcomes,
            "weighings": (*model.weighings, *weighings),
            "bench": (*model.bench, *bench),
        }
    )


def measured(number: float) -> Given:
    return Given(value=number, grade="measured")


def test_the_keys_are_those_of_the_steps_in_their_order(plan: PlanResult) -> None:
    assert tuple(one.key for one in plan.steps) == step_keys()


def test_every_step_says_what_to_do_and_what_if_it_fails(plan: PlanResult) -> None:
    assert all(one.do and one.if_it_fails for one in plan.steps)
    assert [one.state for one in plan.steps] == ["next", *["open"] * (len(plan.steps) - 1)]
    assert plan.findings == ()


def test_the_hand_glide_goes_as_far_as_sink_and_wind_allow(plan: PlanResult, demo: Model) -> None:
    """Closed form by hand at the medians: (V - wind) h / sink."""
    found, timed = step(plan, "hand_glide"), step(plan, "timed_glide")
    speed, sink = value(found, "speed_sink_least_m_s"), value(timed, "sink_least_m_s")
    height = demo.launch.throw_height_m.value
    assert value(found, "still") == pytest.approx(height * speed / sink, rel=0.03)
    assert value(found, "distance") == pytest.approx(height * (speed - 2.0) / sink, rel=0.03)


def test_no_brake_step_without_a_brake(demo: Model, hill_class: ClassLimits) -> None:
    airframe = demo.airframe.model_copy(update={"controls": ("rudder", "elevator")})
    bare = run(
        PlanRequest(model=demo.model_copy(update={"airframe": airframe}), rule=hill_class, draws=DRAWS)
    )
    assert "brake" not in [one.key for one in bare.steps]


def test_a_weighing_of_the_plan_narrows_the_mass_and_is_compared_with_the_old_forecast(
    demo: Model, hill_class: ClassLimits, plan: PlanResult
) -> None:
    heavier = with_outcomes(demo, Outcome(step="weigh", went="well", mass_kg=measured(0.700)))
    found = step(run(PlanRequest(model=heavier, rule=hill_class, draws=DRAWS)), "weigh")
    assert found.state == "done"
    assert found.done is not None
    assert found.done.numbers[0].says.startswith("above the forecast of 59")
    before, after = step(plan, "weigh").numbers[0].figure, found.numbers[0].figure
    assert None not in (before.high, before.low, after.high, after.low)
    assert np.ptp([after.low, after.high]) < 0.25 * np.ptp([before.low, before.high])


def test_a_reading_at_rest_is_a_bench_reading(demo: Model, hill_class: ClassLimits, plan: PlanResult) -> None:
    read = Outcome(
        step="power",
        went="well",
        current_A=measured(11.5),
        voltage_V=measured(7.6),
        revs_per_s=measured(90.0),
    )
    after = step(run(PlanRequest(model=with_outcomes(demo, read), rule=hill_class, draws=DRAWS)), "power")
    old, new = (
        next(n.figure for n in s.numbers if n.name == "current") for s in (step(plan, "power"), after)
    )
    assert np.ptp([new.low, new.high]) < 0.6 * np.ptp([old.low, old.high])


def test_what_rests_on_a_step_that_went_badly_waits_until_it_is_done_again(
    demo: Model, hill_class: ClassLimits
) -> None:
    bad = Outcome(step="hand_glide", went="badly", date="2026-05-01", note="turned left")
    again = Outcome(step="hand_glide", went="well", date="2026-05-02")
    found = run(PlanRequest(model=with_outcomes(demo, bad), rule=hill_class, draws=DRAWS))
    assert step(found, "hand_glide").state == "went badly"
    assert step(found, "first_flight").state == "waits"
    assert step(found, "first_flight").waits_for == step(found, "hand_glide").title
    assert [one.name for one in found.findings] == ["hand_glide"]
    assert found.findings[0].kept is False
    mended = run(PlanRequest(model=with_outcomes(demo, bad, again), rule=hill_class, draws=DRAWS))
    done = step(mended, "hand_glide")
    assert (done.state, done.done is not None and done.done.times) == ("done", 2)
    assert step(mended, "first_flight").state == "open"
    assert mended.findings == ()


def test_an_outcome_of_no_step_is_refused_with_the_nearest_keys(demo: Model) -> None:
    with pytest.raises(
        InputError, match=r"\[\[outcome\]\] 1: step: must be .*'dives' came; nearest known: dive"
    ):
        run(PlanRequest(model=with_outcomes(demo, Outcome(step="dives", went="well")), draws=DRAWS))


def test_what_is_not_known_is_said(demo: Model, hill_class: ClassLimits) -> None:
    packless = tuple(item for item in demo.items if not isinstance(item.part, Pack))
    found = run(PlanRequest(model=demo.model_copy(update={"items": packless}), rule=hill_class, draws=DRAWS))
    assert any("pack" in reason for reason in found.unknown)
    assert next(n.figure.value for n in step(found, "power").numbers if n.name == "current") is None
