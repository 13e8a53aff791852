"""The field as a crowd: how far its entries lie apart in launch height and climb."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glidewright.base.figure import Figure
from glidewright.decisions.fairness.field import Entry, Launches
from glidewright.decisions.fairness.nouns import FieldSpread

Array = NDArray[np.float64]
_LAUNCHES = "from launch to launch: pilot, wind, timer and limiter; every model as its parts' middles say"


@dataclass(frozen=True)
class Flown:
    """The entries that may start under one rule, in the order of the field.

    top_m, climb_m_s: shape (entries, draws); height_m: the middle launch of each, shape (entries,).
    """

    entries: tuple[Entry, ...]
    launches: tuple[Launches, ...]
    top_m: Array
    climb_m_s: Array
    height_m: Array

    @property
    def best(self) -> int:
        """Place of the entry that launches highest."""
        return int(np.argmax(self.height_m))

    @property
    def typical(self) -> int:
        """Place of the entry in the middle of the field; the lower one of two."""
        order = np.argsort(self.height_m, kind="stable")
        return int(order[(order.size - 1) // 2])


def flown_under(entries: Sequence[Entry], place: int) -> Flown | None:
    """The entries that may start under the rule at a place; nothing when none may."""
    legal = [(entry, own) for entry in entries if (own := entry.launches[place]) is not None]
    if not legal:
        return None
    launches = tuple(own for _, own in legal)
    top = np.stack([own.top_m for own in launches])
    climb = np.stack([own.climb_m_s for own in launches])
    return Flown(tuple(entry for entry, _ in legal), launches, top, climb, np.median(top, axis=1))


def figure_of(draws: Array, unit: str, shown: str, because: str = _LAUNCHES) -> Figure:
    """A figure of launches of tuned models."""
    return Figure.of_draws(draws, unit, shown, "typical", because)


def spread_of(draws: Array, middle: Array, unit: str, shown: str) -> FieldSpread:
    """Best, 90th percentile, median, 10th percentile and worst entry, launch by launch.

    draws: shape (entries, draws); middle: by what an entry is ranked, shape (entries,). Best and worst are
    two entries; the percentiles are taken over the entries in every draw.
    """
    low, typical, high = np.quantile(draws, (0.1, 0.5, 0.9), axis=0)
    return FieldSpread(
        best=figure_of(draws[int(np.argmax(middle))], unit, shown),
        high=figure_of(high, unit, shown),
        typical=figure_of(typical, unit, shown),
        low=figure_of(low, unit, shown),
        worst=figure_of(draws[int(np.argmin(middle))], unit, shown),
    )


def gap_of(flown: Flown) -> Figure:
    """Metres that the best entry launches higher than the typical one, in the same air and hands."""
    return figure_of(flown.top_m[flown.best] - flown.top_m[flown.typical], "m", "m")
