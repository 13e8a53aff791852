"""A document as one self-contained page: styles and pictures inside, no script, no foreign host."""

from collections.abc import Callable
from html import escape
from importlib.resources import files

from glidewright import __version__
from glidewright.base.figure import Figure
from glidewright.base.wording import (
    NOT_KNOWN,
    chance_text,
    plain_text,
    sentence,
    spread_digits,
    unit_text,
)
from glidewright.faces.report.charts import chart_svg
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
    Tone,
    without_repeats,
)
from glidewright.faces.report.spread_bar import spread_bar
from glidewright.faces.report.status import IN_WORDS, remark_on, status_of
from glidewright.rules.finding import Finding
from glidewright.rules.measure import WORDS

_TONE_SIGN: dict[Tone, str] = {"plain": "", "good": "✓", "warning": "▲", "alarm": "✕"}
_NARROW_TABLE = 3


def render_html(document: Document) -> str:
    """The whole page as text."""
    style = files("glidewright.faces.report").joinpath("page.css").read_text(encoding="utf-8")
    title = _words(document.title)
    subtitle = f'<p class="subtitle">{_words(document.subtitle)}</p>' if document.subtitle else ""
    links = "".join(f'<li><a href="#{s.key}">{_words(s.title)}</a></li>' for s in document.sections)
    body = "\n".join(_section(section) for section in document.sections)
    return f"""<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<title>{title}</title>
<style>
{style}</style>
</head>
<body>
<div class="page">
<header class="top">
<h1>{title}</h1>
{subtitle}
<nav aria-label="Sections"><ul>{links}</ul></nav>
</header>
<main>
{body}
{_cautions(document.cautions)}
</main>
<footer><p>A number in brackets is the 10 to 90 % range: one result in ten lies below it, one in ten above.
The thin bar beside a figure shows the same range; its track is half the value wide to either side, or as
wide as range and limit need. Made by glidewright {_words(__version__)}.</p></footer>
</div>
</body>
</html>
"""


def figure_html(figure: Figure, shown: str | None = None, with_unit: bool = True) -> str:
    """A figure with quiet spread and small unit; its text is that of ``number_text``."""
    found = spread_digits(figure, shown)
    if found is None:
        return f'<span class="figure unknown">{NOT_KNOWN}</span>'
    value, low, high = found
    symbol = unit_text(figure.shown if shown is None else shown)
    unit = f' <span class="unit">{_words(symbol)}</span>' if symbol and with_unit else ""
    if low == high == value:
        return f'<span class="figure">{value}{unit}</span>'
    return f'<span class="figure">{value} <span class="spread">({low} to {high}){unit}</span></span>'


def _words(text: str) -> str:
    """Text for the page; a number stays on one line with its per cent sign."""
    return escape(text).replace(" %", "&nbsp;%")


def _section(section: Section) -> str:
    lead = f'<p class="lead">{_words(section.lead)}</p>' if section.lead else ""
    blocks = "\n".join(_block(block) for block in section.blocks)
    key = escape(section.key)
    return (
        f'<section id="{key}" aria-labelledby="{key}-title">\n'
        f'<h2 id="{key}-title">{_words(section.title)}</h2>\n{lead}\n{blocks}\n</section>'
    )


def _block(block: Block) -> str:
    return _WRITERS[type(block)](block)


def _heading(title: str) -> str:
    return f"<h3>{_words(title)}</h3>\n" if title else ""


def _tone(word: str, tone: Tone) -> str:
    sign = f'<span class="sign" aria-hidden="true">{_TONE_SIGN[tone]}</span>' if _TONE_SIGN[tone] else ""
    return f'<span class="word tone-{tone}">{sign}{_words(word)}</span>'


def _answers(block: Answers) -> str:
    cells = []
    for answer in block.answers:
        figure = figure_html(answer.figure) if answer.figure is not None else ""
        cells.append(
            f'<div class="answer"><dt>{_words(answer.question)}</dt>'
            f"<dd>{_tone(answer.word, answer.tone) if answer.word else ''}{' ' if figure else ''}{figure}"
            f'<div class="text">{_words(sentence(answer.text))}</div></dd></div>'
        )
    return f'{_heading(block.title)}<dl class="answers">{"".join(cells)}</dl>'


def _rows(block: Rows) -> str:
    body = "\n".join(_row(row) for row in without_repeats(block.rows))
    return (
        f'{_heading(block.title)}<div class="scroll"><table class="stack rows"><thead><tr>'
        '<th scope="col">What</th><th scope="col">Value</th>'
        '<th scope="col"><span class="hidden">Spread as a bar</span></th>'
        '<th scope="col">Known how</th><th scope="col">Remark</th></tr></thead>'
        f"<tbody>\n{body}\n</tbody></table></div>"
    )


def _row(row: Row) -> str:
    label = f'<th scope="row">{_words(row.label)}</th>'
    if isinstance(row.value, str):
        return (
            f'<tr>{label}<td>{_words(row.value)}</td><td class="bar-cell"></td><td class="grade"></td>'
            f'<td class="remark">{_words(row.remark)}</td></tr>'
        )
    known = row.value.value is not None
    remark = row.remark or ("" if known else row.value.because)
    grade = row.value.grade if known else ""
    return (
        f'<tr>{label}<td>{figure_html(row.value)}</td><td class="bar-cell">{spread_bar(row.value)}</td>'
        f'<td class="grade">{grade}</td><td class="remark">{_words(remark)}</td></tr>'
    )


