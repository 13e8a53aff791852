"""The report of ``parts``."""

from collections.abc import Iterator
from itertools import groupby

from glidewright.base.figure import Figure
from glidewright.base.wording import NOT_KNOWN, plain_text
from glidewright.decisions.nouns import NamedFigure
from glidewright.decisions.parts import PartRow, Result
from glidewright.faces.report.document import (
    Block,
    Cell,
    Column,
    Document,
    Note,
    Section,
    Steps,
    Table,
)
from glidewright.faces.report.sections.missing import missing_table


def document(result: Result) -> Document:
    """The parts by kind, what is missing, and what to read next."""
    all_invented = bool(result.rows) and all(row.invented for row in result.rows)
    sections = [
        _of_kind(title, list(rows), result.currency, all_invented) for title, rows in _by_kind(result)
    ]
    missing = [gap for row in result.rows for gap in row.missing]
    if missing:
        table = missing_table(missing)
        sections.append(Section("missing", "Missing values", "These stand in until you measure.", (table,)))
    if result.readings:
        items = tuple(
            f"{reading.reading}: {', '.join(reading.narrows)}"
            + ("" if reading.is_fitted else " (not fitted now)")
            for reading in result.readings
        )
        sections.append(Section("readings", "Measure next", "", (Steps.of(items),)))
    if result.remarks:
        notes: tuple[Block, ...] = tuple(Note(remark) for remark in result.remarks)
        sections.append(Section("remarks", "Remarks", "", notes))
    return Document(
        title=f"Drawer of {result.model}",
        subtitle=f"{len(result.rows)} of {result.parts_in_drawer} parts"
        + (", all invented for the demo." if all_invented else "."),
        model=result.model,
        sections=tuple(sections),
    )


def _by_kind(result: Result) -> Iterator[tuple[str, Iterator[PartRow]]]:
    return groupby(result.rows, key=lambda row: row.kind_title)


def _of_kind(title: str, rows: list[PartRow], currency: str, all_invented: bool) -> Section:
    columns = (
        Column("Part", is_number=False),
        Column("What it is", is_number=False),
        Column("Mass", "g"),
        Column(f"Price, {currency}"),
        Column("Ready", is_number=False),
    )
    cells: tuple[tuple[Cell, ...], ...] = tuple(
        (row.id, _words(row, all_invented), row.mass, _median(row.price, with_unit=False), _ready(row))
        for row in rows
    )
    blocks: list[Block] = [Table(columns, cells)]
    figures = _figures_table(rows)
    if figures is not None:
        blocks.append(figures)
    return Section(rows[0].kind, title, "", tuple(blocks))


def _figures_table(rows: list[PartRow]) -> Table | None:
    """What the kind is chosen by, one column a quantity; a dash where nobody stated it."""
    first_of: dict[str, NamedFigure] = {}
    for row in rows:
        for named in row.figures:
            first_of.setdefault(named.name, named)
    if not first_of:
        return None
    columns = [Column("Part", is_number=False)]
    columns += [Column(named.title, named.figure.shown) for named in first_of.values()]
    body: list[tuple[Cell, ...]] = []
    for row in rows:
        own = {named.name: named.figure for named in row.figures}
        body.append((row.id, *(own.get(name) for name in first_of)))
    return Table(tuple(columns), tuple(body))


def _words(row: PartRow, all_invented: bool) -> str:
    return f"{row.title} (invented)" if row.invented and not all_invented else row.title


def _ready(row: PartRow) -> str:
    if row.fitted_as:
        return "fitted" if len(row.fitted_as) == 1 else f"fitted {len(row.fitted_as)} times"
    if row.on_hand:
        return "on hand"
    return f"in {_median(row.lead_time)}" if row.lead_time.value is not None else "to buy"


def _median(figure: Figure, with_unit: bool = True) -> str:
    """Price and lead time without their spread: nobody chooses by it in a list."""
    return NOT_KNOWN if figure.value is None else plain_text(figure.value, figure.shown, with_unit)
