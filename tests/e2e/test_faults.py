"""Spoiled files, killed programs, odd requests: a small part of what ``studies/faults.py`` does at length."""

import json
import os
import random
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from types import ModuleType

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from glidewright.base.errors import GlidewrightError, InputError
from glidewright.store.logbook import Logbook, logbook_url
from glidewright.store.reading import model_of_texts
from glidewright.store.tables import parsed

STUDIES = Path(__file__).parents[2] / "studies"


@pytest.fixture(scope="module")
def study() -> Callable[[str], ModuleType]:
    """A module of the studies by name; they import each other as files of one folder."""

    def load(name: str) -> ModuleType:
        sys.path.insert(0, str(STUDIES))
        try:
            return __import__(name)
        finally:
            sys.path.remove(str(STUDIES))

    return load


@pytest.fixture(scope="module")
def full(study: Callable[[str], ModuleType], tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A model folder with a file of every kind; a test puts back what it spoils."""
    folder: Path = study("doors").full_folder(tmp_path_factory.mktemp("faults"))
    return folder


DOORS = (
    "model.toml", "file of the drawer", "further parts file", "class file", "variant that changes",
    "variant that adds", "rule options", "section coordinates", "model.toml of schema 0",
    "drawer of schema 0", "channel map", "charges", "what flights taught",
)  # fmt: skip


def test_every_door_is_tried(study: Callable[[str], ModuleType]) -> None:
    assert set(DOORS) == set(study("doors").DOORS)


@pytest.mark.parametrize("name", DOORS)
def test_a_spoiled_file_is_read_or_refused_in_sentences(
    study: Callable[[str], ModuleType], full: Path, name: str
) -> None:
    doors, spoiled = study("doors"), study("spoiled").spoiled
    file, door = doors.DOORS[name]
    sound, draw, before = (full / file).read_bytes(), random.Random(1), doors.listed(full)
    assert doors.verdict(door, full) == doors.Verdict("", is_refused=False, seconds=pytest.approx(0, abs=60))
    refused = 0
    try:
        for _ in range(15):
            way, data = spoiled(draw, sound)
            (full / file).write_bytes(data)
            found = doors.verdict(door, full)
            assert not found.fault, (way, found.fault)
            refused += found.is_refused
    finally:
        (full / file).write_bytes(sound)
    assert doors.listed(full) == before
    assert refused > 0


def test_what_counts_as_a_fault(study: Callable[[str], ModuleType], full: Path) -> None:
    doors = study("doors")

    def stumble(_: Path) -> None:
        raise KeyError("x")

    def mumble(_: Path) -> None:
        raise InputError([])

    assert doors.verdict(stumble, full).fault.startswith("KeyError")
    assert doors.verdict(mumble, full).fault == "it names no problem"
    assert doors.fault_of("no") and doors.fault_of("must; " + 2000 * "x") and doors.fault_of("must\x1b; do")
    assert not doors.fault_of("a: must be b; c came; write b")


@given(text=st.text(max_size=400))
@settings(max_examples=60)
def test_any_text_is_a_table_or_a_sentence(text: str) -> None:
    try:
        parsed(text, "x.toml")
    except InputError as refused:
        assert all("must" in problem.message for problem in refused.problems)


VALUES = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8) | st.dates(),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=4), inner, max_size=3),
    max_leaves=6,
)
PLACES = (
    ("name",), ("class",), ("airframe",), ("airframe", "span_m"), ("item",), ("item", 0), ("grade",),
    ("item", 0, "mass_g"), ("fitted", 0, "part"), ("panel", 0, "span_mm"), ("weighing", 0, "of"), ("bay", 0),
    ("control", 0), ("launch", "throw_speed_m_per_s"), ("schema",), ("build",), ("steering",), ("wing",),
    ("fin", 1, "height_mm"),
)  # fmt: skip


@given(value=VALUES, place=st.sampled_from(PLACES))
@example(value={"\xa0": None}, place=("airframe",))
@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_any_value_at_any_place_is_read_or_refused(value: object, place: tuple[str | int, ...]) -> None:
    from glidewright.data import packaged  # noqa: PLC0415 - read once an example, which is quick

    names = ("model.toml", "parts/power.toml", "parts/radio.toml")
    texts = {
        name: packaged("demo", "hill-demo", *name.split("/")).read_text(encoding="utf-8") for name in names
    }
    head = parsed(texts["model.toml"], "model.toml")
    *way, last = place
    table = head
    for step in way:
        table = table[step]  # type: ignore[index]
    table[last] = value  # type: ignore[index]
    try:
        model_of_texts(texts, head)
    except GlidewrightError as refused:
        assert refused.problems
        assert all(len(str(problem)) < 1000 and str(problem).isprintable() for problem in refused.problems)


def test_a_broken_logbook_is_said_to_be_broken(study: Callable[[str], ModuleType], tmp_path: Path) -> None:
    killed, spoiled, doors = study("killed"), study("spoiled"), study("doors")
    for number in range(2):
        killed.write_log(tmp_path, number)
    path, draw = tmp_path / "logbook.sqlite", random.Random(2)
    sound = path.read_bytes()

    def read(folder: Path) -> None:
        with Logbook(logbook_url(folder)) as book:
            book.flights("killed")

    refused = 0
    for _ in range(40):
        path.write_bytes(draw.choice((spoiled.flip_bytes, spoiled.cut, spoiled.zero_tail))(draw, sound))
        found = doors.verdict(read, tmp_path)
        assert not found.fault, found.fault
        refused += found.is_refused
    assert refused > 0


@pytest.mark.skipif(os.name != "posix", reason="the study forks and kills")
def test_a_killed_program_loses_nothing_that_it_answered_for() -> None:
    done = subprocess.run(
        [sys.executable, str(STUDIES / "killed.py"), "12", "3"],
        capture_output=True,
        text=True,
        check=True,
        timeout=120,
    )
    found = json.loads(done.stdout)
    assert len(found) == 6
    for kind, one in found.items():
        assert one["kills"] == 2, kind
        assert one["faults"] == [], kind


def test_a_log_whose_clock_is_spoiled_tells_the_launch_of_the_sound_one_or_none(
    study: Callable[[str], ModuleType],
) -> None:
    found = dict(study("clocks").clocks(3))
    assert {form: sum(form in name for name in found) for form in ("text:", "IGC:")} == {
        "text:": 17,
        "IGC:": 15,
    }
    for name, told in found.items():
        assert (told.logs, told.faults, told.other) == (3, (), 0), name
        assert (told.refused > 0) == ("runs backwards" in name), name
    assert sum(told.same for told in found.values()) > 60


def test_odd_requests_to_the_pages_get_an_answer_of_their_own(study: Callable[[str], ModuleType]) -> None:
    found = study("asked").ask_much(60, 4)
    assert found.faults == []
    assert sum(found.codes.values()) == 60
    assert max(found.codes) < 500
