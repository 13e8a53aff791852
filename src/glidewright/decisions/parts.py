"""User job ``parts``: list and search the drawer, with what is missing and which reading would narrow it."""

import operator
import re
from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from glidewright.base.errors import InputError, Problem, nearest
from glidewright.base.fields import Noun, plain, quantities
from glidewright.base.figure import Figure, Given
from glidewright.base.units import unit
from glidewright.domain.model import Model
from glidewright.domain.parts import KINDS, Part

from .nouns import Missing, NamedFigure
from .part_gaps import figure_of, missing_of

_CONDITION = re.compile(r"(?P<key>[A-Za-z]\w*)(?P<sign><=|>=|<|>|=)(?P<number>[-+]?\d+(?:\.\d+)?)")
_SIGNS: Mapping[str, Callable[[float, float], bool]] = {
    "<": operator.lt,
    "<=": operator.le,
    ">": operator.gt,
    ">=": operator.ge,
    "=": lambda a, b: abs(a - b) <= 1e-9 * max(abs(a), abs(b)),
}
_MAIN_FIELDS: Mapping[str, tuple[str, ...]] = {
    "motor": ("kv_rad_per_Vs", "resistance_ohm", "no_load_current_A", "max_current_A", "gear_ratio"),
    "controller": ("max_current_A", "burst_current_A", "resistance_ohm", "servo_supply_current_A"),
    "pack": ("capacity_As", "c_rating", "resistance_ohm"),
    "propeller": ("diameter_m", "pitch_m", "yoke_m", "spinner_diameter_m"),
    "servo": ("torque_Nm", "speed_s_per_rad", "working_current_A"),
    "receiver": ("current_A",),
    "altimeter": ("cut_height_m", "cut_time_s", "height_error_m"),
    "linkage": ("rod_diameter_m", "play_m"),
    "ballast": ("density_kg_m3",),
    "item": (),
}


class Request(Noun):
    """What to look for; everything that is left out does not narrow the list."""

    query: str = plain(
        "Query",
        help="words that must stand in id, title, kind or note; or conditions such as mass_g<40",
        default="",
    )
    kind: str = plain("Kind", help="motor, pack, propeller and so on", default="")
    on_hand: bool = plain("On hand", help="only what lies in the drawer", default=False)
    ready_in_days: float | None = plain(
        "Ready in", help="on hand or at the door within so many days", default=None
    )


class PartRow(Noun):
    """One part of the drawer."""

    id: str
    kind: str
    kind_title: str
    title: str
    note: str
    invented: bool
    fitted_as: tuple[str, ...] = plain("Fitted as", help="names under which the model has it")
    on_hand: bool
    mass: Figure
    price: Figure
    postage: Figure
    lead_time: Figure
    figures: tuple[NamedFigure, ...] = plain("Figures", help="what the kind is chosen by, where stated")
    missing: tuple[Missing, ...] = plain("Missing", help="what predictions need and nobody stated")


class NextReading(Noun):
    """A reading that would narrow something, and the parts and values that it would narrow."""

    reading: str
    narrows: tuple[str, ...]
    is_fitted: bool = plain("Fitted", help="true when a part of the model as it stands is among them")


class Result(Noun):
    """The rows that fit, in the order of kinds and of the drawer, and what to read next."""

    model: str
    currency: str
    rows: tuple[PartRow, ...]
    parts_in_drawer: int
    readings: tuple[NextReading, ...]
    remarks: tuple[str, ...]


@dataclass(frozen=True)
class _Condition:
    """``mass_g<40``: the key of a quantity, compared in the unit of its key."""

    key: str
    sign: str
    number: float

    def fits(self, part: Part) -> bool:
        for name, meta in quantities(type(part)).items():
            given: Given | None = getattr(part, name)
            if meta.key == self.key and given is not None:
                return _SIGNS[self.sign](meta.shown.from_si(given.value), self.number)
        return False


def run(model: Model, request: Request) -> Result:
    """The parts of the model's drawer that fit; raises InputError for an unknown kind or key."""
    words, conditions = _parsed(request.query)
    _check(request, conditions)
    order = {kind: place for place, kind in enumerate(KINDS)}
    parts = sorted(model.drawer, key=lambda part: order[part.kind])
    asked = [part for part in parts if _fits(part, request, words, conditions)]
    found = [part for part in asked if _in_time(part, request)]
    rows = tuple(_row(part, model) for part in found)
    return Result(
        model=model.name,
        currency=model.currency,
        rows=rows,
        parts_in_drawer=len(model.drawer),
        readings=_readings(rows),
        remarks=tuple(_remarks(model, request, asked, found)),
    )


