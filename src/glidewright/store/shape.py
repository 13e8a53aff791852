"""The tables of model.toml that give the airframe its shape, and the measures that follow from it."""

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from pydantic import BaseModel

from glidewright.base.figure import Given, Grade, worst_grade
from glidewright.domain.airframe import WORKED_OUT
from glidewright.domain.geometry import (
    MANY_TABLES,
    ONE_TABLE,
    Bay,
    Body,
    Fin,
    Geometry,
    Panel,
    ShapeNoun,
    Spoiler,
    Tail,
    Wing,
)
from glidewright.domain.geometry_checks import geometry_problems
from glidewright.models.aero.planform import airframe_measures

from .drawer import label_of
from .own_sections import read_own_sections
from .tables import Problems, Table, read_graded, table_named, tables_named
from .texts import MODEL_FILE

SHAPE_TABLES: tuple[str, ...] = tuple(noun.table for noun in (*ONE_TABLE, *MANY_TABLES))
_NEEDED = ("span_m", "wing_area_m2")
_FIELD_OF_TABLE: Mapping[str, str] = {
    Wing.table: "wing",
    Tail.table: "tail",
    Body.table: "body",
    Spoiler.table: "spoiler",
    Panel.table: "panels",
    Fin.table: "fins",
    Bay.table: "bays",
}


def read_geometry(head: Table, grade: Grade, texts: Mapping[str, str], problems: Problems) -> Geometry | None:
    """The shape that model.toml states, or nothing when it states none or it cannot be read or be.

    grade: of bare numbers; texts: of the folder, for own sections that it names. Problems are noted, those of
    single tables first.
    """
    if not any(name in head for name in SHAPE_TABLES):
        return None
    before = len(problems)
    made: dict[str, Any] = {}
    for noun in ONE_TABLE:
        found = _one(noun, head, grade, problems)
        if found is not None:
            made[_FIELD_OF_TABLE[noun.table]] = found
    for noun in MANY_TABLES:
        made[_FIELD_OF_TABLE[noun.table]] = tuple(_many(noun, head, grade, problems))
    if len(problems) > before:
        return None
    if not made["panels"]:
        named = next(f"[{name}]" for name in SHAPE_TABLES if name in head)
        problems.say(
            f"{MODEL_FILE}: {named}",
            "must stand together with the panels of the wing; there is no [[panel]]; add them or remove it",
        )
        return None
    geometry = Geometry(**made)
    for problem in geometry_problems(geometry):
        problems.say(f"{MODEL_FILE} {problem.where}", problem.message)
    if len(problems) > before:
        return None
    sections = read_own_sections(geometry, texts, problems)
    return geometry.model_copy(update={"sections": sections}) if len(problems) == before else None


def measured_from(geometry: Geometry | None, head: Table) -> dict[str, Any]:
    """The shape and the measures that follow from it, by field of the airframe.

    Panels that cannot be read have been complained of: a stand-in keeps their measures from being missed too.
    """
    if geometry is None:
        missed = Given(value=1.0, grade="guessed", because="panels that cannot be read")
        return {"geometry": None, **dict.fromkeys(_NEEDED if Panel.table in head else (), missed)}
    grades = {
        "tail_area_m2": _grade(() if geometry.tail is None else (geometry.tail,)),
        "chord_front_x_m": _grade((geometry.wing, *geometry.panels)),
    }
    of_panels = _grade(geometry.panels)
    measures = {
        name: Given(value=value, grade=grades.get(name, of_panels), because=WORKED_OUT)
        for name, value in airframe_measures(geometry).items()
    }
    return {"geometry": geometry, **measures}


def _grade(nouns: Iterable[BaseModel]) -> Grade:
    """The worst grade of the lengths of some nouns that areas and chords follow from."""
    return worst_grade(
        [
            given.grade
            for noun in nouns
            for name, given in noun
            if isinstance(given, Given)
            and name.endswith("_m")
            and name not in ("y_m", "z_m")
            and given.low is None
        ]
    )


def _one(noun: type[ShapeNoun], head: Table, grade: Grade, problems: Problems) -> ShapeNoun | None:
    name = noun.table
    if name not in head:
        return None
    raw = table_named(head, name, MODEL_FILE, problems)
    return None if raw is None else read_graded(noun, raw, f"{MODEL_FILE} [{name}]", grade, problems)


def _many(noun: type[ShapeNoun], head: Table, grade: Grade, problems: Problems) -> Iterator[ShapeNoun]:
    name = noun.table
    for number, raw in enumerate(tables_named(head, name, MODEL_FILE, problems), 1):
        where = f"{MODEL_FILE} [[{name}]] {label_of(raw, number)}"
        found = read_graded(noun, raw, where, grade, problems)
        if found is not None:
            yield found