def _table(block: Table) -> str:
    note = f'<p class="table-note">{_words(block.note)}</p>' if block.note else ""
    return _heading(block.title) + _bare_table(block) + note


def _bare_table(block: Table) -> str:
    head = "".join(_head(column) for column in block.columns)
    body = "\n".join(_table_row(row, block.columns) for row in block.rows)
    # whatever may have to be moved sideways can be reached with the keyboard
    reach = f' tabindex="0" role="region" aria-label="{_words(block.title or "Table")}"'
    kind = ' class="many"' if len(block.columns) > _NARROW_TABLE else ""
    return (
        f'<div class="scroll"{reach}><table{kind}><thead><tr>{head}</tr></thead>'
        f"<tbody>\n{body}\n</tbody></table></div>"
    )


def _table_row(row: tuple[Cell, ...], columns: tuple[Column, ...]) -> str:
    cells = [_cell(cell, column) for cell, column in zip(row, columns, strict=True)]
    first = f'<th scope="row"{_side(columns[0])}>{cells[0]}</th>'
    rest = (f"<td{_side(column)}>{text}</td>" for text, column in zip(cells[1:], columns[1:], strict=True))
    return f"<tr>{first}{''.join(rest)}</tr>"


def _side(column: Column) -> str:
    return ' class="number"' if column.is_number else ""


def _head(column: Column) -> str:
    symbol = unit_text(column.unit)
    unit = f' <span class="unit">{_words(symbol)}</span>' if symbol else ""
    return f'<th scope="col"{_side(column)}>{_words(column.title)}{unit}</th>'


def _cell(cell: Cell, column: Column) -> str:
    if cell is None:
        return "–"
    if isinstance(cell, Figure):
        return figure_html(cell, column.unit or None, with_unit=not column.unit)
    if isinstance(cell, float):
        return plain_text(cell, column.unit, with_unit=False)
    return _words(str(cell))


def _findings(block: FindingsBlock) -> str:
    rows = []
    for finding in block.findings:
        status = status_of(finding)
        because = remark_on(finding)
        why = f'\n<tr class="why"><td colspan="6">{_words(because)}</td></tr>' if because else ""
        leads = ' class="leads"' if because else ""
        found = IN_WORDS if finding.unit == WORDS else figure_html(finding.value)
        sign = f'<span class="sign" aria-hidden="true">{status.sign}</span>'
        rows.append(
            f'<tr{leads}><th scope="row">{_words(finding.title)}</th>'
            f'<td class="word status tone-{status.tone}">{sign}{status.word}</td>'
            f'<td data-label="value">{found}</td>'
            f'<td class="bar-cell">{spread_bar(finding.value, _nearest_bound(finding))}</td>'
            f'<td class="allowed" data-label="allowed">{_words(finding.limit)}</td>'
            f'<td class="number" data-label="chance">{chance_text(finding.chance)}</td></tr>{why}'
        )
    body = "\n".join(rows)
    return (
        f'{_heading(block.title)}<div class="scroll"><table class="stack findings"><thead><tr>'
        '<th scope="col">Limit</th><th scope="col">Finding</th><th scope="col">Value</th>'
        '<th scope="col"><span class="hidden">Spread and limit as a bar</span></th>'
        '<th scope="col">Allowed</th><th scope="col" class="number">Chance</th></tr></thead>'
        f"<tbody>\n{body}\n</tbody></table></div>"
    )


def _nearest_bound(finding: Finding) -> float | None:
    bounds = [bound for bound in (finding.at_least, finding.at_most) if bound is not None]
    value = finding.value.value
    return None if value is None else min(bounds, key=lambda bound: abs(bound - value), default=None)


def _chart(block: LineChart | BarChart) -> str:
    numbers = ""
    if block.table is not None:
        numbers = (
            f"<details><summary>The numbers behind this chart</summary>{_bare_table(block.table)}</details>"
        )
    return (
        f'<figure class="chart" id="{_words(block.key)}"><div class="picture">{chart_svg(block)}</div>'
        f"<figcaption><strong>{_words(block.title)}</strong>{_words(block.sentence)}</figcaption>{numbers}</figure>"
    )


def _steps(block: Steps) -> str:
    tag = "ol" if block.is_ordered else "ul"
    items = "".join(f"<li>{_words(item)}</li>" for item in block.items)
    return f"{_heading(block.title)}<{tag}>{items}</{tag}>"


def _note(block: Note) -> str:
    sign = _TONE_SIGN[block.tone]
    if sign:
        sign = f'<span class="sign tone-{block.tone}" aria-hidden="true">{sign}</span>'
    title = f"<strong>{_words(block.title)}.</strong> " if block.title else ""
    return f'<div class="note {block.tone}"><p>{sign}{title}{_words(block.text)}</p></div>'


def _cautions(cautions: tuple[str, ...]) -> str:
    if not cautions:
        return ""
    sign = '<span class="sign tone-warning" aria-hidden="true">▲</span>'
    items = "".join(f"<li>{sign}{_words(caution)}</li>" for caution in cautions)
    return (
        '<section class="cautions" id="cautions" aria-labelledby="cautions-title">'
        f'<h2 id="cautions-title">Cautions</h2><ul>{items}</ul></section>'
    )


_WRITERS: dict[type, Callable[..., str]] = {
    Answers: _answers,
    Rows: _rows,
    Table: _table,
    FindingsBlock: _findings,
    LineChart: _chart,
    BarChart: _chart,
    Steps: _steps,
    Note: _note,
}
