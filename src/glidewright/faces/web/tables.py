"""The tables of a model folder under their headings, each as a form."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from pydantic import BaseModel

from glidewright.base.fields import quantities
from glidewright.base.figure import Grade
from glidewright.domain.airframe import Airframe
from glidewright.domain.bench import BenchReading
from glidewright.domain.control import Build, Control, Steering
from glidewright.domain.field import Field
from glidewright.domain.geometry import Bay, Body, Fin, Panel, Spoiler, Tail, Wing
from glidewright.domain.launch_plan import LaunchPlan
from glidewright.domain.model import Fitted, Model
from glidewright.domain.outcome import Outcome
from glidewright.domain.parts import KINDS, Part, PlainItem
from glidewright.domain.weighing import Weighing
from glidewright.faces.web.forms import (
    Choices,
    FieldForm,
    TableForm,
    field_form,
    grade_of,
    new_fields,
    row_form,
    single_form,
)
from glidewright.store.texts import MODEL_FILE

_HEAD = {
    "name": "name",
    "note": "note",
    "class": "class_id",
    "currency": "currency",
    "skill": "skill",
    "invented": "invented",
}


@dataclass(frozen=True)
class Group:
    """Tables of one kind under a heading; new: what one more must have, empty where none can be added."""

    title: str
    help: str
    tables: tuple[TableForm, ...]
    file: str = MODEL_FILE
    name: str = ""
    new: tuple[FieldForm, ...] = ()


def model_groups(table: Mapping[str, Any], model: Model | None, classes: Sequence[str]) -> list[Group]:
    """All tables of model.toml; model: for names to choose among, None while the folder cannot be read."""
    grade = grade_of(table, "quoted")
    head = TableForm("head", "Model", MODEL_FILE, (), tuple(_head(table, classes)))
    groups = [Group("Model", "Name and class.", (head,))]
    always = (("Airframe", Airframe), ("Field", Field), ("Launch", LaunchPlan))
    groups += [_one(title, noun, table, grade) for title, noun in always]
    groups += _listed(table, model, grade)
    built = (("Steering", Steering), ("Build checks", Build))
    groups += [_one(title, noun, table, grade) for title, noun in built]
    if Outcome.table in table:
        groups.append(_many("Outcomes of the test plan", Outcome.table, Outcome, table, "measured"))
    groups += _shape(table, grade)
    return groups


def _listed(table: Mapping[str, Any], model: Model | None, grade: Grade) -> Iterator[Group]:
    """What is fitted, built, weighed and measured, and the controls."""
    parts = () if model is None else tuple((part.id, f"{part.name} ({part.kind})") for part in model.drawer)
    names = () if model is None else (*(item.name for item in model.items), *Part.groups, "all")
    of = {"of": tuple((name, name) for name in names)}
    yield _many("Fitted parts", Fitted.table, Fitted, table, grade, {"part": parts}, ("x_mm",))
    yield _many("Structure", PlainItem.kind, PlainItem, table, grade, need=("mass_g", "x_mm"))
    yield _many("Weighings", Weighing.table, Weighing, table, "measured", of, ("mass_g",))
    volts_and_amps = ("voltage_V", "current_A")
    yield _many("Bench readings", BenchReading.table, BenchReading, table, "measured", need=volts_and_amps)
    yield _many("Controls", Control.table, Control, table, grade, need=("servo",))


def _shape(table: Mapping[str, Any], grade: Grade) -> Iterator[Group]:
    """Wing, tail, body and spoiler, and what they are made of, where the file has them."""
    shape = [
        single_form(noun.table, noun.table.capitalize(), noun, table, grade)
        for noun in (Wing, Tail, Body, Spoiler)
        if noun.table in table
    ]
    if shape:
        yield Group("Shape", "Wing, tail, body and spoiler as they are drawn.", tuple(shape))
    for title, shaped in (("Wing panels", Panel), ("Fins", Fin), ("Bays", Bay)):
        if shaped.table in table:
            yield _many(title, shaped.table, shaped, table, grade)


def _one(title: str, noun: Any, table: Mapping[str, Any], grade: Grade) -> Group:
    form = single_form(noun.table, title, noun, table, grade)
    return Group(title, _doc(noun), (form,))


def drawer_groups(files: Mapping[str, Mapping[str, Any]]) -> list[Group]:
    """All parts of the drawer, by kind; a new one goes into the file that holds its kind already."""
    groups = []
    names = list(files)
    for kind, noun in KINDS.items():
        tables: list[TableForm] = []
        home = next((name for name in names if kind in files[name]), names[0] if names else "")
        for name, table in files.items():
            grade = grade_of(table, "quoted")
            rows = table.get(kind, [])
            tables += [
                row_form(kind, noun, raw, number, name, grade)
                for number, raw in enumerate(rows)
                if isinstance(raw, Mapping)
            ]
        new = tuple(new_fields(kind, noun, need=("title", "mass_g"))) if home else ()
        groups.append(Group(noun.kind_title, _doc(noun), tuple(tables), home, kind, new))
    return [group for group in groups if group.new or group.tables]


def _many(
    title: str,
    name: str,
    noun: type[BaseModel],
    table: Mapping[str, Any],
    grade: Grade,
    choices: Choices | None = None,
    need: Sequence[str] = (),
) -> Group:
    rows = table.get(name, [])
    forms = tuple(
        row_form(name, noun, raw, number, MODEL_FILE, grade_of(raw, grade), choices)
        for number, raw in enumerate(rows if isinstance(rows, list) else [])
    )
    new = tuple(new_fields(name, noun, need, choices)) if need else ()
    return Group(title, _doc(noun), forms, MODEL_FILE, name, new)


def _head(table: Mapping[str, Any], classes: Sequence[str]) -> Iterator[FieldForm]:
    options = (("", "none"), *((name, name) for name in classes))
    for key, name in _HEAD.items():
        yield field_form(MODEL_FILE, key, Model.model_fields[name], table, "quoted", {"class": options})
    grade = grade_of(table, "quoted")
    for name in quantities(Model):
        yield field_form(MODEL_FILE, name, Model.model_fields[name], table, grade, {})


def _doc(noun: type[BaseModel]) -> str:
    return (noun.__doc__ or "").strip().split("\n\n")[0].replace("``", "").replace("\n    ", " ")
