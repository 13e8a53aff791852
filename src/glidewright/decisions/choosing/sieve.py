"""The sieve: all sets of parts in order, those on hand first, through exact label limits and the screen."""

import math
from collections.abc import Iterator, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass, replace
from enum import Enum
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glidewright.base.errors import InputError
from glidewright.decisions.choosing.axes import MOTOR, PACK, Axes
from glidewright.decisions.choosing.fit import Test
from glidewright.decisions.choosing.frame import Frame
from glidewright.decisions.choosing.screen import FlownTest, Screened, Unit, misses_of, screen
from glidewright.decisions.executors import in_order

Array = NDArray[np.float64]
Rows = NDArray[np.intp]

MOST_SETS = 500_000_000
_BLOCK = 1 << 17
UNIT_ROWS = 4096


class Phase(Enum):
    """Which sets are looked at, in this order; the last one asks what a purchase more would add."""

    ON_HAND = "parts on hand"
    SINGLE = "one part to buy"
    ALLOWED = "parts to buy"
    ONE_MORE = "one more purchase"


@dataclass(frozen=True)
class Kept:
    """Sets that keep every limit at the middle: their numbers, places, ballast, and values by column."""

    flat: Rows
    motor_place: Rows
    pack_place: Rows
    nose_kg: Array
    tail_kg: Array
    values: dict[str, Array]

    @classmethod
    def of(cls, screened: list[Screened]) -> "Kept":
        """All that some units kept."""
        names = list(screened[0].values) if screened else []
        return cls(
            flat=_joined([one.flat[one.broke < 0] for one in screened]).astype(np.intp),
            motor_place=_joined([one.motor_place for one in screened]).astype(np.intp),
            pack_place=_joined([one.pack_place for one in screened]).astype(np.intp),
            nose_kg=_joined([one.nose_kg for one in screened]),
            tail_kg=_joined([one.tail_kg for one in screened]),
            values={name: _joined([one.values[name] for one in screened]) for name in names},
        )

    def some(self, rows: Rows) -> "Kept":
        """Some of them."""
        return Kept(
            self.flat[rows],
            self.motor_place[rows],
            self.pack_place[rows],
            self.nose_kg[rows],
            self.tail_kg[rows],
            {name: column[rows] for name, column in self.values.items()},
        )

    def with_more(self, other: "Kept") -> "Kept":
        """These and others behind them."""
        if not other.flat.size:
            return self
        if not self.flat.size:
            return other
        return Kept(
            np.concatenate([self.flat, other.flat]),
            np.concatenate([self.motor_place, other.motor_place]),
            np.concatenate([self.pack_place, other.pack_place]),
            np.concatenate([self.nose_kg, other.nose_kg]),
            np.concatenate([self.tail_kg, other.tail_kg]),
            {name: np.concatenate([self.values[name], other.values[name]]) for name in self.values},
        )


def _joined(columns: Sequence[NDArray[Any]]) -> NDArray[Any]:
    return np.concatenate(columns) if columns else np.empty(0)


@dataclass(frozen=True)
class Miss:
    """A set that breaks something: how far it came (1 for flown), by how much it misses, and its number."""

    stage: int
    missed: float
    flat: int


@dataclass
class Tally:
    """What the sieve counted: sets by the first test that they break, the last column for those kept.

    by_option: the same for every option of every axis; combinations: the sets in all their places.
    """

    sets: int
    combinations: int
    by_test: NDArray[np.int64]
    by_option: tuple[NDArray[np.int64], ...]
    nearest: Miss | None = None

    @classmethod
    def empty(cls, shape: tuple[int, ...], tests: int) -> "Tally":
        """Nothing counted yet."""
        columns = tests + 1
        by_option = tuple(np.zeros((count, columns), dtype=np.int64) for count in shape)
        return cls(0, 0, np.zeros(columns, dtype=np.int64), by_option)

    def note(self, rows: tuple[Rows, ...], broke: Rows, combinations: int) -> None:
        """Count sets with the place of the first test that each breaks, -1 for none."""
        self.combinations += combinations
        columns = self.by_test.size
        code = np.where(broke < 0, columns - 1, broke)
        self.sets += code.size
        self.by_test += np.bincount(code, minlength=columns)
        for number, row in enumerate(rows):
            table = self.by_option[number]
            more = np.bincount(row * columns + code, minlength=table.size)
            np.add(table, more.reshape(table.shape), out=table)

    def come_near(self, miss: Miss) -> None:
        """Remember a miss that is nearer than all before."""
        if self.nearest is None or (-miss.stage, miss.missed) < (-self.nearest.stage, self.nearest.missed):
            self.nearest = miss


