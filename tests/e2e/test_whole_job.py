"""From an empty folder to the answers, as a flyer and as a program sees them."""

import json
import re
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from glidewright import __version__
from glidewright.base.figure import GRADES
from glidewright.store.writing import append_table, set_value

FINDING = {"name", "kept", "chance", "value", "limit", "unit", "because"}
CONTRACT = {"ok", "command", "model", "result", "findings", "sources", "version"}


def program(*words: object, where: Path) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "glidewright", *(str(word) for word in words)]
    return subprocess.run(command, cwd=where, capture_output=True, text=True, check=False, timeout=120)


def figures_in(thing: Any, place: str = "") -> Iterator[tuple[str, dict[str, Any]]]:
    if isinstance(thing, dict):
        if {"value", "low", "high", "grade"} <= thing.keys():
            yield place, thing
        for key, part in thing.items():
            yield from figures_in(part, f"{place}.{key}")
    elif isinstance(thing, list):
        for number, part in enumerate(thing):
            yield from figures_in(part, f"{place}[{number}]")


def assert_contract(body: Any, command: str) -> None:
    assert set(body) == CONTRACT
    assert (body["ok"], body["command"], body["version"]) == (True, command, __version__)
    for finding in body["findings"]:
        assert set(finding) == FINDING
        assert set(finding["limit"]) == {"text", "at_least", "at_most"}
        assert (finding["chance"] is None) or 0.0 <= finding["chance"] <= 1.0
        assert finding["because"]
    for place, figure in figures_in(body["result"]):
        assert set(figure) == {"value", "unit", "low", "high", "grade", "because"}, place
        assert figure["grade"] in GRADES, place
        if figure["value"] is None:
            assert figure["because"], place
        else:
            assert figure["low"] <= figure["value"] <= figure["high"], place


def figure_of(point: Any, name: str) -> dict[str, Any]:
    return next(row["figure"] for row in point["figures"] if row["name"] == name)


def width(figure: dict[str, Any]) -> float:
    return float(figure["high"] - figure["low"])


def test_a_new_folder_runs_as_it_is_from_a_shell(tmp_path: Path) -> None:
    made = program("new", "Lark", where=tmp_path)
    assert (made.returncode, made.stderr) == (0, "")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["Lark"]
    checked = program("check", "Lark", "--json", where=tmp_path)
    body = json.loads(checked.stdout)
    assert_contract(body, "check")
    assert body["model"] == "Lark"
    assert checked.returncode == (0 if all(f["kept"] for f in body["findings"]) else 1)


def test_a_wrong_folder_is_one_sentence_from_a_shell(tmp_path: Path) -> None:
    refused = program("check", "nowhere", where=tmp_path)
    assert (refused.returncode, refused.stdout) == (2, "")
    assert refused.stderr.count("\n") == 1
    assert "Traceback" not in refused.stderr


def test_the_new_example_keeps_its_limits(tmp_path: Path, run: Callable[..., Any]) -> None:
    assert run("new", "Lark", "--in", tmp_path).code == 0
    for command in ("check", "power", "launch", "parts"):
        ran = run(command, tmp_path / "Lark", "--json")
        body = ran.body
        assert_contract(body, command)
        assert ran.err == ""
        kept = [finding["kept"] for finding in body["findings"]]
        assert ran.code == (0 if all(kept) else 1), command
        assert False not in kept


def test_the_demo_breaks_what_it_breaks_on_purpose(
    folder: Path, tmp_path: Path, run: Callable[..., Any], picture: Callable[[Path], dict[str, bytes]]
) -> None:
    before = picture(folder)
    page = tmp_path / "page.html"
    ran = run("check", folder, "--json", "--html", page)
    assert ran.code == 1
    assert_contract(ran.body, "check")
    broken = {finding["name"] for finding in ran.body["findings"] if finding["kept"] is False}
    assert broken == {"balance", "pack_current"}
    assert picture(folder) == before  # a check writes nothing into the folder
    text = page.read_text(encoding="utf-8")
    assert "<svg" in text
    assert not re.search(r"<script|javascript:|\son\w+=", text, re.IGNORECASE)
    addresses = set(re.findall(r"(?:https?:)?//[\w.-]+", text))
    assert addresses <= {"http://www.w3.org"}  # the name of a namespace, nothing is fetched from it
    assert not re.search(r"<link|@import|<iframe|<img[^>]+src=[\"'](?!data:)", text, re.IGNORECASE)
    assert sorted(path.name for path in tmp_path.iterdir()) == ["hill", "page.html"]


