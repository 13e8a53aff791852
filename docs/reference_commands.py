"""The reference of the commands, from the objects that read the command line."""

import typing
from collections.abc import Iterator
from enum import Enum
from pathlib import Path
from typing import Any

import typer

from glidewright.base.registry import objects_below
from glidewright.faces.cli import commands
from glidewright.faces.cli.job import Job
from glidewright.faces.cli.main import command_table
from marked import table

# what a number on the command line is counted in, by the word that stands for it in the help
UNIT_OF_WORD = {
    "M": "m",
    "METRES": "m",
    "M/S": "m/s",
    "PERCENT": "%",
    "GRAM": "g",
    "CELSIUS": "°C",
    "SECONDS": "s",
    "DAYS": "days",
}
_HEAD = """# Commands

Every command with its arguments and options, from the objects that read the command line. `glidewright
COMMAND --help` prints the same in short.

`MODEL` is a model folder: it holds `model.toml` ([files.md](../files.md)). Numbers on the command line are in
the unit of the table; inside everything is SI. What a command answers with `--json` stands in
[json.md](json.md).

| Exit code | Means |
| --- | --- |
| 0 | done, and every finding is kept |
| 1 | done, and a finding is broken, doubtful or not known |
| 2 | bad input: one sentence for each problem on stderr, or the error object with `--json` |
| 130 | stopped by Ctrl-C; the last lines say whether something was found until then |

A mistake of the program itself keeps its traceback. `glidewright --version` prints the version.

"""


def jobs() -> list[Job]:
    """All commands in the order of the help."""
    found = objects_below(commands.__name__, commands.__path__, "JOB", Job)
    return sorted(found, key=lambda job: (job.order, job.name))


def page() -> str:
    """The whole page."""
    group: Any = typer.main.get_command(command_table())
    links = ", ".join(f"[{job.name}](#{job.name})" for job in jobs())
    return _HEAD + links + "\n" + "".join(_one(job, group.commands[job.name]) for job in jobs())


def _one(job: Job, command: Any) -> str:
    first, _, rest = job.help.partition("\n\n")
    arguments = [one for one in command.params if one.param_type_name == "argument"]
    options = [one for one in command.params if one.param_type_name == "option"]
    shown = " ".join(_usage(one) for one in arguments)
    must = " ".join(f"{one.opts[0]} {one.metavar}" for one in options if one.required)
    usage = " ".join(filter(None, ("glidewright", job.name, shown, must, "[OPTIONS]")))
    text = " ".join(rest.split())
    parts = [f"\n## {job.name}\n\n{first}\n" + (f"\n{text}\n" if text else "")]
    parts.append(f"\n```\n{usage}\n```\n\nFor example: `{job.example}`\n")
    if arguments:
        rows = [(f"`{_word(one)}`", _needed(one), _kind(job, one), _help(one)) for one in arguments]
        parts.append("\n" + table(("Argument", "Given", "Is", "Meaning"), rows))
    rows_of_options = [
        (f"`{_written(one)}`", _kind(job, one), _accepts(job, one), _default(one), _help(one))
        for one in options
    ]
    parts.append("\n" + table(("Option", "Is", "Accepts", "When left out", "Meaning"), rows_of_options))
    return "".join(parts)


def _word(one: Any) -> str:
    return str(one.metavar or one.name.upper()).strip("[].")


def _usage(one: Any) -> str:
    """An argument as in the line of usage."""
    word = _word(one) + ("..." if one.nargs == -1 else "")
    return word if one.required else f"[{word}]"


def _needed(one: Any) -> str:
    many = ", one or more" if one.nargs == -1 and one.required else ", any number" if one.nargs == -1 else ""
    return ("must be given" if one.required else "may be left out") + many


def _written(one: Any) -> str:
    """An option as it is typed."""
    names = " / ".join((*one.opts, *one.secondary_opts))
    word = str(one.metavar or one.name.upper()).replace("|", " or ")
    return names if one.is_flag else f"{names} {word}"


def kind_of(job: Job, one: Any) -> type:
    """The type of one value of a parameter, as the function of the command states it."""
    hint = typing.get_type_hints(job.run)[one.name]
    while args := [kind for kind in typing.get_args(hint) if kind is not type(None)]:
        hint = args[0]
    return typing.cast("type", hint)


def unit_of(job: Job, one: Any) -> str:
    """Unit of a number; empty for a count, a share, and what is no number."""
    return UNIT_OF_WORD.get(one.metavar or "", "") if kind_of(job, one) in (float, int) else ""


def _kind(job: Job, one: Any) -> str:
    kind = kind_of(job, one)
    if kind is bool:
        return "switch"
    if kind in (int, float):
        unit = unit_of(job, one)
        return f"number in {unit}" if unit else "whole number" if kind is int else "number"
    return "path" if kind is Path else "one of a list" if issubclass(kind, Enum) else "text"


def _accepts(job: Job, one: Any) -> str:
    kind = kind_of(job, one)
    words = list(_bounds(one))
    if issubclass(kind, Enum):
        words.append(" or ".join(f"`{member.value}`" for member in kind))
    if one.multiple:
        words.append("may come several times")
    return ", ".join(words)


def _bounds(one: Any) -> Iterator[str]:
    low, high = one.min, one.max
    if low is not None and high is not None:
        yield f"{low:g} to {high:g}"
    elif low is not None:
        yield f"at least {low:g}"


def _default(one: Any) -> str:
    if one.required:
        return "**must be given**"
    if isinstance(one.show_default, str):
        return one.show_default
    default = one.default
    if one.is_flag and default is not None:
        return "on" if default else "off"
    if isinstance(default, Enum):
        return f"`{default.value}`"
    if default is None or default == "":
        return "the variable " + f"`{one.envvar}`, else none" if one.envvar else "none"
    return (
        f"{default:g}"
        if isinstance(default, int | float)
        else "this folder"
        if default == Path()
        else str(default)
    )


def _help(one: Any) -> str:
    return str(one.help or "")