def _parsed(query: str) -> tuple[tuple[str, ...], tuple[_Condition, ...]]:
    """Words in lower case, and conditions."""
    words, conditions = [], []
    for token in query.split():
        found = _CONDITION.fullmatch(token)
        if found:
            conditions.append(_Condition(found["key"], found["sign"], float(found["number"])))
        else:
            words.append(token.casefold())
    return tuple(words), tuple(conditions)


def _check(request: Request, conditions: tuple[_Condition, ...]) -> None:
    problems = []
    if request.kind and request.kind not in KINDS:
        problems.append(
            Problem(
                "kind", f"must be a kind of part; {request.kind!r} came; {nearest(request.kind, list(KINDS))}"
            )
        )
    nouns = [KINDS[request.kind]] if request.kind in KINDS else list(KINDS.values())
    keys = sorted({meta.key for noun in nouns for meta in quantities(noun).values()})
    problems.extend(
        Problem("query", f"must compare a key of a part; {c.key!r} came; {nearest(c.key, keys)}")
        for c in conditions
        if c.key not in keys
    )
    days = request.ready_in_days
    if days is not None and not 0 <= days < float("inf"):
        problems.append(Problem("ready_in_days", f"must be 0 or more days; {days:g} came; correct it"))
    if problems:
        raise InputError(problems)


def _fits(part: Part, request: Request, words: tuple[str, ...], conditions: tuple[_Condition, ...]) -> bool:
    text = " ".join((part.id, part.title, part.kind, part.kind_title, part.note)).casefold()
    return (
        (not request.kind or part.kind == request.kind)
        and (part.on_hand or not request.on_hand)
        and all(word in text for word in words)
        and all(condition.fits(part) for condition in conditions)
    )


def _in_time(part: Part, request: Request) -> bool:
    if request.ready_in_days is None or part.on_hand:
        return True
    if part.lead_time_s is None:
        return False
    return unit("days").from_si(part.lead_time_s.value) <= request.ready_in_days


def _row(part: Part, model: Model) -> PartRow:
    return PartRow(
        id=part.id,
        kind=part.kind,
        kind_title=part.kind_title,
        title=part.name,
        note=part.note,
        invented=part.invented,
        fitted_as=tuple(item.name for item in model.items if item.part.id == part.id),
        on_hand=part.on_hand,
        mass=_figure(part, "mass_kg"),
        price=_figure(part, "price"),
        postage=_figure(part, "postage"),
        lead_time=_figure(part, "lead_time_s"),
        figures=tuple(
            NamedFigure(name=name, title=_title(part, name), figure=_figure(part, name))
            for name in _MAIN_FIELDS[part.kind]
            if getattr(part, name) is not None
        ),
        missing=missing_of(part),
    )


def _title(part: Part, field: str) -> str:
    return str(type(part).model_fields[field].title)


def _figure(part: Part, field: str) -> Figure:
    """A quantity of a part as a figure, unknown where nobody stated it."""
    meta = quantities(type(part))[field]
    given: Given | None = getattr(part, field)
    if given is None:
        return Figure.unknown(meta.shown.si, meta.shown.symbol, f"{meta.key} is not stated")
    return figure_of(given, _title(part, field), meta)


def _readings(rows: tuple[PartRow, ...]) -> tuple[NextReading, ...]:
    """Readings by how much they would narrow: those of fitted parts first, then by number of values."""
    gaps = [(row, gap) for row in rows for gap in row.missing]
    count = Counter(gap.narrows for _, gap in gaps)
    fitted = {gap.narrows for row, gap in gaps if row.fitted_as}
    order = sorted(count, key=lambda reading: (reading not in fitted, -count[reading], reading))
    return tuple(
        NextReading(
            reading=reading,
            narrows=tuple(f"{gap.part}: {gap.value.lower()}" for _, gap in gaps if gap.narrows == reading),
            is_fitted=reading in fitted,
        )
        for reading in order
    )


def _remarks(model: Model, request: Request, asked: list[Part], found: list[Part]) -> Iterator[str]:
    untimed = sum(part.lead_time_s is None and not part.on_hand for part in asked)
    if request.ready_in_days is not None and untimed:
        yield f"{untimed} more fit, but nobody stated when they come: add lead_time_days or on_hand."
    if not model.drawer:
        yield "The drawer is empty; add parts to files in the folder parts/."
    elif not found:
        yield "No part of the drawer fits; use fewer words or fewer conditions."
    if any(part.invented for part in found):
        yield "Parts marked invented are examples that nobody sells."
