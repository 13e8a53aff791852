"""Sections of the report of ``balance``: record of the forecast, what a gram does where, left and right."""

from glidewright.base.wording import chance_text, digits, number_text
from glidewright.decisions.balancing.nouns import BalanceResult, StationRow
from glidewright.faces.report.document import (
    Axis,
    Block,
    Column,
    Details,
    Line,
    LineChart,
    Panel,
    Row,
    Rows,
    RuleLine,
    Section,
    Steps,
    Table,
)


def record_section(result: BalanceResult) -> Section | None:
    """How the forecast moved with every weighing."""
    if not result.record:
        return None
    columns = (
        Column("After", is_number=False),
        Column("Date", is_number=False),
        Column("Centre of gravity", "mm"),
        Column("Chance inside", is_number=False),
    )
    rows = tuple(
        (step.after, step.date or None, step.centre_x, chance_text(step.chance)) for step in result.record
    )
    table = Table(columns, rows)
    taught = [f"{step.after}: {step.taught}" for step in result.record if step.taught]
    blocks: list[Block] = [table]
    if len(rows) >= _LEAST_STEPS:
        blocks.append(_record_chart(result))
    if taught:
        blocks.append(Details("What each weighing taught", (Steps.of(taught),)))
    return Section("record", "How the forecast moved", "", tuple(blocks))


_LEAST_STEPS = 2


def _record_chart(result: BalanceResult) -> LineChart:
    steps = result.record
    values = [[_or_nan(number) for number in (f.value, f.low, f.high)] for f in (s.centre_x for s in steps)]
    median, low, high = zip(*values, strict=True)
    line = Line.of("centre of gravity", [float(i) for i in range(len(steps))], median, low, high)
    rules = tuple(
        RuleLine(figure.value, label)
        for figure, label in ((result.allowed.front, "front limit"), (result.allowed.rear, "rear limit"))
        if figure.value is not None
    )
    sentence = (
        f"As planned {number_text(steps[0].centre_x)}, after {len(steps) - 1} weighings "
        f"{number_text(steps[-1].centre_x)}."
    )
    axis = Axis("Centre of gravity", "mm")
    return LineChart(
        "record",
        "Centre of gravity after each weighing",
        sentence,
        Axis("Weighings", ""),
        (Panel(axis, (line,), rules),),
        None,
    )


def _or_nan(number: float | None) -> float:
    return float("nan") if number is None else number


def stations_section(result: BalanceResult) -> Section | None:
    """The centimetre-gram table: ends, bays and tips, the items folded."""
    if not result.stations:
        return None
    ends = tuple(row for row in result.stations if row.kind != "item")
    items = tuple(row for row in result.stations if row.kind == "item")
    blocks: list[Block] = []
    if ends:
        blocks.append(_station_table(ends))
    if items and not ends:
        blocks.append(_station_table(items))
    elif items:
        blocks.append(Details("The same at every item", (_station_table(items),)))
    lead = "A gram taken away moves the balance as far the other way; aft counts positive."
    return Section("stations", "What one gram does where", lead, tuple(blocks))


def _station_table(rows: tuple[StationRow, ...]) -> Table:
    columns = (
        Column("Place", is_number=False),
        Column("x", "mm"),
        Column("1 g moves it by", "mm"),
        Column("Mass for 1 mm", "g"),
    )
    cells = tuple(
        (
            row.name,
            digits(1e3 * row.x_m, 0),
            f"{1e3 * row.moves_by_m:+.2f}",
            None if row.mass_for_mm_kg is None else digits(1e3 * row.mass_for_mm_kg, 1),
        )
        for row in rows
    )
    return Table(columns, cells)


def lateral_section(result: BalanceResult) -> Section | None:
    """Left against right, and the tip weight."""
    found = result.lateral
    if found is None:
        return None
    rows = [
        Row("Centre of gravity to the right", found.centre_y),
        Row("Side moment to the right", found.side_moment),
        Row("Right mass less left mass", found.difference),
        Row("Weight in the right tip (negative: left)", found.tip_weight),
    ]
    return Section(
        "lateral", "Left against right", found.text[0].upper() + found.text[1:] + ".", (Rows(tuple(rows)),)
    )
