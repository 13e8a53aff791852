"""User job: ten answers and a model, the example scaled to them; everything in it can be corrected later.

Lengths along the body go with its length, along the chord with the chords, across with the span; masses of
the structure go with the bare airframe's. Balance range and areas are left to what the shape gives.
"""

import math
import tomllib
from collections.abc import Iterator, Mapping
from typing import Any

from glidewright.base.fields import Noun, plain, quantity
from glidewright.base.figure import Given
from glidewright.decisions import new_model

Place = tuple[str | int, ...]
MODEL_FILE = "model.toml"
_FOLLOWS = (
    "span_m",
    "wing_area_dm2",
    "tail_area_dm2",
    "mean_chord_mm",
    "chord_front_x_mm",
    "balance_front_x_mm",
    "balance_rear_x_mm",
    "balance_source",
)
_BODY_LENGTHS = ("nose_x_mm", "full_from_x_mm", "full_to_x_mm", "pod_end_x_mm", "end_x_mm")
_STRUCTURE = ("wing", "fuselage", "tail")
_BECAUSE = "the example scaled to ten answers"


class Request(Noun):
    """The ten answers."""

    name: str = plain("Name", help="of the model and of its folder")
    class_id: str = plain("Class", help="that it shall be flown in", default="")
    span_m: Given = quantity(
        "Wing span", key="span_m", shown="m", help="tip to tip", at_least=0.5, at_most=6, required=True
    )
    root_chord_m: Given = quantity(
        "Wing chord in the middle",
        key="root_chord_mm",
        shown="mm",
        help="at the root",
        at_least=60,
        at_most=500,
        required=True,
    )
    tip_chord_m: Given = quantity(
        "Wing chord at the tip",
        key="tip_chord_mm",
        shown="mm",
        help="at the outer end",
        at_least=30,
        at_most=500,
        required=True,
    )
    length_m: Given = quantity(
        "Length",
        key="length_mm",
        shown="mm",
        help="from the nose to the end of the tail boom",
        at_least=400,
        at_most=3000,
        required=True,
    )
    airframe_kg: Given = quantity(
        "Bare airframe",
        key="airframe_g",
        shown="g",
        help="wing, body and tail without motor, pack and radio",
        at_least=80,
        at_most=4000,
        required=True,
    )
    motor: str = plain("Motor like", help="the nearest of the example's drawer")
    pack: str = plain("Pack like", help="the nearest of the example's drawer")
    propeller: str = plain("Propeller like", help="the nearest of the example's drawer")


class Setting(Noun):
    """One key of model.toml and what shall stand there; nothing takes it out."""

    place: Place
    value: Any = None


class Result(Noun):
    """The example's texts, and what is to be set in them, in this order."""

    folder: str
    texts: dict[str, str]
    settings: tuple[Setting, ...]


def run(request: Request) -> Result:
    """The model of ten answers; raises InputError for a name that no folder can have."""
    example = new_model.run(new_model.Request(name=request.name))
    table = tomllib.loads(example.texts[MODEL_FILE])
    return Result(folder=example.folder, texts=example.texts, settings=tuple(_settings(request, table)))


def _settings(request: Request, table: Mapping[str, Any]) -> Iterator[Setting]:
    panels = table["panel"]
    across = request.span_m.value / _span_m(panels)
    chords = (
        1e3 * request.root_chord_m.value / panels[0]["root_chord_mm"],
        1e3 * request.tip_chord_m.value / panels[-1]["tip_chord_mm"],
    )
    body = table["body"]
    along = 1e3 * request.length_m.value / (body["end_x_mm"] - body["nose_x_mm"])
    yield Setting(place=("class",), value=request.class_id)
    yield Setting(place=("note",), value="Made of ten answers; put your own numbers in their place.")
    yield from (Setting(place=("airframe", key)) for key in _FOLLOWS if key in table["airframe"])
    yield from _wing(panels, across, chords)
    yield from _tail(table, along, chords[0], across)
    yield from (
        Setting(place=("body", key), value=_mm(along * body[key])) for key in _BODY_LENGTHS if key in body
    )
    yield from _bays_and_items(request, table, across, chords[0], along)
    for name, part in (("motor", request.motor), ("pack", request.pack), ("propeller", request.propeller)):
        yield Setting(place=("fitted", name, "part"), value=part)