class Sieve:
    """All sets of parts of some axes through all tests; tests of labels come before those of the screen."""

    def __init__(
        self,
        axes: Axes,
        labels: tuple[Test, ...],
        flown: tuple[FlownTest, ...],
        frame: Frame,
        buy: int | None,
    ) -> None:
        self.axes, self.labels, self.flown, self.frame, self.buy = axes, labels, flown, frame, buy
        self.size = math.prod(axes.shape)
        if self.size > MOST_SETS:
            raise InputError.at(
                "parts",
                f"must make at most {MOST_SETS // 1_000_000} million sets; {self.size:.1e} came; "
                "leave out a parts file or keep fewer parts in it",
            )
        self.purchases = [axes.column(axis, "purchases").astype(np.int64) for axis in range(len(axes.shape))]
        self.catalogue = [
            axes.column(axis, "is_catalogue").astype(np.int64) for axis in range(len(axes.shape))
        ]
        self.tally = Tally.empty(axes.shape, len(labels) + len(flown))

    def rows(self, flat: Rows) -> tuple[Rows, ...]:
        """Options by axis of some sets."""
        return tuple(row.astype(np.intp) for row in np.unravel_index(flat, self.axes.shape))

    def is_empty(self, phase: Phase) -> bool:
        """Whether a phase has nothing to look at."""
        if phase is Phase.ON_HAND:
            return math.prod(self.axes.on_hand) == 0
        if phase is Phase.SINGLE:
            return self.buy == 0 or self.axes.on_hand == self.axes.shape
        if phase is Phase.ALLOWED:
            return self.buy in (0, 1) or self.axes.on_hand == self.axes.shape
        has_catalogue = any(marks.any() for marks in self.catalogue)
        return not has_catalogue and (self.buy is None or self.axes.on_hand == self.axes.shape)

    def run(self, phase: Phase, executor: Executor | None = None) -> Iterator[tuple[float, Screened | None]]:
        """Share of a phase that is done, with each unit of sets that came through the labels.

        Sets of the last phase are not counted: they were not asked for.
        """
        done = 0.0

        def units() -> Iterator[Unit]:
            nonlocal done
            for share, flat in self._blocks(phase):
                rows = self.rows(flat)
                broke = self._by_labels(flat, rows, is_counted=phase is not Phase.ONE_MORE)
                left = np.flatnonzero(broke < 0)
                for first in range(0, left.size, UNIT_ROWS):
                    some = left[first : first + UNIT_ROWS]
                    yield Unit(self.frame, flat[some], tuple(row[some] for row in rows))
                done = share

        for found in in_order(screen, units(), executor):
            if phase is not Phase.ONE_MORE:
                self._count(found)
            yield done, found
        yield 1.0, None

    def _blocks(self, phase: Phase) -> Iterator[tuple[float, Rows]]:
        """Numbers of the sets of a phase, in order, with the share done after them."""
        if phase in (Phase.ON_HAND, Phase.SINGLE):
            boxes = list(self._boxes(phase))
            for number, (low, high) in enumerate(boxes):
                extent = tuple(b - a for a, b in zip(low, high, strict=True))
                for share, places in _ranges(math.prod(extent)):
                    rows = tuple(
                        row + a for row, a in zip(np.unravel_index(places, extent), low, strict=True)
                    )
                    flat = np.ravel_multi_index(rows, self.axes.shape).astype(np.intp)
                    yield (number + share) / len(boxes), flat[self._is_in(phase, rows)]
            return
        for share, flat in _ranges(self.size):
            yield share, flat[self._is_in(phase, self.rows(flat))]

    def _boxes(self, phase: Phase) -> Iterator[tuple[tuple[int, ...], tuple[int, ...]]]:
        """First and last option of every axis: all on hand, or all but those of one axis."""
        shape, on_hand = self.axes.shape, self.axes.on_hand
        none = (0,) * len(shape)
        if phase is Phase.ON_HAND:
            yield none, on_hand
            return
        for axis in range(len(shape)):
            low, high = list(none), list(on_hand)
            low[axis], high[axis] = on_hand[axis], shape[axis]
            yield tuple(low), tuple(high)

    def _is_in(self, phase: Phase, rows: tuple[Rows, ...]) -> NDArray[np.bool_]:
        bought = np.sum([table[row] for table, row in zip(self.purchases, rows, strict=True)], axis=0)
        strange = np.sum([table[row] for table, row in zip(self.catalogue, rows, strict=True)], axis=0)
        most = np.iinfo(np.int64).max - 1 if self.buy is None else self.buy
        found: NDArray[np.bool_]
        if phase is Phase.ON_HAND:
            found = bought == 0
        elif phase is Phase.SINGLE:
            found = (strange == 0) & (bought == 1)
        elif phase is Phase.ALLOWED:
            found = (strange == 0) & (bought <= most) & (bought > 1)
        else:
            found = (bought == most + 1) & (strange <= 1) | (bought <= most) & (strange == 1)
        return found

    def _by_labels(self, flat: Rows, rows: tuple[Rows, ...], is_counted: bool) -> Rows:
        broke = np.full(flat.size, -1)
        missed = np.zeros(flat.size)
        for number, test in enumerate(self.labels):
            excess = test.excess[tuple(rows[axis] for axis in test.axes)]
            bad = excess > 0.0
            broke[bad & (broke < 0)] = number
            missed[bad] += excess[bad]
        if is_counted:
            out = np.flatnonzero(broke >= 0)
            self._note(tuple(row[out] for row in rows), broke[out])
            if out.size:
                nearest = out[missed[out].argmin()]
                self.tally.come_near(Miss(0, float(missed[nearest]), int(flat[nearest])))
        return broke

    def _count(self, found: Screened) -> None:
        broke = np.where(found.broke < 0, -1, found.broke + len(self.labels))
        self._note(self.rows(found.flat), broke)
        out = np.flatnonzero(found.broke >= 0)
        if out.size:
            nearest = out[found.missed[out].argmin()]
            self.tally.come_near(Miss(1, float(found.missed[nearest]), int(found.flat[nearest])))

    def _note(self, rows: tuple[Rows, ...], broke: Rows) -> None:
        motors, packs = self.frame.places.count()
        self.tally.note(rows, broke, int((motors[rows[MOTOR]] * packs[rows[PACK]]).sum()))

    def misses_of(self, flat: int) -> dict[str, float]:
        """Every limit that one set breaks, by its title, with the relative excess."""
        rows = self.rows(np.array([flat]))
        found: dict[str, float] = {}
        for test in self.labels:
            excess = float(test.excess[tuple(int(rows[axis][0]) for axis in test.axes)])
            if excess > 0.0:
                found[test.title] = max(excess, found.get(test.title, 0.0))
        if not found:
            for number, excess in misses_of(Unit(self.frame, np.array([flat]), rows)).items():
                found[self.flown[number].title] = excess
        return found

    def without_needs(self) -> "Sieve":
        """The same without any need, to see what the limits alone leave."""
        flown = tuple(test for test in self.flown if not test.name.startswith("need "))
        return Sieve(self.axes, self.labels, flown, replace(self.frame, needs=()), self.buy)


def _ranges(size: int) -> Iterator[tuple[float, Rows]]:
    for first in range(0, size, _BLOCK):
        last = min(first + _BLOCK, size)
        yield last / size, np.arange(first, last, dtype=np.intp)
