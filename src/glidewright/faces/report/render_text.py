"""A document as text for a terminal or a pipe.

The short form fits a few screens and ends with what matters most: the changes and the verdict. Plain text
(a pipe, or NO_COLOR) carries no escape sequence, no box drawing and no sign of ours outside ASCII; names
that the flyer wrote stay as they are.
"""

import io
from collections.abc import Callable

from rich.console import Console

from glidewright.base.wording import number_text, sentence
from glidewright.faces.report.document import (
    Answers,
    BarChart,
    Block,
    Caution,
    Chart,
    Details,
    Document,
    Drawing,
    FindingsBlock,
    LineChart,
    Note,
    Rows,
    ScatterChart,
    Section,
    Steps,
    Table,
)
from glidewright.faces.report.letters import let_go
from glidewright.faces.report.text_pen import INDENT, THEME, TONE_STYLE, Pen
from glidewright.faces.report.text_tables import write_findings, write_rows, write_table

_TONE_SIGN = {"plain": "", "good": "✓", "warning": "!", "alarm": "✕"}
_LEAST_WIDTH = 40
_EFFECTS_IN_SHORT = 3
_MORE = "--all prints every figure and where its spread comes from."


def render_text(
    document: Document, width: int = 80, is_plain: bool = True, with_details: bool = False
) -> str:
    """The document as text.

    is_plain: for a pipe or NO_COLOR, else with colours; with_details: all of it, not the short form.
    """
    out = io.StringIO()
    console = Console(
        file=out,
        width=max(width, _LEAST_WIDTH),
        force_terminal=not is_plain,
        no_color=is_plain,
        color_system=None if is_plain else "standard",
        highlight=False,
        markup=False,
        emoji=False,
        theme=THEME,
        legacy_windows=False,
    )
    _document(Pen(console, is_plain, with_details), document)
    text = let_go(out.getvalue())
    return "\n".join(line.rstrip() for line in text.splitlines()) + "\n"


def _document(pen: Pen, document: Document) -> None:
    pen.write(pen.words(document.title, "head"))
    if document.subtitle:
        pen.write(pen.words(document.subtitle, "quiet"))
    shown = [section for section in document.sections if pen.with_details or not section.is_detail]
    for section in shown:
        if not section.is_last:
            _section(pen, section)
    _cautions(pen, document.cautions)
    for section in shown:
        if section.is_last:
            _section(pen, section)
    if document.verdict is not None:
        pen.gap()
        _note(pen, document.verdict, indent=0)
    if not pen.with_details and _leaves_out(document):
        pen.write(pen.words(_MORE, "quiet"))


def _leaves_out(document: Document) -> bool:
    """Whether the short form shows less than the document holds."""
    blocks = [block for section in document.sections for block in section.blocks]
    folded = (Details, Rows, FindingsBlock, LineChart, BarChart, ScatterChart, Drawing)
    return any(section.is_detail for section in document.sections) or any(
        isinstance(block, folded) for block in blocks
    )


def _cautions(pen: Pen, cautions: tuple[Caution, ...]) -> None:
    if not cautions:
        return
    _heading(pen, "Cautions")
    for caution in cautions:
        pen.bullet("!", caution.text if pen.with_details else caution.short, "warning")


def _heading(pen: Pen, title: str) -> None:
    """The title of a section with a rule behind it over the rest of the line."""
    pen.gap()
    words = pen.words(title, "accent")
    rule = "-" if pen.is_plain else "─"
    pen.write(words.append(f" {rule * (pen.console.width - words.cell_len - 1)}", "quiet"))


def _section(pen: Pen, section: Section) -> None:
    _heading(pen, section.title)
    if section.lead:
        pen.write(pen.words(section.lead))
    shown = [block for block in section.blocks if pen.with_details or not _is_detail(block)]
    for number, block in enumerate(shown):
        if number or (section.lead and pen.with_details):
            pen.gap()
        _block(pen, block)


def _is_detail(block: Block) -> bool:
    """Details, and pictures: their numbers are details where they stand nowhere else."""
    return isinstance(block, Details | LineChart | BarChart | ScatterChart | Drawing)


def _block(pen: Pen, block: Block) -> None:
    if block.title and not isinstance(block, Note):
        pen.write(pen.words(block.title, "head"))
    _WRITERS[type(block)](pen, block)


def _answers(pen: Pen, block: Answers) -> None:
    for answer in block.answers:
        pen.write(pen.words(answer.question, "head"), INDENT)
        shown = number_text(answer.figure) if answer.figure is not None else ""
        said = pen.words(answer.word, TONE_STYLE[answer.tone])
        rest = "; ".join(part for part in (shown, answer.text) if part)
        pen.write(said.append(pen.letters(f" - {rest}" if answer.word else rest), ""), 2 * INDENT)


def _chart(pen: Pen, block: Chart) -> None:
    pen.write(pen.words(block.sentence), INDENT)
    if block.table is not None:
        write_table(pen, block.table)


def _drawing(pen: Pen, block: Drawing) -> None:
    pen.write(pen.words(block.sentence), INDENT)


def _steps(pen: Pen, block: Steps) -> None:
    for number, item in enumerate(block.items, 1):
        pen.bullet(f"{number}." if block.is_ordered else "•", item.text)
        told = item.effects if pen.with_details else item.effects[:_EFFECTS_IN_SHORT]
        more = f"{sentence('; '.join(told))} {item.terms}".strip()
        if more:
            pen.write(pen.words(more), 2 * INDENT + 1)


def _note(pen: Pen, block: Note, indent: int = INDENT) -> None:
    text = f"{block.title}: {block.text}" if block.title else block.text
    sign = _TONE_SIGN[block.tone]
    if sign:
        pen.bullet(sign, text, TONE_STYLE[block.tone], indent)
    else:
        pen.write(pen.words(text), indent)


def _details(pen: Pen, block: Details) -> None:
    for number, part in enumerate(block.blocks):
        if number:
            pen.gap()
        _block(pen, part)


_WRITERS: dict[type, Callable[..., None]] = {
    Answers: _answers,
    Rows: write_rows,
    Table: write_table,
    FindingsBlock: write_findings,
    LineChart: _chart,
    BarChart: _chart,
    ScatterChart: _chart,
    Drawing: _drawing,
    Steps: _steps,
    Note: _note,
    Details: _details,
}
