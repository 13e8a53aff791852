"""The answer of a search, whole or partial, or the sentence that says why there is none."""

import math
from collections.abc import Iterator
from concurrent.futures import Executor

import numpy as np

from glidewright.base.errors import InputError, Problem
from glidewright.base.wording import chance_text, percent_text
from glidewright.decisions.choosing.answer import Answerer, Titled, counted, why_first
from glidewright.decisions.choosing.ask import Question
from glidewright.decisions.choosing.axes import AXES
from glidewright.decisions.choosing.builds import to_buy
from glidewright.decisions.choosing.chance import PASSED
from glidewright.decisions.choosing.goals import Need
from glidewright.decisions.choosing.loads import least_margin
from glidewright.decisions.choosing.nouns import BrokenLimit, Choice, ChooseResult, LeftOut, OneMore
from glidewright.decisions.choosing.settle import Settled, by_regret, compared
from glidewright.decisions.choosing.sieve import Kept, Phase
from glidewright.decisions.choosing.simulate import OF_AIRFRAME, Flown, Task, fly, used_of
from glidewright.decisions.purchase import cost_of
from glidewright.forecast.predict import forecast
from glidewright.models.launch.steady_speed import steady_speeds_m_s

NEAREST = 16  # builds among which the nearest miss is looked for
_FITTED = -1


def result_of(
    question: Question,
    kept: Kept,
    settled: Settled,
    on_hand: Settled | None,
    extra: tuple[OneMore, ...],
    stopped_in: str,
) -> ChooseResult:
    """The result as it stands; stopped_in: what the search was at, empty when it came to its end."""
    request, model, sieve = question.request, question.model, question.sieve
    flown = question.settler.flown
    answer = Answerer(model, sieve, flown)
    now, now_breaks = _now(question, answer)
    looked_at = question.settler.looked_at
    failed = {flat for flat, one in flown.items() if not one.is_kept}
    failed |= {flat for flat, test in looked_at.items() if test != PASSED}
    first = flown[int(settled.kept.flat[settled.rows[0]])]
    rule = request.rule
    return ChooseResult(
        model=model.name,
        findings=first.findings,
        invented=model.invented,
        currency=model.currency,
        class_title="" if rule is None else rule.title,
        class_note="" if rule is None else rule.note,
        draws=request.draws,
        goals=tuple(goal.name for goal in question.goals),
        goal_titles=tuple(goal.title for goal in question.goals),
        needs=tuple(need.words for need in question.needs),
        ready_by="" if request.by is None else request.by.isoformat(),
        choices=tuple(
            answer.choice(settled.kept, row, equals)
            for row, equals in zip(settled.rows, settled.equals, strict=True)
        ),
        why=why_first(settled, question.goals),
        now=now,
        now_breaks=now_breaks,
        on_hand=answer.choice(on_hand.kept, on_hand.rows[0])
        if on_hand is not None and on_hand.rows
        else None,
        combinations=sieve.tally.combinations,
        sets=sieve.tally.sets,
        kept_sets=int(kept.flat.size),
        simulated=len(flown.keys() | looked_at.keys()),
        failed=len(failed),
        open_sets=len(settled.open_rows),
        broken=answer.broken(),
        doubtful=_doubtful(question, kept),
        records=tuple(answer.records()),
        left_out=tuple(LeftOut(part=part.id, because=why) for part, why in question.axes.left_out),
        one_more=extra,
        is_partial=bool(stopped_in),
        stopped_in=stopped_in,
        how=tuple(_how(question)),
        remarks=tuple(_remarks(question, first)),
    )


def _doubtful(question: Question, kept: Kept) -> tuple[BrokenLimit, ...]:
    """Limits that took builds out by their chance, each build counted at the first one."""
    settler, tests = question.settler, question.sieve.flown
    asked = set(kept.flat.tolist())
    flown = [one for flat, one in settler.flown.items() if flat in asked]
    firsts: list[tuple[Titled, int]] = [(one.broke[0], 1) for one in flown if one.broke]
    only = asked - settler.flown.keys()
    looked_at = [test for flat, test in settler.looked_at.items() if flat in only and test != PASSED]
    firsts += [(tests[test], 1) for test in looked_at]
    return counted(firsts)


def _now(question: Question, answer: Answerer) -> tuple[Choice | None, tuple[str, ...]]:
    """The model as it is, flown like every build, and what it breaks."""
    axes, model = question.axes, question.request.model
    stated = model.launch.climb_speed_m_s
    speed = float(steady_speeds_m_s(question.sieve.frame.inputs)[0][0]) if stated is None else stated.value
    orders = question.sieve.frame.orders
    middle = forecast(
        axes.setup,
        with_trace=False,
        with_causes=False,
        with_power_curves=False,
        with_glide=False,
        climb_speed_m_s=speed,
        like=orders,
    )
    used = used_of(middle, model)
    shares = [float(share[0]) if math.isfinite(share[0]) else -math.inf for share in used.values()]
    bought = to_buy(question.model, axes.fitted)
    middles = {
        "height_m": float(middle.prediction.values["height_true_m"][0]),
        "launches": float(middle.prediction.values["launches"][0]),
        "mass_kg": float(middle.prediction.values["mass_kg"][0]),
        "margin": float(least_margin(used)[0]),
        "margin_by": float(np.argmax(shares)),
        "cost": cost_of(bought),
        "purchases": float(len({part.id for part in bought})),
    }
    (found,) = fly(Task(question.settler.flyer, ((_FITTED, axes.fitted, speed),), is_whole=True))
    if found.not_covered:
        return None, (found.not_covered,)
    return answer.told(axes.fitted, middles, found), tuple(
        f"{one.title} (chance to keep it {chance_text(one.chance)})" for one in found.broke
    )


