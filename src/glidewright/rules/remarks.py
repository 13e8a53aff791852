"""Soft remarks: numbers outside the usual, and what a class file leaves open. Never errors."""

from collections.abc import Iterator

from glidewright.base.fields import Noun, quantities
from glidewright.base.figure import Given
from glidewright.base.wording import exact_text
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.model import Model


class Remark(Noun):
    """One sentence worth a second look, and the place that it is about."""

    where: str
    message: str


def remark_on(model: Model, rule: ClassLimits | None) -> list[Remark]:
    """All remarks on a model and its class, in the order of the folder."""
    found = [
        *_unusual(model.airframe, "airframe"),
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
