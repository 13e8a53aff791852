"""Models or variants side by side: every figure with the spread of its difference, and what differs."""

from collections.abc import Iterator, Sequence
from concurrent.futures import Executor

import numpy as np

from glidewright.base.errors import InputError, Problem
from glidewright.base.wording import percent_text
from glidewright.decisions.comparing.cost import Money, money_of, rates_for, same_unpriced
from glidewright.decisions.comparing.draws import Flown, PairedFlights, inputs_apart
from glidewright.decisions.comparing.inputs import differing_inputs
from glidewright.decisions.comparing.lines import lines_of
from glidewright.decisions.comparing.nouns import FEWEST, MOST, Compared, CompareRequest, CompareResult
from glidewright.decisions.gliding.flight import flight_of, polar_answer
from glidewright.decisions.judgement import judge
from glidewright.decisions.nouns import Series
from glidewright.decisions.sources import sources_of
from glidewright.forecast.predict import Forecast
from glidewright.rules.finding import Finding

LETTERS = "ABCDEF"
_MOSTLY = 0.5
_FEW = 3


def run(request: CompareRequest, executor: Executor | None = None) -> CompareResult:
    """Compare two to six models, all with the first.

    executor: flies the models in place of this process; the answer is the same to the last bit.

    Raises InputError for too few or too many, one that stands twice, one without a class, foreign money
    without a rate; OutsideModelError when no model covers a part of a power train.
    """
    _check(request)
    entrants = request.entrants
    models = [one.model for one in entrants]
    letters = LETTERS[: len(models)]
    rates = rates_for(models, request.rates)
    flights = PairedFlights(request.draws)
    flown = flights.fly_all(entrants, letters, executor)
    money = [
        money_of(
            one.model,
            flights.family(one.base or one.model),
            flights.columns,
            rates.get(one.model.currency),
            request.draws,
        )
        for one in entrants
    ]
    compared = tuple(_compared(one, letter) for one, letter in zip(flown, letters, strict=True))
    return CompareResult(
        model="; ".join(one.name for one in compared),
        findings=tuple(_with_letter(finding, one.letter) for one in compared for finding in one.findings),
        currency=models[0].currency,
        draws=request.draws,
        headwind_m_s=request.headwind_m_s,
        models=compared,
        lines=lines_of(flown, money, letters, request.headwind_m_s),
        inputs=differing_inputs(models),
        drawn_apart=tuple(dict.fromkeys(entry.title for entry in inputs_apart(flown).values())),
        remarks=tuple(_remarks(request, flown, money)),
        sources=tuple(dict.fromkeys(source for one in flown for source in sources_of(one.found))),
    )


def _check(request: CompareRequest) -> None:
    """Refuse what cannot be compared, all of it in one error."""
    entrants = request.entrants
    problems = []
    if not FEWEST <= len(entrants) <= MOST:
        message = f"must be {FEWEST} to {MOST} models or variants; {len(entrants)} came"
        problems.append(Problem("", f"{message}; name {'more' if len(entrants) < FEWEST else 'fewer'}"))
    for place, one in enumerate(entrants):
        if any(one.model == other.model for other in entrants[:place]):
            message = "must stand once among the models to compare; it stands twice; leave one out"
            problems.append(Problem(one.model.name, message))
        if one.rule is None and not request.is_without_class:
            message = (
                "must be stated so that its findings can be compared; it is empty; state it in model.toml"
            )
            todo = f"{message}, or give --class ID for all, or --class none to judge by no class"
            problems.append(Problem(f"{one.model.name}: class", todo))
    if problems:
        raise InputError(list(dict.fromkeys(problems)))


def _with_letter(finding: Finding, letter: str) -> Finding:
    """A finding among those of several models."""
    update = {"name": f"{letter}.{finding.name}", "title": f"{letter}: {finding.title}"}
    return finding.model_copy(update=update)


def _compared(one: Flown, letter: str) -> Compared:
    rule = one.entrant.rule
    sink, speeds = _sink(one.found)
    return Compared(
        letter=letter,
        name=one.entrant.model.name,
        invented=one.entrant.model.invented,
        class_title=rule.title if rule else "",
        class_edition=rule.edition if rule else "",
        class_note=rule.note if rule else "",
        findings=judge(one.found),
        sink=sink,
        airspeeds_m_s=speeds,
    )


def _sink(found: Forecast) -> tuple[Series | None, tuple[float, ...]]:
    """Sink over airspeed and its axis, where the mass is known."""
    if "sink_least_m_s" not in found.prediction.values:
        return None, ()
    polar = polar_answer(found, flight_of(found), None, None)
    return next(one for one in polar.over_airspeed if one.name == "sink_m_s"), polar.airspeeds_m_s


def _remarks(request: CompareRequest, flown: Sequence[Flown], money: Sequence[Money]) -> Iterator[str]:
    """What must be known to read the lines rightly."""
    models = [one.entrant.model for one in flown]
    letters = LETTERS[: len(models)]
    classes = [one.entrant.rule.title if one.entrant.rule else "" for one in flown]
    if len(set(classes)) > 1:
        each = ", ".join(f"{letter} by {title}" for letter, title in zip(letters, classes, strict=True))
        yield f"the classes differ, each is judged by its own: {each}; --class ID judges all by one"
    if any(one.field != models[0].field for one in models):
        yield "the fields differ, so that days are compared as well as models: state one [field] in all"
    cut = [one.found.prediction.draws("cut_by_height") for one in flown]
    shares = [0.0 if draws is None else float(np.mean(draws)) for draws in cut]
    if all(share >= _MOSTLY for share in shares):
        each = ", ".join(
            f"{letter} {percent_text(share)}" for letter, share in zip(letters, shares, strict=True)
        )
        yield f"the motor is stopped by height in most draws ({each}), which makes launch heights alike"
    if any(not isinstance(one.everything, str) for one in money):
        yield from _price_remarks(request, money, letters)


def _price_remarks(request: CompareRequest, money: Sequence[Money], letters: str) -> Iterator[str]:
    models = [one.model for one in request.entrants]
    lacking = [
        f"{letter} {len(one.without_price)} ({_some(one.without_price)})"
        for letter, one in zip(letters, money, strict=True)
        if one.without_price
    ]
    first = money[0].without_price
    if lacking and same_unpriced(models):
        end = f"{len(first)} items state none ({_some(first)}), the same in all, so that differences hold"
        yield f"cost counts what states a price; {end}"
    elif lacking:
        end = "not the same in all, so that costs cannot be compared: state their prices"
        yield f"cost counts what states a price; without one are {', '.join(lacking)}; {end}"
    home = models[0].currency
    for name, rate in request.rates.items():
        yield f"one {name} counts as {rate:g} {home}"


def _some(names: Sequence[str]) -> str:
    more = f" and {len(names) - _FEW} more" if len(names) > _FEW else ""
    return f"{', '.join(names[:_FEW])}{more}"
