"""Tables, rows and findings of a page."""

from glidewright.base.figure import Figure
from glidewright.base.wording import plain_text, unit_text
from glidewright.faces.report.document import Cell, Column, FindingsBlock, Row, Rows, Table
from glidewright.faces.report.html_words import figure_html, folded_html, heading_html, page_words, sign_html
from glidewright.faces.report.spread_bar import spread_bar
from glidewright.faces.report.status import IN_WORDS, cause_of, chance_of, remark_on, status_of
from glidewright.rules.finding import Finding
from glidewright.rules.measure import WORDS

_NARROW_TABLE = 5


def rows_html(block: Rows) -> str:
    """Figures under their labels, and folded below them where each spread comes from."""
    body = "\n".join(map(_row, block.rows))
    return (
        f'{heading_html(block.title)}<div class="scroll"><table class="stack rows"><thead><tr>'
        '<th scope="col">What</th><th scope="col">Value</th>'
        '<th scope="col"><span class="hidden">Spread as a bar</span></th>'
        '<th scope="col">Grade</th></tr></thead>'
        f"<tbody>\n{body}\n</tbody></table></div>{_causes(block)}"
    )


def _row(row: Row) -> str:
    label = f'<th scope="row">{page_words(row.label)}'
    if isinstance(row.value, str):
        value, bar, grade, remark = page_words(row.value), "", "", row.remark
    else:
        known = row.value.value is not None
        value, bar = figure_html(row.value), spread_bar(row.value)
        grade, remark = (row.value.grade, row.remark) if known else ("", row.remark or row.value.because)
    small = f'<span class="remark">{page_words(remark)}</span>' if remark else ""
    return (
        f'<tr>{label}{small}</th><td>{value}</td><td class="bar-cell">{bar}</td>'
        f'<td class="grade">{grade}</td></tr>'
    )


def _causes(block: Rows) -> str:
    """Which figures share which cause of their spread."""
    labels: dict[str, list[str]] = {}
    for row in block.rows:
        if isinstance(row.value, Figure) and row.value.value is not None and row.value.because:
            labels.setdefault(row.value.because, []).append(row.label)
    if not labels:
        return ""
    pairs = "".join(
        f"<div><dt>{page_words(', '.join(named))}</dt><dd>{page_words(because)}</dd></div>"
        for because, named in labels.items()
    )
    return folded_html("Where the spread comes from", f"<dl>{pairs}</dl>", "causes")


def table_html(block: Table) -> str:
    """A table under its title, with its note."""
    note = f'<p class="table-note">{page_words(block.note)}</p>' if block.note else ""
    return heading_html(block.title) + bare_table(block) + note


def bare_table(block: Table) -> str:
    """The table alone."""
    head = "".join(_head(column) for column in block.columns)
    body = "\n".join(_table_row(row, block.columns) for row in block.rows)
    # whatever may have to be moved sideways can be reached with the keyboard
    reach = f' tabindex="0" role="group" aria-label="{page_words(block.title or "Table")}"'
    is_wide = sum(column.is_number for column in block.columns) > _NARROW_TABLE
    kind = ' class="many"' if is_wide else ""
    return (
        f'<div class="scroll"{reach}><table{kind}><thead><tr>{head}</tr></thead>'
        f"<tbody>\n{body}\n</tbody></table></div>"
    )


def _table_row(row: tuple[Cell, ...], columns: tuple[Column, ...]) -> str:
    cells = [_cell(cell, column) for cell, column in zip(row, columns, strict=True)]
    first = f'<th scope="row"{_side(columns[0]) or _bare(columns[0])}>{cells[0]}</th>'
    rest = (f"<td{_side(column)}>{text}</td>" for text, column in zip(cells[1:], columns[1:], strict=True))
    return f"<tr>{first}{''.join(rest)}</tr>"


def _side(column: Column) -> str:
    return ' class="number"' if column.is_number else ""


def _bare(column: Column) -> str:
    """A first column without a heading holds a number or a mark, and needs no room for words."""
    return "" if column.title else ' class="bare"'


def _head(column: Column) -> str:
    symbol = unit_text(column.unit)
    if not column.title and not symbol:
        return f"<td{_side(column)}></td>"  # a corner that names nothing
    unit = f' <span class="unit">{page_words(symbol)}</span>' if symbol else ""
    return f'<th scope="col"{_side(column)}>{page_words(column.title)}{unit}</th>'


def _cell(cell: Cell, column: Column) -> str:
    if cell is None:
        return "–"
    if isinstance(cell, Figure):
        return figure_html(cell, column.unit or None, with_unit=not column.unit)
    if isinstance(cell, float):
        return plain_text(cell, column.unit, with_unit=False)
    return page_words(str(cell))


def findings_html(block: FindingsBlock) -> str:
    """One row a limit; one that is not kept has its reason below it."""
    body = "\n".join(map(_finding, block.findings))
    return (
        f'{heading_html(block.title)}<div class="scroll"><table class="stack findings"><thead><tr>'
        '<th scope="col">Limit</th><th scope="col">Finding</th><th scope="col">Value</th>'
        '<th scope="col"><span class="hidden">Spread and limit as a bar</span></th>'
        '<th scope="col">Allowed</th><th scope="col" class="number">Chance</th></tr></thead>'
        f"<tbody>\n{body}\n</tbody></table></div>"
    )


def _finding(finding: Finding) -> str:
    status = status_of(finding)
    why, cause = page_words(remark_on(finding)), page_words(cause_of(finding))
    small = f'<span class="cause">{cause}</span>' if cause else ""
    told = f'\n<tr class="why"><td colspan="6">{why} {small}</td></tr>' if why or cause else ""
    leads = ' class="leads"' if told else ""
    found = IN_WORDS if finding.unit == WORDS else figure_html(finding.value)
    return (
        f'<tr{leads}><th scope="row">{page_words(finding.title)}</th>'
        f'<td class="word status tone-{status.tone}">{sign_html(status.sign, status.tone)}{status.word}</td>'
        f'<td data-label="value">{found}</td>'
        f'<td class="bar-cell">{spread_bar(finding.value, _nearest_bound(finding))}</td>'
        f'<td class="allowed" data-label="allowed">{page_words(finding.limit)}</td>'
        f'<td class="number" data-label="chance">{page_words(chance_of(finding))}</td></tr>{told}'
    )


def _nearest_bound(finding: Finding) -> float | None:
    bounds = [bound for bound in (finding.at_least, finding.at_most) if bound is not None]
    value = finding.value.value
    return None if value is None else min(bounds, key=lambda bound: abs(bound - value), default=None)
