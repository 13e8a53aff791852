"""The reference is what the code makes, and what the code makes is true of the program."""

import json
import shlex
import types
import typing
from collections.abc import Iterator, Mapping
from datetime import date, datetime
from pathlib import Path
from typing import Any

import pytest
import typer

import make_reference
import reference_commands
import reference_json
import reference_models
from glidewright.base.figure import Figure
from glidewright.domain.flight_record import CHANNELS
from glidewright.domain.raw_log import RawLog
from glidewright.faces.cli.main import command_table, main
from glidewright.faces.report.render_json import figure_object
from glidewright.logs.formats import FORMATS
from glidewright.logs.read_log import read_log

REPOSITORY = Path(__file__).parents[2]
JOBS = {job.name: job for job in reference_commands.jobs()}
FIGURE_KEYS = set(figure_object(Figure.unknown("m", "m", "")))
# counts, shares and seeds, which have no unit
WITHOUT_UNIT = {"--within", "--wrong", "--draws", "--seed", "--buy", "--simulate", "--port"}


@pytest.fixture(scope="module")
def commands() -> Mapping[str, Any]:
    group: Any = typer.main.get_command(command_table())
    return group.commands


@pytest.mark.parametrize("name", sorted(make_reference.PAGES))
def test_a_page_is_what_the_code_makes(name: str) -> None:
    made, stands = make_reference.PAGES[name][0](), make_reference.FOLDER / name
    assert made == stands.read_text(encoding="utf-8"), "run python docs/make_reference.py"


def test_every_page_is_listed() -> None:
    listed = (make_reference.FOLDER / "README.md").read_text(encoding="utf-8")
    own = {path.name for path in make_reference.FOLDER.iterdir()} - {"README.md"}
    assert own == set(make_reference.PAGES)
    assert all(f"({name})" in listed for name in own)


@pytest.mark.parametrize("name", sorted(JOBS))
def test_the_example_of_a_command_is_understood(name: str, commands: Mapping[str, Any]) -> None:
    program, command, *words = shlex.split(JOBS[name].example)
    assert (program, command) == ("glidewright", name)
    assert commands[name].make_context(name, words).params


def test_an_option_that_is_not_there_would_be_found(commands: Mapping[str, Any]) -> None:
    with pytest.raises(typer.exceptions.TyperException):
        commands["check"].make_context("check", ["Lark", "--hmtl", "x"])


def test_every_number_on_the_command_line_has_a_unit(commands: Mapping[str, Any]) -> None:
    without = set()
    for name, job in JOBS.items():
        for one in commands[name].params:
            is_number = reference_commands.kind_of(job, one) in (int, float)
            if is_number and not reference_commands.unit_of(job, one):
                without.add(one.opts[0])
    assert without == WITHOUT_UNIT


def test_only_the_pages_in_the_browser_answer_nothing() -> None:
    assert set(JOBS) - set(reference_json.answers()) == {"serve"}


# ------------------------------------------------------------------ what is printed against what is said


def misfits(thing: Any, kind: Any, where: str = "result") -> Iterator[str]:
    """Where a printed value is not what the page says of its place."""
    if kind is Figure:
        if not isinstance(thing, dict) or set(thing) != FIGURE_KEYS:
            yield f"{where} is no figure"
    elif reference_json.is_noun(kind):
        yield from of_noun(thing, kind, where)
    else:
        yield from of_parts(thing, kind, where)


def of_noun(thing: Any, kind: type, where: str) -> Iterator[str]:
    if isinstance(thing, dict):
        own = reference_json.fields_of(kind)
        printed = {key for key in thing if not key.endswith("_because") or key in own}
        if printed != set(own):
            yield f"{where} has {sorted(printed ^ set(own))}"
        for name in printed & set(own):
            yield from misfits(thing[name], own[name], f"{where}.{name}")
    else:
        yield f"{where} is {thing!r} and no {kind.__name__}"


def of_parts(thing: Any, kind: Any, where: str) -> Iterator[str]:
    origin, parts = typing.get_origin(kind), typing.get_args(kind)
    if origin in (typing.Union, types.UnionType):
        tried = [list(misfits(thing, part, where)) for part in parts]
        if all(tried):
            yield from tried[0]
    elif origin is typing.Literal:
        if thing not in parts:
            yield f"{where} is {thing!r}"
    elif origin is tuple and isinstance(thing, list):
        kinds = [parts[0]] * len(thing) if parts[-1] is Ellipsis else parts
        for place, (one, inner) in enumerate(zip(thing, kinds, strict=True)):
            yield from misfits(one, inner, f"{where}[{place}]")
    elif isinstance(origin, type) and issubclass(origin, Mapping):
        for key, one in thing.items():
            yield from misfits(one, parts[1], f"{where}.{key}")
    elif not isinstance(thing, plain_kinds(kind)):
        yield f"{where} is {thing!r} and no {kind}"


def plain_kinds(kind: Any) -> tuple[type, ...]:
    """How a plain value is read back from JSON; a number that is not finite is null."""
    if kind is float:
        return (float, int, types.NoneType)
    return (str,) if kind in (date, datetime, Path) else (kind,) if isinstance(kind, type) else ()


CHEAP = ("parts {demo}", "power {demo}", "launch {demo}", "glide {demo}", "new Lark --in {own}")


@pytest.mark.parametrize("line", CHEAP)
def test_a_printed_answer_has_the_shape_that_is_said(
    line: str, demo_folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    words = [word.format(demo=demo_folder, own=tmp_path) for word in line.split()]
    assert main([*words, "--json"]) in (0, 1)
    body = json.loads(capsys.readouterr().out)
    assert list(body) == list(reference_json.ENVELOPE_KEYS)
    assert all(list(one) == list(reference_json.FINDING_KEYS) for one in body["findings"])
    noun = reference_json.answers()[words[0]]
    assert list(misfits(body["result"], noun)) == []
    assert body["result"]


def test_an_answer_of_another_shape_is_found() -> None:
    noun = reference_json.answers()["new"]
    assert list(misfits({"folder": "Lark"}, noun)) == ["result has ['texts']"]
    assert list(misfits({"folder": 1, "texts": {}}, noun)) == ["result.folder is 1 and no <class 'str'>"]


# ------------------------------------------------------------------ logs and models


def test_a_log_brings_no_channel_that_its_format_does_not_name() -> None:
    brings = {one.name: set(one.brings) for one in FORMATS}
    seen = set()
    for path in sorted((REPOSITORY / "tests" / "flight").rglob("*")):
        if path.suffix in (".igc", ".nmea", ".csv"):
            for record in read_log(RawLog.of(path.name, path.read_bytes())):
                seen.add(record.format)
                assert set(record.channels) <= brings[record.format], path.name
    assert "igc" in seen
    assert all(own <= set(CHANNELS) and own for own in brings.values())
    assert all(one.known_by for one in FORMATS)


def test_everything_public_in_the_models_says_what_it_gives() -> None:
    found = [entry for path in reference_models.files() for entry in reference_models.entries(path)]
    assert len(found) > 300
    assert [entry.call for entry in found if not entry.first.endswith((".", "]"))] == []


def test_a_number_of_the_physics_has_its_unit_and_its_source() -> None:
    page = (make_reference.FOLDER / "models.md").read_text(encoding="utf-8")
    row = next(line for line in page.splitlines() if line.startswith("| `temperature_factor("))
    assert "Arrhenius" in row
    row = next(line for line in page.splitlines() if line.startswith("| `winding_resistance_ohm("))
    assert "| ohm |" in row
    assert "Drela" in page.partition("[power/motor.py]")[2].partition("###")[0]
