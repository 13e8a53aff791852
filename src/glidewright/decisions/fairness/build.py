"""One build of the field: put together, weighed, brought into balance, and measured against the rules."""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from glidewright.base.errors import OutsideModelError
from glidewright.calibration.learned import correction_of
from glidewright.decisions.balancing.places import MOST_BALLAST_KG, bays_for, body_ends
from glidewright.decisions.changed_model import without_taught
from glidewright.decisions.choosing.builds import SINGLE, Build, model_of, roles_of
from glidewright.decisions.fairness.frame import Train, as_owner_would, at_centre, trains_of
from glidewright.decisions.fairness.legal import (
    OF_MASS,
    Broken,
    Measured,
    ballast_for_least_kg,
    broken_static,
    static_values,
)
from glidewright.domain.class_limits import ClassLimits, Limit
from glidewright.domain.model import Item, Model
from glidewright.domain.parts import Motor, Pack, Servo
from glidewright.forecast.items import item_draws, items_without_mass, items_without_station
from glidewright.forecast.predict import FULL_CELL_V
from glidewright.forecast.prediction import Prediction
from glidewright.forecast.setup import Setup, prepare
from glidewright.forecast.spread import Input

Array = NDArray[np.float64]
Memo = dict[tuple[str, ...], dict[Input, Array]]

_LEAST_MOMENT_kg_m = 1e-5
_NOTHING: Mapping[str, float] = {}


def builds_of(model: Model) -> tuple[Build, ...]:
    """Every motor, controller, pack and propeller (on its own yoke) of the drawer with every other."""
    roles = roles_of(model)
    servos = tuple(part.id for _, part in model.of_kind(Servo))
    return tuple(
        Build(motor=motor.id, controller=controller.id, pack=pack.id, propeller=blades.id, servos=servos)
        for motor in roles.motors
        for controller in roles.controllers
        for pack in roles.packs
        for blades, carrier in roles.propellers
        if blades.id == carrier.id
    )


@dataclass
class Ready:
    """A build on its way: set up and weighed at the centre of all inputs, or broken before that."""

    build: Build
    model: Model
    train: Train | None = None
    middle: Setup | None = None
    mass_kg: float = math.nan
    balance_kg: float = 0.0
    broken: list[Broken] = field(default_factory=list)


def _unsound(name: str, title: str, words: str) -> Broken:
    return Broken(name, title, False, None, None, "", words, float("inf"))


def ready_of(base: Model, build: Build, rules: Sequence[ClassLimits], memo: Memo) -> Ready:
    """Put the build together, onto the scale, and into its balance range.

    One whose labels no rule allows is left at that.
    """
    one = Ready(build, model_of(as_owner_would(base), build))
    labels = _on_labels(one.model, rules)
    if all(any(broken_static(rule, labels)) for rule in rules):
        return one
    try:
        _weigh(base, one, memo)
    except OutsideModelError as refused:
        one.broken.append(_unsound("model", "Computed at all", str(refused)))
    return one


def _weigh(base: Model, one: Ready, memo: Memo) -> None:
    """Mass with the ballast that its balance needs, and the row of its power train."""
    middle = at_centre(set_up(base, one.model, 1, memo))
    mass, centre = weighed(middle)
    if centre is not None:
        _balance(one, float(centre[0]), float(mass[0]))
    one.middle, one.mass_kg = middle, float(mass[0]) + one.balance_kg
    one.train = trains_of(middle, np.array([one.mass_kg]))[0]


def set_up(base: Model, model: Model, draws: int, memo: Memo) -> Setup:
    """A build set up with what the bench of the airframe still teaches about it.

    Raises OutsideModelError when a mass or the power train is not known.
    """
    without = items_without_mass(model)
    if without:
        raise OutsideModelError.at("mass", f"must be known; that of {', '.join(without)} is not; weigh it")
    correction = correction_of(base)
    for kind in SINGLE:
        old, new = base.first(kind), model.first(kind)
        if old is None or new is None or old.id != new.id:
            correction = without_taught(correction, kind)
    setup = prepare(model, None, draws, correction, memo.setdefault(correction.names, {}))
    if isinstance(setup.power, str):
        raise OutsideModelError.at("model.toml", f"must have a power train; {setup.power}")
    return setup


def weighed(setup: Setup) -> tuple[Array, Array | None]:
    """Draws of mass and of the centre of gravity along x; that is nothing while a station is not known."""
    model = setup.model
    if items_without_station(model):
        return np.sum([setup[f"mass:{item.name}"] for item in model.items], axis=0), None
    now = item_draws(model, setup.inputs, setup.scores, setup.values).now
    return now.mass_kg, now.centre_m[:, 0]


