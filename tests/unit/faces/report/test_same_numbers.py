"""Text, JSON and page show the same numbers."""

import json
import re
from collections.abc import Iterator
from html.parser import HTMLParser
from typing import Any

from glidewright.base.figure import Figure
from glidewright.base.wording import number_text
from glidewright.decisions.nouns import CheckResult
from glidewright.faces.report.document import (
    Answers,
    BarChart,
    Document,
    FindingsBlock,
    LineChart,
    Rows,
    Table,
)
from glidewright.faces.report.render_html import render_html
from glidewright.faces.report.render_json import render_json
from glidewright.faces.report.render_text import cell_text, render_text

_ESCAPES = re.compile(r"\x1b\[[0-9;]*m")


class _Words(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.text = ""

    def handle_data(self, data: str) -> None:
        self.text += data


def _one_line(text: str) -> str:
    return " ".join(text.replace("\u00a0", " ").split())


def _shown(document: Document) -> Iterator[tuple[Figure, str]]:
    """Every figure of a document with the words that stand for it."""
    for section in document.sections:
        for block in section.blocks:
            table = block if isinstance(block, Table) else None
            if isinstance(block, Answers):
                yield from ((a.figure, number_text(a.figure)) for a in block.answers if a.figure)
            elif isinstance(block, Rows):
                yield from (
                    (r.value, number_text(r.value)) for r in block.rows if isinstance(r.value, Figure)
                )
            elif isinstance(block, FindingsBlock):
                yield from ((f.value, number_text(f.value)) for f in block.findings)
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


def test_every_figure_reads_the_same_in_text_page_and_json(result: CheckResult, document: Document) -> None:
    text = _one_line(_ESCAPES.sub("", render_text(document, width=400, is_plain=False)))
    words = _Words()
    words.feed(render_html(document))
    page = _one_line(words.text)
    body = json.loads(render_json("check", result.model, result, result.findings, result.sources))
    in_json = set(_numbers(body["result"]))

    shown = list(_shown(document))
    assert len(shown) > 80
    for figure, reads in shown:
        assert reads in text
        assert reads in page
        for number in (figure.value, figure.low, figure.high):
            assert number is None or number in in_json


def test_a_changed_figure_changes_all_three(result: CheckResult) -> None:
    from glidewright.faces.report import check  # noqa: PLC0415 - the fixture's document is of the old figure

    assert result.mass is not None
    total = result.mass.total.model_copy(update={"value": 0.59341, "low": 0.58712, "high": 0.59988})
    changed = result.model_copy(update={"mass": result.mass.model_copy(update={"total": total})})
    document = check.document(changed)
    assert "593 (587 to 600) g" in render_text(document)
    words = _Words()
    words.feed(render_html(document))
    assert "593 (587 to 600) g" in _one_line(words.text)
    body = json.loads(render_json("check", changed.model, changed))
    assert body["result"]["mass"]["total"]["value"] == 0.59341