def _how(question: Question) -> Iterator[str]:
    request = question.request
    yield (
        "limits of labels and sizes were held against every set of parts; each set that is left lies where "
        "it needs the least ballast, and was flown once and through one charge at the middle of every input"
    )
    chance = (
        "the chance that each limit asks for" if request.chance is None else chance_text(request.chance, True)
    )
    yield (
        f"what nothing beats there was flown over {request.draws} draws and keeps every limit with {chance}; "
        "what fell out let others in, until every member had been flown"
    )
    steps = ", ".join(f"{goal.text(goal.step)} of {goal.title.lower()}" for goal in question.goals)
    yield f"builds count as equal within {steps}"
    yield (
        "recommended is the build that gives away least: for each goal the share of the way from the best to "
        "the worst of the set, the largest of these shares counts, then their mean"
    )


def _remarks(question: Question, first: Flown) -> Iterator[str]:
    for one in first.findings:
        if one.name in OF_AIRFRAME and one.severity in ("broken", "doubtful"):
            yield f"{one.title} is {one.severity} and no choice of parts changes that: {one.because}"
    if question.sieve.frame.places.aim_m is None:
        yield "no range of the centre of gravity is known, so nothing was balanced: state it in [airframe]"


def no_build(
    question: Question, kept: Kept, extra: tuple[OneMore, ...], executor: Executor | None
) -> InputError:
    """Why there is no build: what removes most, the nearest miss, and what one purchase would change."""
    words = _why_none(question, kept, executor)
    if extra:
        words += f", or buy {extra[0].name}: with it there is one"
    return InputError(Problem("choose", words))


def _why_none(question: Question, kept: Kept, executor: Executor | None) -> str:
    sieve = question.sieve
    for (role, _), options in zip(AXES, question.axes.options, strict=True):
        if not options:
            why = next((f"; {part.id}: {why}" for part, why in question.axes.left_out), "")
            return f"must find at least one usable part for {role}; there is none{why}; add one to the drawer"
    if not sieve.tally.sets:
        return (
            "must find a part on hand for every role when nothing may be bought; allow a purchase with --buy"
        )
    if kept.flat.size:
        return _all_doubtful(question, kept, executor)
    if question.needs:
        without = sieve.without_needs()
        for phase in (Phase.ON_HAND, Phase.SINGLE, Phase.ALLOWED):
            if not without.is_empty(phase):
                found = [one for _, one in without.run(phase, executor) if one is not None]
                kept = kept.with_more(Kept.of(found))
        if kept.flat.size:
            return _needs_unmet(question.needs, kept)
    answer = Answerer(question.model, sieve, {})
    most = answer.broken()[0]
    nearest = sieve.tally.nearest
    assert nearest is not None  # something was broken
    misses = " and ".join(
        f"{title.lower()} by {percent_text(excess)}"
        for title, excess in sieve.misses_of(nearest.flat).items()
    )
    allowed = f" ({most.allowed})" if most.allowed else ""
    return (
        f"must find a combination that keeps every limit; none of {sieve.tally.sets} does: most, "
        f"{most.sets}, break {most.limit.lower()}{allowed}; the nearest miss, "
        f"{_set_words(question, nearest.flat)}, breaks {misses}; add other parts or loosen a limit"
    )


def _set_words(question: Question, flat: int) -> str:
    rows = question.sieve.rows(np.array([flat]))
    ids = [
        option.main.id
        for options, row in zip(question.axes.options[:4], rows[:4], strict=True)
        for option in (options[int(row[0])],)
    ]
    return " + ".join(ids)


def _all_doubtful(question: Question, kept: Kept, executor: Executor | None) -> str:
    """Builds that keep every limit at the middle, but none with the chance wanted.

    The nearest miss is looked for among the best of them by their goals.
    """
    best = by_regret(compared(kept, question.goals))[:NEAREST].tolist()
    question.settler.fly(kept, best, executor)
    asked = set(kept.flat.tolist())
    failed = [one for one in question.settler.flown.values() if one.broke and one.flat in asked]
    nearest = max(failed, key=lambda one: min(finding.chance or 0.0 for finding in one.broke))
    worst = min(nearest.broke, key=lambda finding: finding.chance or 0.0)
    most = _doubtful(question, kept)[0]
    return (
        "must find a combination that keeps every limit with the chance wanted; none of "
        f"{kept.flat.size} that keep them at the middle does: most, {most.sets}, fail "
        f"{most.limit.lower()}; the nearest miss, "
        f"{_set_words(question, nearest.flat)}, keeps {worst.title.lower()} in {chance_text(worst.chance)} "
        "of the draws; measure what is typical, or ask less with --chance"
    )


def _needs_unmet(needs: tuple[Need, ...], kept: Kept) -> str:
    """Needs that no build meets, alone or together, of those that keep every limit."""
    met = {need.words: need.excess(kept.values[need.goal.column]) <= 0.0 for need in needs}
    for need in needs:
        if not met[need.words].any():
            values = kept.values[need.goal.column]
            best = np.nanmax(values) if need.is_least else np.nanmin(values)
            return (
                f"must find a combination with {need.words}; the best of {kept.flat.size} that keep every "
                f"limit has {need.goal.text(float(best))}; loosen this need"
            )
    alone = " and ".join(f"{words} by {int(found.sum())}" for words, found in met.items())
    return (
        f"must find a combination that meets every need; they contradict each other: of {kept.flat.size} "
        f"combinations that keep every limit, {alone} are met, and by none together; loosen one"
    )
