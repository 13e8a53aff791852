"""The part of a model whose masses and places are known, and how its forecast moved with every weighing."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from glidewright.base.figure import Figure
from glidewright.base.wording import number_text, percent_text, plain_text
from glidewright.decisions.balancing.nouns import ForecastStep, KnownPart, LeftOutItem
from glidewright.domain.model import Item, Model
from glidewright.domain.weighing import Weighing
from glidewright.forecast.causes import Causes
from glidewright.forecast.items import (
    ALL,
    ItemDraws,
    item_draws,
    items_without_mass,
    items_without_station,
    reading_of,
)
from glidewright.forecast.setup import Setup
from glidewright.forecast.spread import Input
from glidewright.models.mass.balance import Balance

Array = NDArray[np.float64]
Edges = tuple[float, float]

_SMALLEST_SHIFT_M = 0.00005
_UNDATED = ""
_OF_WEIGHING = ("weighing", "balance_reading", "support")


@dataclass(frozen=True)
class Known:
    """The known items, over the same draws as the set-up; weighings: numbered as in the folder.

    shift_m: how far aft of its median the allowed range lies in each draw, as the neutral point moves it.
    """

    setup: Setup
    model: Model
    items: ItemDraws
    weighings: tuple[tuple[int, Weighing], ...]
    shift_m: Array

    @property
    def left_out(self) -> tuple[str, ...]:
        """Names of the fitted items that cannot be counted in yet."""
        known = set(self.items.names)
        return tuple(item.name for item in self.setup.model.items if item.name not in known)

    @property
    def balance(self) -> Balance:
        """Mass and balance after every weighing that counts."""
        return self.items.now

    @cached_property
    def causes(self) -> Causes:
        """What explains a spread."""
        return Causes(self.setup.inputs, self.setup.scores)

    def figure(self, draws: Array, shown: str, unit_si: str) -> Figure:
        """Draws as a figure, with what most of its spread comes from."""
        because, grade = self.causes.sentence(draws)
        return Figure.of_draws(draws, unit_si, shown, grade, because)


def known_part(setup: Setup, shift_m: Array | None = None) -> Known | None:
    """The items that have a mass and a place, with the weighings of these alone; nothing when none has."""
    model = setup.model
    lacking = set(items_without_mass(model)) | set(items_without_station(model))
    items = tuple(item for item in model.items if item.name not in lacking)
    if not items:
        return None
    kept = tuple(
        (number, weighing)
        for number, weighing in enumerate(model.weighings, start=1)
        if not lacking & {item.name for item in covered(model, weighing)} and covered(model, weighing)
    )
    part = model.model_copy(update={"items": items})
    shift = np.zeros(setup.count) if shift_m is None else shift_m
    return Known(setup, part, _after(setup, part, kept), kept, shift)


def covered(model: Model, weighing: Weighing) -> tuple[Item, ...]:
    """The items that lay on the scale."""
    wanted = set(weighing.of)
    return tuple(item for item in model.items if wanted & {ALL, item.name, item.group})


def _after(setup: Setup, model: Model, weighings: Sequence[tuple[int, Weighing]]) -> ItemDraws:
    """Draws after some of the weighings, each with the draws of its own place in the folder."""
    inputs, scores = _renumbered(setup, [number for number, _ in weighings])
    found = model.model_copy(update={"weighings": tuple(weighing for _, weighing in weighings)})
    return item_draws(found, inputs, scores)


def _renumbered(setup: Setup, numbers: Sequence[int]) -> tuple[dict[str, Input], dict[str, Array]]:
    """Inputs and scores in which weighing 1, 2, ... are those of the given numbers."""
    inputs, scores = dict(setup.inputs), dict(setup.scores)
    for new, old in enumerate(numbers, start=1):
        for name in setup.inputs:
            head, _, rest = name.partition(":")
            number, _, tail = rest.partition(":")
            if head in _OF_WEIGHING and number == str(old):
                moved = ":".join(part for part in (head, str(new), tail) if part)
                inputs[moved], scores[moved] = setup.inputs[name], setup.scores[name]
    return inputs, scores


def record(known: Known, edges: Edges | None) -> tuple[ForecastStep, ...]:
    """The forecast as planned, and after each weighing in the order of their dates, undated ones first.

    The last step holds all weighings in the order of the folder: the forecast itself.
    """
    ordered = sorted(known.weighings, key=lambda pair: (pair[1].date or _UNDATED, pair[0]))
    before = _after(known.setup, known.model, ())
    steps = [_step(known, before, edges, _UNDATED, "as planned, nothing weighed", "")]
    for count in range(1, len(ordered) + 1):
        number, weighing = ordered[count - 1]
        after = _after(known.setup, known.model, sorted(ordered[:count], key=lambda pair: pair[0]))
        what = ", ".join(weighing.of)
        taught = _taught(known, number, weighing, before, after)
        steps.append(_step(known, after, edges, weighing.date, f"{what} weighed", taught))
        before = after
    return tuple(steps)


def _step(
    known: Known, items: ItemDraws, edges: Edges | None, date: str, after: str, taught: str
) -> ForecastStep:
    centre = items.now.centre_m[:, 0]
    return ForecastStep(
        date=date,
        after=after,
        mass=known.figure(items.now.mass_kg, "g", "kg"),
        centre_x=known.figure(centre, "mm", "m"),
        chance=chance_inside(centre - known.shift_m, edges),
        taught=taught,
    )


def chance_inside(centre: Array, edges: Edges | None) -> float | None:
    """Share of the draws inside the range; nothing without a range."""
    if edges is None:
        return None
    return float(np.mean((centre >= edges[0]) & (centre <= edges[1])))


def _taught(known: Known, number: int, weighing: Weighing, before: ItemDraws, after: ItemDraws) -> str:
    """What was read against what was expected, and how far the balance moved and narrowed."""
    reading = reading_of(number, weighing, known.setup.inputs, known.setup.scores)
    rows = [before.names.index(item.name) for item in covered(known.model, weighing)]
    mass = before.mass_kg[:, rows]
    expected = Figure.of_draws(mass.sum(axis=1), "kg", "g", "typical", "")
    read = plain_text(float(np.median(reading.mass_kg.draws)), "g")
    words = [f"{read} where {number_text(expected)} was expected"]
    if reading.x_m is not None:
        point = np.einsum("ni,ni->n", mass, before.station_m[:, rows, 0]) / mass.sum(axis=1)
        place = Figure.of_draws(point, "m", "mm", "typical", "")
        found = plain_text(float(np.median(reading.x_m.draws)), "mm")
        words.append(f"it balanced at {found} where {number_text(place)} was expected")
    old, new = before.now.centre_m[:, 0], after.now.centre_m[:, 0]
    shift = float(np.median(new) - np.median(old))
    if abs(shift) < _SMALLEST_SHIFT_M:
        words.append("the balance did not move")
    else:
        words.append(f"the balance moved {plain_text(abs(shift), 'mm')} {'aft' if shift > 0 else 'forward'}")
    wide, narrow = (float(np.ptp(np.quantile(x, (0.1, 0.9)))) for x in (old, new))
    if wide > 0.0:
        words.append(f"its band is {percent_text(narrow / wide)} as wide as before")
    return "; ".join(words)


def known_answer(model: Model, known: Known | None, edges: Edges | None, ends: Edges | None) -> KnownPart:
    """The known part as it is, and what would bring it into the range.

    edges: allowed range; ends: x of nose and tail.
    """
    without_mass, without_place = set(items_without_mass(model)), set(items_without_station(model))
    lacking = [item for item in model.items if item.name in without_mass | without_place]
    unknown = "no item has both a mass and a place yet"
    return KnownPart(
        items=0 if known is None else len(known.items.names),
        fitted=len(model.items),
        mass=Figure.unknown("kg", "g", unknown)
        if known is None
        else known.figure(known.balance.mass_kg, "g", "kg"),
        centre_x=Figure.unknown("m", "mm", unknown)
        if known is None
        else known.figure(known.balance.centre_m[:, 0], "mm", "m"),
        left_out=tuple(_left_out(item, without_mass, without_place, known, edges) for item in lacking),
        still_to_come=() if known is None or edges is None or ends is None else _at_ends(known, edges, ends),
    )


def _medians(known: Known) -> tuple[float, float]:
    return float(np.median(known.balance.mass_kg)), float(np.median(known.balance.centre_m[:, 0]))


def _left_out(
    item: Item, without_mass: set[str], without_place: set[str], known: Known | None, edges: Edges | None
) -> LeftOutItem:
    lacks = [word for word, names in (("mass", without_mass), ("place", without_place)) if item.name in names]
    needs = ""
    if known is not None and edges is not None and len(lacks) == 1:
        mass, centre = _medians(known)
        if lacks == ["mass"]:
            assert item.part.x_m is not None  # it lacks the mass alone
            needs = mass_needed(mass, centre, edges, item.part.x_m.value)
        elif item.part.mass_kg is not None:
            own = item.part.mass_kg.value
            first, last = sorted(edge + mass * (edge - centre) / own for edge in edges)
            needs = (
                f"alone it brings the known part into the range with its middle at x = "
                f"{1e3 * first:.0f} to {1e3 * last:.0f} mm"
            )
    return LeftOutItem(name=item.name, lacks=" and ".join(lacks), needs=needs)


def _at_ends(known: Known, edges: Edges, ends: Edges) -> tuple[str, ...]:
    mass, centre = _medians(known)
    if edges[0] <= centre <= edges[1]:
        return ("the known part lies inside the range as it is: what comes must balance about it",)
    name, place = ("nose", ends[0]) if centre > edges[1] else ("tail", ends[1])
    words = mass_needed(mass, centre, edges, place)
    return (f"at the {name} (x = {1e3 * place:.0f} mm): {words}",)


def mass_needed(mass_kg: float, centre_m: float, edges: Edges, place_m: float) -> str:
    """Which mass at a place brings a known part into the range, in words.

    >>> mass_needed(0.6, 0.059, (0.064, 0.079), 0.8)
    '4.1 to 16.6 g there brings the known part into the range'
    """
    first, last = _interval(mass_kg, centre_m, edges, place_m)
    if last < first:
        return "no mass there alone brings the known part into the range"
    if np.isinf(last):
        return f"{1e3 * first:.1f} g or more there brings the known part into the range"
    return f"{1e3 * first:.1f} to {1e3 * last:.1f} g there brings the known part into the range"


def _interval(mass_kg: float, centre_m: float, edges: Edges, place_m: float) -> Edges:
    """Least and most mass w with ``front <= (M c + w x) / (M + w) <= rear``; least above most for none."""
    least, most = 0.0, np.inf
    for edge, sign in ((edges[0], 1.0), (edges[1], -1.0)):
        # sign * (M (c - edge) + w (x - edge)) >= 0
        have, each = sign * mass_kg * (centre_m - edge), sign * (place_m - edge)
        if each > 0.0:
            least = max(least, -have / each)
        elif each < 0.0:
            most = min(most, have / -each)
        elif have < 0.0:
            most = -1.0
    return least, most
