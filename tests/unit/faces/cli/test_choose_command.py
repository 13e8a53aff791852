"""``choose`` on the packaged demo, from the command line to the three kinds of output."""

import json
from html.parser import HTMLParser
from pathlib import Path

import pytest

from glidewright.base.wording import number_text
from glidewright.data import packaged
from glidewright.decisions import choose as job
from glidewright.decisions.choosing.nouns import ChooseResult
from glidewright.faces.cli.main import main
from glidewright.faces.cli.model_and_class import model_and_class
from glidewright.faces.report import choose
from glidewright.faces.report.charts import specification
from glidewright.faces.report.document import ScatterChart
from glidewright.faces.report.render_html import render_html
from glidewright.faces.report.render_json import render_json
from glidewright.faces.report.render_text import render_text

DEMO = Path(str(packaged("demo", "hill-demo")))
CATALOGUE = Path(str(packaged("demo", "hill-catalogue.toml")))


@pytest.fixture(scope="module")
def result() -> ChooseResult:
    model, rule = model_and_class(DEMO)
    return job.run(job.ChooseRequest(model=model, rule=rule, draws=64))


def test_text_and_page(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    page = tmp_path / "choose.html"
    asked = ["choose", str(DEMO), "--parts", str(CATALOGUE), "--buy", "2", "--html", str(page)]
    assert main(asked) == 1  # no seller states every limit
    text = capsys.readouterr().out
    assert text.startswith("Parts for Hill Demo 2000")
    for heading in (
        "What should be fitted?",
        "Builds that nothing beats",
        "What took builds out",
        "Recommended:",
    ):
        assert heading in text
    assert max(map(len, text.splitlines())) <= max(80, len(f"Page written: {page}"))
    written = page.read_text(encoding="utf-8")
    assert "http" not in written
    assert "Launch height and launches per charge of the builds" in written
    assert 'role="img"' in written
    assert "whiskers: 10 to 90" in written


def test_json_is_one_object(capsys: pytest.CaptureFixture[str]) -> None:
    asked = ["choose", str(DEMO), "--buy", "1", "--goal", "height", "--goal", "mass", "--json"]
    assert main(asked) == 1
    said = capsys.readouterr()
    body = json.loads(said.out)
    assert said.err == ""
    assert body["command"] == "choose"
    result = body["result"]
    assert result["goals"] == ["height", "mass"]
    assert result["is_partial"] is False
    best = result["choices"][0]
    assert best["build"]["motor"] == "m28-1020"
    height = next(one["figure"] for one in best["values"] if one["name"] == "height")
    assert height["low"] <= height["value"] <= height["high"]
    assert "at the middle of every input" in height["because"]
    assert {one["name"] for one in body["findings"]} >= {"climb_rate", "pack_current"}


def test_a_stop_shows_what_was_found_and_leaves_with_130(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], result: ChooseResult
) -> None:
    partial = result.model_copy(update={"is_partial": True, "stopped_in": "screening parts to buy"})
    monkeypatch.setattr(job, "run", lambda *_, **__: partial)
    assert main(["choose", str(DEMO)]) == 130
    said = capsys.readouterr()
    assert "Stopped while screening parts to buy: a partial answer." in " ".join(said.out.split())
    assert "run the command again for a whole answer" in said.err
    assert main(["choose", str(DEMO), "--json"]) == 130
    assert json.loads(capsys.readouterr().out)["result"]["is_partial"] is True


class _Words(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.text = ""

    def handle_data(self, data: str) -> None:
        self.text += data


def test_text_page_and_json_show_the_same_numbers(result: ChooseResult) -> None:
    document = choose.document(result)
    text = " ".join(render_text(document, width=400, with_details=True).split())
    words = _Words()
    words.feed(render_html(document))
    page = " ".join(words.text.replace("\u00a0", " ").split())
    body = json.loads(render_json("choose", result.model, result, result.findings, ()))["result"]
    assert len(result.choices) == len(body["choices"]) > 1
    for choice, as_json in zip(result.choices, body["choices"], strict=True):
        for name in result.goals:
            figure = choice.value(name)
            reads = number_text(figure, with_unit=False)
            assert reads in text
            assert reads in page
            found = next(one["figure"] for one in as_json["values"] if one["name"] == name)
            assert (found["low"], found["value"], found["high"]) == (figure.low, figure.value, figure.high)
    for heading in ("What became of every part", "How it was searched"):
        assert heading in text
        assert heading in page


def test_the_picture_has_a_dot_for_every_build_and_its_words(result: ChooseResult) -> None:
    document = choose.document(result)
    charts = [b for section in document.sections for b in section.blocks if isinstance(b, ScatterChart)]
    assert len(charts) == 1
    dots = charts[0].dots
    assert [dot.label for dot in dots] == [str(i) for i in range(1, len(result.choices) + 1)]
    drawn = specification(charts[0])["data"]["values"]
    first = result.choices[0].value("height")
    assert first.value is not None
    assert drawn[0]["x"] == pytest.approx(first.value, rel=1e-4)
    assert drawn[0]["x_low"] <= drawn[0]["x"] <= drawn[0]["x_high"]
    assert charts[0].sentence.startswith("Build 1, the recommended one, has launch height")


def test_money_on_an_axis_has_its_currency(result: ChooseResult) -> None:
    swapped = result.model_copy(
        update={
            "goals": ("cost", "height", "launches"),
            "goal_titles": ("Cost of new parts", "Launch height", "Launches per charge"),
        }
    )
    document = choose.document(swapped)
    chart = next(b for section in document.sections for b in section.blocks if isinstance(b, ScatterChart))
    assert chart.x.title == "Cost of new parts, EUR"
    assert specification(chart)["encoding"]["x"]["axis"]["title"] == "Cost of new parts, EUR"


def test_one_build_alone_has_no_picture(result: ChooseResult) -> None:
    alone = result.model_copy(update={"choices": result.choices[:1], "one_more": (), "on_hand": result.now})
    text = render_text(choose.document(alone))
    assert "What can be had without buying?" in text
    assert not any(
        isinstance(b, ScatterChart) for section in choose.document(alone).sections for b in section.blocks
    )
