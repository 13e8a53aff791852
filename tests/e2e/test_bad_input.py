"""Bad input through the command line: one sentence a problem, exit code 2, nothing lost or left behind."""

import errno
import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from glidewright.decisions import power
from glidewright.decisions.power import PowerRequest, PowerResult
from glidewright.domain.model import Model

Run = Callable[..., Any]
Spoil = Callable[[str, str, str], None]
Picture = Callable[[Path], dict[str, bytes]]

CLASS_LINE = 'class = "hill-club-electric"'
CASES: dict[str, tuple[tuple[str, str, str], tuple[str, ...]]] = {
    "broken TOML": (("model.toml", "\n[airframe]\n", "\n[airframe\n"), ("model.toml line", "valid TOML")),
    "unknown key": (("model.toml", "wing_area_dm2", "wing_aera_dm2"), ("nearest known: wing_area_dm2",)),
    "wrong unit key": (("model.toml", "tail_area_dm2 = 4.1", "tail_area_cm2 = 410"), ("tail_area_dm2",)),
    "negative": (("model.toml", "wing_area_dm2 = 36.0", "wing_area_dm2 = -36"), ("greater than 0", "-36")),
    "zero": (("model.toml", "mean_chord_mm = 184", "mean_chord_mm = 0"), ("greater than 0",)),
    "not a number": (("model.toml", "ceiling_m = 150", "ceiling_m = nan"), ("finite number", "nan")),
    "infinite": (("model.toml", "ceiling_m = 150", "ceiling_m = inf"), ("finite number", "inf")),
    "mass of zero": (("parts/power.toml", "mass_g = 52\n", "mass_g = 0\n"), ("mass_g", "greater than 0")),
    "pack without cells": (
        ("parts/power.toml", 'id = "p2-550"\n', 'id = "p2-550"\nparallel = 0\n'),
        ("p2-550", "parallel", "at least 1"),
    ),
    "section that nobody knows": (
        ("model.toml", 'section = "AG35"', 'section = "AG3X5"'),
        ("section", "must be a known section", "AG3X5", "nearest known: ag35"),
    ),
    "class that is not there": (("model.toml", CLASS_LINE, 'class = "hill-clbu"'), ("hill-clbu",)),
}


def assert_refused(ran: Any, *words: str) -> None:
    assert ran.code == 2
    assert ran.out == ""
    assert ran.err.count("\n") == 1, ran.err
    assert ran.err.startswith("glidewright: ")
    assert "Traceback" not in ran.err
    for word in words:
        assert word in ran.err


def assert_refused_as_json(ran: Any, command: str, *words: str) -> None:
    assert (ran.code, ran.err) == (2, "")
    assert set(ran.body) == {"ok", "command", "error", "errors"}
    assert (ran.body["ok"], ran.body["command"]) == (False, command)
    assert len(ran.body["errors"]) == 1
    assert set(ran.body["errors"][0]) == {"where", "message"}
    for word in words:
        assert word in ran.body["error"]


@pytest.mark.parametrize("case", CASES)
def test_one_fault_is_one_sentence(folder: Path, run: Run, spoil: Spoil, picture: Picture, case: str) -> None:
    change, words = CASES[case]
    spoil(*change)
    before = picture(folder)
    assert_refused(run("check", folder), *words)
    assert_refused_as_json(run("check", folder, "--json"), "check", *words)
    assert picture(folder) == before


@pytest.mark.parametrize("command", ["check", "power", "launch", "parts", "compare"])
def test_every_command_refuses_alike(tmp_path: Path, run: Run, command: str) -> None:
    assert_refused(run(command, tmp_path / "nowhere"), "nowhere")
    assert_refused_as_json(run(command, tmp_path / "nowhere", "--json"), command, "nowhere")
    (tmp_path / "empty").mkdir()
    assert_refused(run(command, tmp_path / "empty"), "model.toml")
    assert list((tmp_path / "empty").iterdir()) == []


def test_several_faults_are_several_sentences(folder: Path, run: Run, spoil: Spoil) -> None:
    spoil("model.toml", "ceiling_m = 150", "ceiling_m = -1")
    spoil("model.toml", "mean_chord_mm = 184", "mean_chord_mm = 0")
    spoil("parts/power.toml", "mass_g = 52\n", "mass_g = 0\n")
    ran = run("check", folder)
    assert (ran.code, ran.out, ran.err.count("\n")) == (2, "", 3)
    assert len(run("check", folder, "--json").body["errors"]) == 3


