"""Mass and balance draws of a model: planned values first, then what the scale said."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glidewright.base.figure import Given
from glidewright.domain.model import Item, Model
from glidewright.domain.weighing import Weighing
from glidewright.forecast.spread import Input, from_field, from_given
from glidewright.models.mass.balance import Balance, balance, condition_on_sum
from glidewright.models.mass.supports import on_supports

Array = NDArray[np.float64]
Scores = dict[str, Array]

ALL = "all"
_CENTRE_LINE = Given(
    value=0.0, low=-0.005, high=0.005, grade="typical", because="not stated, centre line assumed"
)
_DATUM_HEIGHT = Given(
    value=0.0, low=-0.025, high=0.025, grade="guessed", because="not stated, datum height assumed"
)
_LEAST_MASS_KG = 1e-6
_NOTHING: Mapping[str, Array] = {}


@dataclass(frozen=True)
class ItemDraws:
    """mass_kg: (n, items); station_m: (n, items, 3); size_m: (items, 3); planned: before any weighing."""

    names: tuple[str, ...]
    groups: tuple[str, ...]
    mass_kg: Array
    station_m: Array
    size_m: Array
    planned: Balance
    now: Balance

    def group_mass_kg(self) -> dict[str, Array]:
        """Draws of the mass of each group, shape (n,)."""
        order = list(dict.fromkeys(self.groups))
        return {
            g: self.mass_kg[:, [i for i, own in enumerate(self.groups) if own == g]].sum(axis=1)
            for g in order
        }


def items_without_mass(model: Model) -> list[str]:
    """Names of fitted items whose mass nobody stated and no scale has read."""
    weighed_alone = {w.of[0] for w in model.weighings if len(w.of) == 1}
    return [i.name for i in model.items if i.part.mass_kg is None and i.name not in weighed_alone]


def items_without_station(model: Model) -> list[str]:
    """Names of fitted items that have no station along x."""
    return [item.name for item in model.items if item.part.x_m is None]


def stations_at_datum(model: Model) -> dict[str, Input]:
    """Inputs by name that put items without a station at the datum, for sums that no station touches."""
    names = [f"x:{name}" for name in items_without_station(model)]
    return {name: Input(name, "", 0.0, 0.0, 0.0, "guessed", "offset", "not known") for name in names}


def _weighed_alone(model: Model, name: str) -> Given | None:
    found = [mass_read(w) for w in model.weighings if w.of == (name,)]
    return found[-1] if found else None


def mass_read(weighing: Weighing) -> Given:
    """The mass that a weighing says; on supports the sum of the readings, their bands independent."""
    if weighing.mass_kg is not None:
        return weighing.mass_kg
    rows = [from_field(support, "reading_kg", "reading", "reading") for support in weighing.support]
    total = sum(row.value for row in rows)
    half = float(np.hypot.reduce([0.5 * (row.high - row.low) for row in rows]))
    because = "sum of the readings on all supports"
    return Given(value=total, low=total - half, high=total + half, grade=rows[0].grade, because=because)


def _item_inputs(model: Model, item: Item) -> list[Input]:
    part, name = item.part, item.name
    mass = part.mass_kg or _weighed_alone(model, name)
    found = []
    if mass is not None:
        found.append(from_given(f"mass:{name}", f"mass of {name}", mass, "mass", f"weigh {name}"))
    stations = (
        ("x", part.x_m, None),
        ("y", part.y_m, _CENTRE_LINE),
        ("z", part.z_m, _DATUM_HEIGHT),
    )
    for axis, stated, stand_in in stations:
        given = stated or stand_in
        if given is not None:
            title = f"station {axis} of {name}"
            found.append(
                from_given(f"{axis}:{name}", title, given, "station", f"measure the place of {name}")
            )
    return found


def item_inputs(model: Model) -> list[Input]:
    """Inputs of mass and place of every fitted item, and of every weighing."""
    found = [entry for item in model.items for entry in _item_inputs(model, item)]
    for number, weighing in enumerate(model.weighings, start=1):
        found.extend(_weighing_inputs(number, weighing))
    return found


def _weighing_inputs(number: int, weighing: Weighing) -> Iterator[Input]:
    what = ", ".join(weighing.of)
    again = f"weigh {what} again"
    if weighing.mass_kg is not None:
        yield from_field(weighing, "mass_kg", f"weighing:{number}", f"weighing of {what}", again)
    if weighing.x_m is not None:
        title = f"balance reading of {what}"
        yield from_field(weighing, "x_m", f"balance_reading:{number}", title, f"balance {what} again")
    for place, support in enumerate(weighing.support, start=1):
        for field in ("x_m", "y_m", "reading_kg"):
            if getattr(support, field) is not None:
                title = f"scale {place} under {what}"
                yield from_field(support, field, f"support:{number}:{place}:{field}", title, again)


@dataclass(frozen=True)
class Said:
    """Draws of one number that a weighing says, SI, and its doubt: the square of the width of its band."""

    draws: Array
    doubt: float


@dataclass(frozen=True)
class Reading:
    """What a weighing says: mass in kg, and the balance point in m along x and y where it was found."""

    mass_kg: Said
    x_m: Said | None
    y_m: Said | None


def reading_of(number: int, weighing: Weighing, inputs: dict[str, Input], scores: Scores) -> Reading:
    """What a weighing says as draws; on supports, mass and balance point follow from the reactions."""

    def said(name: str) -> Said:
        return Said(inputs[name].draws(scores[name]), _doubt(inputs[name]))

    if not weighing.support:
        point = said(f"balance_reading:{number}") if weighing.x_m is not None else None
        return Reading(said(f"weighing:{number}"), point, None)
    names = [f"support:{number}:{place}" for place in range(1, len(weighing.support) + 1)]
    force = [said(f"{name}:reading_kg") for name in names]
    x = [said(f"{name}:x_m") for name in names]
    has_y = all(support.y_m is not None for support in weighing.support)
    y = [said(f"{name}:y_m") for name in names] if has_y else None
    mass = Said(np.sum([one.draws for one in force], axis=0), sum(one.doubt for one in force))
    return Reading(mass, _on_supports(force, x), _on_supports(force, y) if y else None)


def _on_supports(force: list[Said], place: list[Said]) -> Said:
    """Balance point along one axis, with the doubt of its first-order expansion at the means."""
    forces, places = (np.stack([one.draws for one in rows], axis=1) for rows in (force, place))
    mass, centre = on_supports(forces, np.stack([places, np.zeros_like(places)], axis=2))
    middle_kg, middle_m = float(mass.mean()), float(centre[:, 0].mean())
    doubt = 0.0
    for one, where in zip(force, place, strict=True):
        arm_m = float(where.draws.mean()) - middle_m
        doubt += (arm_m / middle_kg) ** 2 * one.doubt
        doubt += (float(one.draws.mean()) / middle_kg) ** 2 * where.doubt
    return Said(centre[:, 0], doubt)


def item_draws(
    model: Model, inputs: dict[str, Input], scores: Scores, known: Mapping[str, Array] = _NOTHING
) -> ItemDraws:
    """Draws of all items with every weighing taken in; all masses and x stations must be known.

    known: values that were drawn already from these scores.
    """
    names = tuple(item.name for item in model.items)
    groups = tuple(item.group for item in model.items)

    def drawn(name: str) -> Array:
        return known[name] if name in known else inputs[name].draws(scores[name])

    mass = np.stack([drawn(f"mass:{n}") for n in names], axis=1)
    mass = np.maximum(mass, _LEAST_MASS_KG)
    station = np.stack([np.stack([drawn(f"{a}:{n}") for n in names], axis=1) for a in "xyz"], axis=2)
    size = np.array(
        [[_size(item, axis) for axis in ("length_m", "width_m", "height_m")] for item in model.items]
    )
    planned = balance(mass, station, size)
    mass, station = _weighed(model, inputs, scores, mass, station)
    return ItemDraws(names, groups, mass, station, size, planned, balance(mass, station, size))


def _weighed(
    model: Model, inputs: dict[str, Input], scores: Scores, mass: Array, station: Array
) -> tuple[Array, Array]:
    """Masses and stations with every weighing taken in, one after the other, with what the ones before left.

    A part that was weighed alone is hardly moved when the whole is weighed later.
    """
    if not model.weighings:
        return mass, station
    station = station.copy()
    left = {
        axis: np.diag([_doubt(inputs[f"{axis}:{item.name}"]) for item in model.items])
        for axis in ("mass", "x", "y")
    }
    for number, weighing in enumerate(model.weighings, start=1):
        said = reading_of(number, weighing, inputs, scores)
        of = np.array([float(_is_of(weighing, item)) for item in model.items])
        total = said.mass_kg
        moved, left["mass"] = condition_on_sum(mass, left["mass"], of, total.draws, total.doubt)
        mass = np.maximum(moved, _LEAST_MASS_KG)
        share = mass * of / (mass @ of)[:, None]
        for place, (axis, point) in enumerate((("x", said.x_m), ("y", said.y_m))):
            if point is not None:
                station[:, :, place], left[axis] = condition_on_sum(
                    station[:, :, place], left[axis], share, point.draws, point.doubt
                )
    return mass, station


def _is_of(weighing: Weighing, item: Item) -> bool:
    """Whether an item was on the scale; ``all``, group names and item names may be mixed."""
    return bool(set(weighing.of) & {ALL, item.name, item.group})


def _size(item: Item, axis: str) -> float:
    given: Given | None = getattr(item.part, axis)
    return 0.0 if given is None else given.value


def _doubt(entry: Input) -> float:
    """Square of the width of its band; a hair above zero so that exact parts still share a reading."""
    return max(entry.high - entry.low, 1e-9) ** 2
