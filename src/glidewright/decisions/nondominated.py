"""The set that nothing beats: which of many options no other is at least as good as in everything."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Places = NDArray[np.intp]

_BLOCK = 512
_MEMBER, _GONE = -1, -2


def beats(one: Sequence[float] | Array, other: Sequence[float] | Array) -> bool:
    """Whether one option is nowhere worse than another and somewhere better; less is better.

    Pareto dominance (K. Deb, Multi-Objective Optimization using Evolutionary Algorithms, 2001,
    definition 2.5).

    >>> beats((1.0, 2.0), (1.0, 3.0)), beats((1.0, 3.0), (2.0, 2.0)), beats((1.0, 2.0), (1.0, 2.0))
    (True, False, False)
    """
    pairs = list(zip(one, other, strict=True))
    return all(a <= b for a, b in pairs) and any(a < b for a, b in pairs)


class Front:
    """The set that nothing beats while options fall out of it one by one.

    values: (options, goals), less is better, no NaN. Of options that are equal in every goal the first in
    `order` stands for all: it counts as beating the others. In lexicographic order a row can be beaten only
    by one before it, so that the set only grows (H. T. Kung, F. Luccio and F. P. Preparata, On finding the
    maxima of a set of vectors, Journal of the ACM 22, 1975, 469-476, section 2).

    >>> Front(np.array([[1.0, 3.0], [2.0, 2.0], [2.0, 3.0], [1.0, 3.0]])).members
    [0, 1]
    """

    def __init__(self, values: Array, order: Places | None = None) -> None:
        self._values = values
        rank = np.arange(values.shape[0]) if order is None else np.argsort(order)
        self._sorted = np.lexsort((rank, *values.T[::-1]))
        self._place = np.empty(rank.size, dtype=np.intp)
        self._place[self._sorted] = np.arange(rank.size)
        self._beaten_by = np.full(values.shape[0], _MEMBER)
        self._members: list[int] = []
        self._settle(self._sorted)

    @property
    def members(self) -> list[int]:
        """Places of what nothing beats now, in lexicographic order of the values."""
        return sorted(self._members, key=self._place.__getitem__)

    def without(self, gone: Sequence[int]) -> None:
        """Take options out for good; what only they had beaten comes back."""
        out = set(gone)
        self._members = [one for one in self._members if one not in out]
        freed = np.flatnonzero(np.isin(self._beaten_by, list(out)))
        self._beaten_by[list(out)] = _GONE
        freed = freed[self._beaten_by[freed] != _GONE]
        self._settle(freed[np.argsort(self._place[freed])])

    def equals_of(self, member: int) -> int:
        """How many options equal a member in every goal, itself not counted."""
        same = np.all(self._values == self._values[member], axis=1) & (self._beaten_by != _GONE)
        return int(np.count_nonzero(same)) - 1

    def _settle(self, rows: Places) -> None:
        """Find for each of some rows, in lexicographic order, who beats it, or make it a member."""
        for first in range(0, rows.size, _BLOCK):
            block = rows[first : first + _BLOCK]
            by = self._first_beater(block, self._members)
            fresh: list[int] = []
            for row, known in zip(block.tolist(), by.tolist(), strict=True):
                beater = known
                if beater < 0 and fresh:
                    hits = np.flatnonzero(np.all(self._values[fresh] <= self._values[row], axis=1))
                    beater = fresh[int(hits[0])] if hits.size else _MEMBER
                self._beaten_by[row] = beater
                if beater < 0:
                    fresh.append(row)
            self._members += fresh

    def _first_beater(self, rows: Places, members: list[int]) -> Places:
        found = np.full(rows.size, _MEMBER)
        for first in range(0, len(members), _BLOCK):
            part = np.array(members[first : first + _BLOCK], dtype=np.intp)
            left = np.flatnonzero(found < 0)
            nowhere_worse = np.ones((left.size, part.size), dtype=bool)
            for goal in range(self._values.shape[1]):
                nowhere_worse &= self._values[part, goal][None, :] <= self._values[rows[left], goal][:, None]
            hit = nowhere_worse.any(axis=1)
            found[left[hit]] = part[nowhere_worse[hit].argmax(axis=1)]
        return found
