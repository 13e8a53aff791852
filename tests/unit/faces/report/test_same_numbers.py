"""Text, JSON and page show the same numbers: of an invented result, and of the real ones of the demo."""

import json
import math
import re
from collections.abc import Callable, Iterator
from html.parser import HTMLParser
from typing import Any

import pytest
from pydantic import BaseModel

from glidewright.base.figure import Figure
from glidewright.base.wording import number_text
from glidewright.data import packaged
from glidewright.decisions import check as check_job
from glidewright.decisions import launch as launch_job
from glidewright.decisions import power as power_job
from glidewright.decisions.nouns import CheckResult
from glidewright.faces.cli.model_and_class import model_and_class
from glidewright.faces.report import check, launch, power
from glidewright.faces.report.document import (
    Answers,
    BarChart,
    Block,
    Details,
    Document,
    FindingsBlock,
    LineChart,
    Rows,
    Table,
)
from glidewright.faces.report.render_html import render_html
from glidewright.faces.report.render_json import render_json
from glidewright.faces.report.render_text import render_text
from glidewright.faces.report.text_tables import cell_text

_ESCAPES = re.compile(r"\x1b\[[0-9;]*m")
_DRAWS = 128
Shown = tuple[BaseModel, Document]


class _Words(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.text = ""

    def handle_data(self, data: str) -> None:
        self.text += data


def _one_line(text: str) -> str:
    return " ".join(text.replace("\u00a0", " ").split())


def _page(document: Document) -> str:
    words = _Words()
    words.feed(render_html(document))
    return _one_line(words.text)


def _shown(blocks: tuple[Block, ...]) -> Iterator[tuple[Figure, str]]:
    """Every figure of some blocks with the words that stand for it."""
    for block in blocks:
        table = block if isinstance(block, Table) else None
        if isinstance(block, Details):
            yield from _shown(block.blocks)
        elif isinstance(block, Answers):
            yield from ((a.figure, number_text(a.figure)) for a in block.answers if a.figure)
        elif isinstance(block, Rows):
            yield from ((r.value, number_text(r.value)) for r in block.rows if isinstance(r.value, Figure))
        elif isinstance(block, FindingsBlock):
            yield from ((f.value, number_text(f.value)) for f in block.findings if f.unit != "words")
        elif isinstance(block, LineChart | BarChart):
            table = block.table
        if table is not None:
            for row in table.rows:
                for cell, column in zip(row, table.columns, strict=True):
                    if isinstance(cell, Figure):
                        yield cell, cell_text(cell, column)


def _numbers(thing: Any) -> Iterator[float]:
    if isinstance(thing, dict):
        thing = list(thing.values())
    if isinstance(thing, list):
        for part in thing:
            yield from _numbers(part)
    elif isinstance(thing, int | float):
        yield float(thing)


def _figures(thing: Any) -> Iterator[Figure]:
    """Every figure that a result holds, however deep."""
    if isinstance(thing, Figure):
        yield thing
    elif isinstance(thing, BaseModel):
        for name in type(thing).model_fields:
            yield from _figures(getattr(thing, name))
    elif isinstance(thing, tuple | list):
        for part in thing:
            yield from _figures(part)


def _figure_objects(thing: Any) -> Iterator[dict[str, Any]]:
    if isinstance(thing, dict):
        if "grade" in thing and "value" in thing:
            yield thing
        thing = list(thing.values())
    if isinstance(thing, list):
        for part in thing:
            yield from _figure_objects(part)


@pytest.fixture(scope="module")
def real() -> dict[str, Shown]:
    """The results of the packaged demo, of a few draws."""
    model, rule = model_and_class(packaged("demo", "hill-demo"))
    checked = check_job.run(check_job.CheckRequest(model=model, rule=rule, draws=_DRAWS))
    powered = power_job.run(power_job.PowerRequest(model=model, rule=rule, draws=_DRAWS))
    launched = launch_job.run(launch_job.LaunchRequest(model=model, rule=rule, draws=_DRAWS))
    return {
        "check": (checked, check.document(checked)),
        "power": (powered, power.document(powered)),
        "launch": (launched, launch.document(launched)),
    }


@pytest.fixture(params=["invented", "check", "power", "launch"])
def answer(
    request: pytest.FixtureRequest, result: CheckResult, document: Document, real: dict[str, Shown]
) -> Shown:
    return (result, document) if request.param == "invented" else real[request.param]


def _json_of(result: BaseModel) -> Any:
    refuse: Callable[[str], Any] = lambda name: pytest.fail(f"{name} in the JSON")  # noqa: E731 - one word
    text = render_json("check", "Lark", result, getattr(result, "findings", ()))
    return json.loads(text, parse_constant=refuse)


def test_every_figure_reads_the_same_in_text_page_and_json(answer: Shown) -> None:
    result, document = answer
    text = _one_line(_ESCAPES.sub("", render_text(document, width=400, is_plain=False, with_details=True)))
    page = _page(document)
    in_json = set(_numbers(_json_of(result)["result"]))

    shown = [pair for section in document.sections for pair in _shown(section.blocks)]
    assert len(shown) > 60
    for figure, reads in shown:
        assert reads in text
        assert reads in page
        for number in (figure.value, figure.low, figure.high):
            assert number is None or number in in_json


def test_every_figure_of_the_json_is_whole(answer: Shown) -> None:
    result, _ = answer
    objects = list(_figure_objects(_json_of(result)["result"]))
    figures = list(_figures(result))
    assert len(figures) > 50
    assert len(objects) >= len(figures)
    for found in objects:
        if isinstance(found["value"], dict):  # a finding or an answer that holds a figure
            continue
        assert {"value", "unit", "low", "high", "grade", "because"} <= set(found)
        numbers = (found["low"], found["value"], found["high"])
        if found["value"] is None:
            assert numbers == (None, None, None)
            assert found["because"]
        else:
            assert all(map(math.isfinite, numbers))
            assert found["low"] <= found["value"] <= found["high"]


@pytest.mark.parametrize("name", ["check", "power", "launch"])
def test_the_short_text_shows_only_what_the_whole_holds(name: str, real: dict[str, Shown]) -> None:
    result, document = real[name]
    short, whole = (render_text(document, with_details=wanted) for wanted in (False, True))
    assert len(short.splitlines()) < 0.5 * len(whole.splitlines())
    ranges = re.compile(r"[\d.]+ \([\d.-]+ to [\d.-]+\)")
    shown = [pair for section in document.sections for pair in _shown(section.blocks)]
    known = {reads for _, reads in shown} | {number_text(figure) for figure in _figures(result)}
    for found in ranges.findall(" ".join(short.split())):
        assert any(found in reads for reads in known)


def test_a_changed_figure_changes_all_three(result: CheckResult) -> None:
    assert result.mass is not None
    total = result.mass.total.model_copy(update={"value": 0.59341, "low": 0.58712, "high": 0.59988})
    changed = result.model_copy(update={"mass": result.mass.model_copy(update={"total": total})})
    document = check.document(changed)
    assert "593 (587 to 600) g" in render_text(document)
    assert "593 (587 to 600) g" in _page(document)
    assert _json_of(changed)["result"]["mass"]["total"]["value"] == 0.59341
