"""The axes of a search for builds: what may be chosen for each role, and what each choice brings.

Mass, moment, price and the columns of the power train are sums or unions over the roles: each choice is
worked out once, with everything else as it is fitted, and a build is put together from its choices. This
holds at the middle of every input, and draw by draw where no weighing covers what is exchanged.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import product

import numpy as np
from numpy.typing import NDArray

from glidewright.base.errors import InputError, OutsideModelError
from glidewright.decisions.balancing.known import covered
from glidewright.decisions.changed_model import without_taught
from glidewright.decisions.choosing.builds import Build, Roles, fitted_build, model_of, parts_of, to_buy
from glidewright.decisions.purchase import cost_of, lead_times_s
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.correction import Correction
from glidewright.domain.model import Model
from glidewright.domain.parts import Controller, Motor, Pack, Part, Propeller, Servo
from glidewright.forecast.items import item_draws, items_without_mass, stations_at_datum
from glidewright.forecast.kernel_rows import power_rows, tables
from glidewright.forecast.power_inputs import PowerInputs
from glidewright.forecast.setup import Setup, prepare
from glidewright.forecast.spread import Input
from glidewright.models.power.layout import POWER_FIELDS

Array = NDArray[np.float64]

MOTOR, CONTROLLER, PACK, PROPELLER, SERVOS = range(5)
AXES: tuple[tuple[str, type[Part]], ...] = (
    ("motor", Motor),
    ("controller", Controller),
    ("pack", Pack),
    ("propeller", Propeller),
    ("servos", Servo),
)


@dataclass(frozen=True)
class Brought:
    """A model over some draws: rows of the power train (draws, fields), and what mixes parts, (draws,) each.

    controller_ohm and apparent_ohm together make the resistance in the row; load_A is at the servo supply;
    moment_kg_m is about the datum, not a number where a station is missing; motor_kg, pack_kg and
    propeller_kg are of those items in it. curve: look-up table of its propeller.
    """

    rows: Array
    curve: Array
    controller_ohm: Array
    apparent_ohm: Array
    cut_per_cell_V: Array
    load_A: Array
    mass_kg: Array
    moment_kg_m: Array
    motor_kg: Array
    pack_kg: Array
    propeller_kg: Array


@dataclass(frozen=True)
class Option:
    """One choice on an axis, against the model as it is fitted.

    cost: price with postage of what must be bought, not a number where a price is not stated; ready_s: the
    longest lead time, late_s its 90th percentile, not numbers where one is not stated; purchases: different
    parts to buy; is_catalogue: one of them may not be bought yet.
    """

    change: dict[str, object]
    parts: tuple[Part, ...]
    brought: Brought
    cost: float
    ready_s: float
    late_s: float
    purchases: int
    is_catalogue: bool = False

    @property
    def main(self) -> Part:
        """The part that gives the option its name."""
        return self.parts[0]

    @property
    def title(self) -> str:
        """Its parts in words."""
        names = list(dict.fromkeys(part.name for part in self.parts))
        if self.change.get("yoke"):
            return f"{names[0]} on the yoke of {names[-1]}"
        return " and ".join(names)


@dataclass(frozen=True)
class Axes:
    """All options by role, those of parts on hand first; base: the fitted model.

    setup: of the fitted model, with one draw at the middle of every input or with many; left_out: parts that
    could not be counted with, and why.
    """

    fitted: Build
    base: Brought
    setup: Setup
    options: tuple[tuple[Option, ...], ...]
    left_out: tuple[tuple[Part, str], ...] = field(default=())

    @property
    def shape(self) -> tuple[int, ...]:
        """Number of options on each axis."""
        return tuple(len(options) for options in self.options)

    @property
    def on_hand(self) -> tuple[int, ...]:
        """Number of options on each axis that need no purchase: the first ones."""
        return tuple(sum(option.purchases == 0 for option in options) for options in self.options)

    def column(self, axis: int, name: str) -> Array:
        """One number of every option of an axis."""
        return np.array([float(getattr(option, name)) for option in self.options[axis]])

    def brought(self, axis: int, name: str) -> Array:
        """What every option of an axis brings of one thing, shape (options, draws)."""
        return np.stack([getattr(option.brought, name) for option in self.options[axis]])

    def build(self, places: Sequence[int]) -> Build:
        """The build of one option of each axis, everything in its place."""
        update: dict[str, object] = {}
        for axis, place in enumerate(places):
            update |= self.options[axis][place].change
        return self.fitted.model_copy(update=update)


def axes_of(
    model: Model,
    rule: ClassLimits | None,
    correction: Correction,
    roles: Roles,
    catalogue: frozenset[str] = frozenset(),
) -> Axes:
    """The options of every role at the middle of every input; catalogue: ids of what may not be bought yet.

    Raises InputError when the model as it is has no complete power train or an unknown mass.
    """
    fitted = fitted_build(model)
    if fitted is None:
        raise InputError.at(
            "model.toml",
            "must have motor, controller, pack and propeller fitted, so that others can take their places; "
            "one is missing; add it in [[fitted]]",
        )
    without = items_without_mass(model)
    if without:
        raise InputError.at(
            "model.toml",
            f"must state every mass; none is known of {', '.join(without)}; state or weigh it first",
        )
    setup = prepare(model, rule, 1, correction).nominal()
    base = _brought(setup)
    left_out: list[tuple[Part, str]] = []
    options = []
    for (_, kind), changes in zip(AXES, _changes(roles, fitted), strict=True):
        taught = without_taught(correction, kind)
        found = [
            option
            for change in changes
            if (option := _option(model, rule, (correction, taught), fitted, change, catalogue, left_out))
        ]
        options.append(tuple(sorted(found, key=lambda one: (one.purchases > 0, one.is_catalogue))))
    return Axes(fitted, base, setup, tuple(options), tuple(left_out))


def _changes(roles: Roles, fitted: Build) -> Iterator[list[dict[str, object]]]:
    """What each option of each axis changes in a build."""
    yield [{"motor": part.id} for part in roles.motors]
    yield [{"controller": part.id} for part in roles.controllers]
    yield [{"pack": part.id} for part in roles.packs]
    yield [
        {"propeller": blades.id, "yoke": "" if carrier.id == blades.id else carrier.id}
        for blades, carrier in roles.propellers
    ]
    sets: list[dict[str, object]] = []
    for chosen in product(*(group.parts for group in roles.servos)):
        servos = list(fitted.servos)
        for group, part in zip(roles.servos, chosen, strict=True):
            for place in group.places:
                servos[place] = part.id
        sets.append({"servos": tuple(servos)})
    yield sets


def _option(
    model: Model,
    rule: ClassLimits | None,
    corrections: tuple[Correction, Correction],
    fitted: Build,
    change: dict[str, object],
    catalogue: frozenset[str],
    left_out: list[tuple[Part, str]],
) -> Option | None:
    """An option at the middle, or nothing and a word on why its part cannot be counted with."""
    build = fitted.model_copy(update=change)
    parts = _own_parts(model, build, change)
    correction = corrections[0] if build == fitted else corrections[1]
    changed = model_of(model, build)
    why = f"no mass is stated of {parts[0].name}" if items_without_mass(changed) else ""
    if not why:
        try:
            brought = _brought(prepare(changed, rule, 1, correction).nominal())
        except OutsideModelError as refused:
            why = refused.problems[0].message
    if why:
        left_out.append((parts[0], why))
        return None
    bought = [part for part in to_buy(model, build) if part in parts]
    return Option(
        change,
        parts,
        brought,
        cost_of(bought),
        *lead_times_s(bought),
        len({part.id for part in bought}),
        any(part.id in catalogue for part in parts),
    )


def _own_parts(model: Model, build: Build, change: dict[str, object]) -> tuple[Part, ...]:
    """The parts that a change names, in the order of the build."""
    named: set[object] = set()
    for value in change.values():
        named |= set(value) if isinstance(value, tuple) else {value}
    unique = {part.id: part for part in parts_of(model, build) if part.id in named}
    return tuple(unique.values())


def drawn(axes: Axes, count: int) -> Axes:
    """The same axes over so many draws."""
    model, rule, correction = axes.setup.model, axes.setup.rule, axes.setup.correction
    memo: dict[tuple[str, ...], dict[Input, Array]] = {}

    def setup_of(build: Build, kind: type[Part]) -> Setup:
        own = correction if build == axes.fitted else without_taught(correction, kind)
        return prepare(model_of(model, build), rule, count, own, memo.setdefault(own.names, {}))

    setup = setup_of(axes.fitted, Motor)
    options = tuple(
        tuple(
            replace(one, brought=_brought(setup_of(axes.fitted.model_copy(update=one.change), kind)))
            for one in own
        )
        for (_, kind), own in zip(AXES, axes.options, strict=True)
    )
    return replace(axes, base=_brought(setup), setup=setup, options=options)


def is_additive(model: Model, correction: Correction) -> bool:
    """Whether what parts bring adds up draw by draw.

    No weighing covers what is exchanged, and nothing that was learned ties inputs of different parts.
    """
    exchanged = {item.name for item in model.items if isinstance(item.part, tuple(kind for _, kind in AXES))}
    is_weighed = any(exchanged & {item.name for item in covered(model, one)} for one in model.weighings)
    ties = correction.covariance - np.diag(np.diag(correction.covariance))
    return not is_weighed and not ties.any()


def _brought(setup: Setup) -> Brought:
    power = setup.power
    assert isinstance(power, PowerInputs)  # the caller has seen a complete power train
    without = stations_at_datum(setup.model)
    scores = setup.scores | dict.fromkeys(without, np.zeros(setup.count))
    items = item_draws(setup.model, setup.inputs | without, scores, setup.values)
    own = {
        kind: items.mass_kg[:, place]
        for kind in (Motor, Pack, Propeller)
        for place, item in enumerate(setup.model.items)
        if isinstance(item.part, kind)
    }
    mass = items.now.mass_kg
    return Brought(
        rows=power_rows(setup, power),
        curve=tables(power)[0][0],
        controller_ohm=setup["controller.resistance"],
        apparent_ohm=setup["motor.apparent_resistance"],
        cut_per_cell_V=setup["controller.low_voltage_cut"],
        load_A=setup["radio.current"],
        mass_kg=mass,
        moment_kg_m=np.full(mass.size, math.nan) if without else mass * items.now.centre_m[:, 0],
        motor_kg=own[Motor],
        pack_kg=own[Pack],
        propeller_kg=own[Propeller],
    )


def union_of_columns() -> dict[int, tuple[int, ...]]:
    """Which columns of a row of the power train follow from which axis alone."""
    names = list(POWER_FIELDS)

    def starting(word: str, without: tuple[str, ...] = ()) -> tuple[int, ...]:
        return tuple(i for i, name in enumerate(names) if name.startswith(word) and name not in without)

    return {
        MOTOR: starting("motor_"),
        CONTROLLER: starting("controller_", ("controller_resistance_ohm", "controller_low_voltage_cut_V")),
        PACK: starting("pack_", ("pack_table",)),
        PROPELLER: starting("propeller_", ("propeller_curve",)),
    }
