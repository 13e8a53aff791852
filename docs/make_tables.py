"""Write the generated tables of NOMENCLATURE.md and docs/files.md from the metadata of the code.

    python docs/make_tables.py            write them
    python docs/make_tables.py --check    only say whether they are what the code makes

A generated table stands between ``<!-- made: NAME -->`` and ``<!-- end -->``; everything else in the two
files is written by hand and left alone. SI units of names are read from the table of suffixes that stands
by hand in NOMENCLATURE.md, so that it cannot fall behind either.
"""

import math
import re
import sys
import typing
from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence
from pathlib import Path

from annotated_types import Ge, Gt, Le, Lt
from pydantic import BaseModel
from pydantic.fields import FieldInfo

import marked as marks
from glidewright.base.fields import Noun, Quantity, quantities, quantity_of
from glidewright.base.figure import Given
from glidewright.base.registry import modules_below
from glidewright.base.units import BY_SUFFIX
from glidewright.data import coefficients, packaged
from glidewright.domain import (
    airframe,
    bench,
    class_limits,
    control,
    field,
    flight_record,
    geometry,
    launch_plan,
    logbook,
    model,
    rule_options,
    scoring,
    weighing,
)
from glidewright.domain.parts import KINDS, Part, PlainItem
from glidewright.forecast.draws import FIXED_ORDER
from glidewright.forecast.setup import prepare
from glidewright.models.aero import polar
from glidewright.models.launch import layout as launch
from glidewright.models.power import layout as power
from glidewright.rules import finding
from glidewright.rules.measure import WORDS
from glidewright.rules.measures import MEASURES
from glidewright.store.reading import read_model

NOMENCLATURE = marks.ROOT / "NOMENCLATURE.md"
FILES = marks.DOCS / "files.md"
_SUFFIX_ROW = re.compile(r"^\| `_(?P<suffix>\w+)` \| (?P<unit>[^|]+?) \|", re.MULTILINE)
_OTHER = "other"

# Which part of NOMENCLATURE.md a noun or a mapping of columns stands in; a new noun lands in "other".
_GROUP_OF_NOUN: Mapping[str, str] = {
    **dict.fromkeys(("Part", "PlainItem", "Fitted", "Weighing", "Ballast"), "mass and balance"),
    **dict.fromkeys(
        ("Airframe", "Wing", "Panel", "Tail", "Fin", "Body", "Spoiler", "Bay", "OwnSection"),
        "airframe and aerodynamics",
    ),
    "Propeller": "propeller",
    "Motor": "motor",
    **dict.fromkeys(("Controller", "Servo", "Receiver", "Altimeter", "Linkage"), "controller and radio"),
    **dict.fromkeys(("Control", "Steering"), "controller and radio"),
    "Build": "airframe and aerodynamics",
    "Pack": "pack",
    "BenchReading": "operating point",
    "LaunchPlan": "launch",
    "Field": "air",
    "FlightTrace": "flight logs",
}
_CLASS_MODULES = {"class_limits", "rule_options", "scoring", "finding"}
_GROUP_OF_PREFIX: Mapping[str, str] = {
    "motor": "motor",
    "controller": "controller and radio",
    "servo": "controller and radio",
    "pack": "pack",
    "lead": "pack",
    "propeller": "propeller",
}
_MAPPINGS: Mapping[str, tuple[str, Mapping[str, str]]] = {
    "POLAR_FIELDS": ("airframe and aerodynamics", polar.POLAR_FIELDS),
    "CONDITION_FIELDS": ("operating point", power.CONDITION_FIELDS),
    "POINT_FIELDS": ("operating point", power.POINT_FIELDS),
    "LAUNCH_FIELDS": ("launch", launch.LAUNCH_FIELDS),
    "START_FIELDS": ("launch", launch.START_FIELDS),
    "STATE_FIELDS": ("launch", launch.STATE_FIELDS),
    "OUTPUT_FIELDS": ("launch", launch.OUTPUT_FIELDS),
    "TRACE_FIELDS": ("launch", launch.TRACE_FIELDS),
    "CHANNELS": ("flight logs", flight_record.CHANNELS),
}


def suffixes() -> dict[str, str]:
    """SI unit by name suffix, from the table of suffixes in NOMENCLATURE.md."""
    text = NOMENCLATURE.read_text(encoding="utf-8")
    return {row["suffix"]: row["unit"] for row in _SUFFIX_ROW.finditer(text)}


