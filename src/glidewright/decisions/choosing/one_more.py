"""What one more purchase would add to what may be bought."""

import math
from collections.abc import Iterator
from concurrent.futures import Executor

import numpy as np
from numpy.typing import NDArray

from glidewright.decisions.choosing.answer import Answerer
from glidewright.decisions.choosing.ask import Question
from glidewright.decisions.choosing.goals import Goal
from glidewright.decisions.choosing.nouns import OneMore
from glidewright.decisions.choosing.settle import Settled, by_regret, compared
from glidewright.decisions.choosing.sieve import Kept

Array = NDArray[np.float64]
Rows = NDArray[np.intp]

TOLD = 3
LOOKED_AT = 64  # lists of purchases, the best first
BUILDS = 256  # of one list, the best first, among which one must keep every limit
_NO_TERMS = ("cost", "days", "purchases")


def one_more(
    question: Question, kept: Kept, more: Kept, base: Settled | None, executor: Executor | None
) -> tuple[OneMore, ...]:
    """The purchases that add most, each with a build that was flown and keeps every limit.

    kept: what may be bought; more: with one purchase more; base: what is compared with, the best of it.
    """
    pool = more if more.flat.size else _single(kept)
    if not pool.flat.size:
        return ()
    gains = _gains(question, pool, base)
    told: list[OneMore] = []
    for rows in list(_by_purchase(question, pool, gains))[:LOOKED_AT]:
        if len(told) == TOLD:
            break
        row = question.settler.first_good(pool, rows[:BUILDS].tolist(), executor)
        if row is not None:
            told.append(_told(question, pool, row, base))
    return tuple(told)


def _single(kept: Kept) -> Kept:
    """Rows with one purchase, where any number may be bought."""
    if not kept.flat.size:
        return kept
    return kept.some(np.flatnonzero(kept.values["purchases"] == 1.0))


def _by_purchase(question: Question, pool: Kept, gains: Array) -> Iterator[Rows]:
    """Rows that gain, those of one list of purchases together, the best list and the best row first."""
    sieve = question.sieve
    gaining = np.flatnonzero(gains > 0.0)
    if not gaining.size:
        return
    names: dict[frozenset[str], int] = {}
    bought = []
    for options, own in zip(sieve.axes.options, sieve.rows(pool.flat[gaining]), strict=True):
        lists = [frozenset(part.id for part in one.parts if not part.on_hand) for one in options]
        bought.append(np.array([names.setdefault(one, len(names)) for one in lists])[own])
    _, which = np.unique(np.stack(bought, axis=1), axis=0, return_inverse=True)
    which = which.ravel()
    best = np.zeros(which.max() + 1)
    np.maximum.at(best, which, gains[gaining])
    for group in np.argsort(-best, kind="stable"):
        own = gaining[which == group]
        yield own[np.argsort(-gains[own], kind="stable")]


def _aims(question: Question) -> list[Goal]:
    """Goals that a purchase may better: not its own cost."""
    return [goal for goal in question.goals if goal.name not in _NO_TERMS]


def _gains(question: Question, pool: Kept, base: Settled | None) -> Array:
    """Relative gain of each row over the best without the purchase, summed over the goals that gain.

    Where nothing is legal without it, its place in the order of the recommendation.
    """
    goals = _aims(question)
    if base is None or not base.rows:
        order = by_regret(compared(pool, question.goals))
        ranks = np.empty(order.size)
        ranks[order] = np.arange(order.size)
        return 1.0 - ranks / order.size
    total = np.zeros(pool.flat.size)
    without = base.kept.some(np.array(base.rows, dtype=np.intp))
    for goal in goals:
        best = goal.compared(without.values[goal.column]).min()
        steps = best - goal.compared(pool.values[goal.column])
        if math.isfinite(best):
            total += np.where(np.isfinite(steps), np.maximum(steps, 0.0), 0.0) / max(abs(best), 1.0)
    return total


def _told(question: Question, pool: Kept, row: int, base: Settled | None) -> OneMore:
    choice = Answerer(question.model, question.sieve, question.settler.flown).choice(pool, row)
    return OneMore(
        parts=tuple(one.part for one in choice.purchases),
        name=" and ".join(one.name for one in choice.purchases),
        cost=choice.value("cost"),
        ready=choice.value("days"),
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
