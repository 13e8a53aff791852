"""Class files: ``<model folder>/classes/<id>.toml`` first, then the packaged examples.

Bounds carry the unit in their key (``at_most_g_per_dm2``) and must fit the measure that they limit. The
known measures come as an argument, name -> SI symbol, ``words`` for those that are no number.
"""

import math
import re
from collections.abc import Mapping, Sequence
from importlib.resources.abc import Traversable
from pathlib import Path
from typing import Any, Literal, TypeVar

from pydantic import Field

from glidewright.base.door import read_noun
from glidewright.base.errors import InputError, MissingError, Problem, nearest
from glidewright.base.fields import Noun, plain
from glidewright.base.units import BY_SUFFIX, Unit, unit
from glidewright.data import packaged
from glidewright.domain.class_limits import CHECK_NOTE, ClassLimits, HeightRule, Limit
from glidewright.domain.scoring import DriveHandicap, HeightKnee, LandingStep, Scoring

from .tables import parsed
from .texts import read_text

SCHEMA = 1
WORDS = "words"
N = TypeVar("N", bound=Noun)
_TABLES = ("launch", "height", "limit", "score")
_BOUNDS = ("at_least", "at_most", "tolerance")
_ID = re.compile(r"[a-z0-9][a-z0-9_-]*")


class _Head(Noun):
    """What stands above the tables of a class file."""

    schema_version: Literal[1] = plain("Schema", help="of this file", default=SCHEMA)
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
    return class_from_table(parsed(text, where), class_id, where, measures)