def unit_of_name(name: str, known: Mapping[str, str]) -> str:
    """SI unit that a name in code ends in, the longest suffix that fits; ``1`` for none."""
    fits = [suffix for suffix in known if name.endswith("_" + suffix)]
    return known[max(fits, key=len)] if fits else "1"


def domain_nouns() -> list[type[BaseModel]]:
    """All nouns of the domain with the finding, each once, in the order of their files."""
    package = sys.modules["glidewright.domain"]
    parts = sys.modules["glidewright.domain.parts"]
    modules = [*modules_below(package.__name__, package.__path__)]
    modules += [*modules_below(parts.__name__, parts.__path__), finding]
    found = [thing for module in modules for thing in vars(module).values() if _is_noun(thing)]
    return list(dict.fromkeys(found))


def _is_noun(thing: object) -> bool:
    return isinstance(thing, type) and issubclass(thing, Noun) and thing is not Noun


def own_fields(noun: type[BaseModel]) -> dict[str, FieldInfo]:
    """Fields that a noun states itself, not those it has from a base."""
    inherited = {name for base in noun.__mro__[1:] for name in getattr(base, "model_fields", {})}
    return {name: info for name, info in noun.model_fields.items() if name not in inherited}


def names_in_code() -> Iterator[tuple[str, str, str, str, str]]:
    """Group, name, SI unit, meaning and home of every quantity of a noun and every column of a kernel."""
    known = suffixes()
    for noun in domain_nouns():
        class_words = noun.__module__.rpartition(".")[2] in _CLASS_MODULES
        group = "class and findings" if class_words else _GROUP_OF_NOUN.get(noun.__name__, _OTHER)
        for name, info in own_fields(noun).items():
            meta = quantity_of(info)
            unit = unit_of_name(name, known)
            if meta is None and unit == "1":
                continue
            unit = meta.shown.si if meta is not None and unit == "1" else unit
            yield group, name, unit, _meaning(info), noun.__name__
    for name, words in power.POWER_FIELDS.items():
        group = _GROUP_OF_PREFIX.get(name.partition("_")[0], _OTHER)
        yield group, name, unit_of_name(name, known), words, "POWER_FIELDS"
    for home, (group, columns) in _MAPPINGS.items():
        for name, words in columns.items():
            yield group, name, unit_of_name(name, known), words, home


def _meaning(info: FieldInfo) -> str:
    return f"{info.title}: {info.description}" if info.description else str(info.title or "")


