"""The tables of a model folder as forms: keys with title, help, unit, range and grade from the metadata."""

import json
import re
import typing
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from glidewright.base.fields import Quantity, nested_nouns, quantities, quantity_of
from glidewright.base.figure import GRADES, Grade
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
from glidewright.store.texts import MODEL_FILE

FieldKind = Literal["number", "count", "text", "list", "switch", "choice"]
_HEAD = {
    "name": "name",
    "note": "note",
    "class": "class_id",
    "currency": "currency",
    "skill": "skill",
    "invented": "invented",
}
_UNFIT_FOR_ID = re.compile(r"[^\w.-]")


@dataclass(frozen=True)
class FieldForm:
    """One key: what it is, and what stands there now; ``was`` is the raw value as JSON, ``null`` for none."""

    id: str
    key: str
    title: str
    help: str
    kind: FieldKind
    unit: str = ""
    range: str = ""
    was: str = "null"
    text: str = ""
    grade: str = ""
    base_grade: str = ""
    low: str = ""
    high: str = ""
    because: str = ""
    choices: tuple[tuple[str, str], ...] = ()
    is_required: bool = False


@dataclass(frozen=True)
class TableForm:
    """One table: its keys in the file, and its fields; summary: what a closed one shows."""

    id: str
    title: str
    file: str
    keys: tuple[str | int, ...]
    fields: tuple[FieldForm, ...]
    summary: str = ""
    can_go: bool = False


@dataclass(frozen=True)
class Group:
    """Tables of one kind under a heading; new: what one more must have, empty where none can be added."""

    title: str
    help: str
    tables: tuple[TableForm, ...]
    file: str = MODEL_FILE
    name: str = ""
    new: tuple[FieldForm, ...] = ()
    is_open: bool = False


def model_groups(table: Mapping[str, Any], model: Model | None, classes: Sequence[str]) -> list[Group]:
    """All tables of model.toml; model: for names to choose among, None while the folder cannot be read."""
    grade = _grade(table, "quoted")
    head = TableForm("head", "Model", MODEL_FILE, (), tuple(_head(table, classes)))
    single = (
        ("Airframe", Airframe, True),
        ("Field", Field, False),
        ("Launch", LaunchPlan, False),
    )
    groups = [Group("Model", "Name and class.", (head,), is_open=True)]
    groups += [
        Group(title, _doc(noun), (_single(noun.table, title, noun, table, grade),), is_open=is_open)
        for title, noun, is_open in single
    ]
    parts = () if model is None else tuple((part.id, f"{part.name} ({part.kind})") for part in model.drawer)
    names = () if model is None else (*(item.name for item in model.items), *Part.groups, "all")
    groups.append(
        _many("Fitted parts", Fitted.table, Fitted, table, grade, choices={"part": parts}, need=("x_mm",))
    )
    groups.append(_many("Structure", PlainItem.kind, PlainItem, table, grade, need=("mass_g", "x_mm")))
    groups.append(
        _many(
            "Weighings",
            Weighing.table,
            Weighing,
            table,
            "measured",
            choices={"of": tuple((n, n) for n in names)},
            need=("mass_g",),
        )
    )
    groups.append(
        _many(
            "Bench readings",
            BenchReading.table,
            BenchReading,
            table,
            "measured",
            need=("voltage_V", "current_A"),
        )
    )
    groups.append(_many("Controls", Control.table, Control, table, grade, need=("servo",)))
    for title, noun in (("Steering", Steering), ("Build checks", Build)):
        groups.append(Group(title, _doc(noun), (_single(noun.table, title, noun, table, grade),)))
    if Outcome.table in table:
        groups.append(_many("Outcomes of the test plan", Outcome.table, Outcome, table, "measured"))
    shape = [
        _single(noun.table, noun.table.capitalize(), noun, table, grade)
        for noun in (Wing, Tail, Body, Spoiler)
        if noun.table in table
    ]
    if shape:
        groups.append(Group("Shape", "Wing, tail, body and spoiler as they are drawn.", tuple(shape)))
    for title, shaped in (("Wing panels", Panel), ("Fins", Fin), ("Bays", Bay)):
        if shaped.table in table:
            groups.append(_many(title, shaped.table, shaped, table, grade))
    return groups


