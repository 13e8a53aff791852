"""A document as text for a terminal or a pipe.

Plain text (a pipe, or NO_COLOR) carries no escape sequence, no box drawing and no sign of ours outside
ASCII; names that the flyer wrote stay as they are.
"""

import io
import textwrap
from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from rich.box import Box
from rich.console import Console, RenderableType
from rich.padding import Padding
from rich.table import Table as RichTable
from rich.text import Text
from rich.theme import Theme

from glidewright.base.figure import Figure
from glidewright.base.wording import chance_text, number_text, plain_text, unit_text
from glidewright.faces.report.document import (
    Answers,
    BarChart,
    Block,
    Cell,
    Column,
    Document,
    FindingsBlock,
    LineChart,
    Note,
    Row,
    Rows,
    Section,
    Steps,
    Table,
    without_repeats,
)
from glidewright.faces.report.letters import ascii_text, held_together, let_go
from glidewright.faces.report.status import found_text, remark_on, status_of

_HEAD_RULE = Box("    \n    \n -- \n    \n    \n    \n    \n    \n", ascii=True)
_TONE_STYLE = {"plain": "", "good": "good", "warning": "warning", "alarm": "alarm"}
_THEME = Theme(
    {
        "good": "green",
        "warning": "yellow",
        "alarm": "bold red",
        "quiet": "dim",
        "head": "bold",
        "accent": "bold cyan",
    }
)
_INDENT = 2
_GAP = 2
_ROW_COLUMNS = 4
_NARROW_TEXT = 20
_STATUS_AND_CHANCE = 20
_Side = Literal["left", "right"]


@dataclass(frozen=True)
class _Pen:
    """How to write: width in characters, and whether only plain characters are wanted."""

    console: Console
    is_plain: bool

    def words(self, text: str, style: str = "") -> Text:
        """Text in its style, in plain characters when wanted."""
        return Text(self.letters(text), style=style)

    def letters(self, text: str) -> str:
        """The same text in plain characters when wanted."""
        joined = held_together(text)
        return ascii_text(joined) if self.is_plain else joined

    def write(self, what: RenderableType, indent: int = 0) -> None:
        """One renderable, indented."""
        self.console.print(Padding(what, (0, 0, 0, indent)))

    def gap(self) -> None:
        """An empty line."""
        self.console.print()


def render_text(document: Document, width: int = 80, is_plain: bool = True) -> str:
    """The whole document; ``is_plain`` for a pipe or NO_COLOR, else with colours for a terminal."""
    out = io.StringIO()
    console = Console(
        file=out,
        width=max(width, 40),
        force_terminal=not is_plain,
        no_color=is_plain,
        color_system=None if is_plain else "standard",
        highlight=False,
        markup=False,
        emoji=False,
        theme=_THEME,
        legacy_windows=False,
    )
    pen = _Pen(console, is_plain)
    pen.write(pen.words(document.title, "head"))
    if document.subtitle:
        pen.write(pen.words(document.subtitle, "quiet"))
    for section in document.sections:
        _section(pen, section)
    if document.cautions:
        pen.gap()
        pen.write(pen.words("Cautions", "accent"))
        for caution in document.cautions:
            _bullet(pen, "!", caution)
    text = let_go(out.getvalue())
    return "\n".join(line.rstrip() for line in text.splitlines()) + "\n"


def _section(pen: _Pen, section: Section) -> None:
    pen.gap()
    title = pen.letters(section.title)
    pen.write(Text(title, style="accent"))
    pen.write(Text(("-" if pen.is_plain else "─") * len(title), style="quiet"))
    if section.lead:
        pen.write(pen.words(section.lead))
    for number, block in enumerate(section.blocks):
        if number or section.lead:
            pen.gap()
        _block(pen, block)


def _block(pen: _Pen, block: Block) -> None:
    title = getattr(block, "title", "")
    if title and not isinstance(block, Note):
        pen.write(pen.words(title, "head"))
    _WRITERS[type(block)](pen, block)


def _answers(pen: _Pen, block: Answers) -> None:
    for answer in block.answers:
        pen.write(pen.words(answer.question, "head"), _INDENT)
        shown = number_text(answer.figure) if answer.figure is not None else ""
        said = pen.words(answer.word, _TONE_STYLE[answer.tone])
        rest = "; ".join(part for part in (shown, answer.text) if part)
        pen.write(said.append(pen.letters(f" - {rest}" if answer.word else rest), ""), 2 * _INDENT)


def _rows(pen: _Pen, block: Rows) -> None:
    rows = [tuple(map(pen.letters, _row_texts(row))) for row in without_repeats(block.rows)]
    widths = [max((len(row[place]) for row in rows), default=0) for place in range(_ROW_COLUMNS)]
    room = pen.console.width - _INDENT
    if room < sum(widths) + 3 * _GAP:
        label_room = room - widths[1] - widths[2] - 2 * _GAP
        _rows_with_remarks_below(pen, rows, (max(min(widths[0], label_room), _NARROW_TEXT), widths[1]))
        return
    grid = _grid(has_head=False)
    for style in ("", "", "quiet", "quiet"):
        grid.add_column(style=style, overflow="fold")
    for row in rows:
        grid.add_row(*map(Text, row))
    pen.write(grid, _INDENT)


def _rows_with_remarks_below(pen: _Pen, rows: list[tuple[str, ...]], widths: tuple[int, int]) -> None:
    """Where a remark has no room beside its figure, it stands under it over the whole width."""
    for label, shown, grade, remark in rows:
        first, *more = textwrap.wrap(label, widths[0]) or [""]
        line = Text(first.ljust(widths[0] + _GAP) + shown.ljust(widths[1] + _GAP))
        pen.write(line.append(grade, "quiet"), _INDENT)
        for rest in more:
            pen.write(Text(rest), _INDENT)
        if remark:
            pen.write(Text(remark, "quiet"), 2 * _INDENT + 2)


