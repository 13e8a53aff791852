"""Fair limits: a field of plausible entries under a set of rule options, for a committee before it votes.

Every legal and sound build of the drawers enters, set up as well as its owner could. The work is cut into
tasks that know nothing of each other; any executor of ``concurrent.futures`` may run them, with the same
numbers.
"""

from collections.abc import Callable, Sequence
from concurrent.futures import Executor
from typing import TypeVar

from glidewright.base.errors import InputError, Problem
from glidewright.decisions.choosing.builds import SINGLE
from glidewright.decisions.fairness.build import builds_of
from glidewright.decisions.fairness.check import climb_checks, climb_limit_m_s, devices_of
from glidewright.decisions.fairness.field import Entry, Share, fly_share
from glidewright.decisions.fairness.flying import run_limit_s
from glidewright.decisions.fairness.look import Look, look
from glidewright.decisions.fairness.nouns import FairRequest, FairResult, NamedPart, OptionResult
from glidewright.decisions.fairness.option import Found, judged, option_result
from glidewright.decisions.fairness.options import applied, with_as_it_is
from glidewright.decisions.fairness.spread import Flown, flown_under
from glidewright.decisions.fairness.trouble import no_motor, nobody_left, request_problems
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.rule_options import RuleOption

A = TypeVar("A")
B = TypeVar("B")
Progress = Callable[[int, int], None]

_SHARE = 48  # builds of one task; the same whoever runs them


def run(
    request: FairRequest, executor: Executor | None = None, progress: Progress | None = None
) -> FairResult:
    """The field under every option.

    executor: runs the tasks, in this process when there is none; progress: told after each task how many of
    how many are done. Raises InputError for a request that cannot be used, and where an option leaves nobody.
    """
    problems = request_problems(request)
    if problems:
        raise InputError(problems)
    options = with_as_it_is(request.rule, request.options)
    if not run_limit_s(request.rule) > 0.0:
        raise InputError(no_motor(options[0], request.rule))
    rules = _rules(request.rule, options)
    shares = _shares(request, rules)
    steps = _Steps(len(shares) + 2 * len(options), progress)
    entries = [entry for part in _each(fly_share, shares, executor, steps) for entry in part]
    fields = _fields(options, entries)
    looks = [
        Look(request.models[own.entries[place].airframe], own.entries[place].build, own.launches[place],
             rule, request.draws)
        for rule, own in zip(rules, fields, strict=True)
        for place in (own.best, own.typical)
    ]  # fmt: skip
    looked = list(_each(look, looks, executor, steps))
    devices = devices_of(request.logger)
    results = [
        option_result(
            request,
            option,
            rule,
            Found(place, tuple(entries), own, looked[2 * place], looked[2 * place + 1], devices),
        )
        for place, (option, rule, own) in enumerate(zip(options, rules, fields, strict=True))
    ]
    return _result(request, rules, judged(results))


def _rules(rule: ClassLimits, options: Sequence[RuleOption]) -> tuple[ClassLimits, ...]:
    """The class under every option; raises InputError with the problems of all of them."""
    problems: list[Problem] = []
    rules = []
    for option in options:
        try:
            found = applied(rule, option)
            if not run_limit_s(found) > 0.0:
                raise InputError(no_motor(option, found))
            rules.append(found)
        except InputError as refused:
            problems.extend(refused.problems)
    if problems:
        raise InputError(problems)
    return tuple(rules)


def _shares(request: FairRequest, rules: tuple[ClassLimits, ...]) -> list[Share]:
    found = []
    for airframe, model in enumerate(request.models):
        builds = builds_of(model)
        starts = range(0, len(builds), _SHARE)
        found += [Share(airframe, model, builds[at : at + _SHARE], rules, request.draws) for at in starts]
    return found


def _fields(options: Sequence[RuleOption], entries: Sequence[Entry]) -> tuple[Flown, ...]:
    """The entries that may start under every option; raises InputError for each that leaves nobody."""
    fields = [flown_under(entries, place) for place in range(len(options))]
    problems = [
        nobody_left(option, entries, place)
        for place, (option, own) in enumerate(zip(options, fields, strict=True))
        if own is None
    ]
    if problems:  # where the class itself leaves nobody, its options are not at fault
        raise InputError(problems[:1] if fields[0] is None else problems)
    return tuple(own for own in fields if own is not None)


class _Steps:
    """Counts tasks that are done."""

    def __init__(self, total: int, told: Progress | None) -> None:
        self._total, self._told, self._done = total, told, 0

    def one(self) -> None:
        """One more is done."""
        self._done += 1
        if self._told is not None:
            self._told(self._done, self._total)


def _each(
    work: Callable[[A], B], tasks: Sequence[A], executor: Executor | None, steps: _Steps
) -> Sequence[B]:
    """The results of all tasks in their order; what has not begun is called off when one fails."""
    done = []
    if executor is None:
        for task in tasks:
            done.append(work(task))
            steps.one()
        return done
    futures = [executor.submit(work, task) for task in tasks]
    try:
        for future in futures:
            done.append(future.result())
            steps.one()
    finally:
        for future in futures:
            future.cancel()
    return done


def _result(
    request: FairRequest, rules: Sequence[ClassLimits], options: tuple[OptionResult, ...]
) -> FairResult:
    rule = request.rule
    climb = climb_limit_m_s(rules)
    devices = devices_of(request.logger)
    checks = () if climb is None else climb_checks(*climb, devices, request.wrong, request.seed)
    return FairResult(
        class_id=rule.id,
        class_title=rule.title,
        class_edition=rule.edition,
        class_note=rule.note,
        class_open_points=rule.open_points,
        invented=request.invented or rule.invented or any(model.invented for model in request.models),
        airframes=tuple(model.name for model in request.models),
        parts=_parts(request),
        builds=options[0].builds,
        currency=request.models[0].currency,
        draws=request.draws,
        within=request.within,
        wrong=request.wrong,
        options=options,
        climb_checks=checks,
        climb_check_m_s=None if climb is None else climb[0],
        unbeaten=tuple(one.name for one in options if one.unbeaten),
        remarks=_remarks(request, rules),
        sources=tuple(dict.fromkeys(one for one in (rule.source,) if one)),
    )


def _parts(request: FairRequest) -> tuple[NamedPart, ...]:
    named: dict[str, str] = {}
    for model in request.models:
        for kind in SINGLE:
            for part in (*model.drawer, *(item.part for item in model.items)):
                if isinstance(part, kind):
                    named.setdefault(part.id, part.name)
    return tuple(NamedPart(id=part_id, name=name) for part_id, name in named.items())


def _remarks(request: FairRequest, rules: Sequence[ClassLimits]) -> tuple[str, ...]:
    """What the numbers leave out, as far as this class makes it matter."""
    said = []
    score = request.rule.score
    if score is not None and (score.height or score.nominal_height_m is not None):
        said.append(
            "This class gives or takes points by start height: there more height is not all gain, and the "
            "gap in metres tells only how far entries can differ."
        )
    if any(rule.motor_run_s is None for rule in rules):
        said.append(
            "Where a rule leaves the motor run open, 30 s are assumed, or 300 s where a height stops it."
        )
    if len(request.models) == 1:
        said.append(
            "One airframe: differences between airframes are not in the spread; name further folders."
        )
    return tuple(said)
