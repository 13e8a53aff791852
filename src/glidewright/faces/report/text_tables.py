"""Tables, rows and findings as text; the short form leaves out what a first reading can do without."""

import textwrap
from collections.abc import Sequence

from rich.text import Text

from glidewright.base.figure import Figure
from glidewright.base.wording import number_text, plain_text, unit_text
from glidewright.faces.report.document import Cell, Column, FindingsBlock, Row, Rows, Table
from glidewright.faces.report.status import cause_of, chance_of, found_text, remark_on, status_of
from glidewright.faces.report.text_pen import (
    GAP,
    INDENT,
    NARROW_TEXT,
    TONE_STYLE,
    Pen,
    Side,
    folded,
    grid,
    stacked,
)
from glidewright.rules.finding import Finding

_STATUS_AND_CHANCE = 20
_AS_ABOVE = "as above"


def write_rows(pen: Pen, block: Rows) -> None:
    """Label and figure a line; with details also grade and cause of the spread."""
    texts = [tuple(map(pen.letters, row_texts(row, pen.with_details))) for row in block.rows]
    widths = [max((len(row[place]) for row in texts), default=0) for place in range(3)]
    label_room = max(pen.console.width - INDENT - widths[1] - widths[2] - 2 * GAP, NARROW_TEXT)
    width = min(widths[0], label_room)
    last = ""
    for label, shown, grade, remark in texts:
        first, *more = textwrap.wrap(label, width) or [""]
        line = Text(first.ljust(width + GAP) + shown.ljust(widths[1] + GAP)).append(grade, "quiet")
        room = pen.console.width - INDENT - len(line) - GAP
        is_beside = 0 < len(remark) <= room and not grade
        pen.write(line.append(remark if is_beside else "", "quiet"), INDENT)
        for rest in more:
            pen.write(Text(rest), INDENT)
        if remark and not is_beside:
            pen.write(Text(_AS_ABOVE if remark == last else remark, "quiet"), 2 * INDENT + 2)
        last = remark


def row_texts(row: Row, with_details: bool) -> tuple[str, str, str, str]:
    """Label, value, grade and remark of a row; a figure that is known speaks for itself in the short form."""
    if isinstance(row.value, str):
        return row.label, row.value, "", row.remark
    if row.value.value is None:
        return row.label, number_text(row.value), "", row.remark or row.value.because
    if with_details:
        return row.label, number_text(row.value), row.value.grade, row.remark or row.value.because
    return row.label, number_text(row.value), "", ""


def write_table(pen: Pen, block: Table) -> None:
    """A table; where room is short the range of a figure stands under it."""
    columns = block.columns
    texts = [
        [cell_text(cell, column) for cell, column in zip(row, columns, strict=True)] for row in block.rows
    ]
    heads = [_head(column) for column in columns]
    room = pen.console.width - INDENT - GAP * (len(heads) - 1)
    if sum(_least_widths(columns, heads, texts)) > room:
        texts = [
            [stacked(text) if column.is_number else text for text, column in zip(row, columns, strict=True)]
            for row in texts
        ]
    made = grid()
    for place, column in enumerate(columns):
        lines = [line for row in texts for line in row[place].split("\n")]
        head = folded(heads[place], max(map(len, lines), default=0)) if column.is_number else heads[place]
        side: Side = "right" if column.is_number else "left"
        made.add_column(pen.words(head), justify=side, no_wrap=column.is_number, overflow="fold")
    for row in texts:
        made.add_row(*(pen.words(text) for text in row))
    pen.write(made, INDENT)
    if block.note:
        pen.write(pen.words(block.note, "quiet"), INDENT)


def _least_widths(
    columns: Sequence[Column], heads: Sequence[str], texts: Sequence[Sequence[str]]
) -> list[int]:
    """Width that each column needs: text may wrap, down to a width that still reads; numbers may not.

    The heading of a number folds between its words.
    """
    least = []
    for column, head, *cells in zip(columns, heads, *texts, strict=True):
        longest = max(map(len, cells), default=0)
        if column.is_number:
            least.append(max(longest, *map(len, head.split() or [""])))
        else:
            least.append(min(max(longest, len(head)), NARROW_TEXT))
    return least