def _row_texts(row: Row) -> tuple[str, str, str, str]:
    """Label, value, grade and remark of a row."""
    if isinstance(row.value, str):
        return row.label, row.value, "", row.remark
    if row.value.value is None:
        return row.label, number_text(row.value), "", row.remark or row.value.because
    return row.label, number_text(row.value), row.value.grade, row.remark


def _table(pen: _Pen, block: Table) -> None:
    columns = block.columns
    texts = [
        [cell_text(cell, column) for cell, column in zip(row, columns, strict=True)] for row in block.rows
    ]
    heads = [_head(column) for column in block.columns]
    room = pen.console.width - _INDENT - _GAP * (len(heads) - 1)
    widths = [max(map(len, column)) for column in zip(heads, *texts, strict=True)]
    # text may wrap, down to a width that still reads; numbers may not
    least = [
        width if column.is_number else min(width, _NARROW_TEXT)
        for width, column in zip(widths, columns, strict=True)
    ]
    if sum(least) > room:
        texts = [
            [
                _stacked(text) if column.is_number else text
                for text, column in zip(row, block.columns, strict=True)
            ]
            for row in texts
        ]
    grid = _grid()
    for place, column in enumerate(block.columns):
        lines = [line for row in texts for line in row[place].split("\n")]
        head = _folded(heads[place], max(map(len, lines), default=0)) if column.is_number else heads[place]
        side: _Side = "right" if column.is_number else "left"
        grid.add_column(pen.words(head), justify=side, no_wrap=column.is_number, overflow="fold")
    for row in texts:
        grid.add_row(*(pen.words(text) for text in row))
    pen.write(grid, _INDENT)
    if block.note:
        pen.write(pen.words(block.note, "quiet"), _INDENT)


def _stacked(text: str) -> str:
    """The range of a figure under its value, where room is short."""
    return text.replace(" (", "\n(", 1)


def _folded(head: str, width: int) -> str:
    """A heading in lines as wide as its column, or as its longest word."""
    longest = max(map(len, head.split()), default=1)
    return "\n".join(textwrap.wrap(head, max(width, longest)))


def _findings(pen: _Pen, block: FindingsBlock) -> None:
    values = [found_text(finding) for finding in block.findings]
    widths = [
        max((len(text) for text in texts), default=0)
        for texts in ([f.title for f in block.findings], values, [f.limit for f in block.findings])
    ]
    least = _STATUS_AND_CHANCE + min(widths[0], _NARROW_TEXT) + widths[1] + min(widths[2], _NARROW_TEXT)
    if least + 4 * _GAP + _INDENT > pen.console.width:
        values = [_stacked(value) for value in values]
    grid = _grid()
    for title in ("", "Limit", "Value", "Allowed", "Chance"):
        side: _Side = "right" if title == "Chance" else "left"
        may_wrap = title in ("Limit", "Allowed")
        grid.add_column(pen.words(title), justify=side, no_wrap=not may_wrap, overflow="fold")
    for finding, value in zip(block.findings, values, strict=True):
        status = status_of(finding)
        grid.add_row(
            pen.words(f"{status.sign} {status.word}", _TONE_STYLE[status.tone]),
            pen.words(finding.title),
            pen.words(value),
            pen.words(finding.limit),
            pen.words(chance_text(finding.chance)),
        )
    pen.write(grid, _INDENT)
    for finding in block.findings:
        remark = remark_on(finding)
        if remark:
            _bullet(pen, pen.letters("•"), f"{finding.title}: {remark}")


def _chart(pen: _Pen, block: LineChart | BarChart) -> None:
    pen.write(pen.words(block.sentence), _INDENT)
    if block.table is not None:
        _table(pen, block.table)


def _steps(pen: _Pen, block: Steps) -> None:
    for number, item in enumerate(block.items, 1):
        _bullet(pen, f"{number}." if block.is_ordered else pen.letters("•"), item)


def _note(pen: _Pen, block: Note) -> None:
    lead = f"{block.title}: " if block.title else ""
    sign = "!" if block.tone in ("warning", "alarm") else ""
    text = pen.words(lead + block.text, _TONE_STYLE[block.tone])
    if sign:
        _bullet(pen, sign, lead + block.text)
    else:
        pen.write(text, _INDENT)


_WRITERS: dict[type, Callable[..., None]] = {
    Answers: _answers,
    Rows: _rows,
    Table: _table,
    FindingsBlock: _findings,
    LineChart: _chart,
    BarChart: _chart,
    Steps: _steps,
    Note: _note,
}


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


def _grid(has_head: bool = True) -> RichTable:
    return RichTable(
        box=_HEAD_RULE if has_head else None,
        show_header=has_head,
        show_edge=False,
        pad_edge=False,
        padding=(0, 1, 0, 0) if has_head else (0, 2, 0, 0),
        header_style="quiet",
    )


def _bullet(pen: _Pen, sign: str, text: str) -> None:
    """A sign and a hanging paragraph; a long word, a path say, stays whole so that it can be copied."""
    lead = " " * _INDENT + sign + " "
    lines = textwrap.wrap(
        pen.letters(text),
        pen.console.width,
        initial_indent=lead,
        subsequent_indent=" " * len(lead),
        break_long_words=False,
        break_on_hyphens=False,
    )
    made = Text("\n".join(lines))
    if sign == "!":
        made.stylize("warning", _INDENT, len(lead))
    pen.console.print(made, no_wrap=True, overflow="ignore", crop=False)