def _span_m(panels: list[Mapping[str, Any]]) -> float:
    """Span projected flat: twice the sum of panel length times cosine of dihedral."""
    halves = [panel["length_mm"] * math.cos(math.radians(panel.get("dihedral_deg", 0.0))) for panel in panels]
    return 2e-3 * float(sum(halves))


def _wing(panels: list[Mapping[str, Any]], across: float, chords: tuple[float, float]) -> Iterator[Setting]:
    root, tip = chords
    for number, panel in enumerate(panels):
        share = (number + 1) / len(panels)
        outer = root + share * (tip - root)
        yield Setting(place=("panel", number, "length_mm"), value=_mm(across * panel["length_mm"]))
        yield Setting(place=("panel", number, "tip_chord_mm"), value=_mm(outer * panel["tip_chord_mm"]))
        yield Setting(place=("panel", number, "sweep_mm"), value=_mm(outer * panel["sweep_mm"]))
        if number == 0:
            yield Setting(place=("panel", 0, "root_chord_mm"), value=_mm(root * panel["root_chord_mm"]))


def _tail(table: Mapping[str, Any], along: float, chord: float, across: float) -> Iterator[Setting]:
    """Tail, fins and spoiler keep their shape and go with chord and span, the tail at the end of the body."""
    for key in ("span_mm", "root_chord_mm", "tip_chord_mm", "sweep_mm"):
        yield Setting(place=("tail", key), value=_mm(chord * table["tail"][key]))
    yield Setting(place=("tail", "x_mm"), value=_mm(along * table["tail"]["x_mm"]))
    for number, fin in enumerate(table["fin"]):
        for key in ("height_mm", "root_chord_mm", "tip_chord_mm", "sweep_mm"):
            yield Setting(place=("fin", number, key), value=_mm(chord * fin[key]))
        yield Setting(place=("fin", number, "x_mm"), value=_mm(along * fin["x_mm"]))
    spoiler = table["spoiler"]
    for key in ("chord_mm", "setback_mm"):
        yield Setting(place=("spoiler", key), value=_mm(chord * spoiler[key]))
    for key in ("from_y_mm", "to_y_mm"):
        yield Setting(place=("spoiler", key), value=_mm(across * spoiler[key]))


def _bays_and_items(
    request: Request, table: Mapping[str, Any], across: float, chord: float, along: float
) -> Iterator[Setting]:
    for number, bay in enumerate(table["bay"]):
        for key in ("from_x_mm", "to_x_mm"):
            yield Setting(place=("bay", number, key), value=_mm(along * bay[key]))
    bare = sum(_number(item["mass_g"]) for item in table["item"] if item["group"] in _STRUCTURE)
    heavier = 1e3 * request.airframe_kg.value / bare
    for item in table["item"]:
        in_wing = item["group"] == "wing"
        mass = {"value": round(heavier * _number(item["mass_g"]), 1), "grade": "guessed", "because": _BECAUSE}
        yield Setting(place=("item", item["id"], "mass_g"), value=mass)
        x_mm = _mm((chord if in_wing else along) * item["x_mm"])
        yield Setting(place=("item", item["id"], "x_mm"), value=x_mm)
        if in_wing and item["y_mm"]:
            yield Setting(place=("item", item["id"], "y_mm"), value=_mm(across * item["y_mm"]))
    for fitted in table["fitted"]:
        if abs(fitted["y_mm"]) <= 50.0:  # what lies in the wing stays beside the body
            yield Setting(place=("fitted", fitted["name"], "x_mm"), value=_mm(along * fitted["x_mm"]))
    # weighings of the example say nothing of another airframe
    for _ in table.get("weighing", ()):
        yield Setting(place=("weighing", 0))


def _number(raw: Any) -> float:
    value = raw["value"] if isinstance(raw, Mapping) else raw
    return float(value)


def _mm(number: float) -> float:
    return round(number, 1) + 0.0
