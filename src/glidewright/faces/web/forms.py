"""A table of a model folder as a form: its keys with title, help, unit, range and grade from the metadata."""

import json
import re
import typing
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from glidewright.base.fields import Quantity, nested_nouns, quantity_of
from glidewright.base.figure import GRADES, Grade
from glidewright.store.texts import MODEL_FILE

FieldKind = Literal["number", "count", "text", "list", "switch", "choice"]
Choices = Mapping[str, tuple[tuple[str, str], ...]]
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


def single_form(
    name: str, title: str, noun: type[BaseModel], table: Mapping[str, Any], grade: Grade
) -> TableForm:
    """The form of a table that stands once."""
    raw = table.get(name, {})
    raw = raw if isinstance(raw, Mapping) else {}
    fields = _fields(f"{MODEL_FILE}|{name}", noun, raw, grade_of(raw, grade))
    return TableForm(name, title, MODEL_FILE, (name,), tuple(fields))


def row_form(
    name: str,
    noun: type[BaseModel],
    raw: Mapping[str, Any],
    number: int,
    file: str,
    grade: Grade,
    choices: Choices | None = None,
) -> TableForm:
    """The form of one of several tables, by its own name or its number."""
    own = raw.get("name") or raw.get("id") or raw.get("part")
    step: str | int = own if isinstance(own, str) and own else number
    label = raw.get("title") or own or ", ".join(raw.get("of", [])) or f"{name} {number + 1}"
    fields = tuple(_fields(f"{file}|{name}|{step}", noun, raw, grade, choices))
    return TableForm(
        f"{name}-{number}", str(label), file, (name, step), fields, _summary(raw, label), can_go=True
    )


def new_fields(
    table: str,
    noun: type[BaseModel],
    need: Sequence[str],
    choices: Choices | None = None,
) -> Iterator[FieldForm]:
    """Fields that a new table must have, and those that it had better have."""
    for form in _fields(f"new|{table}", noun, {}, "quoted", choices):
        if form.is_required or form.key in need or form.key == "group":
            yield form


def field_form(
    place: str,
    name: str,
    info: FieldInfo,
    raw: Mapping[str, Any],
    grade: Grade,
    choices: Choices,
) -> FieldForm:
    """The form of one key as it stands in the raw table."""
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


def grade_of(table: Any, otherwise: Grade) -> Grade:
    """The grade that a table states for its numbers, or another."""
    stated = table.get("grade", otherwise) if isinstance(table, Mapping) else otherwise
    return stated if stated in GRADES else otherwise


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
    choices: Choices | None = None,
) -> Iterator[FieldForm]:
    for name, info in noun.model_fields.items():
        if name in nested_nouns(noun) or _is_own_table(info):
            continue
        yield field_form(place, name, info, raw, grade, choices or {})


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
