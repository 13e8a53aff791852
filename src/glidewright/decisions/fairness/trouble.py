"""What makes a question about fair limits unanswerable, each in one sentence."""

from collections import Counter
from collections.abc import Iterator, Sequence

from glidewright.base.errors import Problem
from glidewright.decisions.choosing.builds import SINGLE
from glidewright.decisions.fairness.binding import nearest_miss, removed_of
from glidewright.decisions.fairness.field import Entry
from glidewright.decisions.fairness.nouns import FairRequest
from glidewright.decisions.fairness.options import AS_IT_IS
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.model import Model
from glidewright.domain.rule_options import RuleOption
from glidewright.forecast.draws import MOST_DRAWS

_FEWEST_DRAWS = 16


def request_problems(request: FairRequest) -> list[Problem]:
    """Everything that is wrong with a request before anything is flown."""
    return [*_numbers(request), *_models(request), *_options(request)]


def _numbers(request: FairRequest) -> Iterator[Problem]:
    if not 0.0 < request.wrong < 0.5:
        yield Problem(
            "wrong",
            "must be above 0 and below 0.5, a share of wrong verdicts; "
            f"{request.wrong:g} came; choose a small one",
        )
    if not 0.0 < request.within <= 1.0:
        yield Problem(
            "within",
            f"must be above 0 and at most 1, a share of the best height; {request.within:g} came; try 0.95",
        )
    if not _FEWEST_DRAWS <= request.draws <= MOST_DRAWS or request.draws & (request.draws - 1):
        yield Problem(
            "draws",
            f"must be a power of two from {_FEWEST_DRAWS} to {MOST_DRAWS}; {request.draws} came; try 64",
        )


def _models(request: FairRequest) -> Iterator[Problem]:
    if not request.models:
        yield Problem("model", "must be at least one model folder; none came; give one with --model")
        return
    for model in request.models:
        missing = [kind.kind for kind in SINGLE if not _has(model, kind)]
        if missing:
            yield Problem(
                f"drawer of {model.name}",
                "must hold at least one motor, controller, pack and propeller; "
                f"it has no {', no '.join(missing)}; add parts to a file in parts/ or give one with --parts",
            )
            continue
        empty = [kind.kind for kind in SINGLE if model.first(kind) is None]
        if empty:
            yield Problem(
                f"model {model.name}",
                f"must have a place for every part of the power train; no {', no '.join(empty)} is fitted; "
                "add it in [[fitted]] of model.toml with its station",
            )
    currencies = sorted({model.currency for model in request.models})
    if len(currencies) > 1:
        yield Problem(
            "currency",
            f"must be the same in all model folders; {' and '.join(currencies)} came; "
            "convert the prices of one and state its currency anew",
        )
    for name, count in Counter(model.name for model in request.models).items():
        if count > 1:
            yield Problem(
                f"model {name}", f"must have a name of its own; {count} folders have it; rename one of them"
            )


def _has(model: Model, kind: type) -> bool:
    return model.first(kind) is not None or any(isinstance(part, kind) for part in model.drawer)


def _options(request: FairRequest) -> Iterator[Problem]:
    for option in request.options:
        if option.name.casefold() == AS_IT_IS.casefold():
            yield Problem(
                f"option {option.name}",
                "must have another name; this one stands for the class as it is; rename it",
            )


def no_motor(option: RuleOption, rule: ClassLimits) -> Problem:
    """The sentence for a rule that leaves the motor no time."""
    return Problem(
        f"option {option.name}",
        f"must leave the motor some run; {rule.title} allows none; ask for a class that launches by motor",
    )


def nobody_left(option: RuleOption, entries: Sequence[Entry], place: int) -> Problem:
    """The sentence for an option that leaves nobody: the limit that removes most, and the nearest miss."""
    removed = removed_of(entries, place)
    most = removed[0]
    words = f"must leave at least one legal build; none of {len(entries)} is left; "
    words += f"{most.title.lower()} removes most, {most.builds} of them"
    near = nearest_miss(entries, place)
    if near is not None:
        entry, broken = near
        build = entry.build
        row = next(row for row in removed if (row.name, row.of_class) == (broken.name, broken.of_class))
        parts = f"{build.motor}, {build.controller}, {build.pack}, {build.propeller}"
        words += f"; nearest is {parts} with {broken.title.lower()} {_miss(row.nearest, broken.words)}"
    return Problem(f"option {option.name}", f"{words}; loosen that limit or add parts")


def _miss(nearest: str, words: str) -> str:
    return nearest if not words else words.split(";", maxsplit=1)[0]
