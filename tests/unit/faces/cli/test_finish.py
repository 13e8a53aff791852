import json
from pathlib import Path

import pytest
import typer
from pydantic import BaseModel

from glidewright.base.errors import WriteError
from glidewright.base.figure import Figure
from glidewright.faces.cli.finish import exit_code, finish
from glidewright.faces.report.document import Document
from glidewright.rules.finding import Finding, Severity


class Nothing(BaseModel):
    pass


def finding(severity: Severity) -> Finding:
    figure = Figure.exact(2.0, "m", "m", "measured", "ruler")
    kept = {"kept": True, "broken": False}.get(severity)
    return Finding(
        name="span", title="Span", kind="class", severity=severity, kept=kept, chance=None, value=figure,
        limit="at most 2 m", unit="m", shown="m", because="",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("severities", "code"),
    [
        ((), 0),
        (("kept", "kept"), 0),
        (("kept", "doubtful"), 1),
        (("broken",), 1),
        (("unknown",), 1),
    ],
)
def test_the_exit_code_follows_the_findings(severities: tuple[Severity, ...], code: int) -> None:
    assert exit_code(finding(severity) for severity in severities) == code


def done(as_json: bool, html: Path | None = None) -> int:
    with pytest.raises(typer.Exit) as left:
        finish("check", "Lark", Nothing(), lambda: Document(title="Lark"), as_json=as_json, html=html)
    return left.value.exit_code


def test_text_goes_to_the_pipe(capsys: pytest.CaptureFixture[str]) -> None:
    assert done(as_json=False) == 0
    assert capsys.readouterr().out == "Lark\n"


def test_json_is_one_object(capsys: pytest.CaptureFixture[str]) -> None:
    assert done(as_json=True) == 0
    assert json.loads(capsys.readouterr().out)["model"] == "Lark"


def test_the_page_is_written_and_named(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    page = tmp_path / "lark.html"
    assert done(as_json=False, html=page) == 0
    assert page.read_text(encoding="utf-8").startswith("<!doctype html>")
    assert str(page) in capsys.readouterr().out
    assert [path.name for path in tmp_path.iterdir()] == ["lark.html"]


def test_a_page_that_cannot_be_written_is_said_and_nothing_shown(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(WriteError):
        finish(
            "check", "Lark", Nothing(), lambda: Document(title="Lark"),
            as_json=False, html=tmp_path / "none" / "lark.html",
        )  # fmt: skip
    assert capsys.readouterr().out == ""
