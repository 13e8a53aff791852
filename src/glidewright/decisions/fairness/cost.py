"""What a place at the top costs, and what parts that somebody has already are still worth."""

from collections.abc import Sequence

import numpy as np

from glidewright.base.figure import Figure
from glidewright.decisions.choosing.builds import SINGLE, Build, parts_of
from glidewright.decisions.fairness.field import Entry
from glidewright.decisions.fairness.nouns import PartWorth
from glidewright.decisions.fairness.spread import Flown, figure_of
from glidewright.decisions.purchase import cost_figure
from glidewright.domain.model import Model
from glidewright.domain.parts import Part

_POWER = len(SINGLE)


def power_parts(model: Model, build: Build) -> tuple[Part, ...]:
    """Motor, controller, pack and propeller of a build."""
    return parts_of(model, build)[:_POWER]


def cost_new(models: Sequence[Model], entry: Entry) -> Figure:
    """Cost of the power train of an entry for somebody who has none of it."""
    return cost_figure(power_parts(models[entry.airframe], entry.build))


def cost_to_buy(models: Sequence[Model], entry: Entry) -> Figure:
    """Cost of what is not on hand."""
    parts = power_parts(models[entry.airframe], entry.build)
    return cost_figure([part for part in parts if not part.on_hand], "everything is on hand")


def competitive(flown: Flown, within: float) -> list[int]:
    """Places of the entries whose middle launch reaches this share of the best one's."""
    enough = within * float(flown.height_m[flown.best])
    return [int(place) for place in np.flatnonzero(flown.height_m >= enough - 1e-9)]


def cheapest(models: Sequence[Model], flown: Flown, within: float) -> int | None:
    """Place of the cheapest competitive entry, all new; of equal ones the highest; nothing without prices."""
    priced = [
        (cost.value, -float(flown.height_m[place]), place)
        for place in competitive(flown, within)
        if (cost := cost_new(models, flown.entries[place])).value is not None
    ]
    return min(priced)[2] if priced else None


def best_on_hand(models: Sequence[Model], flown: Flown) -> int | None:
    """Place of the highest entry that needs no purchase; nothing when there is none."""
    owned = [
        place
        for place, entry in enumerate(flown.entries)
        if all(part.on_hand for part in power_parts(models[entry.airframe], entry.build))
    ]
    return max(owned, key=lambda place: (float(flown.height_m[place]), -place)) if owned else None


def share_of_best(flown: Flown, place: int | None, why: str) -> Figure:
    """Launch height of an entry over that of the best, launch by launch; not known, and why, without one."""
    if place is None:
        return Figure.unknown("1", "%", why)
    return figure_of(flown.top_m[place] / flown.top_m[flown.best], "1", "%")


def worth_of_parts(
    models: Sequence[Model], entries: Sequence[Entry], flown: Flown, rule_place: int
) -> tuple[PartWorth, ...]:
    """Every part on hand of the power trains: the best launch with it, or why nobody may start with it."""
    return tuple(
        _worth(model, number, part, entries, flown, rule_place)
        for number, model in enumerate(models)
        for kind in SINGLE
        for part in model.drawer
        if isinstance(part, kind) and part.on_hand
    )


def _worth(
    model: Model, number: int, part: Part, entries: Sequence[Entry], flown: Flown, rule_place: int
) -> PartWorth:
    with_it = [
        place
        for place, entry in enumerate(flown.entries)
        if entry.airframe == number and part.id in _ids(entry.build)
    ]
    best = max(with_it, key=lambda place: (float(flown.height_m[place]), -place)) if with_it else None
    own = [entry for entry in entries if entry.airframe == number and part.id in _ids(entry.build)]
    broken = [entry.broken[rule_place] for entry in own]
    legal = any(not any(one.of_class for one in row) for row in broken)
    remark = ""
    if best is None:
        of_class = {one.title.lower() for row in broken for one in row if one.of_class}
        of_parts = {one.title.lower() for row in broken for one in row if not one.of_class}
        why = of_parts if legal else of_class
        remark = ("no sound build has it: " if legal else "illegal: ") + ", ".join(sorted(why))
    return PartWorth(
        airframe=model.name,
        part=part.id,
        name=part.name,
        kind=part.kind_title,
        legal=legal,
        height_share=share_of_best(flown, best, remark),
        price=cost_figure([part.model_copy(update={"postage": None})]),
        remark=remark,
    )


def _ids(build: Build) -> tuple[str, ...]:
    return (build.motor, build.controller, build.pack, build.propeller)


def cost_of_illegal(models: Sequence[Model], worth: Sequence[PartWorth]) -> Figure:
    """Price of all parts on hand that are in no legal build."""
    illegal = [one for one in worth if not one.legal]
    parts = [
        part.model_copy(update={"postage": None})
        for one in illegal
        for model in models
        if model.name == one.airframe and (part := model.from_drawer(one.part)) is not None
    ]
    return cost_figure(parts, "every part on hand is in a legal build")
