"""A model folder becomes a Model; every problem of every file is named in one InputError."""

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any, TypeVar

from glidewright.base.door import read_noun
from glidewright.base.errors import InputError, nearest
from glidewright.base.figure import Given, Grade
from glidewright.domain.airframe import Airframe
from glidewright.domain.bench import BenchReading
from glidewright.domain.field import Field
from glidewright.domain.launch_plan import LaunchPlan
from glidewright.domain.model import Fitted, Item, Model
from glidewright.domain.outcome import Outcome, bench_reading_of, weighing_of
from glidewright.domain.parts import Controller, Motor, Pack, Part, PlainItem, Propeller
from glidewright.domain.weighing import Weighing

from .control_tables import CONTROL_TABLES, read_build, read_controls, read_steering
from .corrections import with_learned
from .drawer import Drawer, label_of, read_drawer, read_part
from .shape import SHAPE_TABLES, measured_from, read_geometry
from .tables import (
    Problems,
    Table,
    grade_of,
    parsed_files,
    read_graded,
    table_named,
    tables_named,
    unknown_tables,
)
from .texts import MODEL_FILE, read_texts

T = TypeVar("T")

ALL = "all"
NO_PROPELLER = "none"
_SINGLE: dict[str, type[Airframe | Field | LaunchPlan]] = {
    noun.table: noun for noun in (Airframe, Field, LaunchPlan)
}
_MANY = (PlainItem.kind, Fitted.table, Weighing.table, BenchReading.table, Outcome.table)
_HEAD = {
    "name": "name",
    "note": "note",
    "invented": "invented",
    "class": "class_id",
    "currency": "currency",
    "build_hours": "build_hours",
    "skill": "skill",
}
_AT_MOST_ONE: tuple[type[Part], ...] = (Motor, Controller, Pack, Propeller)
_BENCH_PARTS: dict[str, type[Part]] = {noun.kind: noun for noun in _AT_MOST_ONE}


def read_model(folder: Path) -> Model:
    """The model of a folder, with its drawer.

    Raises MissingError for a folder or model.toml that does not exist, InputError with every other
    problem: file, table and key, what must be, what came and what to do.
    """
    return with_learned(model_of_texts(read_texts(folder)), folder)


def model_of_texts(texts: Mapping[str, str], head: Table | None = None) -> Model:
    """The model that the texts of a folder state, named as ``read_texts`` names them; raises InputError.

    head: tables that stand in for those of model.toml, in today's schema.
    """
    problems = Problems()
    files = parsed_files(texts, problems)
    if head is not None:
        files[MODEL_FILE] = head
    drawer = read_drawer(files, not problems, problems)
    model = _model(files[MODEL_FILE], drawer, texts, problems) if MODEL_FILE in files else None
    if problems or model is None:
        raise InputError(problems)
    return model


def _model(head: Table, drawer: Drawer, texts: Mapping[str, str], problems: Problems) -> Model | None:
    known = ["schema", "grade", *_HEAD, *_SINGLE, *SHAPE_TABLES, *_MANY, *CONTROL_TABLES]
    unknown_tables(head, known, MODEL_FILE, problems)
    grade = grade_of(head, MODEL_FILE, "quoted", problems)
    shape = measured_from(read_geometry(head, grade, texts, problems), head)
    made: dict[str, Any] = {
        name: _single(name, noun, head, grade, problems, shape if noun is Airframe else {})
        for name, noun in _SINGLE.items()
    }
    items = [*_structure(head, grade, drawer, problems), *_fitted(head, grade, drawer, problems)]
    _check_names(items, problems)
    made["items"] = tuple(items)
    outcomes = made["outcomes"] = tuple(_outcomes(head, problems))
    made["weighings"] = (*_weighings(head, items, problems), *_taught(weighing_of, outcomes))
    made["bench"] = (*_bench(head, drawer, problems), *_taught(bench_reading_of, outcomes))
    made["controls"] = read_controls(head, items, grade, problems)
    made["steering"] = read_steering(head, grade, problems)
    made["build"] = read_build(head, problems)
    made["drawer"] = tuple(drawer.parts.values())
    texts = {field: head[key] for key, field in _HEAD.items() if key in head}
    return problems.attempt(read_noun, Model, texts, MODEL_FILE, grade, made)


def _single(
    name: str,
    noun: type[Airframe | Field | LaunchPlan],
    head: Table,
    grade: Grade,
    problems: Problems,
    also: Mapping[str, Any],
) -> Airframe | Field | LaunchPlan:
    """The table ``[name]``; one without any value stands in when it cannot be read, for the rest's sake.

    also: values by field that hold where the table does not state them.
    """
    raw = table_named(head, name, MODEL_FILE, problems)
    if raw is None:
        return noun.model_construct()
    found = read_graded(noun, raw, f"{MODEL_FILE} [{name}]", grade, problems, also)
    return noun.model_construct() if found is None else found


def _structure(head: Table, grade: Grade, drawer: Drawer, problems: Problems) -> Iterator[Item]:
    """The plain items of model.toml: they are always fitted."""
    for number, raw in enumerate(tables_named(head, PlainItem.kind, MODEL_FILE, problems), 1):
        where = f"{MODEL_FILE} [[{PlainItem.kind}]] {label_of(raw, number)}"
        part = read_part(PlainItem, raw, where, grade, problems)
        if part is None:
            continue
        if part.id in drawer.parts or part.id in drawer.unreadable:
            problems.say(
                f"{where}: id", "must not be the id of a part in the drawer; it is one; rename the item"
            )
        yield Item(name=part.id, part=part)