def write_findings(pen: Pen, block: FindingsBlock) -> None:
    """A table with the reasons below it; in the short form a paragraph for each that is not kept.

    There all limits that nobody stated share one paragraph, and all that are kept another.
    """
    if pen.with_details:
        _write_listed(pen, block.findings)
        return
    count = len(block.findings)
    kept = [_kept_words(finding) for finding in block.findings if status_of(finding).is_kept]
    unstated = [f"{f.title.lower()} {found_text(f)}" for f in block.findings if _is_unstated(f)]
    for finding in block.findings:
        status = status_of(finding)
        if not status.is_kept and not _is_unstated(finding):
            pen.bullet(status.sign, _finding_words(finding), TONE_STYLE[status.tone])
    if unstated:
        text = f"Limit not stated, {len(unstated)} of {count}: {', '.join(unstated)}; ask for it or measure."
        pen.bullet("?", text, "warning")
    if kept:
        pen.bullet("✓", f"Kept, {len(kept)} of {count}: {', '.join(kept)}.", "good")


def _is_unstated(finding: Finding) -> bool:
    """Whether a number was found, but no limit for it is stated."""
    is_open = finding.at_least is None and finding.at_most is None
    return finding.severity == "unknown" and is_open and finding.value.value is not None


def _finding_words(finding: Finding) -> str:
    """A finding that is not kept: what was found, what is allowed, and why."""
    lead = f"{finding.title}, {status_of(finding).word}"
    if finding.chance is None or finding.is_certain:
        return f"{lead}: {remark_on(finding)}"
    found = f"{lead}: {found_text(finding)}; {finding.limit}; chance to keep it {chance_of(finding)}."
    return f"{found} {remark_on(finding)}".rstrip()


def _kept_words(finding: Finding) -> str:
    """The name of a kept limit, with its chance where that is not nearly sure."""
    name = finding.title.lower()
    chance = chance_of(finding)
    return name if chance.startswith(("over", "100")) else f"{name} ({chance})"


def _write_listed(pen: Pen, findings: Sequence[Finding]) -> None:
    values = [found_text(finding) for finding in findings]
    titles, limits = [f.title for f in findings], [f.limit for f in findings]
    wide = [max(map(len, texts)) for texts in (titles, values, limits)]
    least = _STATUS_AND_CHANCE + min(wide[0], NARROW_TEXT) + wide[1] + min(wide[2], NARROW_TEXT)
    if least + 4 * GAP + INDENT > pen.console.width:
        values = [stacked(value) for value in values]
    made = grid()
    for title in ("", "Limit", "Value", "Allowed", "Chance"):
        side: Side = "right" if title == "Chance" else "left"
        may_wrap = title in ("Limit", "Allowed")
        made.add_column(pen.words(title), justify=side, no_wrap=not may_wrap, overflow="fold")
    for finding, value in zip(findings, values, strict=True):
        status = status_of(finding)
        made.add_row(
            pen.words(f"{status.sign} {status.word}", TONE_STYLE[status.tone]),
            pen.words(finding.title),
            pen.words(value),
            pen.words(finding.limit),
            pen.words(chance_of(finding)),
        )
    pen.write(made, INDENT)
    for finding in findings:
        remark = f"{remark_on(finding)} {cause_of(finding)}".strip()
        if remark:
            pen.bullet("•", f"{finding.title}: {remark}")


def cell_text(cell: Cell, column: Column) -> str:
    """A cell in the unit of its column, or in its own unit where the column has none."""
    if cell is None:
        return "-"
    if isinstance(cell, str):
        return cell
    if isinstance(cell, Figure):
        return number_text(cell, column.unit or None, with_unit=not column.unit)
    if isinstance(cell, int):
        return str(cell)
    return plain_text(cell, column.unit, with_unit=False)


def _head(column: Column) -> str:
    unit = unit_text(column.unit)
    return f"{column.title}, {unit}" if unit else column.title
