"""The test plan: small safe steps with this model's numbers, what came out so far, and what is next."""

from collections.abc import Iterable, Sequence

from glidewright.base.errors import InputError, Problem, nearest
from glidewright.base.fields import Noun, quantities
from glidewright.base.figure import Figure, Given
from glidewright.base.wording import number_text
from glidewright.calibration.learned import correction_of
from glidewright.data import coefficients
from glidewright.decisions.controls import ControlsRequest
from glidewright.decisions.controls import of_forecast as controls_of_forecast
from glidewright.decisions.part_gaps import figure_of
from glidewright.decisions.planning.air import air_steps
from glidewright.decisions.planning.ground import ground_steps
from glidewright.decisions.planning.nouns import Came, Done, PlanResult, PlanStep
from glidewright.decisions.planning.sight import Sight, unknown_of
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.model import Model
from glidewright.domain.outcome import Outcome, bench_reading_of, weighing_of
from glidewright.forecast.predict import forecast
from glidewright.forecast.setup import prepare
from glidewright.rules.finding import Finding

DRAWS = 1024


class PlanRequest(Noun):
    """A model with the outcomes of its steps, its class, and how many draws."""

    model: Model
    rule: ClassLimits | None = None
    draws: int = DRAWS


def run(request: PlanRequest) -> PlanResult:
    """The steps in their order; after one that went badly, those that rest on it wait.

    Raises OutsideModelError when no model covers a part of the power train, InputError for an outcome of a
    step that the plan does not have.
    """
    return of_sight(request, _sight(request, request.model))


def of_sight(request: PlanRequest, sight: Sight) -> PlanResult:
    """The same from a sight of the model that is there already; raises as ``run`` does."""
    model = request.model
    _refuse_unknown(model.outcomes)
    steps = _steps(sight)
    plain = _untaught(model)
    before = steps if plain is None else _steps(_sight(request, plain))
    steps = _with_outcomes(steps, model.outcomes, before)
    return PlanResult(
        model=model.name,
        invented=model.invented,
        draws=request.draws,
        steps=steps,
        findings=tuple(_finding(step) for step in steps if step.state == "went badly"),
        unknown=unknown_of(steps),
        sources=tuple(dict.fromkeys(str(row["source"]) for row in _practice_rows())),
    )


def _sight(request: PlanRequest, model: Model) -> Sight:
    found = forecast(prepare(model, request.rule, request.draws, correction_of(model)))
    asked = ControlsRequest(model=model, rule=request.rule, draws=request.draws)
    return Sight(found, controls_of_forecast(asked, found))


def _steps(sight: Sight) -> tuple[PlanStep, ...]:
    return (*ground_steps(sight), *air_steps(sight))


def _untaught(model: Model) -> Model | None:
    """The model as it was forecast before its outcomes narrowed it; nothing where none did."""
    taught = {weighing_of(one) for one in model.outcomes} | {bench_reading_of(one) for one in model.outcomes}
    weighings = tuple(one for one in model.weighings if one not in taught)
    bench = tuple(one for one in model.bench if one not in taught)
    if len(weighings) == len(model.weighings) and len(bench) == len(model.bench):
        return None
    return model.model_copy(update={"weighings": weighings, "bench": bench})


def step_keys() -> tuple[str, ...]:
    """Keys of every step in their order, for messages and help."""
    return (
        "weigh", "balance", "sides", "true", "controls", "power", "failsafe", "range", "hand_glide",
        "first_flight", "trim", "stall", "brake", "dive", "timed_glide", "launch", "charge",
    )  # fmt: skip


def _refuse_unknown(outcomes: Sequence[Outcome]) -> None:
    keys = step_keys()
    unknown = [(number, one.step) for number, one in enumerate(outcomes, 1) if one.step not in keys]
    if unknown:
        raise InputError(
            [
                Problem(
                    f"model.toml [[outcome]] {number}: step",
                    f"must be the key of a step of the plan; {step!r} came; {nearest(step, keys)}",
                )
                for number, step in unknown
            ]
        )


def _practice_rows() -> Iterable[dict[str, object]]:
    table = coefficients("test_practice")
    return (row for row in table.values() if isinstance(row, dict))


def _with_outcomes(
    steps: Sequence[PlanStep], outcomes: Sequence[Outcome], before: Sequence[PlanStep]
) -> tuple[PlanStep, ...]:
    """Steps with what came out, and whether they are done, next, open or wait.

    before: the same steps as they were forecast without any outcome.
    """
    made: list[PlanStep] = []
    blocked_by = ""
    has_next = False
    for step, forecast_step in zip(steps, before, strict=True):
        own = [outcome for outcome in outcomes if outcome.step == step.key]
        done = _done(forecast_step, own) if own else None
        state: str = "open"
        if done is not None:
            state = "done" if done.went == "well" else "went badly"
        elif blocked_by:
            state = "waits"
        elif not has_next:
            state = "next"
        has_next = has_next or state in ("next", "went badly")
        waits_for = blocked_by if state == "waits" else ""
        made.append(step.model_copy(update={"state": state, "done": done, "waits_for": waits_for}))
        if state == "went badly" and not blocked_by:
            blocked_by = step.title
    return tuple(made)


def _done(step: PlanStep, outcomes: Sequence[Outcome]) -> Done:
    last = outcomes[-1]
    return Done(
        went=last.went,
        date=last.date,
        note=last.note,
        numbers=tuple(_came(step, last)),
        times=len(outcomes),
    )


def _came(step: PlanStep, outcome: Outcome) -> Iterable[Came]:
    """Every number that was written down, against what the step expects of it."""
    expected = {one.name: one for one in step.record}
    for field, meta in quantities(Outcome).items():
        given: Given | None = getattr(outcome, field)
        if given is None:
            continue
        value = figure_of(given, field, meta)
        wanted = expected.get(field)
        title = wanted.title if wanted is not None else field
        yield Came(
            title=title, value=value, says=compared(value, wanted.figure if wanted is not None else None)
        )


def compared(came: Figure, expected: Figure | None) -> str:
    """How a number that was measured stands to its forecast, both with their bands.

    >>> forecast_m = {"value": 20.0, "low": 15.0, "high": 25.0, "unit": "m", "shown": "m"}
    >>> measured_m = forecast_m | {"value": 31.0, "low": 30.0, "high": 32.0}
    >>> expected = Figure(**forecast_m, grade="typical", because="")
    >>> compared(Figure(**measured_m, grade="measured", because=""), expected)
    'above the forecast of 20 (15 to 25) m'
    """
    if expected is None or expected.value is None:
        return "nothing was forecast to compare with"
    assert expected.low is not None and expected.high is not None  # known figures have a band
    assert came.low is not None and came.high is not None
    words = number_text(expected)
    if came.low > expected.high:
        return f"above the forecast of {words}"
    if came.high < expected.low:
        return f"below the forecast of {words}"
    return f"agrees with the forecast of {words}"


def _finding(step: PlanStep) -> Finding:
    """A step that went badly counts as a broken limit until it is done again."""
    return Finding(
        name=step.key,
        title=step.title,
        kind="field",
        severity="broken",
        kept=False,
        chance=None,
        value=Figure.unknown("1", "", f"{step.title}: no number decides it"),
        limit="to go well",
        unit="1",
        shown="",
        because=f"it went badly{f' on {step.done.date}' if step.done and step.done.date else ''}; "
        f"{step.if_it_fails[0] if step.if_it_fails else 'do it again'}",
        source="the model's own test plan",
    )
