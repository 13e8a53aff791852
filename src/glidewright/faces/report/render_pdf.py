"""A document on paper: pages set by typst, as PDF or as SVG; text goes in as data and never as markup."""

import json
import re
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from importlib.resources import files
from typing import Any, Literal

from glidewright.base.figure import Figure
from glidewright.base.wording import NOT_KNOWN, spread_digits, unit_text
from glidewright.faces.report.charts import PRINT_COLOURS, chart_svg
from glidewright.faces.report.document import (
    Answers,
    BarChart,
    Block,
    Caution,
    Details,
    Document,
    Drawing,
    FindingsBlock,
    LineChart,
    Note,
    Row,
    Rows,
    ScatterChart,
    Section,
    Steps,
    Table,
)
from glidewright.faces.report.drawing import drawing_svg
from glidewright.faces.report.status import chance_of, found_text, status_of
from glidewright.faces.report.text_tables import cell_text

PAPERS: Mapping[str, str] = {"a4": "a4", "letter": "us-letter"}
Form = Literal["pdf", "svg"]
_INK = "#111111"
_SCALES = ("1", "0.94", "0.88", "0.82")  # of all type, the first with which the sheet fits its pages
_PAGE_VALUE = re.compile(r"var\(--[\w-]+, ?([^)]+)\)")
"""A value that a page may set, with what holds where there is no page."""


@dataclass(frozen=True)
class TickRow:
    """One step of a list to tick off: what to do, what to expect, what to write down beside it."""

    title: str
    text: str
    state: str
    expect: tuple[tuple[str, str], ...]
    record: tuple[str, ...]


@dataclass(frozen=True)
class Sheet:
    """How the sections of a document stand on paper, by their keys.

    left, right: two columns of the first page; below: over both columns; facts: beside the title; ticks: a
    list to tick off, on a page of its own; after: sections on pages that follow.
    """

    document: Document
    left: tuple[str, ...]
    right: tuple[str, ...]
    below: tuple[str, ...] = ()
    facts: tuple[str, ...] = ()
    ticks_title: str = ""
    ticks: tuple[TickRow, ...] = ()
    after: tuple[str, ...] = ()


def pdf_of(sheet: Sheet, paper: str = "a4") -> bytes:
    """The pages as one PDF."""
    made: bytes = _set(sheet, paper, "pdf")
    return made


def pages_of(sheet: Sheet, paper: str = "a4") -> tuple[str, ...]:
    """The same pages as SVG, one text a page."""
    made = _set(sheet, paper, "svg")
    pages = made if isinstance(made, list) else [made]
    return tuple(page.decode() for page in pages)


def _set(sheet: Sheet, paper: str, form: Form) -> Any:
    import typst  # noqa: PLC0415 - a large library that only paper needs

    source = files("glidewright.faces.report").joinpath("paper.typ").read_bytes()
    inputs = {"data": json.dumps(_data(sheet), ensure_ascii=False), "paper": PAPERS[paper]}
    wanted = 1 + bool(sheet.ticks) + len(sheet.after)

    def made(as_form: Form) -> Any:
        # every machine prints with the fonts that come with the library
        return typst.compile(source, format=as_form, ignore_system_fonts=True, sys_inputs=inputs)

    for scale in _SCALES:
        inputs["scale"] = scale
        pages = made("svg")
        if len(pages if isinstance(pages, list) else [pages]) <= wanted:
            break
    return pages if form == "svg" else made(form)


def _data(sheet: Sheet) -> dict[str, Any]:
    document = sheet.document
    by_key = {section.key: section for section in document.sections}

    def chosen(keys: tuple[str, ...]) -> list[dict[str, Any]]:
        return [_section(by_key[key]) for key in keys if key in by_key]

    return {
        "title": document.model or document.title,
        "subtitle": document.subtitle,
        "facts": list(sheet.facts),
        "verdict": "" if document.verdict is None else document.verdict.text,
        "left": chosen(sheet.left),
        "right": chosen(sheet.right),
        "below": chosen(sheet.below),
        "after": chosen(sheet.after),
        "checklist-title": sheet.ticks_title,
        "checklist": [{"number": number} | asdict(row) for number, row in enumerate(sheet.ticks, 1)],
        "cautions": [_caution(one) for one in document.cautions],
    }


