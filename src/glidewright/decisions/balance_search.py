"""The ways into the range in order, none with a change that a better one shows to be needless.

The best one is a proved optimum. Every further one is the best that lacks at least one change of each of
those before it: a tree of programmes in which one change after another is forbidden, searched best first
(as in R. Reiter, Artificial Intelligence 32 (1987) 57, section 4, hitting sets; E. L. Lawler, Management
Science 18 (1972) 401, the k best solutions).
"""

import heapq
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import count

import numpy as np
from numpy.typing import NDArray

from glidewright.decisions.balance_slots import Choice, Placed, Way
from glidewright.models.mass.least_weight import (
    LEAST_BALLAST_KG,
    Arrangement,
    BallastPlace,
    Slot,
    Target,
    Worth,
    lightest,
)

Array = NDArray[np.float64]

_STEPS = 401
_NARROW_M = 0.0001


@dataclass(frozen=True)
class Found:
    """One way into the range: what is where, x in m, and the ballast at each place in kg."""

    arrangement: Arrangement
    ways: tuple[Way, ...]
    placed: tuple[tuple[Placed, float], ...]
    ballast: tuple[tuple[BallastPlace, float], ...]
    changes: frozenset[str]


@dataclass(frozen=True)
class Aim:
    """Where the median must lie; is_reachable: whether the wanted chance can be met there."""

    front_m: float
    rear_m: float
    best_chance: float
    is_reachable: bool


def aim_for(centre_m: Array, front_m: float, rear_m: float, chance: float) -> Aim:
    """The part of the range in which the median must lie so that the wanted share of draws lies inside.

    centre_m: draws, shape (n,), whose spread about their median is taken along to every place. Where no place
    meets the wanted chance it is the place of the highest one, and next to nothing about it.

    >>> exact = aim_for(np.zeros(8), 0.064, 0.079, 0.9)
    >>> round(exact.front_m, 4), round(exact.rear_m, 4), exact.best_chance
    (0.064, 0.079, 1.0)
    """
    spread = np.sort(centre_m - np.median(centre_m))
    places = np.linspace(front_m, rear_m, _STEPS)
    inside = np.searchsorted(spread, rear_m - places, "right") - np.searchsorted(spread, front_m - places)
    chances = inside / spread.size
    best = float(chances.max())
    good = places[chances >= min(chance, best)]
    low, high = float(good[0]), float(good[-1])
    if high - low < _NARROW_M:
        low, high = 0.5 * (low + high - _NARROW_M), 0.5 * (low + high + _NARROW_M)
    return Aim(low, high, best, best >= chance)


def ranked(
    choices: Sequence[Choice],
    rest: Slot | None,
    ballast: Sequence[BallastPlace],
    target: Target,
    worth: Worth,
) -> Iterator[Found]:
    """Ways into the range, the best first; one with ``miss_m > 0`` alone when nothing reaches it."""
    order = count()
    first = _best(choices, rest, ballast, target, worth, frozenset())
    if first.arrangement.miss_m > 0.0:
        yield first
        return
    heap = [(first.arrangement.rank_kg, next(order), frozenset[str](), first)]
    tried = {frozenset[str]()}
    told: list[frozenset[str]] = []
    while heap:
        _, _, forbidden, found = heapq.heappop(heap)
        if not any(before <= found.changes for before in told):
            told.append(found.changes)
            yield found
        for change in sorted(found.changes):
            without = forbidden | {change}
            if without in tried:
                continue
            tried.add(without)
            other = _best(choices, rest, ballast, target, worth, without)
            if other.arrangement.miss_m == 0.0:
                heapq.heappush(heap, (other.arrangement.rank_kg, next(order), without, other))


def refined(found: Found, rest: Slot | None, target: Target, worth: Worth) -> Found:
    """The same changes with places and ballast for another target; as it was when they do not reach it."""
    ways = [(way,) for way in found.ways]
    slots = [Slot(way.option.name, (way.option,)) for way in found.ways]
    places = [place for place, _ in found.ballast]
    arrangement = lightest([*slots, *([] if rest is None else [rest])], places, target, worth)[0]
    return found if arrangement.miss_m > 0.0 else _found(arrangement, ways, places)


def _best(
    choices: Sequence[Choice],
    rest: Slot | None,
    ballast: Sequence[BallastPlace],
    target: Target,
    worth: Worth,
    forbidden: frozenset[str],
) -> Found:
    ways = [[way for way in choice.ways if not way.changes & forbidden] for choice in choices]
    slots = [
        Slot(choice.name, tuple(way.option for way in own)) for choice, own in zip(choices, ways, strict=True)
    ]
    places = [place for place in ballast if place.name not in forbidden]
    every = [*slots, *([] if rest is None else [rest])]
    arrangement = lightest(every, places, target, worth)[0]
    return _found(arrangement, ways, places)


def _found(arrangement: Arrangement, ways: Sequence[Sequence[Way]], places: Sequence[BallastPlace]) -> Found:
    placed: list[tuple[Placed, float]] = []
    changes: set[str] = set()
    taken = []
    for own, chosen, x in zip(ways, arrangement.chosen, arrangement.x_m, strict=False):
        way = own[chosen]
        taken.append(way)
        changes |= way.changes
        slide = x - way.option.x_low_m
        placed.extend((one, one.x_m + (slide if one.is_moved else 0.0)) for one in way.placed)
    added = [
        (place, weight)
        for place, weight in zip(places, arrangement.ballast_kg, strict=True)
        if weight > LEAST_BALLAST_KG
    ]
    changes |= {place.name for place, _ in added}
    return Found(arrangement, tuple(taken), tuple(placed), tuple(added), frozenset(changes))
