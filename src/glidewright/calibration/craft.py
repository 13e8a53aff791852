"""The model as a flight had it: its set-up, what it weighs for any scores, and how it is flown."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from glidewright.base.errors import InputError, OutsideModelError, nearest
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.logbook import Flight
from glidewright.domain.model import Item, Model
from glidewright.domain.parts import Part
from glidewright.forecast.items import item_draws, items_without_mass, stations_at_datum
from glidewright.forecast.kernel_rows import Orders
from glidewright.forecast.orders import launch_orders
from glidewright.forecast.power_inputs import PowerInputs
from glidewright.forecast.setup import Setup, prepare
from glidewright.forecast.spread import Input

from .scores import PART_OF_SCORE

Array = NDArray[np.float64]

_MASS_NAMES = ("mass:", "weighing:", "support:")
_NOT_IN_A_LAUNCH = ("launch.motor_run", "airframe.neutral_point", "airframe.decalage", "airframe.zero_lift")
_GROUPS = ("airframe", "field", "launch", "motor", "controller", "pack", "radio", "propeller", "altimeter")


def in_flight(name: str) -> bool:
    """Whether an input may tell in a launch or a glide; masses and places tell by their sum.

    >>> in_flight("motor.kv"), in_flight("mass:pod")
    (True, False)
    """
    return name.partition(".")[0] in _GROUPS


@dataclass(frozen=True)
class Craft:
    """A model as it flew: one nominal draw, its drive, and how it is flown.

    base: the set-up of the folder's own model, whose masses and weighings count; mass_shift_kg: what the
    parts that flew weigh more than the fitted ones; mass: the stated mass, which goes before both.
    """

    setup: Setup
    power: PowerInputs
    orders: Orders | None
    base: Setup
    mass_shift_kg: float
    mass: Input | None
    part_ids: Mapping[str, str]

    @property
    def names(self) -> tuple[str, ...]:
        """Inputs that a launch or a glide may depend on."""
        return tuple(
            name
            for name, entry in self.setup.inputs.items()
            if in_flight(name) and name not in _NOT_IN_A_LAUNCH and not entry.is_exact
        )

    @property
    def mass_names(self) -> tuple[str, ...]:
        """Inputs that the mass depends on."""
        if self.mass is not None:
            return ("mass.stated",)
        inputs = self.base.inputs
        return tuple(n for n, e in inputs.items() if n.startswith(_MASS_NAMES) and not e.is_exact)

    def mass_kg(self, scores: Mapping[str, Array], count: int) -> Array:
        """Mass ready to fly, shape (count,), for scores of ``mass_names``; those left out are 0."""
        zeros = np.zeros(count)
        if self.mass is not None:
            return self.mass.draws(scores.get("mass.stated", zeros))
        model = self.base.model
        inputs = self.base.inputs | stations_at_datum(model)
        rows = {name: scores.get(name, zeros) for name in inputs}
        total: Array = item_draws(model, inputs, rows).now.mass_kg + self.mass_shift_kg
        return total

    def with_orders_at(
        self, centre: Mapping[str, float], mass_kg: float, rule: ClassLimits | None
    ) -> "Craft":
        """The same with the airspeeds that the pilot holds found anew for these scores."""
        scores = {name: np.array([centre.get(name, 0.0)]) for name in self.setup.inputs}
        values = {name: entry.draws(scores[name]) for name, entry in self.setup.inputs.items()}
        setup = replace(self.setup, rule=rule, scores=scores, values=values)
        return replace(self, orders=launch_orders(setup, self.power, np.array([mass_kg])))


def craft_of(model: Model, flight: Flight, rule: ClassLimits | None, mass: Input | None) -> Craft:
    """The model as a flight had it.

    Raises InputError for a part that no drawer holds or no mass, OutsideModelError without a whole drive.
    """
    without = items_without_mass(model)
    if mass is None and (without or not model.items):
        what = f"no mass is known of {', '.join(without)}" if without else "nothing is fitted"
        message = f"must state the mass that flew; {what}; weigh it or add mass_g"
        raise InputError.at("model.toml", message)
    as_flown, shift = _with_parts(model, flight)
    setup = prepare(as_flown, rule, 1)
    if isinstance(setup.power, str):
        message = f"must have the drive that flew; {setup.power}; fit it"
        raise OutsideModelError.at("model.toml", message)
    base = setup if as_flown is model else prepare(model, rule, 1)
    ids = {
        kind: part.id for kind, noun in PART_OF_SCORE.items() if (part := as_flown.first(noun)) is not None
    }
    craft = Craft(setup, setup.power, None, base, shift, mass, ids)
    return craft.with_orders_at({}, float(craft.mass_kg({}, 1)[0]), rule)


def _with_parts(model: Model, flight: Flight) -> tuple[Model, float]:
    """The model with the drive parts that flew, and by how much they are heavier than the fitted ones."""
    items = list(model.items)
    shift = 0.0
    for kind, noun in PART_OF_SCORE.items():
        named: str = getattr(flight.set_up, kind)
        fitted = next((item for item in items if isinstance(item.part, noun)), None)
        if not named or (fitted is not None and fitted.part.id == named):
            continue
        part: Part | None = model.from_drawer(named)
        if not isinstance(part, noun):
            ids = [one.id for one in model.drawer if isinstance(one, noun)]
            message = f"must name a {kind} of the drawer; the flight has {named!r}; add it to parts/"
            raise InputError.at(f"logbook, {flight.name}", f"{message}; {nearest(named, ids)}")
        if fitted is None:
            items.append(Item(name=part.id, part=part))
        else:
            items[items.index(fitted)] = Item(name=fitted.name, part=part)
        old = fitted.part.mass_kg if fitted is not None else None
        shift += (part.mass_kg.value if part.mass_kg else 0.0) - (old.value if old else 0.0)
    if items == list(model.items):
        return model, 0.0
    return model.model_copy(update={"items": tuple(items)}), shift