def test_a_pack_with_no_cells(folder: Path, run: Run) -> None:
    file = folder / "parts/power.toml"
    head, tail = file.read_text(encoding="utf-8").split('id = "p2-550"', 1)
    file.write_text(f'{head}id = "p2-550"{tail.replace("cells = 2", "cells = 0", 1)}', encoding="utf-8")
    assert_refused(run("check", folder), "p2-550", "cells", "at least 1", "0 came")


def test_an_absurd_propeller(folder: Path, run: Run) -> None:
    file = folder / "parts/power.toml"
    head, tail = file.read_text(encoding="utf-8").split('id = "f11x6"', 1)
    tail = tail.replace("diameter_in = 11", "diameter_in = 24", 1)
    file.write_text(f'{head}id = "f11x6"{tail}', encoding="utf-8")
    for command in ("check", "power", "launch"):
        assert_refused(run(command, folder), "propeller f11x6")
        assert_refused_as_json(run(command, folder, "--json"), command, "f11x6")


def test_a_class_with_a_measure_that_nobody_knows(folder: Path, run: Run, spoil: Spoil) -> None:
    spoil("model.toml", CLASS_LINE, 'class = "own"')
    (folder / "classes").mkdir()
    (folder / "classes/own.toml").write_text(
        'schema = 1\ntitle = "Own"\n[[limit]]\nmeasure = "spann"\nat_most_m = 2.0\n', encoding="utf-8"
    )
    assert_refused(run("check", folder), "spann", "span")


def test_launch_of_a_model_without_a_mass(folder: Path, run: Run, spoil: Spoil) -> None:
    spoil("model.toml", 'mass_g = { value = 30, grade = "measured", because = "letter scale" }\n', "")
    assert_refused(run("launch", folder), "boom")
    assert run("check", folder).code == 1  # what can be said is said


def refuse(monkeypatch: pytest.MonkeyPatch, number: int, *, name: str) -> None:
    """Let the system refuse a call, as it would a user without rights or on a full disk."""

    real = getattr(os, name)

    def refused(*words: Any, **options: Any) -> Any:
        if name == "open" and not words[1] & os.O_CREAT:
            return real(*words, **options)  # looking is allowed, and cleaning up looks into folders
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr(os, name, refused)


@pytest.fixture(scope="module")
def power_result(demo: Model) -> PowerResult:
    return power.run(PowerRequest(model=demo, draws=32))


@pytest.mark.parametrize(
    ("name", "number", "words"),
    [
        ("open", errno.EACCES, "not allowed"),
        ("replace", errno.EACCES, "not allowed"),
        ("write", errno.ENOSPC, "disk is full"),
        ("fsync", errno.ENOSPC, "disk is full"),
    ],
)
def test_a_page_that_cannot_be_written_leaves_the_old_one(
    folder: Path,
    tmp_path: Path,
    run: Run,
    picture: Picture,
    power_result: PowerResult,
    monkeypatch: pytest.MonkeyPatch,
    name: str,
    number: int,
    words: str,
) -> None:
    monkeypatch.setattr(power, "run", lambda _: power_result)  # computed once, written four times
    page = tmp_path / "page.html"
    page.write_text("the old page", encoding="utf-8")
    before = picture(tmp_path)
    with monkeypatch.context() as patch:
        refuse(patch, number, name=name)
        ran = run("power", folder, "--html", page)
    assert_refused(ran, words, "page.html")
    assert picture(tmp_path) == before


@pytest.mark.parametrize(
    ("name", "number", "words"),
    [
        ("mkdir", errno.EACCES, "not allowed"),
        ("open", errno.EACCES, "not allowed"),
        ("write", errno.ENOSPC, "disk is full"),
        ("rename", errno.EACCES, "not allowed"),
    ],
)
def test_a_new_folder_that_cannot_be_written_leaves_nothing(
    tmp_path: Path,
    run: Run,
    monkeypatch: pytest.MonkeyPatch,
    name: str,
    number: int,
    words: str,
) -> None:
    with monkeypatch.context() as patch:
        refuse(patch, number, name=name)
        ran = run("new", "Lark", "--in", tmp_path)
    assert_refused(ran, words, "Lark")
    assert list(tmp_path.iterdir()) == []


def test_new_into_a_folder_that_is_not_there(tmp_path: Path, run: Run) -> None:
    assert_refused(run("new", "Lark", "--in", tmp_path / "nowhere"), "nowhere")
    assert_refused_as_json(run("new", "Lark", "--in", tmp_path / "nowhere", "--json"), "new")
    assert list(tmp_path.iterdir()) == []


def test_new_over_a_folder_with_files(folder: Path, run: Run, picture: Picture) -> None:
    before = picture(folder)
    assert_refused(run("new", folder.name, "--in", folder.parent))
    assert picture(folder) == before