def _caution(caution: Caution) -> list[str]:
    return [caution.short, caution.more]


def _section(section: Section) -> dict[str, Any]:
    flat: list[Block] = []
    for block in section.blocks:
        flat += block.blocks if isinstance(block, Details) else (block,)
    blocks = [_block(block) for block in flat]
    title = "" if all(block["kind"] == "picture" for block in blocks) else section.title
    return {"title": title, "lead": section.lead, "blocks": blocks}


def _block(block: Block) -> dict[str, Any]:  # noqa: PLR0911 - one way for each kind of block
    match block:
        case Rows():
            return {"kind": "rows", "title": block.title, "rows": [_row(row) for row in block.rows]}
        case Table():
            return _table(block)
        case FindingsBlock():
            return _findings(block)
        case Steps():
            items = [{"text": step.text, "effects": list(step.effects)} for step in block.items]
            return {"kind": "steps", "title": block.title, "ordered": block.is_ordered, "items": items}
        case Note():
            return {"kind": "note", "title": block.title, "text": block.text, "tone": block.tone}
        case Answers():
            rows = [
                {"label": one.question, "parts": [one.word, "", ""], "remark": one.text}
                for one in block.answers
            ]
            return {"kind": "rows", "title": block.title, "rows": rows}
        case LineChart() | BarChart() | ScatterChart():
            return _picture(chart_svg(block, PRINT_COLOURS), block.title, block.sentence)
        case Drawing():
            return _picture(drawing_svg(block.drawing), block.title, block.sentence)
        case Details():
            raise TypeError("details were unfolded before")


def _picture(svg: str, title: str, sentence: str) -> dict[str, Any]:
    """An SVG that stands alone: with its name space, and a colour where the page would give one."""
    head = (
        f'<svg color="{_INK}" '
        if "xmlns=" in svg[:400]
        else (f'<svg xmlns="http://www.w3.org/2000/svg" color="{_INK}" ')
    )
    alone = _PAGE_VALUE.sub(r"\1", svg.replace("<svg ", head, 1))
    return {"kind": "picture", "title": title, "sentence": sentence, "svg": alone}


def _row(row: Row) -> dict[str, Any]:
    parts = _parts(row.value) if isinstance(row.value, Figure) else [row.value, "", ""]
    return {"label": row.label, "parts": parts, "remark": row.remark}


def _parts(figure: Figure) -> list[str]:
    """Value, spread and unit, with the digits of every other form."""
    found = spread_digits(figure)
    if found is None:
        return [NOT_KNOWN, "", ""]
    value, low, high = found
    spread = "" if low == high == value else f"{low} to {high}"
    return [value, spread, unit_text(figure.shown)]


def _table(block: Table) -> dict[str, Any]:
    return {
        "kind": "table",
        "title": block.title,
        "note": block.note,
        "columns": [
            {"title": column.title, "unit": unit_text(column.unit), "right": column.is_number}
            for column in block.columns
        ],
        "rows": [
            [cell_text(cell, column) for cell, column in zip(row, block.columns, strict=True)]
            for row in block.rows
        ],
    }


def _findings(block: FindingsBlock) -> dict[str, Any]:
    rows = []
    for finding in block.findings:
        status = status_of(finding)
        rows.append(
            {
                "title": finding.title,
                "found": found_text(finding),
                "limit": finding.limit,
                "chance": chance_of(finding),
                "word": status.word,
                "kept": status.is_kept,
            }
        )
    return {"kind": "findings", "title": block.title, "rows": rows}
