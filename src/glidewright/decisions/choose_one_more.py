"""What one more purchase would add to what may be bought."""

import math
from collections.abc import Iterator
from concurrent.futures import Executor

import numpy as np
from numpy.typing import NDArray

from glidewright.decisions.choose_answer import Answerer, cost_figure, ready_figure
from glidewright.decisions.choose_ask import Question
from glidewright.decisions.choose_goals import Goal
from glidewright.decisions.choose_nouns import OneMore
from glidewright.decisions.choose_settle import Settled, by_regret, compared
from glidewright.decisions.choose_sieve import Kept
from glidewright.domain.parts import Part

Array = NDArray[np.float64]
Rows = NDArray[np.intp]

TOLD = 3
LOOKED_AT = 1024  # builds of a part, the best first, among which one must keep every limit
_NO_TERMS = ("cost", "days", "purchases")


def one_more(
    question: Question, kept: Kept, more: Kept, base: Settled | None, executor: Executor | None
) -> tuple[OneMore, ...]:
    """The purchases that add most, each with a build that was flown and keeps every limit.

    kept: what may be bought; more: with one purchase more; base: what is compared with, the best of it.
    """
    pool = more if more.flat.size else _single(kept)
    found = []
    for part, rows in _by_part(question, pool):
        gains = _gains(question, pool, rows, base)
        best = float(gains.max(initial=0.0))
        if best > 0.0:
            found.append((best, part, rows[np.argsort(-gains, kind="stable")]))
    found.sort(key=lambda one: (-one[0], one[1].id))
    told: list[OneMore] = []
    for _, part, rows in found:
        if len(told) == TOLD:
            break
        row = question.settler.first_good(pool, rows[:LOOKED_AT].tolist(), executor)
        if row is not None:
            told.append(_told(question, pool, row, part, base))
    return tuple(told)


def _single(kept: Kept) -> Kept:
    """Rows with one purchase, where any number may be bought."""
    if not kept.flat.size:
        return kept
    return kept.some(np.flatnonzero(kept.values["purchases"] == 1.0))


def _by_part(question: Question, pool: Kept) -> Iterator[tuple[Part, Rows]]:
    """Parts to be bought, with the rows that hold them; of a catalogue its parts alone."""
    sieve = question.sieve
    catalogue = {part.id for part in question.request.catalogue}
    rows = sieve.rows(pool.flat)
    wanted: dict[str, tuple[Part, list[Rows]]] = {}
    for options, row in zip(sieve.axes.options, rows, strict=True):
        for place, option in enumerate(options):
            for part in option.parts:
                if part.on_hand or (catalogue and part.id not in catalogue):
                    continue
                wanted.setdefault(part.id, (part, []))[1].append(np.flatnonzero(row == place))
    for part, places in wanted.values():
        joined = np.unique(np.concatenate(places))
        if joined.size:
            yield part, joined


def _aims(question: Question) -> list[Goal]:
    """Goals that a purchase may better: not its own cost."""
    return [goal for goal in question.goals if goal.name not in _NO_TERMS]


def _gains(question: Question, pool: Kept, rows: Rows, base: Settled | None) -> Array:
    """Relative gain of each row over the best without the purchase, summed over the goals that gain.

    Where nothing is legal without it, its place in the order of the recommendation.
    """
    goals = _aims(question)
    if base is None or not base.rows:
        order = by_regret(compared(pool.some(rows), question.goals))
        ranks = np.empty(rows.size)
        ranks[order] = np.arange(rows.size)
        return 1.0 - ranks / rows.size
    total = np.zeros(rows.size)
    without = base.kept.some(np.array(base.rows, dtype=np.intp))
    for goal in goals:
        best = goal.compared(without.values[goal.column]).min()
        steps = best - goal.compared(pool.values[goal.column][rows])
        if math.isfinite(best):
            total += np.where(np.isfinite(steps), np.maximum(steps, 0.0), 0.0) / max(abs(best), 1.0)
    return total


def _told(question: Question, pool: Kept, row: int, part: Part, base: Settled | None) -> OneMore:
    choice = Answerer(question.model, question.sieve, question.settler.flown).choice(pool, row)
    pieces = next((one.pieces for one in choice.purchases if one.part == part.id), 1)
    return OneMore(
        part=part.id,
        name=part.name,
        cost=cost_figure([part] * pieces),
        ready=ready_figure([part] * pieces),
        gains=tuple(_words(question, pool, row, base)),
        choice=choice,
    )


def _words(question: Question, pool: Kept, row: int, base: Settled | None) -> Iterator[str]:
    """What every goal comes to, before and after; before: the recommended build without the purchase."""
    if base is None or not base.rows:
        yield "makes a build possible that keeps every limit"
    for goal in _aims(question):
        after = goal.text(float(pool.values[goal.column][row]))
        if base is None or not base.rows:
            yield f"{goal.title.lower()} {after}"
            continue
        before = goal.text(float(base.kept.values[goal.column][base.rows[0]]))
        if before != after:
            yield f"{goal.title.lower()} {before} -> {after}"
