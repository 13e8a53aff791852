"""The lightest way to bring the centre of gravity into its range: a mixed integer programme, solved exactly.

Each slot (a pack, a motor place, a servo) takes one of its options; an option may slide along a bay; ballast
may lie at stated places. With masses m, stations x and the range from x_f to x_r, the centre of gravity is
inside when ``sum m (x - x_f) >= 0`` and ``sum m (x - x_r) <= 0``: linear in the choices, so that the optimum
is proved by branch and bound (Huangfu and Hall, Math. Prog. Comp. 10 (2018) 119, the HiGHS solver).
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from glidewright.models.mass.programme import Array, Programme, solve

LEAST_BALLAST_kg = 1e-6  # what a solver leaves of nothing
_LEAST_MISS_m = 1e-9  # the same for a miss
_MISS_WORTH = 1e3  # kg per kg m of missed moment: a miss outweighs any mass


@dataclass(frozen=True)
class Option:
    """One way to fill a slot: mass in kg, where it may lie (x from low to high, y) in m, cost and work.

    marks: names of what is changed, each within one slot.
    """

    name: str
    mass_kg: float
    x_low_m: float
    x_high_m: float
    y_m: float = 0.0
    cost: float = 0.0
    work_s: float = 0.0
    marks: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Slot:
    """A place in the model with its options; the first one is how the model is now."""

    name: str
    options: tuple[Option, ...]


@dataclass(frozen=True)
class BallastPlace:
    """Where ballast may lie, how much at most, and the work of putting any there."""

    name: str
    x_m: float
    most_kg: float
    y_m: float = 0.0
    work_s: float = 0.0


@dataclass(frozen=True)
class Target:
    """Allowed centre of gravity in m, and the largest side moment in kg m (infinite: not asked for)."""

    front_m: float
    rear_m: float
    side_kg_m: float = float("inf")


@dataclass(frozen=True)
class Worth:
    """What a unit of cost and an hour of work are worth in kg of dead weight, for ranking."""

    cost_kg: float = 0.0
    hour_kg: float = 0.0

    def rank_kg(self, mass_kg: float, cost: float, work_s: float) -> float:
        """Mass, cost and work together, in kg."""
        return mass_kg + self.cost_kg * cost + self.hour_kg * work_s / 3600.0


@dataclass(frozen=True)
class Arrangement:
    """One choice for every slot.

    chosen: place in each slot's options; x_m: where each lies; ballast_kg: at each place; miss_m: distance of
    the centre of gravity to the range, 0 when inside; rank_kg: what was minimised.
    """

    chosen: tuple[int, ...]
    x_m: tuple[float, ...]
    ballast_kg: tuple[float, ...]
    mass_kg: float
    centre_m: float
    side_kg_m: float
    cost: float
    work_s: float
    miss_m: float
    rank_kg: float


def lightest(
    slots: Sequence[Slot],
    ballast: Sequence[BallastPlace],
    target: Target,
    worth: Worth | None = None,
    never: Sequence[frozenset[str]] = (),
) -> Arrangement | None:
    """The best arrangement that lacks at least one of each set of marks; nothing when none reaches the range.

    worth: mass alone counts unless given; never: sets of marks, none of them whole in the answer. The name of
    a ballast place is the mark of ballast there. In the programme each set is one row: the marks that an
    arrangement has of it are fewer than the set has. Raises ValueError for a slot without options or a range
    of no width.

    >>> here = Slot("pack", (Option("pack", 0.05, -0.16, -0.10),))
    >>> rest = Slot("rest", (Option("rest", 0.55, 0.09, 0.09),))
    >>> tail = BallastPlace("tail", 0.8, 0.1)
    >>> best = lightest([here, rest], [tail], Target(0.07, 0.08))
    >>> round(best.x_m[0], 4), round(best.centre_m, 4), best.ballast_kg
    (-0.1, 0.0742, (0.0,))
    """
    if not all(slot.options for slot in slots) or not target.front_m < target.rear_m:
        raise ValueError("every slot must have an option and the range must have a width")
    worth = worth or Worth()
    built = _build(slots, ballast, target, worth, is_miss=False)
    for marks in never:
        terms = {
            pick: float(len(option.marks & marks))
            for slot, picks in zip(slots, built.picks, strict=True)
            for option, pick in zip(slot.options, picks, strict=True)
            if option.marks & marks
        }
        terms |= {used: 1.0 for place, used in zip(ballast, built.used, strict=True) if place.name in marks}
        built.programme.row(terms, -np.inf, len(marks) - 1.0)
    values = solve(built.programme)
    return None if values is None else _read(values, built, slots, ballast, target, worth)


def nearest_miss(
    slots: Sequence[Slot], ballast: Sequence[BallastPlace], target: Target, worth: Worth
) -> Arrangement:
    """The arrangement with the least missing moment along x; side moment is not asked for.

    >>> rest = Slot("rest", (Option("rest", 0.55, 0.09, 0.09),))
    >>> round(nearest_miss([rest], [BallastPlace("nose", -0.2, 0.01)], Target(0.07, 0.08), Worth()).miss_m, 4)
    0.0048
    """
    built = _build(slots, ballast, target, worth, is_miss=True)
    values = solve(built.programme)
    assert values is not None  # with slack every choice is allowed
    return _read(values, built, slots, ballast, target, worth)


@dataclass(frozen=True)
class _Built:
    """A programme with the places of its variables."""

    programme: Programme
    picks: tuple[tuple[int, ...], ...]
    slides: tuple[tuple[int | None, ...], ...]
    weights: tuple[int, ...]
    used: tuple[int, ...]


def _build(
    slots: Sequence[Slot],
    ballast: Sequence[BallastPlace],
    target: Target,
    worth: Worth,
    *,
    is_miss: bool,
) -> _Built:
    """The programme of these choices; with is_miss the range may be missed, at a price."""
    programme = Programme()
    picks: list[tuple[int, ...]] = []
    slides: list[tuple[int | None, ...]] = []
    front: dict[int, float] = {}
    rear: dict[int, float] = {}
    side: dict[int, float] = {}
    for slot in slots:
        own_picks, own_slides = [], []
        for option in slot.options:
            rank = worth.rank_kg(option.mass_kg, option.cost, option.work_s)
            pick = programme.column(rank, 0.0, 1.0, is_whole=True)
            front[pick] = option.mass_kg * (option.x_low_m - target.front_m)
            rear[pick] = option.mass_kg * (option.x_low_m - target.rear_m)
            side[pick] = option.mass_kg * option.y_m
            own_picks.append(pick)
            own_slides.append(_slide(programme, option, pick, (front, rear)))
        programme.row(dict.fromkeys(own_picks, 1.0), 1.0, 1.0)
        picks.append(tuple(own_picks))
        slides.append(tuple(own_slides))
    weights, switches = [], []
    for place in ballast:
        weight = programme.column(1.0, 0.0, place.most_kg)
        used = programme.column(worth.rank_kg(0.0, 0.0, place.work_s), 0.0, 1.0, is_whole=True)
        programme.row({weight: 1.0, used: -place.most_kg}, -np.inf, 0.0)
        front[weight], rear[weight] = place.x_m - target.front_m, place.x_m - target.rear_m
        side[weight] = place.y_m
        weights.append(weight)
        switches.append(used)
    if is_miss:
        front[programme.column(_MISS_WORTH, 0.0, np.inf)] = 1.0
        rear[programme.column(_MISS_WORTH, 0.0, np.inf)] = -1.0
    programme.row(front, 0.0, np.inf)
    programme.row(rear, -np.inf, 0.0)
    if np.isfinite(target.side_kg_m) and not is_miss:
        programme.row(side, -target.side_kg_m, target.side_kg_m)
    return _Built(programme, tuple(picks), tuple(slides), tuple(weights), tuple(switches))


def _slide(
    programme: Programme, option: Option, pick: int, moments: tuple[dict[int, float], dict[int, float]]
) -> int | None:
    """The variable of how far an option slides, none for one that does not; only a picked one may."""
    width = option.x_high_m - option.x_low_m
    if width <= 0.0:
        return None
    slide = programme.column(0.0, 0.0, width)
    programme.row({slide: 1.0, pick: -width}, -np.inf, 0.0)
    for terms in moments:
        terms[slide] = option.mass_kg
    return slide


def _read(
    values: Array,
    built: _Built,
    slots: Sequence[Slot],
    ballast: Sequence[BallastPlace],
    target: Target,
    worth: Worth,
) -> Arrangement:
    """The arrangement behind the values, summed anew; what can slide slides to the middle of the range."""
    chosen = tuple(int(np.argmax(values[list(own)])) for own in built.picks)
    options = [slot.options[j] for slot, j in zip(slots, chosen, strict=True)]
    added = tuple(float(values[place]) for place in built.weights)
    ballasted = [(w, place) for w, place in zip(added, ballast, strict=True) if w > LEAST_BALLAST_kg]
    mass = sum(o.mass_kg for o in options) + sum(added)
    columns = [built.slides[i][j] for i, j in enumerate(chosen)]
    slides = [0.0 if column is None else float(values[column]) for column in columns]
    x = [option.x_low_m + slide for option, slide in zip(options, slides, strict=True)]
    moment = sum(o.mass_kg * place for o, place in zip(options, x, strict=True))
    moment += sum(w * place.x_m for w, place in zip(added, ballast, strict=True))
    for i, option in enumerate(options):
        wanted = x[i] + (mass * 0.5 * (target.front_m + target.rear_m) - moment) / option.mass_kg
        moved = min(max(wanted, option.x_low_m), option.x_high_m)
        moment += option.mass_kg * (moved - x[i])
        x[i] = moved
    side = sum(o.mass_kg * o.y_m for o in options)
    side += sum(w * place.y_m for w, place in zip(added, ballast, strict=True))
    cost = sum(o.cost for o in options)
    work = sum(o.work_s for o in options) + sum(place.work_s for _, place in ballasted)
    centre = moment / mass
    miss = max(target.front_m - centre, centre - target.rear_m, 0.0)
    miss = miss if miss > _LEAST_MISS_m else 0.0
    rank = worth.rank_kg(mass, cost, work)
    return Arrangement(chosen, tuple(x), added, mass, centre, side, cost, work, miss, rank)
