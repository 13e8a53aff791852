"""Soft remarks: numbers outside the usual, and what a class file leaves open. Never errors."""

from collections.abc import Iterator

from glidewright.base.fields import Noun, quantities
from glidewright.base.figure import Given
from glidewright.base.wording import exact_text, plain_text
from glidewright.domain.airframe import Airframe
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.geometry import Bay, Fin, Panel
from glidewright.domain.model import Model
from glidewright.forecast.spread import from_field
from glidewright.models.aero.planform import airframe_measures

_ROUNDING = 1e-6  # of its value: less than anybody states


class Remark(Noun):
    """One sentence worth a second look, and the place that it is about."""

    where: str
    message: str


def remark_on(model: Model, rule: ClassLimits | None) -> list[Remark]:
    """All remarks on a model and its class, in the order of the folder."""
    found = [
        *_unusual(model.airframe, "airframe"),
        *_shape(model.airframe),
        *_unusual(model.field, "field"),
        *_unusual(model.launch, "launch"),
    ]
    seen: set[str] = set()
    for item in model.items:
        if item.part.id not in seen:
            seen.add(item.part.id)
            found += _unusual(item.part, f"part {item.part.id}")
    if rule is not None:
        found += [Remark(where=f"class {rule.id}", message=point) for point in rule.open_points]
    return found


def _shape(airframe: Airframe) -> Iterator[Remark]:
    """Unusual numbers of the shape, and stated measures that it contradicts by more than their spread."""
    geometry = airframe.geometry
    if geometry is None:
        return
    for name in ("wing", "tail", "body", "spoiler"):
        noun = getattr(geometry, name)
        if noun is not None:
            yield from _unusual(noun, name)
    several: tuple[Panel | Fin | Bay, ...] = (*geometry.panels, *geometry.fins, *geometry.bays)
    for noun in several:
        yield from _unusual(noun, f"{noun.table} {noun.name}".rstrip())
    for field, value in airframe_measures(geometry).items():
        if getattr(airframe, field) is None:
            continue
        stated = from_field(airframe, field, field, "")
        slack = _ROUNDING * abs(value)
        if not stated.low - slack <= value <= stated.high + slack:
            meta = quantities(Airframe)[field]
            yield Remark(
                where=f"airframe: {meta.key}",
                message=f"{exact_text(stated.value, meta.shown.symbol)} is stated, but the shape makes "
                f"{plain_text(value, meta.shown.symbol)}, outside of its spread; correct one of them",
            )


def _unusual(noun: Noun, where: str) -> Iterator[Remark]:
    """A remark for each number outside the usual range of its field."""
    for name, meta in quantities(type(noun)).items():
        given = getattr(noun, name)
        if meta.usual is None or not isinstance(given, Given):
            continue
        low, high = (meta.shown.to_si(bound) for bound in meta.usual)
        # a bound that went through a unit conversion must still contain itself
        slack = 1e-9 * max(abs(low), abs(high))
        if not low - slack <= given.value <= high + slack:
            usual = f"{meta.usual[0]:g} to {exact_text(high, meta.shown.symbol)}"
            came = exact_text(given.value, meta.shown.symbol)
            yield Remark(
                where=f"{where}: {meta.key}",
                message=f"{came} is outside the usual {usual}; check the number and its unit",
            )
