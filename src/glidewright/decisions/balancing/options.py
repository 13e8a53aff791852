"""Least dead weight: the search over all options of a model, each answered over all draws."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import islice
from math import prod

import numpy as np
from numpy.typing import NDArray

from glidewright.base.figure import Figure, Given
from glidewright.base.wording import chance_text, digits
from glidewright.decisions.balancing.judge import Judge, Outcome
from glidewright.decisions.balancing.known import Edges, Known, chance_inside
from glidewright.decisions.balancing.nouns import Alternative, Search
from glidewright.decisions.balancing.places import (
    MOST_BALLAST_KG,
    MOST_TIP_KG,
    Tip,
    body_ends,
    crowded,
    has_size,
    misfits,
    wing_tip,
)
from glidewright.decisions.balancing.search import Aim, Found, aim_for, nearest, ranked, refined
from glidewright.decisions.balancing.slots import Placed, choices, rest_of, swaps, work_s
from glidewright.domain.parts import Part
from glidewright.forecast.draws import column
from glidewright.forecast.spread import from_field, from_given
from glidewright.models.mass.balance import Balance, balance
from glidewright.models.mass.least_weight import BallastPlace, Slot, Target, Worth

Array = NDArray[np.float64]

TOLD = 6
SEEN = 40  # ways looked at before those that break a limit leave too few
SIDE_LEFT_KG = 0.0002  # at the tip: less than a scale for letters shows


@dataclass(frozen=True)
class Wanted:
    """What is asked for: the chance, and what money and an hour of work are worth in kg of dead weight."""

    chance: float
    worth: Worth


def search(known: Known, judge: Judge, edges: Edges, wanted: Wanted) -> Search:
    """All ways into the range worth telling, the best first, or the nearest miss."""
    model = known.model
    offered, refused = [], []
    for item, part in swaps(model):
        why = judge.of_swap(item, part)
        if why:
            refused.append(f"{part.name} for {item.part.name}: {why}")
        else:
            offered.append((item, part))
    found_choices = choices(known, offered)
    ballast, side_kg_m, side_words = _ballast(known)
    task = _Task(known, judge, edges, wanted, side_kg_m)
    rest = rest_of(known, found_choices)
    target = task.target(known.balance.centre_m[:, 0])
    ways = ranked(found_choices, rest, ballast, target, wanted.worth)
    told: list[Alternative] = []
    seen = False
    for found in islice(ways, SEEN):
        seen = True
        sure = task.surer(found, rest)
        why, outcome = judge.of_found(sure)
        if why:
            refused.append(f"{'; '.join(_does(sure))}: {why}")
            continue
        told.append(task.alternative(sure, outcome))
        if len(told) == TOLD:
            break
    miss = None if seen else nearest(found_choices, rest, ballast, target, wanted.worth)
    return Search(
        alternatives=tuple(sorted(told, key=lambda one: one.rank_kg)),
        ballast_alone=task.ballast_alone(ballast),
        nearest_miss=None if miss is None else task.alternative(miss, None),
        left_out=known.left_out,
        combinations=prod(len(choice.ways) for choice in found_choices),
        how=(
            *_of_the_known_part(known),
            *_how(task.aim(known.balance.centre_m[:, 0]), edges, wanted, model.currency),
            side_words,
        ),
        not_offered=(*misfits(known.model, offered), *refused),
    )


@dataclass(frozen=True)
class _Task:
    """What every way is measured by."""

    known: Known
    judge: Judge
    edges: Edges
    wanted: Wanted
    side_kg_m: float

    def aim(self, centre_m: Array) -> Aim:
        """Where the median of draws with this spread must lie."""
        return aim_for(centre_m - self.known.shift_m, *self.edges, self.wanted.chance)

    def chance(self, centre_m: Array) -> float:
        """Share of draws inside the range, which may have a spread of its own."""
        return chance_inside(centre_m - self.known.shift_m, self.edges) or 0.0

    def target(self, centre_m: Array) -> Target:
        """The same for the solver."""
        aim = self.aim(centre_m)
        return Target(aim.front_m, aim.rear_m, self.side_kg_m)

    def surer(self, found: Found, rest: Slot | None) -> Found:
        """The way with as much more ballast or shift as its own spread asks for, where that differs."""
        centre = rebalanced(self.known, found).centre_m[:, 0]
        if self.chance(centre) >= self.wanted.chance:
            return found
        return refined(found, rest, self.target(centre), self.wanted.worth)

    def ballast_alone(self, ballast: Sequence[BallastPlace]) -> Alternative | None:
        """The model as it is with nothing but ballast, where that reaches the range."""
        rest = rest_of(self.known, ())
        target = self.target(self.known.balance.centre_m[:, 0])
        found = next(ranked((), rest, ballast, target, self.wanted.worth), None)
        if found is None:
            return None
        return self.alternative(found, self.judge.of_found(found)[1])

    def alternative(self, found: Found, outcome: Outcome | None) -> Alternative:
        """A way with its chance and what it costs."""
        centre = rebalanced(self.known, found).centre_m[:, 0]
        arrangement, worth, now = found.arrangement, self.wanted.worth, self.judge.now
        added = arrangement.mass_kg - float(np.median(self.known.balance.mass_kg))
        median = float(np.median(centre))
        return Alternative(
            does=tuple(_does(found)),
            added_mass_kg=added,
            ballast_kg=sum(weight for _, weight in found.ballast),
            cost=arrangement.cost,
            work_s=arrangement.work_s,
            rank_kg=added + worth.cost_kg * arrangement.cost + worth.hour_kg * arrangement.work_s / 3600.0,
            centre_x=Figure.of_draws(
                centre, "m", "mm", "typical", "the draws of the forecast, changed as told"
            ),
            chance=None if self.known.left_out else self.chance(centre),
            miss_m=max(self.edges[0] - median, median - self.edges[1], 0.0),
            height_before_m=None if now is None else now.height_m,
            height_after_m=None if outcome is None else outcome.height_m,
            remarks=tuple(_remarks(self.known, found)),
        )


def _ballast(known: Known) -> tuple[list[BallastPlace], float, str]:
    """Places for ballast, how much side moment may stay, and why."""
    work = work_s("add_ballast")
    ends = body_ends(known.model)
    places = []
    if ends is not None:
        places = [
            BallastPlace(f"ballast at the {name}", x, MOST_BALLAST_KG, 0.0, work)
            for name, x in zip(("nose", "tail"), ends, strict=True)
        ]
    tip = wing_tip(known.model)
    side = known.balance.mass_kg * known.balance.centre_m[:, 1]
    low, high = np.quantile(side, (0.1, 0.9))
    if tip is None or low <= 0.0 <= high:
        return places, np.inf, "no tip weight is asked for: which wing is heavier is not sure yet"
    if abs(float(np.median(side))) > MOST_TIP_KG * tip.y_m:
        most = 1e3 * MOST_TIP_KG
        return (
            places,
            np.inf,
            f"no tip weight is asked for: it would be more than {most:.0f} g, look for the cause",
        )
    places += _tips(tip, work)
    words = "a tip weight is asked for, because 8 of 10 draws say which wing is heavier"
    return places, SIDE_LEFT_KG * tip.y_m, words


def _tips(tip: Tip, work: float) -> list[BallastPlace]:
    return [
        BallastPlace(f"ballast in the {side} wing tip", tip.x_m, MOST_TIP_KG, sign * tip.y_m, work)
        for side, sign in (("left", -1.0), ("right", 1.0))
    ]


def _of_the_known_part(known: Known) -> Iterator[str]:
    """What the ways hold for while items are left out."""
    if known.left_out:
        names = ", ".join(known.left_out)
        yield (
            f"{names} cannot be counted in yet, so these are the ways of the known part alone; they hold for "
            "the whole model where what is left out balances inside the range by itself; search again once "
            "it has a mass and a place"
        )


def _how(aim: Aim, edges: Edges, wanted: Wanted, currency: str) -> tuple[str, ...]:
    allowed = f"{1e3 * edges[0]:.1f} to {1e3 * edges[1]:.1f} mm"
    aimed = f"{1e3 * aim.front_m:.1f} to {1e3 * aim.rear_m:.1f} mm"
    asked = chance_text(wanted.chance, True)
    aimed_at = (
        f"the median is brought to {aimed}: inside the range of {allowed} by as much as the spread of the "
        f"forecast asks for a chance of {asked}"
    )
    if not aim.is_reachable:
        aimed_at = (
            f"the spread of the forecast is too wide for a chance of {asked}: the median is brought to "
            f"{aimed}, where the chance is highest, {chance_text(aim.best_chance)}; weigh more first"
        )
    money, hour = 1e3 * wanted.worth.cost_kg, 1e3 * wanted.worth.hour_kg
    return (
        aimed_at,
        f"ranked by added mass, with 1 {currency} worth {money:g} g and 1 h of work worth {hour:g} g of it",
        "the first one is the proved optimum of a mixed integer programme over all combinations, places in "
        "bays and ballast, except what breaks a limit that is kept now; each further one is the best that "
        "does without some change of those before it",
    )


def rebalanced(known: Known, found: Found) -> Balance:
    """Draws of mass and balance with a way into the range carried out.

    What stays keeps what the scale said of it; a new part has its own spread, a new place that of a ruler.
    """
    items = known.items
    mass, station, size = items.mass_kg.copy(), items.station_m.copy(), items.size_m.copy()
    count = mass.shape[0]
    for placed, x_m in found.placed:
        row = items.names.index(placed.item.name)
        if placed.is_new:
            mass[:, row] = _new_mass(placed, count)
        if placed.is_moved:
            put = Given(value=x_m, grade="measured", because="put there with a ruler")
            name = f"x:{placed.item.name}"
            station[:, row, 0] = from_given(name, name, put, "station").draws(column(name, count))
    if found.ballast:
        added = np.array([[weight for _, weight in found.ballast]])
        places = np.array([[place.x_m, place.y_m, 0.0] for place, _ in found.ballast])
        places[:, 2] = np.median(known.balance.centre_m[:, 2])
        mass = np.concatenate([mass, np.broadcast_to(added, (count, added.size))], axis=1)
        station = np.concatenate([station, np.broadcast_to(places, (count, *places.shape))], axis=1)
        size = np.concatenate([size, np.zeros((added.size, 3))])
    return balance(mass, station, size)


def _new_mass(placed: Placed, count: int) -> Array:
    if placed.part is None:
        return np.full(count, placed.mass_kg)
    name = f"mass:{placed.item.name}"
    drawn: Array = from_field(placed.part, "mass_kg", name, name).draws(column(name, count))
    return drawn


def _does(found: Found) -> list[str]:
    """What to do, in words, in the order of the items."""
    words = []
    for placed, x_m in found.placed:
        name = placed.item.name
        if placed.part is None:
            words.append(f"take out {name}")
        elif placed.is_new:
            where = f", at x = {1e3 * x_m:.0f} mm" if placed.is_moved else ""
            source = "" if placed.part.on_hand else " (to be bought)"
            words.append(f"fit {placed.part.name}{source} as {name}{where}")
        elif placed.is_moved:
            words.append(_moved_words(placed, x_m))
    words += [
        f"{digits(1e3 * weight, 1)} g of {place.name} (x = {1e3 * place.x_m:.0f} mm)"
        for place, weight in found.ballast
    ]
    return words


def _moved_words(placed: Placed, x_m: float) -> str:
    name, old = placed.item.name, placed.item.part.x_m
    if old is None:
        return f"put the {name} at x = {1e3 * x_m:.0f} mm"
    shift = x_m - old.value
    way = "aft" if shift > 0.0 else "forward"
    return f"move the {name} {1e3 * abs(shift):.0f} mm {way}, to x = {1e3 * x_m:.0f} mm"


def _remarks(known: Known, found: Found) -> list[str]:
    """What must be looked at: parts over each other, prices nobody stated, sizes nobody stated."""
    moved: dict[str, tuple[Part | None, float]] = {
        placed.item.name: (placed.part, x) for placed, x in found.placed if placed.is_moved or placed.is_new
    }
    everything = []
    for item in known.setup.model.items:
        part, place = moved.get(
            item.name, (item.part, None if item.part.x_m is None else item.part.x_m.value)
        )
        if part is not None and place is not None:
            everything.append((item.name, part, place))
    words = [
        f"look whether {one} and {other} find room beside each other"
        for one, other in crowded(known.setup.model, everything)
        if one in moved or other in moved
    ]
    words += [
        f"the size of {name} is not stated in full: look whether it fits into the bay"
        for name, (part, _) in moved.items()
        if part is not None
        and not has_size(part)
        and any(p.item.name == name and p.is_moved for p, _ in found.placed)
    ]
    words += [
        f"{part.name} has no price: counted as nothing"
        for part, _ in moved.values()
        if part is not None and not part.on_hand and part.price is None
    ]
    return words