def _table(head: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    return marks.table(head, rows) if rows else "Nothing at present.\n"


def nomenclature_tables() -> dict[str, str]:
    """Every generated table of NOMENCLATURE.md by its name."""
    rows: dict[str, list[tuple[str, ...]]] = defaultdict(list)
    for group, name, unit, words, home in names_in_code():
        rows[group].append((f"`{name}`", unit, words, home))
    groups = {
        *_GROUP_OF_NOUN.values(),
        *(group for group, _ in _MAPPINGS.values()),
        "class and findings",
        _OTHER,
    }
    head = ("Name in code", "Unit", "Meaning", "Where")
    return {group: _table(head, rows[group]) for group in groups} | {"inputs": _inputs()}


def _inputs() -> str:
    """The inputs that have a column of their own, with what they are called in a report."""
    demo = read_model(Path(str(packaged("demo", "hill-demo"))))
    shapeless = demo.model_copy(update={"airframe": demo.airframe.model_copy(update={"geometry": None})})
    found = prepare(shapeless, None, 1).inputs | prepare(demo, None, 1).inputs
    rows = [(f"`{name}`", found[name].title) for name in FIXED_ORDER]
    return _table(("Input", "In a report"), rows)


# ------------------------------------------------------------------ docs/files.md


def _number(number: float) -> str:
    return f"{number:.10g}"


def _range(info: FieldInfo, meta: Quantity | None) -> str:
    """What a key accepts, in words and in the file's unit."""
    bounds: list[tuple[str, float | None]]
    if meta is not None:
        bounds = [("above", meta.above), ("at least", meta.at_least), ("at most", meta.at_most)]
    else:
        words_of = (("above", Gt, "gt"), ("at least", Ge, "ge"), ("below", Lt, "lt"), ("at most", Le, "le"))
        found = {type(one): one for one in info.metadata}
        bounds = [(word, getattr(found.get(kind), name, None)) for word, kind, name in words_of]
    words = [f"{word} {_number(bound)}" for word, bound in bounds if bound is not None]
    if meta is not None and meta.usual is not None:
        words.append("usually {} to {}".format(*map(_number, meta.usual)))
    return ", ".join(words)


def _kind(info: FieldInfo) -> str:
    """What stands behind the key of a field that is no quantity."""
    inner = [kind for kind in typing.get_args(info.annotation) if kind is not type(None)]
    if len(inner) == 1 and typing.get_origin(inner[0]) is typing.Literal:
        inner = list(typing.get_args(inner[0]))
    if inner and all(isinstance(word, str) for word in inner):
        return "one of " + ", ".join(f"`{word}`" for word in inner)
    if typing.get_origin(info.annotation) is tuple:
        return "tables" if _is_noun(inner[0]) else f"list of {_word(inner[0])}s"
    return _word(inner[0] if inner else info.annotation)


def _word(kind: object) -> str:
    if _is_noun(kind):
        return "table"
    words: Mapping[object, str] = {str: "text", bool: "true or false", int: "whole number", float: "number"}
    return words[kind]


def _left_out(info: FieldInfo, meta: Quantity | None) -> str:
    """What holds when the key is left out."""
    if info.is_required():
        return "**must be given**"
    default = info.default
    if default is None:
        return "not known" if meta is not None else "not stated"
    if isinstance(default, Given) and meta is not None:
        return f"{_number(meta.shown.from_si(default.value))} ({default.grade}: {default.because})"
    return _plain_words(default)


def _plain_words(default: object) -> str:
    """A default that is no quantity."""
    if isinstance(default, bool):
        return "true" if default else "false"
    if isinstance(default, tuple):
        return ", ".join(map(str, default)) or "none"
    if isinstance(default, float):
        return _number(default)
    return str(default) if default != "" else "empty"


def key_rows(noun: type[BaseModel], names: Mapping[str, FieldInfo]) -> list[tuple[str, ...]]:
    """One row a key: key, unit or kind, what it accepts, what holds without it, its spread, meaning."""
    rows: list[tuple[str, ...]] = []
    for name, info in names.items():
        meta = quantities(noun).get(name)
        key = meta.key if meta is not None else {"class_id": "class"}.get(name, name)
        kind = (meta.shown.symbol or "number") if meta is not None else _kind(info)
        spread = meta.spread if meta is not None and meta.spread != "exact" else ""
        rows.append((f"`{key}`", kind, _range(info, meta), _left_out(info, meta), spread, _meaning(info)))
    return rows


_MODEL_HEAD = ("name", "note", "invented", "class_id", "currency", "build_time_s", "skill")
_KEY_HEAD = ("Key", "Unit or kind", "Accepts", "When left out", "Spread", "Meaning")


def _keys(noun: type[BaseModel], *, but: tuple[str, ...] = (), only: tuple[str, ...] = ()) -> str:
    names = {
        name: info
        for name, info in own_fields(noun).items()
        if name not in but and (not only or name in only)
    }
    return _table(_KEY_HEAD, key_rows(noun, names))


def _part_kinds() -> str:
    blocks = []
    for kind, noun in KINDS.items():
        if noun is not PlainItem:
            blocks.append(f"#### `[[{kind}]]`: {noun.kind_title.lower()}\n\n{_keys(noun)}")
    return "\n".join(blocks)


def _measures() -> str:
    rows = []
    for name, measure in MEASURES.items():
        fits = [f"_{unit.suffix}" for unit in BY_SUFFIX.values() if unit.si == measure.unit]
        if measure.unit == WORDS:
            keys = "`allowed`"
        elif measure.unit == "1":
            keys = "`at_least`, `at_most`"
        else:
            keys = "`at_least…`, `at_most…` with " + ", ".join(f"`{one}`" for one in fits)
        rows.append((f"`{name}`", measure.title, keys, measure.help))
    return _table(("Measure", "Title", "Bounds", "Meaning"), rows)


def _spreads() -> str:
    rows = []
    for name, row in coefficients("grades").items():
        if isinstance(row, Mapping) and name != "exact":
            halves = [_half(row, grade) for grade in ("measured", "quoted", "typical", "guessed")]
            rows.append((name, *halves, str(row["because"])))
    return _table(("Spread", "measured", "quoted", "typical", "guessed", "Because"), rows)


def _half(row: Mapping[str, object], grade: str) -> str:
    """Half width of the band that holds eight of ten values."""
    half = float(str(row[grade]))
    if row["kind"] == "factor":
        return f"{_number(100.0 * half)} %"
    if row["unit"] == "m":
        return f"{_number(1000.0 * half)} mm"
    if row["unit"] == "rad":
        return f"{math.degrees(half):.2g}°"
    unit = "" if row["unit"] == "1" else f" {row['unit']}"
    return f"{_number(half)}{unit}"


def files_tables() -> dict[str, str]:
    """Every generated table of docs/files.md by its name."""
    limits, score = class_limits.ClassLimits, scoring.Scoring
    head = ("title", "edition", "source", "invented", "note", "open_points")
    stated = ("motor_run_s", "motor_run_from", "cut_height_m")
    bounds = ("at_least", "at_most", "unit", "shown", "tolerance")
    made: dict[str, Callable[[], str]] = {
        "spreads": _spreads,
        "model head": lambda: _keys(model.Model, only=_MODEL_HEAD),
        "[airframe]": lambda: _keys(airframe.Airframe, but=("geometry",)),
        "[wing]": lambda: _keys(geometry.Wing),
        "[[panel]]": lambda: _keys(geometry.Panel),
        "[tail]": lambda: _keys(geometry.Tail),
        "[[fin]]": lambda: _keys(geometry.Fin),
        "[body]": lambda: _keys(geometry.Body),
        "[spoiler]": lambda: _keys(geometry.Spoiler),
        "[[bay]]": lambda: _keys(geometry.Bay),
        "[field]": lambda: _keys(field.Field),
        "[launch]": lambda: _keys(launch_plan.LaunchPlan),
        "[[item]]": lambda: _keys(PlainItem),
        "[[fitted]]": lambda: _keys(model.Fitted),
        "[[control]]": lambda: _keys(control.Control),
        "[steering]": lambda: _keys(control.Steering),
        "[build]": lambda: _keys(control.Build),
        "[[weighing]]": lambda: _keys(weighing.Weighing),
        "[[bench]]": lambda: _keys(bench.BenchReading),
        "every part": lambda: _keys(Part),
        "part kinds": _part_kinds,
        "class head": lambda: _keys(limits, only=head),
        "class [launch]": lambda: _keys(limits, only=stated),
        "class [height]": lambda: _keys(class_limits.HeightRule),
        "class [[limit]]": lambda: _keys(class_limits.Limit, but=bounds),
        "measures": _measures,
        "class [score]": lambda: _keys(score, but=("landing", "height", "drives")),
        "class [[score.landing]]": lambda: _keys(scoring.LandingStep),
        "class [[score.height]]": lambda: _keys(scoring.HeightKnee),
        "class [[score.drives]]": lambda: _keys(scoring.DriveHandicap),
        "[[charge]]": lambda: _keys(logbook.PackCharge),
        "[[option]]": lambda: _keys(rule_options.RuleOption, but=("changes",)),
        "[logger]": lambda: _keys(rule_options.CheckLogger),
    }
    return {name: make() for name, make in made.items()}


# ------------------------------------------------------------------ both papers


def renewed(text: str, tables: Mapping[str, str], paper: str) -> str:
    """A paper with every generated table put in anew; ValueError when a table has no place or no maker."""
    places = marks.marked(text, "made")
    if sorted(places) != sorted(tables):
        odd = sorted(set(places) ^ set(tables)) or sorted(places)
        raise ValueError(f"{paper} must have one place for every generated table; look at: {', '.join(odd)}")
    return marks.renewed(text, "made", tables.__getitem__)


def papers() -> dict[Path, str]:
    """What each of the two papers must hold."""
    made = {NOMENCLATURE: nomenclature_tables(), FILES: files_tables()}
    return {
        path: renewed(path.read_text(encoding="utf-8"), tables, path.name) for path, tables in made.items()
    }


def main() -> int:
    """Write the papers, or with ``--check`` compare them; 1 when they differ."""
    return marks.written(papers(), only_check="--check" in sys.argv[1:])


if __name__ == "__main__":
    raise SystemExit(main())