def _fitted(head: Table, grade: Grade, drawer: Drawer, problems: Problems) -> Iterator[Item]:
    """Parts of the drawer at their stations in this model."""
    kinds: Counter[type[Part]] = Counter()
    for number, raw in enumerate(tables_named(head, Fitted.table, MODEL_FILE, problems), 1):
        where = f"{MODEL_FILE} [[{Fitted.table}]] {_fitted_label(raw, number)}"
        fitted = read_graded(Fitted, raw, where, grade, problems)
        if fitted is None:
            continue
        part = _from_drawer(fitted.part, f"{where}: part", drawer, Part, problems)
        if part is None:
            continue
        kinds[type(part)] += 1
        if type(part) in _AT_MOST_ONE and kinds[type(part)] == 2:
            problems.say(
                where,
                f"must be the only {part.kind} that is fitted; a second one came; "
                "keep one in [[fitted]], the others stay in the drawer",
            )
        stations = {axis: getattr(fitted, axis) for axis in ("x_m", "y_m", "z_m")}
        moved: dict[str, Given] = {axis: given for axis, given in stations.items() if given is not None}
        yield Item(name=fitted.name or part.id, part=part.model_copy(update=moved))


def _fitted_label(raw: Table, number: int) -> str:
    return label_of({"id": raw.get("name") or raw.get("part")}, number)


def _from_drawer(
    part_id: str, where: str, drawer: Drawer, kind: type[Part], problems: Problems
) -> Part | None:
    """The part with this id; nothing, and no word, when its own table has been complained of already."""
    part = drawer.parts.get(part_id)
    if isinstance(part, kind) or drawer.may_have(part_id):
        return part
    came = f"{part_id!r} is a {part.kind}" if part is not None else f"{part_id!r} came"
    what = f"the id of a {kind.kind or 'part'} in parts/*.toml"
    problems.say(where, f"must be {what}; {came}; {_nearest(part_id, drawer, kind)}")
    return None


def _nearest(part_id: str, drawer: Drawer, kind: type[Part]) -> str:
    ids = drawer.ids(kind)
    return nearest(part_id, ids) if ids else "the drawer has none, add it to a file in parts/"


def _check_names(items: Sequence[Item], problems: Problems) -> None:
    """Names of items are unique and no names of groups, so that a weighing says what it means."""
    groups = {*Part.groups, ALL}
    for name, count in Counter(item.name for item in items).items():
        where = f"{MODEL_FILE}: {name!r}"
        if count > 1:
            problems.say(
                where, f"must name one item only; {count} have that name; give each a name of its own"
            )
        if name in groups:
            problems.say(where, "must not be the name of a group or all; it is one; rename the item")


def _weighings(head: Table, items: Sequence[Item], problems: Problems) -> Iterator[Weighing]:
    known = [*(item.name for item in items), *Part.groups, ALL]
    unread = _names_not_read(head, known)
    for number, raw in enumerate(tables_named(head, Weighing.table, MODEL_FILE, problems), 1):
        where = f"{MODEL_FILE} [[{Weighing.table}]] {number}"
        table = {**raw, "of": [raw["of"]]} if isinstance(raw.get("of"), str) else raw
        weighing = read_graded(Weighing, table, where, "measured", problems)
        if weighing is None:
            continue
        if not weighing.of:
            problems.say(f"{where}: of", "must name what was weighed; an empty list came; write of = ['all']")
        for name in weighing.of:
            if name not in known and name not in unread:
                problems.say(
                    f"{where}: of",
                    f"must name items or groups of this model, or all; {name!r} came; {nearest(name, known)}",
                )
        yield weighing


def _names_not_read(head: Table, known: Sequence[str]) -> set[str]:
    """Names that stand in item tables which could not be read; their own problems say enough."""
    tables = [
        raw
        for name in (PlainItem.kind, Fitted.table)
        for raw in tables_named(head, name, MODEL_FILE, Problems())
    ]
    stated = {str(raw.get("name") or raw.get("part") or raw.get("id")) for raw in tables}
    return stated - set(known)


def _taught(teaches: Callable[[Outcome], T | None], outcomes: Sequence[Outcome]) -> Iterator[T]:
    """What the outcomes of the test plan say as readings of another kind."""
    return (reading for reading in map(teaches, outcomes) if reading is not None)


def _outcomes(head: Table, problems: Problems) -> Iterator[Outcome]:
    for number, raw in enumerate(tables_named(head, Outcome.table, MODEL_FILE, problems), 1):
        where = f"{MODEL_FILE} [[{Outcome.table}]] {number}"
        outcome = read_graded(Outcome, raw, where, "measured", problems)
        if outcome is not None:
            yield outcome


def _bench(head: Table, drawer: Drawer, problems: Problems) -> Iterator[BenchReading]:
    for number, raw in enumerate(tables_named(head, BenchReading.table, MODEL_FILE, problems), 1):
        where = f"{MODEL_FILE} [[{BenchReading.table}]] {number}"
        reading = read_graded(BenchReading, raw, where, "measured", problems)
        if reading is None:
            continue
        for key, kind in _BENCH_PARTS.items():
            part_id = getattr(reading, key)
            if part_id and not (kind is Propeller and part_id == NO_PROPELLER):
                _from_drawer(part_id, f"{where}: {key}", drawer, kind, problems)
        yield reading
