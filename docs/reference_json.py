"""The reference of the JSON answers, from the nouns that the commands answer with."""

import dataclasses
import importlib
import json
import re
import types
import typing
from collections.abc import Iterator, Mapping
from datetime import date, datetime
from pathlib import Path
from typing import Any

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from glidewright.base.errors import Problem
from glidewright.base.figure import GRADES, Figure
from glidewright.faces.cli.output import error_json
from glidewright.faces.report.render_json import figure_object, render_json
from glidewright.rules.finding import Finding
from make_tables import suffixes, unit_of_name
from marked import table
from reference_commands import jobs

_FIGURE = Figure(
    value=0.5184, low=0.5151, high=0.5217, unit="kg", shown="g", grade="measured", because="weighed"
)
_FINDING = Finding(
    name="mass",
    title="Mass",
    kind="class",
    severity="kept",
    kept=True,
    chance=0.97,
    value=_FIGURE,
    limit="at most 525 g",
    at_most=0.525,
    unit="kg",
    shown="g",
    because="what it is, the limit, and the cause of the spread in one sentence",
)
_FIGURE_KEYS = {
    "value": "the median, null when not known",
    "unit": "SI unit of the three numbers, `1` for none",
    "low": "10th percentile, null when not known",
    "high": "90th percentile, null when not known",
    "grade": "the worst grade among the causes of the spread: "
    + "; ".join(f"`{grade}`: {words}" for grade, words in GRADES.items()),
    "because": "where the spread comes from, or why the value is not known",
}
ENVELOPE_KEYS = {
    "ok": "true",
    "command": "the command that answered",
    "model": "name of the model",
    "result": "the answer, see the command below",
    "findings": "every limit that decides the exit code, in the shape of a finding; empty where none does",
    "sources": "where measured and published numbers come from",
    "version": "version of the program",
}
FINDING_KEYS = {
    "name": "name of the limit; of a class it is one of the [measures](measures.md)",
    "kept": "true, false, or null while doubtful or not known",
    "chance": "share of the draws that keep it, 0 to 1, null when not known",
    "value": "the median, SI",
    "limit": "the limit in words, and its bounds in SI, null for an open side",
    "unit": "SI unit of value and bounds; `1` for none, `words` for a choice of words",
    "because": "the whole sentence",
}
_ERROR_KEYS = {
    "ok": "false",
    "command": "the command that was asked for, empty when none was",
    "error": "all problems in one text",
    "errors": "each problem: where it is (file, line or key), and what must be, what came, what to do",
}
# what a key means in every noun that does not say it itself
_EVERYWHERE: Mapping[str, str] = {
    "name": "in the code, the same in every version",
    "title": "for people",
    "model": "name of the model",
    "invented": "true for a model that somebody made up, such as the demo",
    "draws": "how many draws the figures come from",
    "findings": "the limits that decide the exit code",
    "because": "why, in a sentence",
    "sources": "where measured and published numbers come from",
    "remarks": "sentences that stand apart",
    "class_title": "of the class; empty without one",
    "class_edition": "of the rule text",
    "class_note": "what the class file says of itself",
    "class_open_points": "what sources of the rule disagree on",
    "missing": "values that nobody stated, and what stands in for them",
    "measure_next": "readings that would narrow the answers most",
    "currency": "of every cost",
    "date": "year-month-day",
    "unit": "SI unit of the numbers",
    "shown": "unit in which people read it",
    "tone": "how good or bad it is",
    "notes": "sentences on it",
    "note": "a sentence on it",
    "figure": "the number with its spread",
    "figures": "each under its title",
    "part": "id of the part",
    "on_hand": "true for what lies in the drawer",
    "cost": "in the currency of the result",
    "price": "in the currency of the result",
    "centre_x": "centre of gravity from the datum, aft positive",
    "neutral_point_x": "from the datum, aft positive",
    "static_margin": "share of the mean chord",
    "times_s": "axis of the series beside it",
    "airspeeds_m_s": "axis of the series beside it",
    "over_airspeed": "one series a result",
    "value": "the median",
    "low": "10th percentile",
    "high": "90th percentile",
    "airspeed_m_s": "at which it holds",
    "group": "that it counts in",
    "chance": "0 to 1, nothing when not known",
}
_HEAD = """# JSON answers

`--json` prints one object instead of the text. All numbers are SI, and a name of a number ends in its unit
([NOMENCLATURE.md](../../NOMENCLATURE.md)). There is no NaN and no infinity: such a number is null, and a key
`NAME_because` beside it says so. New keys may come with a new version; a key that is here keeps its meaning.

## The whole answer

{envelope}
```json
{whole}
```

### A figure

Every number that a command found, with its spread.

{figure}
```json
{figure_example}
```

### A finding

One entry of `findings`. Where a result below holds a *Finding*, it is the longer noun with severity, title
and remarks.

{finding}
```json
{finding_example}
```

### An error

Printed on stdout when `--json` was asked for; the exit code is 2.

{error}
```json
{error_example}
```

## Answers by command

What stands under `result`. A *figure* has the shape above; another word in slanted type is a noun of the last
part of this page. Where the name of a key says it all, no meaning stands beside it.

"""


