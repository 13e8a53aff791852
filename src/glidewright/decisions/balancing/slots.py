"""The options of a model for its balance: what may be moved within a bay, and what may be fitted instead."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np

from glidewright.data import coefficient
from glidewright.decisions import purchase
from glidewright.decisions.balancing.known import Known
from glidewright.decisions.balancing.places import bay_around, bays_for
from glidewright.domain.model import Item, Model
from glidewright.domain.parts import (
    Altimeter,
    Ballast,
    Controller,
    Motor,
    Pack,
    Part,
    Propeller,
    Receiver,
    Servo,
)
from glidewright.models.mass.least_weight import Option, Slot

NOTHING_KG = 1e-9  # what is taken out still needs a mass for the programme
_MOVED: dict[type[Part], str] = {
    Pack: "move_pack",
    Controller: "move_light",
    Receiver: "move_light",
    Altimeter: "move_light",
    Servo: "move_servo",
}
_FITTED: dict[type[Part], str] = {
    Motor: "fit_motor",
    Propeller: "fit_propeller",
    Pack: "fit_pack",
    Controller: "fit_controller",
}
SWAPPED: tuple[type[Part], ...] = tuple(_FITTED)


@dataclass(frozen=True)
class Placed:
    """An item in one way: the part that is there, its mass in kg, its x in m at the front of its slide."""

    item: Item
    part: Part | None
    mass_kg: float
    x_m: float
    is_moved: bool = False

    @property
    def is_new(self) -> bool:
        """Whether another part is fitted, or none."""
        return self.part is None or self.part.id != self.item.part.id


@dataclass(frozen=True)
class Way:
    """One way to fill a slot; the marks of its option name what is done, none for as it is now."""

    option: Option
    placed: tuple[Placed, ...]

    @property
    def changes(self) -> frozenset[str]:
        """Names of what is done."""
        return self.option.marks


@dataclass(frozen=True)
class Choice:
    """A slot with its ways, the first one as it is now."""

    name: str
    ways: tuple[Way, ...]

    def slot(self) -> Slot:
        """The slot for the solver."""
        return Slot(self.name, tuple(way.option for way in self.ways))


def work_s(name: str) -> float:
    """Time that a change takes, s."""
    return coefficient("balance_work", name)


def cost_of(part: Part | None) -> float:
    """Price with postage of what must be bought; nothing for what is on hand or has no price."""
    if part is None or part.on_hand or part.price is None:
        return 0.0
    return purchase.cost_of([part])


def swaps(model: Model) -> Iterator[tuple[Item, Part]]:
    """Parts of the drawer that could stand in the place of a fitted one: same kind, mass known.

    A propeller that does not fold is none for one that does.
    """
    for kind in SWAPPED:
        fitted = list(model.of_kind(kind))
        if len(fitted) != 1:
            continue
        item, old = fitted[0]
        for part in model.drawer:
            is_other = isinstance(part, kind) and part.id != old.id and part.mass_kg is not None
            if is_other and getattr(part, "folding", None) == getattr(old, "folding", None):
                yield item, part


def choices(known: Known, offered: Iterable[tuple[Item, Part]]) -> tuple[Choice, ...]:
    """All slots with more than one way; motor and propeller are one, because they move together.

    offered: other parts that may be fitted, by item.
    """
    others: dict[str, list[Part]] = {}
    for item, part in offered:
        others.setdefault(item.name, []).append(part)
    found = []
    drive = _drive(known, others)
    if drive is not None:
        found.append(drive)
    for item in known.model.items:
        if isinstance(item.part, Motor | Propeller):
            continue
        ways = tuple(_ways(known, item, others.get(item.name, [])))
        if len(ways) > 1:
            found.append(Choice(item.name, ways))
    return tuple(choice for choice in found if len(choice.ways) > 1)


def rest_of(known: Known, chosen: Iterable[Choice]) -> Slot | None:
    """Everything that stays as it is, as one slot, so that all together balance as the forecast's median."""
    now = [choice.ways[0].option for choice in chosen]
    total = float(np.median(known.balance.mass_kg))
    moment = total * float(np.median(known.balance.centre_m[:, 0]))
    side = total * float(np.median(known.balance.centre_m[:, 1]))
    mass = total - sum(option.mass_kg for option in now)
    if mass <= NOTHING_KG:
        return None
    x = (moment - sum(option.mass_kg * option.x_low_m for option in now)) / mass
    y = (side - sum(option.mass_kg * option.y_m for option in now)) / mass
    return Slot("rest", (Option("rest", mass, x, x, y),))


def _medians(known: Known, item: Item) -> tuple[float, float, float]:
    """Mass, x and y of an item as the forecast has them."""
    column = known.items.names.index(item.name)
    mass = float(np.median(known.items.mass_kg[:, column]))
    x, y = (float(np.median(known.items.station_m[:, column, axis])) for axis in (0, 1))
    return mass, x, y


