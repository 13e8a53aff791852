"""The ways into the range in order, none with a change that a better one shows to be needless.

The best one is a proved optimum; each further one is the proved best of those that lack at least one change
of every way before it, a row of the programme for each (a cover inequality; G. L. Nemhauser and L. A. Wolsey,
Integer and Combinatorial Optimization, 1988, section II.2).
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glidewright.decisions.balancing.slots import Choice, Placed, Way
from glidewright.models.mass.least_weight import (
    Arrangement,
    BallastPlace,
    LEAST_BALLAST_kg,
    Slot,
    Target,
    Worth,
    lightest,
    nearest_miss,
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

    centre_m: draws, shape (n,), whose spread about their median is taken along to every place. Every place of
    the aim meets the chance: counted over draws it may dip in between, then the longest run counts. Where no
    place meets it, the aim is the place of the highest chance, and next to nothing about it.

    >>> exact = aim_for(np.zeros(8), 0.064, 0.079, 0.9)
    >>> round(exact.front_m, 4), round(exact.rear_m, 4), exact.best_chance
    (0.064, 0.079, 1.0)
    """
    spread = np.sort(centre_m - np.median(centre_m))
    places = np.linspace(front_m, rear_m, _STEPS)
    inside = np.searchsorted(spread, rear_m - places, "right") - np.searchsorted(spread, front_m - places)
    chances = inside / spread.size
    best = float(chances.max())
    first, last = _longest_run(chances >= min(chance, best))
    low, high = float(places[first]), float(places[last])
    if high - low < _NARROW_M:
        low, high = 0.5 * (low + high - _NARROW_M), 0.5 * (low + high + _NARROW_M)
    return Aim(low, high, best, best >= chance)


def _longest_run(good: NDArray[np.bool_]) -> tuple[int, int]:
    """First and last place of the longest run of places that are good, the first one of equals.

    >>> _longest_run(np.array([True, False, True, True, False, True]))
    (2, 3)
    """
    edges = np.flatnonzero(np.diff(np.concatenate([[False], good, [False]])))
    starts, ends = edges[::2], edges[1::2]
    run = int(np.argmax(ends - starts))
    return int(starts[run]), int(ends[run]) - 1


def ranked(
    choices: Sequence[Choice],
    rest: Slot | None,
    ballast: Sequence[BallastPlace],
    target: Target,
    worth: Worth,
) -> Iterator[Found]:
    """Ways into the range, the best first; none when nothing reaches it."""
    slots, ways = _slots(choices, rest), [choice.ways for choice in choices]
    told: list[frozenset[str]] = []
    while (arrangement := lightest(slots, ballast, target, worth, told)) is not None:
        found = _found(arrangement, ways, ballast)
        told.append(found.changes)
        yield found


def nearest(
    choices: Sequence[Choice],
    rest: Slot | None,
    ballast: Sequence[BallastPlace],
    target: Target,
    worth: Worth,
) -> Found:
    """What comes nearest to the range when nothing reaches it; level is not asked for."""
    miss = nearest_miss(_slots(choices, rest), ballast, target, worth)
    return _found(miss, [choice.ways for choice in choices], ballast)


def refined(found: Found, rest: Slot | None, target: Target, worth: Worth) -> Found:
    """The same changes with places and ballast for another target; as it was when they do not reach it."""
    choices = [Choice(way.option.name, (way,)) for way in found.ways]
    places = [place for place, _ in found.ballast]
    arrangement = lightest(_slots(choices, rest), places, target, worth, ())
    return found if arrangement is None else _found(arrangement, [one.ways for one in choices], places)


def _slots(choices: Sequence[Choice], rest: Slot | None) -> list[Slot]:
    return [*(choice.slot() for choice in choices), *([] if rest is None else [rest])]


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
        if weight > LEAST_BALLAST_kg
    ]
    changes |= {place.name for place, _ in added}
    return Found(arrangement, tuple(taken), tuple(placed), tuple(added), frozenset(changes))