def drawer_groups(files: Mapping[str, Mapping[str, Any]]) -> list[Group]:
    """All parts of the drawer, by kind; a new one goes into the file that holds its kind already."""
    groups = []
    names = list(files)
    for kind, noun in KINDS.items():
        tables: list[TableForm] = []
        home = next((name for name in names if kind in files[name]), names[0] if names else "")
        for name, table in files.items():
            grade = _grade(table, "quoted")
            rows = table.get(kind, [])
            tables += [
                _row(kind, noun, raw, number, name, grade)
                for number, raw in enumerate(rows)
                if isinstance(raw, Mapping)
            ]
        new = tuple(_new_fields(kind, noun, need=("title", "mass_g"))) if home else ()
        groups.append(Group(noun.kind_title, _doc(noun), tuple(tables), home, kind, new))
    return [group for group in groups if group.new or group.tables]


def _many(
    title: str,
    name: str,
    noun: type[BaseModel],
    table: Mapping[str, Any],
    grade: Grade,
    choices: Mapping[str, tuple[tuple[str, str], ...]] | None = None,
    need: Sequence[str] = (),
) -> Group:
    rows = table.get(name, [])
    forms = tuple(
        _row(name, noun, raw, number, MODEL_FILE, _grade(raw, grade), choices)
        for number, raw in enumerate(rows if isinstance(rows, list) else [])
    )
    new = tuple(_new_fields(name, noun, need, choices)) if need else ()
    return Group(title, _doc(noun), forms, MODEL_FILE, name, new)


def _single(
    name: str, title: str, noun: type[BaseModel], table: Mapping[str, Any], grade: Grade
) -> TableForm:
    raw = table.get(name, {})
    raw = raw if isinstance(raw, Mapping) else {}
    fields = _fields(f"{MODEL_FILE}|{name}", noun, raw, _grade(raw, grade))
    return TableForm(name, title, MODEL_FILE, (name,), tuple(fields))


def _row(
    name: str,
    noun: type[BaseModel],
    raw: Mapping[str, Any],
    number: int,
    file: str,
    grade: Grade,
    choices: Mapping[str, tuple[tuple[str, str], ...]] | None = None,
) -> TableForm:
    own = raw.get("name") or raw.get("id") or raw.get("part")
    step: str | int = own if isinstance(own, str) and own else number
    label = raw.get("title") or own or ", ".join(raw.get("of", [])) or f"{name} {number + 1}"
    fields = tuple(_fields(f"{file}|{name}|{step}", noun, raw, grade, choices))
    return TableForm(
        f"{name}-{number}", str(label), file, (name, step), fields, _summary(raw, label), can_go=True
    )


def _summary(raw: Mapping[str, Any], label: Any) -> str:
    """Mass and place, where they are stated."""
    words = []
    own = raw.get("name") or raw.get("id")
    if own and own != label:
        words.append(str(own))
    if raw.get("part") and raw["part"] != label:
        words.append(str(raw["part"]))
    for key, unit in (("mass_g", "g"), ("x_mm", "mm")):
        value = raw.get(key)
        value = value.get("value") if isinstance(value, Mapping) else value
        if value is not None:
            words.append(f"{'x = ' if key == 'x_mm' else ''}{value:g} {unit}")
    return ", ".join(words)


def _fields(
    place: str,
    noun: type[BaseModel],
    raw: Mapping[str, Any],
    grade: Grade,
    choices: Mapping[str, tuple[tuple[str, str], ...]] | None = None,
) -> Iterator[FieldForm]:
    for name, info in noun.model_fields.items():
        if name in nested_nouns(noun) or _is_own_table(info):
            continue
        yield _field(place, name, info, raw, grade, choices or {})


def _new_fields(
    table: str,
    noun: type[BaseModel],
    need: Sequence[str],
    choices: Mapping[str, tuple[tuple[str, str], ...]] | None = None,
) -> Iterator[FieldForm]:
    """Fields that a new table must have, and those that it had better have."""
    for form in _fields(f"new|{table}", noun, {}, "quoted", choices):
        if form.is_required or form.key in need or form.key == "group":
            yield form