def test_the_text_says_what_the_json_says(folder: Path, run: Callable[..., Any]) -> None:
    told, counted = run("launch", folder), run("launch", folder, "--json")
    assert told.code == counted.code == 1
    height = figure_of(counted.body["result"]["launch"], "height_true_m")["value"]
    assert f"{height:.0f}" in told.out


def test_a_bench_reading_narrows_the_power_figures(folder: Path, run: Callable[..., Any]) -> None:
    before = run("power", folder, "--json").body["result"]["power"]["at_rest"]
    revs = figure_of(before, "revs_per_s")["value"]
    reading = {
        "voltage_V": round(figure_of(before, "pack_voltage_V")["value"], 2),
        "current_A": round(figure_of(before, "pack_current_A")["value"], 1),
        "speed_rpm": round(60 * revs),
    }
    append_table(folder, "bench", reading)
    answer = run("power", folder, "--json").body["result"]["power"]
    for name in ("pack_current_A", "revs_per_s", "shaft_power_W", "thrust_N"):
        assert width(figure_of(answer["at_rest"], name)) < width(figure_of(before, name)), name
    assert len(answer["evidence"]) == 1
    assert f"{60 * revs:.0f}" in answer["evidence"][0]


@pytest.mark.usefixtures("without_changes")
def test_a_weighing_moves_the_mass_and_says_how_far(folder: Path, run: Callable[..., Any]) -> None:
    before = run("check", folder, "--json").body["result"]["mass"]
    append_table(folder, "weighing", {"of": ["all"], "mass_g": 640, "x_mm": 62})
    after = run("check", folder, "--json").body["result"]["mass"]
    assert after["total"]["value"] == pytest.approx(0.640, abs=2e-4)
    assert after["planned_total"]["value"] == before["planned_total"]["value"]
    assert width(after["total"]) < width(before["total"])
    moved = 1e3 * (after["total"]["value"] - after["planned_total"]["value"])
    assert f"{moved:+.1f} g" in after["moved"][0]
    centre = next(row["figure"] for row in after["centre"] if row["name"] == "cg_x_m")
    assert centre["value"] == pytest.approx(0.062, abs=2e-4)


def test_a_changed_key_changes_the_answer(folder: Path, run: Callable[..., Any]) -> None:
    set_value(folder, "model.toml", ("launch", "motor_run_s"), 10)
    body = run("launch", folder, "--json").body
    run_s = figure_of(body["result"]["launch"], "motor_run_s")
    assert run_s["value"] == pytest.approx(10.0, abs=0.3)


@pytest.mark.usefixtures("without_changes")
def test_a_model_without_a_class_is_checked(
    folder: Path, run: Callable[..., Any], spoil: Callable[[str, str, str], None]
) -> None:
    spoil("model.toml", 'class = "hill-club-electric"', 'class = ""')
    body = run("check", folder, "--json").body
    assert_contract(body, "check")
    assert "span" not in {finding["name"] for finding in body["findings"]}


@pytest.mark.usefixtures("without_changes")
def test_a_propeller_outside_the_measured_sizes_is_computed_with_a_remark(
    folder: Path, run: Callable[..., Any], spoil: Callable[[str, str, str], None]
) -> None:
    inside = run("check", folder, "--json").body["result"]
    spoil("parts/power.toml", 'id = "f11x6"', 'id = "f11x6-old"')
    append_table(
        folder,
        "propeller",
        {"id": "f11x6", "diameter_in": 17, "pitch_in": 8, "folding": True, "mass_g": 20},
        "parts/power.toml",
    )
    outside = run("check", folder, "--json").body["result"]
    assert inside["remarks"] == []
    assert any("f11x6" in remark for remark in outside["remarks"])
    one, other = (r["power"]["at_rest"] for r in (inside, outside))
    relative = [width(f) / f["value"] for f in (figure_of(p, "thrust_N") for p in (one, other))]
    assert relative[1] > relative[0]


@pytest.mark.usefixtures("without_changes")
def test_a_motor_that_cannot_turn_the_propeller_is_a_broken_finding(
    folder: Path, run: Callable[..., Any], spoil: Callable[[str, str, str], None]
) -> None:
    spoil(
        "parts/power.toml",
        "kv_rpm_per_V = 1020\n",
        "kv_rpm_per_V = 1020\nresistance_mohm = 1000\nno_load_current_A = 20\n",
    )
    for command in ("check", "power", "launch"):
        ran = run(command, folder, "--json")
        (drive,) = (finding for finding in ran.body["findings"] if finding["name"] == "drive")
        assert (ran.code, drive["kept"], ran.err) == (1, False, "")
        assert "cannot turn" in drive["because"]
