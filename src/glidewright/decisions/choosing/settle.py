"""From what the screen kept to the set that nothing beats: its members are flown with spread, one by one.

A member that does not keep its limits with the chance wanted falls out, and what only it had beaten comes
in. When every member has been flown, the set is the one that flying all of them would have left.
"""

import math
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from glidewright.decisions.choosing.axes import MOTOR, PACK, Axes
from glidewright.decisions.choosing.builds import Build
from glidewright.decisions.choosing.chance import PASSED, Suspects, judge_chances, stages_of
from glidewright.decisions.choosing.frame import Frame
from glidewright.decisions.choosing.goals import Goal
from glidewright.decisions.choosing.places import Places
from glidewright.decisions.choosing.sieve import Kept
from glidewright.decisions.choosing.simulate import Flown, Flyer, Task, fly
from glidewright.decisions.executors import in_order
from glidewright.decisions.nondominated import Front
from glidewright.domain.parts import Motor, Pack

Array = NDArray[np.float64]
Rows = NDArray[np.intp]

TASK_BUILDS = 8
EARLY = 5  # members that are known before the end, for an answer in between
SUSPECTS, SUSPECTS_TOGETHER = 512, 64  # members whose first launches are looked at in a round, in a unit
ROUND_BUILDS = 32
FEW = 8  # builds flown whole in vain before a part is given up
TRIES = 20  # so many builds are flown for each one that is wanted, then the rest stays open


@dataclass(frozen=True)
class Settled:
    """Rows of what was kept that nothing beats and that keep every limit, the recommended one first.

    equals: how many others give the same; open_rows: members that were not flown.
    """

    kept: Kept
    rows: tuple[int, ...]
    equals: tuple[int, ...]
    open_rows: tuple[int, ...]


def compared(kept: Kept, goals: Sequence[Goal]) -> Array:
    """Goals of all rows in whole steps, the less the better, shape (rows, goals)."""
    columns = [goal.compared(kept.values[goal.column]) for goal in goals] if kept.flat.size else []
    return np.stack(columns, axis=1) if columns else np.empty((0, len(goals)))


def given_away(values: Array) -> Array:
    """Share of the way from the best to the worst of some options that each gives away, by goal.

    values: (options, goals), less is better; what is not known (infinite) gives all away.
    """
    finite = np.where(np.isfinite(values), values, math.nan)
    known = np.isfinite(values).any(axis=0)
    best = np.where(known, np.nanmin(np.where(known, finite, 0.0), axis=0), 0.0)
    worst = np.where(known, np.nanmax(np.where(known, finite, 0.0), axis=0), 0.0)
    width = np.where(worst > best, worst - best, 1.0)
    shares: Array = np.where(np.isfinite(values), (finite - best) / width, 1.0)
    return shares


def by_regret(values: Array) -> Rows:
    """Options in the order of the recommendation: the least that is given away on the worst goal first.

    Then the least on the mean of all goals, then the order that they came in. This is the Chebyshev distance
    to the ideal point (K. Miettinen, Nonlinear Multiobjective Optimization, 1999, section 2.1 of part II).

    >>> by_regret(np.array([[0.0, 4.0], [2.0, 1.0], [4.0, 0.0]]))
    array([1, 0, 2])
    """
    shares = given_away(values)
    return np.lexsort((np.arange(values.shape[0]), shares.mean(axis=1), shares.max(axis=1)))


def build_of(axes: Axes, places: Places, kept: Kept, row: int) -> Build:
    """The build of a row in its places, with its ballast."""
    options = [int(place) for place in np.unravel_index(int(kept.flat[row]), axes.shape)]
    update: dict[str, object] = {
        "nose_ballast_kg": float(kept.nose_kg[row]),
        "tail_ballast_kg": float(kept.tail_kg[row]),
    }
    moved = (
        ("motor_x_m", Motor, places.motor_shift_m[options[MOTOR], kept.motor_place[row]]),
        ("pack_x_m", Pack, places.pack_shift_m[options[PACK], kept.pack_place[row]]),
    )
    for name, kind, shift in moved:
        part = axes.setup.model.first(kind)
        if shift != 0.0 and part is not None and part.x_m is not None:
            update[name] = round(part.x_m.value + float(shift), 6)
    return axes.build(options).model_copy(update=update)


