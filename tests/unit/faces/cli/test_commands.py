import json
from pathlib import Path

import pytest

from glidewright.faces.cli.main import main


@pytest.fixture
def lark(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Path:
    assert main(["new", "Lark", "--in", str(tmp_path)]) == 0
    capsys.readouterr()
    return tmp_path / "Lark"


def test_new_writes_a_folder_and_says_what_to_do_next(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["new", "Lark", "--in", str(tmp_path)]) == 0
    assert (tmp_path / "Lark" / "model.toml").is_file()
    assert "glidewright check" in capsys.readouterr().out


def test_new_never_overwrites(lark: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = (lark / "model.toml").read_bytes()
    assert main(["new", "Lark", "--in", str(lark.parent), "--json"]) == 2
    assert json.loads(capsys.readouterr().out)["ok"] is False
    assert (lark / "model.toml").read_bytes() == before


def test_parts_lists_the_drawer(lark: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["parts", str(lark), "--kind", "motor"]) == 0
    text = capsys.readouterr().out
    assert "Motor" in text
    assert "Measure next" in text
    assert max(map(len, text.splitlines())) <= 80


def test_parts_as_json_holds_the_rows(lark: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["parts", str(lark), "mass_g<30", "--kind", "propeller", "--json"]) == 0
    body = json.loads(capsys.readouterr().out)
    assert body["command"] == "parts"
    assert body["model"] == "Lark"
    rows = body["result"]["rows"]
    assert rows
    assert all(row["kind"] == "propeller" and row["mass"]["value"] < 0.03 for row in rows)


def test_parts_refuses_an_unknown_kind_in_one_sentence(
    lark: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["parts", str(lark), "--kind", "motr"]) == 2
    said = capsys.readouterr()
    assert "motor" in said.err
    assert said.err.count("\n") == 1


def test_the_whole_drawer_reads_at_80_columns(lark: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["parts", str(lark)]) == 0
    text = capsys.readouterr().out
    assert max(map(len, text.splitlines())) <= 80
    assert "all invented for the demo" in text
    assert "fitted 2 times" in text


def test_plan_writes_an_outcome_and_shows_what_is_next(
    lark: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["plan", str(lark)]) == 0
    text = capsys.readouterr().out
    assert "Next step" in text and "Weigh the model" in text
    assert max(map(len, text.splitlines())) <= 80
    words = ["--well", "weigh", "--found", "mass_g=603", "--day", "2026-05-01"]
    assert main(["plan", str(lark), *words, "--json"]) == 0
    steps = json.loads(capsys.readouterr().out)["result"]["steps"]
    assert [one["state"] for one in steps[:2]] == ["done", "next"]
    assert 'step = "weigh"' in (lark / "model.toml").read_text(encoding="utf-8")


def test_plan_leaves_with_one_after_a_step_that_went_badly(
    lark: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["plan", str(lark), "--badly", "range", "--note", "servo twitched"]) == 1
    assert "WENT BADLY" in capsys.readouterr().out
    assert main(["plan", str(lark), "--well", "rnge"]) == 2
    assert "nearest known: range" in capsys.readouterr().err


def test_sheet_writes_the_pages_whole(lark: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    pdf, html = tmp_path / "sheet.pdf", tmp_path / "sheet.html"
    assert main(["sheet", str(lark), "--pdf", str(pdf), "--html", str(html), "--day", "2026-05-01"]) in (0, 1)
    text = capsys.readouterr().out
    assert str(pdf) in text.replace("\n", "")
    assert max(map(len, text.split("Page written")[0].splitlines())) <= 80
    assert pdf.read_bytes().startswith(b"%PDF-")
    assert html.read_text(encoding="utf-8").startswith("<!doctype html>")
    assert main(["sheet", str(lark), "--pdf", str(tmp_path / "none" / "sheet.pdf")]) == 2
    assert "make the folder first" in capsys.readouterr().err