def answer_of(where: str) -> type[BaseModel]:
    """The noun that a command answers with, from ``module below glidewright:class``."""
    module, _, name = where.partition(":")
    found = getattr(importlib.import_module(f"glidewright.{module}"), name)
    return typing.cast("type[BaseModel]", found)


def answers() -> dict[str, type[BaseModel]]:
    """The noun of every command that answers."""
    return {job.name: answer_of(job.answers) for job in jobs() if job.answers}


def page() -> str:
    """The whole page."""
    whole = json.loads(render_json("check", "Lark", Figure.unknown("m", "m", "")))
    whole |= {"result": {}, "version": "..."}
    head = _HEAD.format(
        envelope=_keys(ENVELOPE_KEYS, whole),
        whole=_text(whole),
        figure=_keys(_FIGURE_KEYS, figure_object(_FIGURE)),
        figure_example=_text(figure_object(_FIGURE)),
        finding=_keys(FINDING_KEYS, _FINDING.contract()),
        finding_example=_text(_FINDING.contract()),
        error=_keys(_ERROR_KEYS, _error()),
        error_example=_text(_error()),
    )
    parts = [head]
    met: dict[type, None] = {}
    for command, noun in answers().items():
        parts.append(f"### {command}\n\n{_sentence(noun)}\n\n{_fields(noun)}\n")
        met |= dict.fromkeys(one for one in nouns_in(noun) if one is not noun)
    parts.append("## Nouns\n\nWhat the answers are made of, by name.\n\n")
    in_order = sorted(met, key=lambda one: one.__name__)
    parts += [f"### {one.__name__}\n\n{_sentence(one)}\n\n{_fields(one)}\n" for one in in_order]
    return "".join(parts).rstrip() + "\n"


def _error() -> dict[str, Any]:
    problem = Problem("model.toml [field]: wind_m_per_s", "must be a number; a text came; write 3.0")
    made: dict[str, Any] = json.loads(error_json("check", [problem]))
    return made


def _keys(words: Mapping[str, str], shown: Mapping[str, Any]) -> str:
    """A table of the keys of a shape; ValueError when the program writes others than are explained."""
    if list(words) != list(shown):
        raise ValueError(f"keys {', '.join(shown)} are written and {', '.join(words)} explained")
    return table(("Key", "Holds"), [(f"`{key}`", text) for key, text in words.items()]) + "\n"


def _text(thing: object) -> str:
    return json.dumps(thing, indent=2, ensure_ascii=False)


# ------------------------------------------------------------------ nouns