def class_from_table(
    table: Mapping[str, Any], class_id: str, where: str, measures: Mapping[str, str]
) -> ClassLimits:
    """A class from the parsed tables of its file; ``where`` names the file in messages."""
    problems: list[Problem] = []
    head_table = {
        "schema_version" if key == "schema" else key: value
        for key, value in table.items()
        if key not in _TABLES
    }
    if "schema" not in table:
        problems.append(Problem(f"{where}: schema", f"must be given and is missing; add schema = {SCHEMA}"))
    head = _read(_Head, head_table, where, problems)
    launch = _read(_Launch, _table(table, "launch", where, problems), f"{where}: [launch]", problems)
    height = _read(HeightRule, _table(table, "height", where, problems), f"{where}: [height]", problems)
    limits = []
    for number, raw in enumerate(_tables(table, "limit", where, problems), start=1):
        name = str(raw.get("measure", "")) or str(number)
        limit = read_limit(raw, f"{where}: limit {name}", measures, problems)
        if limit is not None:
            limits.append(limit)
    score = _score(table, where, problems)
    if problems or head is None or launch is None or height is None:
        raise InputError(problems)
    found = ClassLimits(
        id=class_id,
        **head.model_dump(exclude={"schema_version"}),
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


def _read(noun: type[N], table: Mapping[str, Any], where: str, problems: list[Problem]) -> N | None:
    """A noun, or None with its problems added to the list."""
    try:
        return read_noun(noun, table, where)
    except InputError as refused:
        problems.extend(
            Problem(p.where.replace("schema_version", "schema"), p.message) for p in refused.problems
        )
        return None


def _table(table: Mapping[str, Any], key: str, where: str, problems: list[Problem]) -> Mapping[str, Any]:
    found = table.get(key, {})
    if isinstance(found, Mapping):
        return found
    problems.append(Problem(f"{where}: {key}", f"must be a table; {found!r} came; write [{key}]"))
    return {}


def _tables(
    table: Mapping[str, Any], key: str, where: str, problems: list[Problem], title: str = ""
) -> list[Mapping[str, Any]]:
    found = table.get(key, [])
    if isinstance(found, list) and all(isinstance(one, Mapping) for one in found):
        return found
    header = title or key
    problems.append(
        Problem(f"{where}: {header}", f"must be a list of tables; {found!r} came; write [[{header}]]")
    )
    return []


def read_limit(
    raw: Mapping[str, Any], where: str, measures: Mapping[str, str], problems: list[Problem]
) -> Limit | None:
    """One table [[limit]], or None with its problems added to the list; ``where`` names it in messages."""
    before = len(problems)
    name = raw.get("measure")
    if not isinstance(name, str) or name not in measures:
        came = f"{name!r} came" if name else "it is missing"
        problems.append(
            Problem(
                f"{where}: measure",
                f"must be a known measure; {came}; correct it; {nearest(str(name or ''), list(measures))}",
            )
        )
        return None
    bounds, shown = _bounds(raw, where, measures[name], problems)
    if not problems[before:]:
        problems.extend(_missing_bound(raw, bounds, where, measures[name]))
    rest = {key: value for key, value in raw.items() if _bound_of(key) is None}
    also = {**bounds, "unit": measures[name], "shown": shown.symbol if shown else ""}
    unset = {"at_least": None, "at_most": None, "tolerance": 0.0}
    try:
        limit = read_noun(Limit, rest, where, also={**unset, **also})
    except InputError as refused:
        problems.extend(refused.problems)
        return None
    return limit if len(problems) == before else None


def _bound_of(key: str) -> str | None:
    """Which of the bounds a key states, with or without a unit."""
    return next((stem for stem in _BOUNDS if key == stem or key.startswith(f"{stem}_")), None)


def _bounds(
    raw: Mapping[str, Any], where: str, si: str, problems: list[Problem]
) -> tuple[dict[str, float], Unit | None]:
    """Bounds and tolerance in SI by field name, and the unit in which the bounds were written."""
    values: dict[str, float] = {}
    shown: Unit | None = None
    for key, number in raw.items():
        stem = _bound_of(key)
        if stem is None:
            continue
        place = f"{where}: {key}"
        suffix = key.removeprefix(stem).removeprefix("_")
        found = BY_SUFFIX.get(suffix) if suffix else unit("")
        if si == WORDS or found is None or found.si != si:
            problems.append(Problem(place, _unit_sentence(stem, key, si)))
        elif isinstance(number, bool) or not isinstance(number, int | float):
            problems.append(Problem(place, f"must be a number; {number!r} came; write it without a unit"))
        elif not math.isfinite(number) or number < 0:
            problems.append(
                Problem(place, f"must be a finite number, zero or more; {number} came; correct it")
            )
        elif stem in values:
            problems.append(Problem(place, f"must be stated once; {stem} came twice; keep one of them"))
        else:
            values[stem] = found.to_si(float(number))
            shown = found if stem != "tolerance" else shown
    return values, shown


def _unit_sentence(stem: str, key: str, si: str) -> str:
    if si == WORDS:
        return f"must not stand here: this measure has words, not numbers; {key} came; write allowed = [...]"
    fits = [f"{stem}_{u.suffix}" if u.suffix else stem for u in BY_SUFFIX.values() if u.si == si]
    names = ", ".join([stem, *fits] if si == "1" else fits)
    return f"must be written as one of {names}; {key} came; rename it and convert the number"


def _missing_bound(
    raw: Mapping[str, Any], bounds: Mapping[str, float], where: str, si: str
) -> Sequence[Problem]:
    allowed = raw.get("allowed")
    if si == WORDS and not allowed:
        return [Problem(where, "must list the allowed words; there are none; add allowed = [...]")]
    if si != WORDS and allowed:
        return [Problem(f"{where}: allowed", "must not stand here: this measure is a number; remove it")]
    if si != WORDS and not {"at_least", "at_most"} & bounds.keys():
        return [Problem(where, "must have a bound; there is none; add at_least_... or at_most_...")]
    low, high = bounds.get("at_least", -math.inf), bounds.get("at_most", math.inf)
    if low > high:
        return [Problem(where, "must have at_least below at_most; they are the other way round; swap them")]
    return []


def _score(table: Mapping[str, Any], where: str, problems: list[Problem]) -> Scoring | None:
    """The table [score] with its lists, or None when the file has none."""
    if "score" not in table:
        return None
    raw = _table(table, "score", where, problems)
    parts: dict[str, type[Noun]] = {"landing": LandingStep, "height": HeightKnee, "drives": DriveHandicap}
    also: dict[str, Any] = {}
    for key, noun in parts.items():
        place = f"{where}: score.{key}"
        rows = _tables(raw, key, where, problems, f"score.{key}")
        nouns = [_read(noun, row, f"{place} {n}", problems) for n, row in enumerate(rows, start=1)]
        also[key] = tuple(one for one in nouns if one is not None)
    for key, field in (("landing", "within_m"), ("height", "above_m")):
        steps = [getattr(one, field) for one in also[key]]
        if steps != sorted(set(steps)):
            problems.append(Problem(f"{where}: score.{key}", f"must rise in {field}; sort the rows"))
    rest = {key: value for key, value in raw.items() if key not in parts}
    try:
        return read_noun(Scoring, rest, f"{where}: [score]", also=also)
    except InputError as refused:
        problems.extend(refused.problems)
        return None


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