@dataclass
class Settler:
    """Flies what must be flown, each build once in the whole search.

    frame_of_draws: makes the frame over all draws, nothing where masses do not add up draw by draw; flown: by
    number; looked_at: the test that a build fails in its first launches alone, or PASSED, by number.
    """

    axes: Axes
    places: Places
    flyer: Flyer
    goals: tuple[Goal, ...]
    most: int
    frame_of_draws: Callable[[], Frame | None]
    flown: dict[int, Flown] = field(default_factory=dict)
    looked_at: dict[int, int] = field(default_factory=dict)

    def front(self, kept: Kept) -> Front:
        """What nothing beats; of equals the one with fewest purchases, least cost and mass stands for all."""
        values = kept.values
        keys = (values["mass_kg"], np.nan_to_num(values["cost"], nan=math.inf), values["purchases"])
        return Front(compared(kept, self.goals), np.lexsort((kept.flat, *keys)))

    def settle(self, kept: Kept, executor: Executor | None) -> Iterator[Settled]:
        """The set so far after every round of flights, the last one final.

        In a round the first launches of members that nobody has flown yet are looked at in a batch, where
        that can be done; when none of the first members fails there, the best of them are flown whole.
        """
        if not kept.flat.size:
            yield Settled(kept, (), (), ())
            return
        values = compared(kept, self.goals)
        front = self.front(kept)
        tries = 0
        while True:
            members = self._ranked(front, values)
            self._look_at(kept, members[:SUSPECTS], executor)
            gone = [one for one in members if self._has_failed(int(kept.flat[one]))]
            if gone:
                front.without(gone)
                self._fly_early(kept, [one for one in members if one not in set(gone)], executor)
                yield self._settled(kept, front, values, is_over=False)
                continue
            todo = [one for one in members if int(kept.flat[one]) not in self.flown]
            good = len(members) - len(todo)
            if not todo or good >= self.most or tries >= TRIES * self.most:
                yield self._settled(kept, front, values, is_over=True)
                return
            picked = todo[: min(ROUND_BUILDS, self.most - good)]
            tries += len(picked)
            self.fly(kept, picked, executor)
            yield self._settled(kept, front, values, is_over=False)

    def _fly_early(self, kept: Kept, members: Sequence[int], executor: Executor | None) -> None:
        """Fly one more of the best members that did not fail, so that there is an answer before the end."""
        good = sum(self._is_good(int(kept.flat[one])) for one in members)
        passed = [one for one in members if self.looked_at.get(int(kept.flat[one])) == PASSED]
        todo = [one for one in passed if int(kept.flat[one]) not in self.flown]
        if good < EARLY and todo:
            self.fly(kept, todo[:1], executor)

    def _settled(self, kept: Kept, front: Front, values: Array, is_over: bool) -> Settled:
        members = front.members
        good = [one for one in members if self._is_good(int(kept.flat[one]))]
        rows = [good[place] for place in by_regret(values[good])] if good else []
        equals = tuple(front.equals_of(one) for one in rows) if is_over else (0,) * len(rows)
        todo = tuple(one for one in members if int(kept.flat[one]) not in self.flown)
        return Settled(kept, tuple(rows), equals, todo)

    def first_good(self, kept: Kept, rows: Sequence[int], executor: Executor | None) -> int | None:
        """The first of some rows that keeps every limit; at most a few are flown whole for it."""
        tries = 0
        for first in range(0, len(rows), SUSPECTS_TOGETHER):
            some = rows[first : first + SUSPECTS_TOGETHER]
            self._look_at(kept, some, executor)
            for row in some:
                flat = int(kept.flat[row])
                if self._has_failed(flat):
                    continue
                self.fly(kept, [row], executor)
                if self.flown[flat].is_kept:
                    return row
                tries += 1
                if tries == FEW:
                    return None
        return None

    def _look_at(self, kept: Kept, rows: Sequence[int], executor: Executor | None) -> None:
        frame = self._frame
        known = self.flown.keys() | self.looked_at.keys()
        todo = [row for row in rows if int(kept.flat[row]) not in known]
        if frame is None or not todo:
            return
        share = self._failures[0] / np.maximum(self._failures[1], 1)
        order = np.argsort(-share, kind="stable")

        def suspects() -> Iterator[Suspects]:
            for first in range(0, len(todo), SUSPECTS_TOGETHER):
                own = np.array(todo[first : first + SUSPECTS_TOGETHER], dtype=np.intp)
                yield Suspects(
                    frame,
                    tuple(row.astype(np.intp) for row in np.unravel_index(kept.flat[own], self.axes.shape)),
                    kept.nose_kg[own] + kept.tail_kg[own],
                    kept.values["climb_speed_m_s"][own],
                    self.flyer.chance,
                    order,
                    stages_of(frame.draws, self.flyer.chance),
                )

        tests: list[int] = []
        for found in in_order(judge_chances, suspects(), executor):
            tests += found.tests.tolist()
            self._failures[0] += found.failed
            self._failures[1] += found.flown
        self.looked_at |= dict(zip(kept.flat[todo].tolist(), tests, strict=True))

    @cached_property
    def _failures(self) -> NDArray[np.intp]:
        """How often each draw has failed a build, and how often it was flown."""
        return np.zeros((2, self.flyer.draws), dtype=np.intp)

    def _is_good(self, flat: int) -> bool:
        return flat in self.flown and self.flown[flat].is_kept

    def _has_failed(self, flat: int) -> bool:
        if flat in self.flown:
            return not self.flown[flat].is_kept
        return self.looked_at.get(flat, PASSED) != PASSED

    @cached_property
    def _frame(self) -> Frame | None:
        return self.frame_of_draws()

    def fly(self, kept: Kept, rows: Sequence[int], executor: Executor | None) -> None:
        """Fly some rows that were not flown before."""
        builds = [
            (
                int(kept.flat[row]),
                build_of(self.axes, self.places, kept, row),
                float(kept.values["climb_speed_m_s"][row]),
            )
            for row in rows
            if int(kept.flat[row]) not in self.flown
        ]
        tasks = (
            Task(self.flyer, tuple(builds[first : first + TASK_BUILDS]))
            for first in range(0, len(builds), TASK_BUILDS)
        )
        for answers in in_order(fly, tasks, executor):
            self.flown |= {one.flat: one for one in answers}

    @staticmethod
    def _ranked(front: Front, values: Array) -> list[int]:
        members = front.members
        return [members[i] for i in by_regret(values[members])] if members else []