def fields_of(noun: type) -> dict[str, Any]:
    """Name and type of every field of a noun or a record that a result may hold."""
    hints = typing.get_type_hints(noun)
    if issubclass(noun, BaseModel):
        return {name: hints[name] for name in noun.model_fields}
    return {name: hints[name] for name in getattr(noun, "__dataclass_fields__", {})}


def is_noun(kind: object) -> bool:
    """Whether a type has fields of its own in the answer."""
    if not isinstance(kind, type) or kind is Figure:
        return False
    return issubclass(kind, BaseModel) or dataclasses.is_dataclass(kind)


def nouns_in(noun: type) -> Iterator[type]:
    """The noun and every one below it, each once."""
    met: dict[type, None] = {}
    to_see = [noun]
    while to_see:
        one = to_see.pop(0)
        if one in met:
            continue
        met[one] = None
        yield one
        to_see += [inner for kind in fields_of(one).values() for inner in _inner(kind)]


def _inner(kind: Any) -> Iterator[type]:
    if is_noun(kind):
        yield kind
    for part in typing.get_args(kind):
        yield from _inner(part)


def _fields(noun: type) -> str:
    known = suffixes()
    rows = []
    for name, kind in fields_of(noun).items():
        unit = unit_of_name(name, known)
        rows.append((f"`{name}`", words_of(kind), "" if unit == "1" else unit, _meaning(noun, name)))
    return table(("Key", "Is", "Unit", "Meaning"), rows)


def words_of(kind: Any) -> str:
    """A type in the words of the page."""
    if kind is Figure:
        return "*figure*"
    if is_noun(kind):
        return f"[*{kind.__name__}*](#{kind.__name__.lower()})"
    return _PLAIN[kind] if kind in _PLAIN else _of_parts(kind, typing.get_args(kind))


def _of_parts(kind: Any, parts: tuple[Any, ...]) -> str:
    """A type that is made of others; TypeError for one without words."""
    origin = typing.get_origin(kind)
    if origin is typing.Literal:
        return "one of " + ", ".join(f"`{part}`" for part in parts)
    if origin in (typing.Union, types.UnionType):
        shown = [words_of(part) for part in parts if part is not type(None)]
        return " or ".join(shown) + (" or null" if type(None) in parts else "")
    if origin is tuple:
        many = parts[-1] is Ellipsis
        return f"list of {words_of(parts[0])}" if many else f"list: {', '.join(map(words_of, parts))}"
    if isinstance(origin, type) and issubclass(origin, Mapping):
        return f"object of {words_of(parts[1])}"
    raise TypeError(f"no words for {kind}")


_PLAIN: Mapping[Any, str] = {
    str: "text",
    int: "whole number",
    float: "number",
    bool: "true or false",
    date: "text, a date",
    datetime: "text, a time",
    Path: "text, a path",
    Any: "anything",
}


def _sentence(noun: type) -> str:
    """First paragraph of the docstring."""
    return " ".join((noun.__doc__ or "").split("\n\n")[0].split())


def _meaning(noun: type, name: str) -> str:
    """What a field holds: its own words, else those in the docstring of its noun or of a base."""
    info = noun.model_fields[name] if issubclass(noun, BaseModel) else None
    if isinstance(info, FieldInfo) and (info.title or info.description):
        says_the_key = (info.title or "").lower() == name.replace("_", " ")
        return ": ".join(
            filter(None, ("" if says_the_key and info.description else info.title, info.description))
        )
    for home in noun.__mro__:
        told = _told(home, name)
        if told:
            return told
    if name.startswith("why_no"):
        return "why it is not there, empty where it is"
    return _EVERYWHERE.get(name, "")


def _told(noun: type, name: str) -> str:
    """What the docstring says after ``name:``, up to the next name, the next sentence or the end."""
    text = " ".join((noun.__doc__ or "").split())
    found = re.search(rf"(?<!\w){name}(?:, \w+)*: (.*?)(?=; \w+(?:, \w+)*: |\. |\.$|$)", text)
    return found[1] if found else ""
