"""What an input is about: two models share its draws where it is the same thing in both, and nowhere else.

The day, the pilot and the errors of the method are the same for all. A bought part is the same where both
state it alike. What an airframe is as built, its structure, places and weighings, is the same for variants of
one model, and for models that state the same airframe. Errors of sections go with the sections that are used.
"""

from collections.abc import Callable, Hashable, Mapping

from glidewright.base.figure import Given
from glidewright.domain.correction import Correction
from glidewright.domain.model import Model
from glidewright.domain.parts import (
    Altimeter,
    Controller,
    Motor,
    Pack,
    Part,
    PlainItem,
    Propeller,
    Receiver,
    Servo,
)
from glidewright.forecast.spread import Input

_NOT_PHYSICAL = {
    **dict.fromkeys(("x_m", "y_m", "z_m", "price", "postage", "lead_time_s")),
    **dict.fromkeys(("title", "note", "source"), ""),
    "on_hand": False,
}
_OF_PART: Mapping[str, type[Part]] = {
    "motor": Motor,
    "controller": Controller,
    "pack": Pack,
    "propeller": Propeller,
    "altimeter": Altimeter,
}
_RADIO = (Servo, Receiver, Altimeter)
_READINGS = ("weighing", "balance_reading", "support")
_STATED = {
    "span": "span_m",
    "wing_area": "wing_area_m2",
    "drag_zero": "drag_zero",
    "span_efficiency": "span_efficiency",
    "lift_least_drag": "lift_least_drag",
    "lift_ceiling": "lift_ceiling",
}
_OF_METHOD = ("build_up", "induced_drag", "neutral_point")
_OF_SECTIONS = ("section_drag", "zero_lift", "stall")


def plain_part(part: Part | None) -> Part | None:
    """A part without its place, its price and its words: what is the same wherever it is fitted."""
    return None if part is None else part.model_copy(update=_NOT_PHYSICAL)


def things_of(model: Model, family: Hashable, taught: Correction) -> Callable[[Input], Hashable]:
    """What each input of a model is about.

    family: the same for models that are one airframe; taught: what readings taught of this one, so
    that these inputs are about the same thing only where the same was read.
    """
    by_name = {item.name: item for item in model.items}
    own = {name: plain_part(model.first(kind)) for name, kind in _OF_PART.items()}
    radio = tuple(plain_part(part) for kind in _RADIO for _, part in model.of_kind(kind))

    def of_item(kind: str, name: str) -> Hashable:
        part = by_name[name].part
        if kind == "mass":
            built = family if isinstance(part, PlainItem) else None
            return built, type(part).kind, part.id, part.mass_kg
        place: Given | None = getattr(part, f"{kind}_m")
        return family, place

    def of_airframe(field: str) -> Hashable:
        if field in _OF_METHOD:
            return None
        if field in _OF_SECTIONS:
            return _sections(model)
        stated = getattr(model.airframe, _STATED[field]) if field in _STATED else None
        return family, stated, own["propeller"] if field == "folded_drag_area" else None

    def plain(entry: Input) -> Hashable:
        kind, _, rest = entry.name.partition(":")
        if kind in _READINGS:
            return family, model.weighings[int(rest.split(":")[0]) - 1]
        if rest in by_name:
            return of_item(kind, rest)
        group, _, field = entry.name.partition(".")
        if group in ("field", "launch"):
            return None
        if group == "airframe":
            return of_airframe(field)
        if group == "radio":
            return radio
        return own.get(group, entry)

    def thing(entry: Input) -> Hashable:
        found = plain(entry)
        return (found, taught.evidence) if entry.name in taught.names else found

    return thing


def _sections(model: Model) -> Hashable:
    """Names of all sections that the shape uses."""
    geometry = model.airframe.geometry
    if geometry is None:
        return None
    pieces = (*geometry.panels, *geometry.fins, *(() if geometry.tail is None else (geometry.tail,)))
    names = {getattr(piece, field, "") for piece in pieces for field in ("section", "tip_section")}
    return tuple(sorted(name.casefold() for name in names if name))
