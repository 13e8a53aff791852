"""First launches over all draws, for many builds in one batch: which of them cannot keep a limit.

Where masses add up draw by draw these are the draws of the whole forecast, so that a build which is refused
here would have been refused there. What is let pass is flown again with everything else. The draws that
failed other builds most often are flown first: once so many have failed that no rest could mend it, the
rest need not be flown.
"""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from glidewright.decisions.choosing.flight import Flight, flown_limits
from glidewright.decisions.choosing.frame import Frame
from glidewright.decisions.choosing.loads import LOADS
from glidewright.domain.class_limits import ClassLimits
from glidewright.rules.finding import CHANCE_NEEDED

Array = NDArray[np.float64]
Rows = NDArray[np.intp]

PASSED = -1
_ROUNDING = 1e-9
_BATCH_ROWS = 4096
_STAGES = (1.08, 2.2, 4.0)  # times the draws that may fail: so many are flown before each look


@dataclass(frozen=True)
class Suspects:
    """Some builds to be looked at: options by axis, ballast and climb airspeed of each, (builds,).

    order: all draws, those that fail most often first; stages: how many of them are flown before each look.
    """

    frame: Frame
    rows: tuple[Rows, ...]
    ballast_kg: Array
    speed_m_s: Array
    chance: float | None
    order: Rows
    stages: tuple[int, ...]


@dataclass(frozen=True)
class Verdicts:
    """tests: the first test that each build fails, as flown_tests has them, or PASSED.

    failed, flown: how often each draw failed, and was flown, over all builds.
    """

    tests: Rows
    failed: Rows
    flown: Rows


def stages_of(draws: int, chance: float | None) -> tuple[int, ...]:
    """How many draws are flown before each look at what has failed; the last look sees all.

    >>> stages_of(128, None)
    (14, 30, 55, 128)
    """
    needed = CHANCE_NEEDED if chance is None else chance
    fatal = draws * (1.0 - needed) + 1.0
    return (*sorted({min(int(times * fatal), draws) for times in _STAGES} - {draws}), draws)


def judge_chances(suspects: Suspects) -> Verdicts:
    """Look at some builds; the verdict on each is that of all its draws."""
    count, draws = suspects.ballast_kg.size, suspects.frame.draws
    tests = np.full(count, PASSED)
    failed, flown = np.zeros(draws, dtype=np.intp), np.zeros(draws, dtype=np.intp)
    ends = suspects.stages
    parts = [suspects.order[first:last] for first, last in pairwise((0, *ends))]
    counts = np.zeros((0, count), dtype=np.intp)
    for own in (part for part in parts if part.size):
        frame = suspects.frame.of_draws(own)
        left = np.flatnonzero(tests == PASSED)
        step = max(_BATCH_ROWS // own.size, 1)
        for first in range(0, left.size, step):
            some = left[first : first + step]
            broken = _broken(frame, suspects, some)
            if not counts.size:
                counts = np.zeros((broken.shape[0], count), dtype=np.intp)
            counts[:, some] += broken.sum(axis=2)
            failed[own] += broken.any(axis=0).sum(axis=0)
            flown[own] += some.size
        most = _most_failures(suspects.frame.rule, suspects.chance, draws)[: counts.shape[0]]
        is_over = counts > most[:, None]
        tests = np.where(is_over.any(axis=0), is_over.argmax(axis=0) + 1, PASSED)
    return Verdicts(tests, failed, flown)


def _broken(frame: Frame, suspects: Suspects, some: Rows) -> NDArray[np.bool_]:
    """Which draws break which test, shape (tests, builds, draws)."""
    rows = tuple(row[some] for row in suspects.rows)
    mass, _ = frame.mass_and_moment(rows)
    mass += suspects.ballast_kg[some, None]
    flight = Flight(frame, rows, mass, suspects.speed_m_s[some])
    return np.stack([(excess > 0.0).reshape(mass.shape) for excess in flight.tests()])


def _most_failures(rule: ClassLimits | None, chance: float | None, draws: int) -> Array:
    """How many draws may break each test: drive, loads, class, and the ceiling, which may not be there."""
    limits = [limit.chance_needed for limit in flown_limits(rule)]
    needed = np.array([CHANCE_NEEDED] * (1 + len(LOADS)) + limits + [CHANCE_NEEDED])
    if chance is not None:
        needed[:] = chance
    most: Array = draws * (1.0 - needed) + _ROUNDING
    return most
