"""What a gram does where, and left against right."""

from collections.abc import Iterator
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from glidewright.base.figure import Figure
from glidewright.base.wording import number_text
from glidewright.decisions.balancing.known import Known
from glidewright.decisions.balancing.nouns import Lateral, StationRow
from glidewright.decisions.balancing.places import body_ends, wing_tip

Array = NDArray[np.float64]
Kind = Literal["item", "end", "bay", "tip"]

_GRAM_KG = 0.001
_STEP_M = 0.001


def shift_by(mass_kg: float, centre_m: float, added_kg: float, place_m: float) -> float:
    """How far a mass added at a place moves the centre of gravity of another, m, aft positive.

    Statics: ``w (x - c) / (M + w)``. A mass taken away counts negative.

    >>> round(shift_by(0.5, 0.0, 0.001, -0.3), 6)
    -0.000599
    """
    return added_kg * (place_m - centre_m) / (mass_kg + added_kg)


def mass_for(mass_kg: float, centre_m: float, step_m: float, place_m: float) -> float | None:
    """Mass added at a place that moves the centre of gravity by a step towards it, kg; nothing within a step.

    >>> round(mass_for(0.5, 0.0, 0.001, 0.251), 6)
    0.002
    """
    arm = abs(place_m - centre_m)
    return mass_kg * step_m / (arm - step_m) if arm > step_m else None


def stations(known: Known) -> tuple[StationRow, ...]:
    """The centimetre-gram table: every item, nose, tail, ends of the bays, wing tips; from front to rear."""
    mass = float(np.median(known.balance.mass_kg))
    centre = float(np.median(known.balance.centre_m[:, 0]))
    return tuple(
        StationRow(
            name=name,
            kind=kind,
            x_m=x,
            moves_by_m=shift_by(mass, centre, _GRAM_KG, x),
            mass_for_mm_kg=mass_for(mass, centre, _STEP_M, x),
        )
        for name, kind, x in sorted(_places(known), key=lambda place: place[2])
    )


def _places(known: Known) -> Iterator[tuple[str, Kind, float]]:
    model = known.model
    for name, row in zip(known.items.names, known.items.station_m[:, :, 0].T, strict=True):
        yield name, "item", float(np.median(row))
    ends = body_ends(model)
    if ends is not None:
        yield "nose", "end", ends[0]
        yield "tail", "end", ends[1]
    for bay in () if model.airframe.geometry is None else model.airframe.geometry.bays:
        yield f"{bay.name}, front", "bay", bay.from_x_m.value
        yield f"{bay.name}, rear", "bay", bay.to_x_m.value
    tip = wing_tip(model)
    if tip is not None:
        yield "wing tips", "tip", tip.x_m


def lateral(known: Known) -> Lateral:
    """Side moment, left and right mass, and the tip weight that takes the moment out."""
    balance, items = known.balance, known.items
    side = balance.mass_kg * balance.centre_m[:, 1]
    middle = np.array([0.0 if item.part.y_m is None else item.part.y_m.value for item in known.model.items])
    difference = items.mass_kg @ np.sign(middle)
    tip = wing_tip(known.model)
    unknown = "neither panels nor an item of the wing with a y say where the tips are"
    weight = Figure.unknown("kg", "g", unknown)
    text = unknown
    if tip is not None:
        weight = known.figure(-side / tip.y_m, "g", "kg")
        text = _tip_words(-side / tip.y_m)
    return Lateral(
        centre_y=known.figure(balance.centre_m[:, 1], "mm", "m"),
        side_moment=known.figure(side, "g·cm", "kg m"),
        difference=known.figure(difference, "g", "kg"),
        tip_y_m=None if tip is None else tip.y_m,
        tip_weight=weight,
        text=text,
    )


def _tip_words(weight: Array) -> str:
    """Which tip takes how much, or that it is not sure yet; weight: at the right tip."""
    low, median, high = np.quantile(weight, (0.1, 0.5, 0.9))
    heavy, light = ("left", "right") if median > 0.0 else ("right", "left")
    size = number_text(Figure.of_draws(np.sign(median) * weight, "kg", "g", "typical", ""))
    if low <= 0.0 <= high:
        return (
            f"which wing is heavier is not sure yet: {size} in the {light} tip would take the side moment "
            "out; weigh both wings first"
        )
    return f"the {heavy} wing is heavier: {size} in the {light} tip takes the side moment out"
