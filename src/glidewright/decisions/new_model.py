"""User job ``new``: a complete example folder that runs as it is, every key with its meaning and unit.

The texts are those of the packaged demo without its flaws; what each key means is written from the
metadata of the nouns, so that it cannot fall behind them.
"""

import json
import re
import typing
from collections.abc import Iterator, Mapping
from typing import Literal

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from glidewright.base.errors import InputError, Problem
from glidewright.base.fields import Noun, Quantity, plain, quantity_of
from glidewright.data import packaged
from glidewright.domain.airframe import Airframe
from glidewright.domain.bench import BenchReading
from glidewright.domain.control import Build, Control, Steering
from glidewright.domain.field import Field
from glidewright.domain.geometry import MANY_TABLES, ONE_TABLE
from glidewright.domain.launch_plan import LaunchPlan
from glidewright.domain.model import Fitted
from glidewright.domain.parts import KINDS, Part
from glidewright.domain.weighing import Weighing

DEMO = "hill-demo"
DEMO_FILES = (
    "model.toml",
    "parts/power.toml",
    "parts/radio.toml",
    "variants/bigger-pack.toml",
    "variants/windy-day.toml",
)
_NO_FILE_NAME = re.compile(r'[\x00-\x1f\x7f<>:"/\\|?*]')
_LONGEST_NAME = 100
_KIND_WORDS: Mapping[object, str] = {str: "text", bool: "true/false", int: "count"}
_MARKER = re.compile(r"^# Keys of (?P<table>every part|\[+\w+\]+): glidewright new writes .*$", re.MULTILINE)
_NOUNS: Mapping[str, type[BaseModel]] = {
    "every part": Part,
    **{f"[{noun.table}]": noun for noun in (Airframe, Field, LaunchPlan, Steering, Build, *ONE_TABLE)},
    **{f"[[{noun.table}]]": noun for noun in (Fitted, Control, Weighing, BenchReading, *MANY_TABLES)},
    **{f"[[{kind}]]": noun for kind, noun in KINDS.items()},
}
# What is changed in the demo's texts, each standing there exactly once: its words, and its flaws.
_CHANGES: Mapping[str, tuple[tuple[str, str], ...]] = {
    "model.toml": (
        (
            "# INVENTED. Club, class, model and parts of this folder are made up to show the program.\n"
            "# Nobody sells these parts, and no body flies this class.\n",
            "# An example to start from, written by glidewright new. Model and parts are INVENTED,\n"
            "# nobody sells them. Put your own numbers in their place, then set invented = false.\n",
        ),
        (
            'note = "Invented two-metre model with rudder, elevator and spoilers of an invented hill club."',
            'note = "Example with invented numbers; put your own in their place."',
        ),
        (
            "# Flaw on purpose: so far in front that the forecast comes out nose-heavy.\nx_mm = -165\n",
            "x_mm = 15\n",
        ),
        (
            "# Flaw on purpose: the pack can be moved back in it, but not as far as the balance would need.\n"
            "to_x_mm = -85\n",
            "to_x_mm = 65\n",
        ),
        (
            "# Flaw on purpose: a long arm on a light servo; in a dive the rudder asks for half of its stall "
            "torque.\narm_mm = 11\n",
            "arm_mm = 10\n",
        ),
        ('part = "m28-1020"\n', 'part = "m28-880"\n'),
        ('part = "f11x6"\n', 'part = "f10x5"\n'),
        ('name = "controller"\nx_mm = -150\n', 'name = "controller"\nx_mm = -60\n'),
    ),
    "parts/power.toml": (
        ("# INVENTED parts of the demo's drawer:", "# INVENTED parts of the example's drawer:"),
        (
            "# One value missing on purpose: resistance_mohm and no_load_current_A are not stated.",
            "# Sellers often leave out resistance_mohm and no_load_current_A.",
        ),
        (
            "# Flaw on purpose: 15 times the capacity is 8.25 A, less than this motor draws.\n"
            'note = "An older pack; the label promises 15 C, which is 8.25 A."\n',
            "",
        ),
        ("c_rating = 15\n", "c_rating = 40\n"),
    ),
    "parts/radio.toml": (
        ("# INVENTED parts of the demo's drawer:", "# INVENTED parts of the example's drawer:"),
    ),
}


class Request(Noun):
    """What the user asks for."""

    name: str = plain("Name", help="of the new model and of its folder")


