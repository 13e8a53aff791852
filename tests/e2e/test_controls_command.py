"""``controls`` from the command line: answers, and linkages that cannot be, one sentence each."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Run = Callable[..., Any]
Spoil = Callable[[str, str, str], None]
Picture = Callable[[Path], dict[str, bytes]]
ELEVATOR = "arm_mm = 8\nhorn_mm = 13\nhorn_ahead_mm = 0\n"
THROW = "guide_mm = 120\nservo_throw_deg = 42\nstop_deg = 28\n"

CASES: dict[str, tuple[tuple[str, str], tuple[str, ...]]] = {
    "a linkage that cannot move": (
        (ELEVATOR, "arm_mm = 8\nhorn_mm = 0.5\nhorn_ahead_mm = 13\n"),
        ("'elevator': horn_mm", "must stand across the rod", "nothing can move"),
    ),
    "an arm in line with the rod": (
        (ELEVATOR, f"{ELEVATOR}arm_angle_deg = 79\n"),
        ("'elevator'", "binds at", "rod and arm lie in line"),
    ),
    "a horn behind the hinge": (
        (ELEVATOR, "arm_mm = 8\nhorn_mm = 13\nhorn_ahead_mm = -8\n"),
        ("'elevator': horn_ahead_mm", "must bring the hole over the hinge line", "8.0 mm behind it"),
    ),
    "no throw": (
        (THROW, THROW.replace("42", "0")),
        ("'elevator': servo_throw_deg", "must be greater than 0°", "0 came"),
    ),
    "more travel than the servo has": (
        (THROW, THROW.replace("42", "60")),
        ("'elevator': servo_throw_deg", "must be at most 45.0°", "60.0° came", "s6"),
    ),
    "binding": (
        (ELEVATOR, "arm_mm = 20\nhorn_mm = 13\nhorn_ahead_mm = 0\n"),
        ("'elevator': arm_mm", "whole travel, 42.0° of the servo", "binds at 41.0°", "longer horn"),
    ),
    "a servo that is not there": (
        ('servo = "rudder servo"', 'servo = "ruder servo"'),
        ("'rudder': servo", "nearest known: rudder servo"),
    ),
}


@pytest.mark.parametrize("case", CASES)
def test_one_fault_is_one_sentence(folder: Path, run: Run, spoil: Spoil, picture: Picture, case: str) -> None:
    change, words = CASES[case]
    spoil("model.toml", *change)
    before = picture(folder)
    ran = run("controls", folder)
    assert (ran.code, ran.out, ran.err.count("\n")) == (2, "", 1), ran.err
    assert ran.err.startswith("glidewright: model.toml")
    for word in words:
        assert word in ran.err
    as_json = run("controls", folder, "--json")
    assert (as_json.code, as_json.err, as_json.body["ok"]) == (2, "", False)
    assert len(as_json.body["errors"]) == 1
    assert picture(folder) == before


def test_several_bad_linkages_are_named_at_once(folder: Path, run: Run, spoil: Spoil) -> None:
    spoil("model.toml", *CASES["a horn behind the hinge"][0])
    spoil("model.toml", "arm_mm = 11\nhorn_mm = 13\n", "arm_mm = 25\nhorn_mm = 13\n")
    ran = run("controls", folder)
    assert (ran.code, ran.err.count("\n")) == (2, 2)
    # what has nothing to do with linkages goes on
    assert run("glide", folder).code == 0


def test_the_answer_reads_at_80_columns_and_says_the_same_everywhere(
    folder: Path, run: Run, tmp_path: Path
) -> None:
    page = tmp_path / "controls.html"
    ran = run("controls", folder, "--html", page)
    assert (ran.code, ran.err) == (1, "")  # the rudder servo of the demo is a flaw on purpose
    assert max(len(line) for line in ran.out.splitlines() if "Page written" not in line) <= 80
    for words in ("Throws and trim to set", "propeller off the motor", "Brake: try it first at height"):
        assert words in ran.out
    html = page.read_text(encoding="utf-8")
    assert "Deflection over servo angle" in html
    assert "Elevator that goes with the brake" in html
    whole = run("controls", folder, "--all")
    assert max(map(len, whole.out.splitlines())) <= 80
    assert "Who weighs what when" in whole.out
    body = run("controls", folder, "--json").body
    up = next(throw for throw in body["result"]["throws"] if throw["way"] == "up")
    assert f"{1000.0 * up['edge']['value']:.1f} mm up" in ran.out
    assert {finding["name"] for finding in body["findings"] if finding["kept"] is False} == {"rudder_torque"}


def test_the_example_of_new_breaks_none_of_these_limits(tmp_path: Path, run: Run) -> None:
    assert run("new", "Lark", "--in", tmp_path).code == 0
    body = run("controls", tmp_path / "Lark", "--json").body
    assert body["ok"] is True
    assert [finding["name"] for finding in body["findings"] if finding["kept"] is False] == []