def _balance(one: Ready, centre_m: float, mass_kg: float) -> None:
    """Move the pack as far as its bay lets it, then hang in what is still missing at nose or tail."""
    model, airframe = one.model, one.model.airframe
    item, pack = next(model.of_kind(Pack))
    places = _places(model, item, pack)
    if not places:
        one.broken.append(_unsound("fit", "Fit of the pack", f"{pack.name} fits into no bay"))
        return
    if airframe.balance_front_x_m is None or airframe.balance_rear_x_m is None:
        return
    front, rear = airframe.balance_front_x_m.value, airframe.balance_rear_x_m.value
    if front <= centre_m <= rear:
        return
    edge = front if centre_m < front else rear
    missing = mass_kg * (edge - centre_m)
    assert pack.mass_kg is not None and pack.x_m is not None  # both are known, or nobody could weigh it
    wanted = pack.x_m.value + missing / pack.mass_kg.value
    x = min((min(max(wanted, low), high) for low, high in places), key=lambda at: abs(at - wanted))
    missing -= pack.mass_kg.value * (x - pack.x_m.value)
    update: dict[str, float] = {} if x == pack.x_m.value else {"pack_x_m": round(x, 4)}
    if abs(missing) > _LEAST_MOMENT_kg_m:
        ends = body_ends(model)
        end = None if ends is None else ends[0 if missing < 0.0 else 1]
        needed = np.inf if end is None or end == edge else missing / (end - edge)
        if not 0.0 < needed <= MOST_BALLAST_KG:
            words = (
                f"its range is {1e3 * abs(missing):.0f} g·m away, more than {1e3 * MOST_BALLAST_KG:.0f} g "
            )
            one.broken.append(
                _unsound("balance", "Balance range", words + "of ballast at the end of the body")
            )
            return
        one.balance_kg = float(needed)
        update["nose_ballast_kg" if missing < 0.0 else "tail_ballast_kg"] = one.balance_kg
    one.build = one.build.model_copy(update=update)


def _places(model: Model, item: Item, pack: Pack) -> list[tuple[float, float]]:
    """Where the middle of the pack may lie: in the bays that take it, or from the motor to the wing."""
    geometry = model.airframe.geometry
    if geometry is not None and any(Pack.kind in bay.takes for bay in geometry.bays):
        return [span for _, span in bays_for(model, item, pack)]
    here = 0.0 if pack.x_m is None else pack.x_m.value
    motor = model.first(Motor)
    foremost = here if motor is None or motor.x_m is None else min(motor.x_m.value, here)
    return [(foremost, max(0.0, here))]


def measured(one: Ready, rules: Sequence[ClassLimits]) -> Measured:
    """What a tape, a scale and the labels say of a build, for every measure that some rule limits."""
    middle = one.middle
    if middle is None:
        return _on_labels(one.model, rules)
    area = float(middle["airframe.wing_area"][0])
    weighed = {
        "mass_kg": one.mass_kg,
        "wing_loading_kg_m2": one.mass_kg / area,
        "span_m": float(middle["airframe.span"][0]),
        "wing_area_m2": area,
    }
    return _on_labels(one.model, rules, weighed)


def _on_labels(model: Model, rules: Sequence[ClassLimits], also: Mapping[str, float] = _NOTHING) -> Measured:
    """What the labels of the parts and the airframe say; also: results that are known, by name."""
    pack = model.first(Pack)
    values = dict(also)
    if model.airframe.controls:
        values["controls"] = float(len(model.airframe.controls))
    if model.airframe.tail_area_m2 is not None:
        values["tail_area_m2"] = model.airframe.tail_area_m2.value
    if pack is not None:
        values |= {"cells": float(pack.cells), "capacity_As": pack.capacity_As.value}
        values["pack_full_voltage_V"] = FULL_CELL_V * pack.cells
    told = {name: np.array([value]) for name, value in values.items()}
    prediction = Prediction(model, None, 1, told)
    return static_values(prediction, {limit.measure for limit in _all_limits(rules)})


def _all_limits(rules: Sequence[ClassLimits]) -> Iterator[Limit]:
    for rule in rules:
        yield from rule.limits


def broken_on_ground(one: Ready, values: Measured, rule: ClassLimits) -> list[Broken]:
    """What a build breaks before it flies; values: as ``measured`` has them."""
    extra = 0.0 if one.middle is None else least_mass_ballast_kg(one, rule)
    return [*one.broken, *broken_static(rule, _with_ballast(values, one, extra))]


def least_mass_ballast_kg(one: Ready, rule: ClassLimits) -> float:
    """Ballast in kg that a weighed build carries to reach the least mass or loading of a rule."""
    assert one.middle is not None  # only what was weighed comes here
    tail = one.model.airframe.tail_area_m2
    area = float(one.middle["airframe.wing_area"][0])
    return ballast_for_least_kg(rule, one.mass_kg, area, None if tail is None else tail.value)


def _with_ballast(values: Measured, one: Ready, extra_kg: float) -> Measured:
    """What the scale says with more ballast on board."""
    if extra_kg == 0.0:
        return values
    heavier = dict(values)
    for name in OF_MASS:
        value = heavier.get(name)
        if isinstance(value, float):
            heavier[name] = value * (one.mass_kg + extra_kg) / one.mass_kg
    return heavier
