"""check, power and launch on the packaged demo, from the command line to the three kinds of output."""

import json
import shutil
from pathlib import Path

import pytest

from glidewright.data import packaged
from glidewright.faces.cli.main import main


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    target = tmp_path_factory.mktemp("demo") / "hill"
    shutil.copytree(str(packaged("demo", "hill-demo")), target)
    return target


def test_check_answers_in_text_and_page(
    demo: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    page = tmp_path / "check.html"
    assert main(["check", str(demo), "--html", str(page)]) == 1  # the demo breaks a limit on purpose
    text = capsys.readouterr().out
    assert "X Pack current, broken: " in text
    assert len(text.splitlines()) < 140
    assert text.index("What to change first") > text.index("Limits")
    assert max(map(len, text.splitlines())) <= max(80, len(f"Page written: {page}"))
    assert "http" not in page.read_text(encoding="utf-8")


def test_all_prints_what_the_short_form_leaves_out(demo: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["power", str(demo)]) == 1
    short = capsys.readouterr().out
    assert main(["power", str(demo), "--all"]) == 1
    whole = capsys.readouterr().out
    assert "spread mostly from" not in short
    assert "spread mostly from" in whole
    assert "--all prints" in short
    assert "--all prints" not in whole
    assert max(map(len, whole.splitlines())) <= 80


@pytest.mark.parametrize("command", ["power", "launch"])
def test_power_and_launch_answer_in_text(
    demo: Path, command: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main([command, str(demo)]) == 1
    text = capsys.readouterr().out
    assert text.startswith(f"{command.capitalize()} of Hill Demo")
    assert max(map(len, text.splitlines())) <= 80


def test_launch_answers_in_json(demo: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["launch", str(demo), "--json"]) == 1
    said = capsys.readouterr().out
    body = json.loads(said, parse_constant=lambda name: pytest.fail(f"{name} in the JSON"))
    assert body["command"] == "launch"
    rows = body["result"]["launch"]["rows"]
    assert rows[0]["height"]["low"] < rows[0]["height"]["value"] < rows[0]["height"]["high"]
    assert {finding["name"] for finding in body["findings"]} >= {"launch_height", "motor_run"}
