"""A model with one thing changed, what its scale would then say, and what its bench still teaches."""

import math
from dataclasses import dataclass

import numpy as np

from glidewright.base.figure import Given
from glidewright.calibration.scores import part_kind
from glidewright.domain.correction import Correction
from glidewright.domain.model import Item, Model
from glidewright.domain.parts import Part
from glidewright.domain.weighing import Weighing
from glidewright.forecast.items import ALL, mass_read
from glidewright.forecast.spread import Input, from_field


@dataclass(frozen=True)
class _Side:
    """Mass in kg with the half width of its band, and station along x in m where it is known."""

    mass_kg: float
    half_kg: float
    x_m: float | None


def with_part(model: Model, item: Item, part: Part) -> Model:
    """The model with one item's part replaced or moved; each weighing as the scale would now read."""
    changed = Item(name=item.name, part=part)
    items = tuple(changed if own is item else own for own in model.items)
    weighings = tuple(
        after for w in model.weighings if (after := _weighed_again(model, w, item, part)) is not None
    )
    return model.model_copy(update={"items": items, "weighings": weighings})


def with_added(model: Model, name: str, part: Part) -> Model:
    """The model with one more item, its name made unlike all others; the weighings do not cover it."""
    taken = {item.name for item in model.items}
    number = 1
    own = name
    while own in taken:
        number += 1
        own = f"{name} {number}"
    weighings = tuple(w.model_copy(update={"of": _covered(model, w)}) for w in model.weighings)
    items = (*model.items, Item(name=own, part=part))
    return model.model_copy(update={"items": items, "weighings": weighings})


def on_one_scale(weighing: Weighing) -> Weighing:
    """A weighing on supports as one reading with a balance point, its band from those of the supports.

    Readings and places count as independent, the band to first order (GUM, JCGM 100:2008, equation 10).
    """
    if not weighing.support:
        return weighing
    rows = [
        (from_field(one, "reading_kg", "reading", "reading"), from_field(one, "x_m", "place", "place"))
        for one in weighing.support
    ]
    mass = mass_read(weighing)
    shares = [reading.value / mass.value for reading, _ in rows]
    point = sum(share * place.value for share, (_, place) in zip(shares, rows, strict=True))
    slopes = [_half(reading) * (place.value - point) / mass.value for reading, place in rows]
    slopes += [_half(place) * share for share, (_, place) in zip(shares, rows, strict=True)]
    half = math.hypot(*slopes)
    because = "from the readings on all supports"
    place = Given(value=point, low=point - half, high=point + half, grade=mass.grade, because=because)
    return weighing.model_copy(update={"support": (), "mass_kg": mass, "x_m": place})


def without_taught(correction: Correction, kind: type[Part]) -> Correction:
    """The correction without what readings taught of the fitted part of a kind, which another replaces."""
    rows = [i for i, name in enumerate(correction.names) if part_kind(name) is not kind]
    if len(rows) == len(correction.names):
        return correction
    return Correction(
        tuple(correction.names[i] for i in rows),
        correction.mean[rows],
        correction.covariance[np.ix_(rows, rows)],
        correction.evidence,
        correction.remarks,
    )


def _covered(model: Model, weighing: Weighing) -> tuple[str, ...]:
    """Names of the items that lay on the scale."""
    wanted = set(weighing.of)
    return tuple(item.name for item in model.items if wanted & {ALL, item.name, item.group})


def _weighed_again(model: Model, weighing: Weighing, item: Item, part: Part) -> Weighing | None:
    """The weighing with the new part in place of the old one; nothing where it says nothing of the new."""
    covered = _covered(model, weighing)
    is_same = part.id == item.part.id
    if item.name not in covered or (is_same and weighing.x_m is None and not weighing.support):
        return weighing
    if covered == (item.name,) and not is_same:
        return None
    weighing = on_one_scale(weighing)
    old = _side(item.part, _weighed_alone(model, item))
    new = old if is_same else _side(part, None)
    if old is None or new is None:
        return None
    mass = from_field(weighing, "mass_kg", "weighing", "weighing")
    total = mass.value + new.mass_kg - old.mass_kg
    if total <= 0.0:
        return None
    doubt = 0.0 if is_same else math.hypot(old.half_kg, new.half_kg)
    update: dict[str, Given | None] = {"mass_kg": _moved(mass, total, doubt)}
    if weighing.x_m is not None:
        update["x_m"] = None
        if old.x_m is not None and part.x_m is not None:
            point = from_field(weighing, "x_m", "balance", "balance")
            moment = mass.value * point.value - old.mass_kg * old.x_m + new.mass_kg * part.x_m.value
            centre = moment / total
            update["x_m"] = _moved(point, centre, doubt * abs(part.x_m.value - centre) / total)
    return weighing.model_copy(update=update)


def _weighed_alone(model: Model, item: Item) -> Weighing | None:
    return next((on_one_scale(w) for w in reversed(model.weighings) if w.of == (item.name,)), None)


def _side(part: Part, alone: Weighing | None) -> _Side | None:
    """What is known of a part: its own weighing first, else what was stated; nothing without a mass."""
    if alone is None and part.mass_kg is None:
        return None
    noun = part if alone is None else alone
    entry = from_field(noun, "mass_kg", "mass", "mass")
    return _Side(entry.value, _half(entry), None if part.x_m is None else part.x_m.value)


def _half(entry: Input) -> float:
    return 0.5 * (entry.high - entry.low)


def _moved(entry: Input, value: float, doubt: float) -> Given:
    """The reading at a new value, its band widened by what is not sure of the change."""
    half = math.hypot(_half(entry), doubt)
    because = "as the scale would read with the change"
    return Given(value=value, low=value - half, high=value + half, grade=entry.grade, because=because)