class Result(Noun):
    """A folder to be written: its name, and the text of each file by its name inside the folder."""

    folder: str
    texts: dict[str, str]


def run(request: Request) -> Result:
    """The example folder under the name; raises InputError for a name that no folder can have."""
    name = request.name.strip()
    problem = _name_problem(name)
    if problem:
        raise InputError(Problem("NAME", problem))
    texts = {file: _example(file) for file in DEMO_FILES}
    texts["model.toml"] = _changed(
        texts["model.toml"],
        'name = "Hill Demo 2000"',
        f"name = {json.dumps(name, ensure_ascii=False)}",
    )
    return Result(folder=name, texts=texts)


def _name_problem(name: str) -> str:
    """Why no folder can have this name on every system, or an empty text."""
    if not name:
        return "must be the name of the new model; an empty one came; write glidewright new NAME"
    if _NO_FILE_NAME.search(name):
        return (
            f"must be a plain name without path separators and special signs; {name!r} came; "
            "go to the folder where the model shall lie and give the name alone"
        )
    if name.startswith((".", "-")) or name.endswith("."):
        return f"must not start with a dot or a hyphen or end with a dot; {name!r} came; choose another name"
    if len(name) > _LONGEST_NAME:
        return f"must be at most {_LONGEST_NAME} signs long; {len(name)} came; choose a shorter name"
    return ""


def _example(file: str) -> str:
    text = packaged("demo", DEMO, *file.split("/")).read_text(encoding="utf-8")
    for old, new in _CHANGES.get(file, ()):
        text = _changed(text, old, new)
    return _MARKER.sub(lambda found: legend(found["table"]), text)


def _changed(text: str, old: str, new: str) -> str:
    if text.count(old) != 1:
        raise ValueError(f"the demo must hold this text once: {old!r}")
    return text.replace(old, new)


def legend(table: str) -> str:
    """Comment lines that say what each key of a table means: key, unit, meaning, range.

    table: as in a file, ``[field]`` or ``[[motor]]``, or ``every part`` for what all parts have in common.

    >>> print(legend("[[ballast]]"))
    # Keys of [[ballast]]:
    #   density_kg_per_m3           kg/m³      Density: lead is about 11340 (above 0, at most 22600)
    """
    noun = _NOUNS[table]
    common = (
        set(Part.model_fields)
        if issubclass(noun, Part) and table not in ("every part", "[[item]]")
        else set()
    )
    rows = [
        _row(name, info)
        for name, info in noun.model_fields.items()
        if name not in common and not _has_own_tables(info)
    ]
    return "\n".join([f"# Keys of {table}:", *rows])


def _has_own_tables(info: FieldInfo) -> bool:
    """True for a field that is one noun, with tables of its own in the file."""
    if typing.get_origin(info.annotation) is tuple:
        return False
    kinds = typing.get_args(info.annotation) or (info.annotation,)
    return any(isinstance(kind, type) and issubclass(kind, Noun) for kind in kinds)


def _row(name: str, info: FieldInfo) -> str:
    meta = quantity_of(info)
    key = meta.key if meta else name
    words = meta.shown.symbol if meta else _kind_words(info)
    limits = _limits(meta) if meta else _choices(info)
    need = " [must be given]" if info.is_required() else ""
    meaning = f"{info.title}: {info.description}" if info.description else str(info.title)
    return f"#   {key:<27} {words:<10} {meaning}{limits}{need}"


def _limits(meta: Quantity) -> str:
    words = list(_limit_words(meta))
    return f" ({', '.join(words)})" if words else ""


def _limit_words(meta: Quantity) -> Iterator[str]:
    if meta.above is not None:
        yield f"above {meta.above:g}"
    if meta.at_least is not None:
        yield f"at least {meta.at_least:g}"
    if meta.at_most is not None:
        yield f"at most {meta.at_most:g}"


def _choices(info: FieldInfo) -> str:
    """The words that a choice allows."""
    if typing.get_origin(info.annotation) is not Literal:
        return ""
    return f" (one of {', '.join(typing.get_args(info.annotation))})"


def _kind_words(info: FieldInfo) -> str:
    """What stands behind the key of a field that is no quantity."""
    kinds = [kind for kind in typing.get_args(info.annotation) if kind is not type(None)] or [info.annotation]
    return _KIND_WORDS.get(kinds[0], "list" if typing.get_origin(info.annotation) is tuple else "text")