def _as_is(known: Known, item: Item) -> Placed:
    mass, x, _ = _medians(known, item)
    return Placed(item, item.part, mass, x)


def _swapped(known: Known, item: Item, part: Part) -> Placed:
    assert part.mass_kg is not None  # only such are offered
    return Placed(item, part, part.mass_kg.value, _medians(known, item)[1])


def _way(
    known: Known, placed: tuple[Placed, ...], width_m: float, changes: frozenset[str], work: float
) -> Way:
    """A way whose moved parts slide together; the solver sees them as one body."""
    mass = sum(one.mass_kg for one in placed)
    moving = sum(one.mass_kg for one in placed if one.is_moved)
    low = sum(one.mass_kg * one.x_m for one in placed) / mass
    side = sum(one.mass_kg * _medians(known, one.item)[2] for one in placed) / mass
    cost = sum(cost_of(one.part) for one in placed if one.is_new)
    name = ", ".join(sorted(changes)) or "as it is"
    option = Option(name, mass, low, low + width_m * moving / mass, side, cost, work, changes)
    return Way(option, placed)


def _slid(placed: Placed, span: tuple[float, float]) -> Placed:
    return Placed(placed.item, placed.part, placed.mass_kg, span[0], is_moved=True)


def _ways(known: Known, item: Item, others: list[Part]) -> Iterator[Way]:
    """As it is, moved, another part, another part moved."""
    now = _as_is(known, item)
    yield _way(known, (now,), 0.0, frozenset(), 0.0)
    if isinstance(item.part, Ballast):
        out = Placed(item, None, NOTHING_KG, now.x_m)
        yield _way(known, (out,), 0.0, frozenset({f"take out {item.name}"}), work_s("take_out"))
        return
    moved = next((name for kind, name in _MOVED.items() if isinstance(item.part, kind)), None)
    if moved is None:
        return
    for bay, span in bays_for(known.model, item, item.part):
        if span[0] < span[1]:
            changes = frozenset({f"{item.name} in {bay.name}"})
            yield _way(known, (_slid(now, span),), span[1] - span[0], changes, work_s(moved))
    for part in others:
        yield from _other(known, item, part, moved)


def _other(known: Known, item: Item, part: Part, moved: str) -> Iterator[Way]:
    """Another part in the place of the fitted one where it fits, and anywhere in a bay that takes it."""
    fit = work_s(next(name for kind, name in _FITTED.items() if isinstance(part, kind)))
    fitted = _swapped(known, item, part)
    change = f"{item.name} {part.id}"
    around = bay_around(known.model, item)
    spans = list(bays_for(known.model, item, part))
    stays = around is None or any(bay == around and a <= fitted.x_m <= b for bay, (a, b) in spans)
    if stays:
        yield _way(known, (fitted,), 0.0, frozenset({change}), fit)
    for bay, span in spans:
        if span[0] < span[1]:
            changes = frozenset({change, f"{item.name} in {bay.name}"})
            yield _way(known, (_slid(fitted, span),), span[1] - span[0], changes, fit + work_s(moved))


def _drive(known: Known, others: dict[str, list[Part]]) -> Choice | None:
    """Motor with propeller: other ones, and both behind a firewall moved back where a bay takes the motor."""
    single = [found[0] for kind in (Motor, Propeller) if len(found := list(known.model.of_kind(kind))) == 1]
    if not single:
        return None
    sets: list[tuple[tuple[Placed, ...], frozenset[str], float]] = [((), frozenset(), 0.0)]
    for item, old in single:
        fit = work_s(_FITTED[type(old)])
        options = [(_as_is(known, item), frozenset[str](), 0.0)]
        options += [
            (_swapped(known, item, part), frozenset({f"{item.name} {part.id}"}), fit)
            for part in others.get(item.name, [])
        ]
        sets = [
            ((*placed, one), changes | change, work + more)
            for placed, changes, work in sets
            for one, change, more in options
        ]
    ways = [_way(known, placed, 0.0, changes, work) for placed, changes, work in sets]
    ways += [
        _way(known, tuple(back), width, changes | {f"firewall in {name}"}, work + work_s("move_motor"))
        for placed, changes, work in sets
        for name, back, width in _moved_back(known.model, placed)
    ]
    return Choice("drive", tuple(ways))


def _moved_back(model: Model, placed: tuple[Placed, ...]) -> Iterator[tuple[str, list[Placed], float]]:
    """The drive behind a firewall moved back: bay, its parts at the front of the slide, how far it slides."""
    motor = next((one for one in placed if isinstance(one.part, Motor)), None)
    if motor is None or motor.part is None:
        return
    for bay, (front, rear) in bays_for(model, motor.item, motor.part):
        first = max(front, motor.x_m)
        if first < rear:
            back = [
                Placed(one.item, one.part, one.mass_kg, one.x_m + first - motor.x_m, is_moved=True)
                for one in placed
            ]
            yield bay.name, back, rear - first