def _field(
    place: str,
    name: str,
    info: FieldInfo,
    raw: Mapping[str, Any],
    grade: Grade,
    choices: Mapping[str, tuple[tuple[str, str], ...]],
) -> FieldForm:
    meta = quantity_of(info)
    key = meta.key if meta else name
    value = raw.get(key)
    details: Mapping[str, Any] = value if isinstance(value, Mapping) else {}
    shown = details.get("value") if details else value
    kind = "number" if meta else _kind(info)
    options = choices.get(key, ()) or _literal(info)
    if options and kind == "text":
        kind = "choice"
    return FieldForm(
        id=_UNFIT_FOR_ID.sub("_", f"{place}|{key}"),
        key=key,
        title=str(info.title or key),
        help=str(info.description or ""),
        kind=kind,
        unit=meta.shown.symbol if meta and meta.shown.symbol != "money" else "",
        range=_range(meta) if meta else "",
        was=json.dumps(value, ensure_ascii=False),
        text=_text(shown, info, kind),
        grade=str(details.get("grade", grade)) if meta else "",
        base_grade=grade if meta else "",
        low=_text(details.get("low"), None, "number"),
        high=_text(details.get("high"), None, "number"),
        because=str(details.get("because", "")),
        choices=options,
        is_required=info.is_required(),
    )


def _head(table: Mapping[str, Any], classes: Sequence[str]) -> Iterator[FieldForm]:
    options = (("", "none"), *((name, name) for name in classes))
    for key, name in _HEAD.items():
        yield _field(MODEL_FILE, key, Model.model_fields[name], table, "quoted", {"class": options})
    grade = _grade(table, "quoted")
    for name in quantities(Model):
        yield _field(MODEL_FILE, name, Model.model_fields[name], table, grade, {})


def _kind(info: FieldInfo) -> FieldKind:
    kinds = [kind for kind in typing.get_args(info.annotation) if kind is not type(None)]
    first = info.annotation if not kinds or typing.get_origin(info.annotation) is tuple else kinds[0]
    if typing.get_origin(info.annotation) is tuple:
        return "list"
    if typing.get_origin(info.annotation) is Literal:
        return "choice"
    if first is bool:
        return "switch"
    return "count" if first in (int, float) else "text"


def _literal(info: FieldInfo) -> tuple[tuple[str, str], ...]:
    if typing.get_origin(info.annotation) is not Literal:
        return ()
    return tuple((word, word) for word in typing.get_args(info.annotation))


def _text(value: Any, info: FieldInfo | None, kind: str) -> str:
    if value is None and info is not None and kind in ("switch", "choice"):
        value = None if info.is_required() else info.get_default()
    if value is None:
        return ""
    if kind == "switch":
        return "on" if value else ""
    if isinstance(value, list | tuple):
        return ", ".join(map(str, value))
    if isinstance(value, float):
        return f"{value:.12g}"
    return str(value)


def _range(meta: Quantity) -> str:
    words = []
    if meta.above is not None:
        words.append(f"above {meta.above:g}")
    if meta.at_least is not None:
        words.append(f"at least {meta.at_least:g}")
    if meta.at_most is not None:
        words.append(f"at most {meta.at_most:g}")
    if meta.usual is not None:
        words.append(f"usual {meta.usual[0]:g} to {meta.usual[1]:g}")
    return ", ".join(words)


def _is_own_table(info: FieldInfo) -> bool:
    kinds = typing.get_args(info.annotation) or (info.annotation,)
    return any(isinstance(kind, type) and issubclass(kind, BaseModel) for kind in kinds) and not quantity_of(
        info
    )


def _grade(table: Any, otherwise: Grade) -> Grade:
    stated = table.get("grade", otherwise) if isinstance(table, Mapping) else otherwise
    return stated if stated in GRADES else otherwise


def _doc(noun: type[BaseModel]) -> str:
    return (noun.__doc__ or "").strip().split("\n\n")[0].replace("``", "").replace("\n    ", " ")
