"""The mass budget: groups planned and now, and who weighs what when."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from glidewright.base.figure import Figure
from glidewright.base.wording import percent_text
from glidewright.decisions.balancing.known import covered
from glidewright.decisions.nouns import GroupMass
from glidewright.decisions.steering.desk import Desk
from glidewright.decisions.steering.nouns import MassBudget, WeighingStep
from glidewright.domain.model import Item

Array = NDArray[np.float64]
_BUILDER, _SECOND = "the builder", "a second person, on another scale"
_WORTH = 0.03
_BOUGHT = ("power", "radio", "ballast")
_SIDES = ("left", "right")


def mass_budget(desk: Desk) -> MassBudget | None:
    """Groups and the weighings in their order; nothing while a mass is unknown."""
    items = desk.found.items
    if items is None:
        return None
    figure = desk.found.figure
    return MassBudget(
        groups=tuple(
            GroupMass(group=group, items=items.groups.count(group), figure=figure(draws, "g"))
            for group, draws in items.group_mass_kg().items()
        ),
        total=desk.found.prediction.figure("mass_kg", "g"),
        planned_total=figure(items.planned.mass_kg, "g"),
        steps=tuple(_steps(desk)),
    )


def _steps(desk: Desk) -> Iterator[WeighingStep]:
    """Bought parts when they come, built parts that matter before they are glued in, then the whole model."""
    built = [item for item in desk.model.items if item.group not in _BOUGHT]
    bought = [item for item in desk.model.items if item.group in _BOUGHT]
    if bought:
        yield _together(desk, "when the parcels are open", "motor, pack, controller, radio and leads", bought,
                        "labels leave out leads, plugs and screws")  # fmt: skip
    worth = _worth(desk)
    for item in sorted(built, key=lambda one: -worth[one.name]):
        if worth[item.name] >= _WORTH:
            yield _alone(desk, item, worth[item.name])
    pairs = [item for item in built if item.group == "wing" and _is_side(item)]
    if pairs:
        yield _together(desk, "before covering and after it", "both wing halves, one after the other", pairs,
                        "a difference is cheaper in the lighter half now than as lead later")  # fmt: skip
    tail = [item for item in built if item.group == "tail"]
    if tail:
        yield _together(desk, "before the tail is glued on", "tail with covering and hinges", tail,
                        "a gram here asks for two or three in the nose")  # fmt: skip
    yield _whole(desk)


def _worth(desk: Desk) -> dict[str, float]:
    """Share of the spread of mass and balance that weighing an item would explain."""
    worth = {item.name: 0.0 for item in desk.model.items}
    known = [
        draws for name in ("mass_kg", "cg_x_m") if (draws := desk.found.prediction.draws(name)) is not None
    ]
    for draws in known:
        for cause in desk.found.causes.of(draws):
            name = cause.entry.name.removeprefix("mass:")
            if name in worth and cause.entry.name.startswith("mass:"):
                worth[name] += cause.share / len(known)
    return worth


def _is_side(item: Item) -> bool:
    return any(side in item.name for side in _SIDES)


def _alone(desk: Desk, item: Item, worth: float) -> WeighingStep:
    why = f"explains {percent_text(worth)} of the doubt of mass and balance"
    return _step(desk, "when it is done, before it is built in", item.name, [item], why)


def _together(desk: Desk, when: str, what: str, items: list[Item], why: str) -> WeighingStep:
    return _step(desk, when, what, items, why)


def _step(desk: Desk, when: str, what: str, items: list[Item], why: str) -> WeighingStep:
    found = desk.found.items
    assert found is not None  # the caller has seen to it
    rows = [found.names.index(item.name) for item in items]
    expected = desk.found.figure(found.mass_kg[:, rows].sum(axis=1), "g")
    return WeighingStep(
        when=when,
        what=what,
        expected=expected,
        limit=_limit(expected),
        who=_BUILDER,
        is_done=all(_is_weighed(desk, item) for item in items),
        because=why,
    )


def _limit(expected: Figure) -> Figure:
    if expected.high is None:
        return Figure.unknown("kg", "g", "not known")
    why = "nine of ten forecasts are lighter: find out why before going on"
    return Figure.exact(expected.high, "kg", "g", "typical", why)


def _is_weighed(desk: Desk, item: Item) -> bool:
    return any(
        item.name in {one.name for one in covered(desk.model, weighing)}
        and len(covered(desk.model, weighing)) == 1
        for weighing in desk.model.weighings
    ) or (item.part.mass_kg is not None and item.part.mass_kg.grade == "measured")


def _whole(desk: Desk) -> WeighingStep:
    expected = desk.found.prediction.figure("mass_kg", "g")
    done = any("all" in weighing.of for weighing in desk.model.weighings)
    return WeighingStep(
        when="ready to fly, with pack and propeller",
        what="the whole model on two supports, for mass and balance at once",
        expected=expected,
        limit=_limit(expected),
        who=f"{_BUILDER} and {_SECOND}",
        is_done=done,
        because="the last word on mass and balance; whoever signs for the class weighs it too",
    )
