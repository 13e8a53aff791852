"""Class files: ``<model folder>/classes/<id>.toml`` first, then the packaged examples.

Bounds carry the unit in their key (``at_most_g_per_dm2``) and must fit the measure that they limit, see
``limit_tables``.
"""

import math
import re
from collections.abc import Mapping
from importlib.resources.abc import Traversable
from pathlib import Path
from typing import Any, Literal, TypeVar

from pydantic import Field

from glidewright.base.door import read_noun
from glidewright.base.errors import InputError, MissingError, Problem, nearest
from glidewright.base.fields import Noun, plain
from glidewright.data import packaged
from glidewright.domain.class_limits import CHECK_NOTE, ClassLimits, HeightRule
from glidewright.domain.scoring import DriveHandicap, HeightKnee, LandingStep, Scoring

from .limit_tables import read_limit
from .tables import Problems, Table, check_schema, parsed, table_named, tables_named
from .texts import read_text

SCHEMA = 1
N = TypeVar("N", bound=Noun)
_NOT_HEAD = ("schema", "launch", "height", "limit", "score")
_ID = re.compile(r"[a-z0-9][a-z0-9_-]*")


class _Head(Noun):
    """What stands above the tables of a class file."""

    title: str = Field(title="Title", description="name of the class", min_length=1)
    edition: str = plain("Edition", help="year or issue of the text", default="")
    source: str = plain("Source", help="where the text was read", default="")
    invented: bool = plain("Invented", help="true for a class that no body has", default=False)
    note: str = plain("Note", help="caution shown with every finding", default=CHECK_NOTE)
    open_points: tuple[str, ...] = plain("Open points", help="what no source states", default=())


class _Launch(Noun):
    """The table [launch]."""

    motor_run_s: float | None = Field(title="Motor run", gt=0, strict=True, allow_inf_nan=False, default=None)
    motor_run_from: Literal["motor_start", "release"] = "motor_start"
    cut_height_m: float | None = Field(
        title="Cut height", gt=0, strict=True, allow_inf_nan=False, default=None
    )


def list_classes(folder: Path | None) -> tuple[str, ...]:
    """Ids of all classes: those of the model folder and the packaged ones, sorted, each once."""
    ids = {_stem(entry) for place in _places(folder) for entry in _toml_files(place)}
    return tuple(sorted(ids))


def read_class(folder: Path | None, class_id: str, measures: Mapping[str, str]) -> ClassLimits:
    """The class with this id; a file of the model folder goes before a packaged one of the same name.

    folder: the model folder or None; measures: name -> SI symbol or ``words``. Raises MissingError when
    there is no such class, InputError with every problem of the file.
    """
    entry, where = _find(folder, class_id)
    # a packaged file may lie in an archive, where there is no path to it
    text = read_text(entry, where) if isinstance(entry, Path) else entry.read_text(encoding="utf-8")
    return _class_of(parsed(text, where), class_id, where, measures)


def _class_of(table: Table, class_id: str, where: str, measures: Mapping[str, str]) -> ClassLimits:
    """A class from the parsed tables of its file; ``where`` names the file in messages."""
    problems = Problems()
    check_schema(table, SCHEMA, where, problems)
    head_table = {key: value for key, value in table.items() if key not in _NOT_HEAD}
    head = problems.attempt(read_noun, _Head, head_table, where)
    launch = _single(_Launch, table, "launch", where, problems)
    height = _single(HeightRule, table, "height", where, problems)
    limits = []
    for number, raw in enumerate(tables_named(table, "limit", where, problems), start=1):
        name = str(raw.get("measure", "")) or str(number)
        limit = read_limit(raw, f"{where}: limit {name}", measures, problems)
        if limit is not None:
            limits.append(limit)
    score = _score(table, where, problems)
    if problems or head is None or launch is None or height is None:
        raise InputError(problems)
    found = ClassLimits(
        id=class_id,
        **head.model_dump(),
        **launch.model_dump(),
        height=height,
        limits=tuple(limits),
        score=score,
    )
    contradictions = _contradictions(found, where)
    if contradictions:
        raise InputError(contradictions)
    return found


def _places(folder: Path | None) -> tuple[Traversable, ...]:
    own = (folder / "classes",) if folder is not None else ()
    return (*own, packaged("classes"))


def _toml_files(place: Traversable) -> list[Traversable]:
    if not place.is_dir():
        return []
    return [entry for entry in place.iterdir() if entry.name.endswith(".toml") and entry.is_file()]


def _stem(entry: Traversable) -> str:
    return entry.name.removesuffix(".toml")


def _find(folder: Path | None, class_id: str) -> tuple[Traversable, str]:
    """The file of a class and how to name it in messages."""
    if _ID.fullmatch(class_id):
        for place in _places(folder):
            entry = place / f"{class_id}.toml"
            if entry.is_file():
                own = isinstance(entry, Path) and folder is not None and entry.is_relative_to(folder)
                return entry, f"{'' if own else 'packaged '}classes/{class_id}.toml"
    raise MissingError(
        Problem(
            f"class {class_id}",
            "must be the name of a file in classes/ or of a packaged class, without .toml; there is none; "
            f"correct the name or add the file; {nearest(class_id, list_classes(folder))}",
        )
    )


def _single(noun: type[N], table: Table, name: str, where: str, problems: Problems) -> N | None:
    raw = table_named(table, name, where, problems)
    return None if raw is None else problems.attempt(read_noun, noun, raw, f"{where}: [{name}]")


def _score(table: Table, where: str, problems: Problems) -> Scoring | None:
    """The table [score] with its lists, or None when the file has none or it cannot be read."""
    if "score" not in table:
        return None
    raw = table_named(table, "score", where, problems)
    if raw is None:
        return None
    parts: dict[str, type[Noun]] = {"landing": LandingStep, "height": HeightKnee, "drives": DriveHandicap}
    also: dict[str, Any] = {}
    for key, noun in parts.items():
        place = f"{where}: score.{key}"
        rows = tables_named(raw, key, where, problems, f"score.{key}")
        nouns = [
            problems.attempt(read_noun, noun, row, f"{place} {n}") for n, row in enumerate(rows, start=1)
        ]
        also[key] = tuple(one for one in nouns if one is not None)
    for key, field in (("landing", "within_m"), ("height", "above_m")):
        steps = [getattr(one, field) for one in also[key]]
        if steps != sorted(set(steps)):
            problems.say(f"{where}: score.{key}", f"must rise in {field}; sort the rows")
    rest = {key: value for key, value in raw.items() if key not in parts}
    return problems.attempt(read_noun, Scoring, rest, f"{where}: [score]", also=also)


def _contradictions(found: ClassLimits, where: str) -> list[Problem]:
    """Where [launch] and a limit on the same thing state different numbers."""
    problems = []
    for limit in found.limits:
        if limit.measure == "motor_run" and found.motor_run_s is not None:
            same = limit.at_most is None or math.isclose(limit.at_most, found.motor_run_s)
            if not same:
                problems.append(
                    Problem(
                        f"{where}: limit motor_run",
                        f"must agree with motor_run_s in [launch]; {limit.at_most:g} s and "
                        f"{found.motor_run_s:g} s came; make them the same",
                    )
                )
    return problems
