"""Held-back flights in the report of ``calibrate``: each launch as it was predicted, and as it was read."""

from glidewright.base.figure import Figure
from glidewright.base.wording import NOT_KNOWN, plain_text, spread_digits
from glidewright.decisions.calibrating.nouns import CalibrateResult, HeldBack
from glidewright.faces.report.document import (
    Axis,
    Bar,
    BarChart,
    BarMark,
    Block,
    Cell,
    Column,
    Details,
    Section,
    Table,
)

_HELD_BACK_HEIGHT = "height_at_stop_m"
_MOST_HELD_BACK = 8
_MOST_READ_NUMBERS = 12  # that have room beside each other


def held_back_section(result: CalibrateResult) -> Section:
    """Heights of the launches as expected and as read, and every other number."""
    title = "Held-back flights"
    if not result.held_back:
        return Section("held-back", title, "No flight taught: there is none to predict.")
    lead = "Each flight was predicted from those before it alone, then read."
    blocks: list[Block] = []
    rows = [row for one in result.held_back if (row := _held_back_row(one)) is not None]
    heads = (
        Column("Launch", is_number=False),
        Column("Expected height"),
        Column("Read"),
        Column("Miss"),
        Column("", is_number=False),
    )
    if rows:
        blocks.append(Table(heads, tuple(rows[-_MOST_HELD_BACK:]), "Height at motor stop"))
        blocks.append(_chart(result))
    every: list[tuple[Cell, ...]] = [
        (
            _launch_name(one.title),
            row.title,
            row.expected,
            NOT_KNOWN if row.read.value is None else plain_text(row.read.value, row.read.shown),
            "inside" if row.is_inside else "outside",
        )
        for one in result.held_back
        for row in one.rows
    ]
    heads = (
        Column("Launch", is_number=False),
        Column("Figure", is_number=False),
        Column("Expected"),
        Column("Read"),
        Column("", is_number=False),
    )
    blocks.append(Details("Every number", (Table(heads, tuple(every)),)))
    return Section("held-back", title, lead, tuple(blocks))


def _held_back_row(one: HeldBack) -> tuple[Cell, ...] | None:
    row = next((row for row in one.rows if row.name == _HELD_BACK_HEIGHT), None)
    if row is None or row.read.value is None or row.expected.value is None:
        return None
    miss = row.read.value - row.expected.value
    sign = "+" if miss > 0.0 else "-"
    return (
        _launch_name(one.title),
        row.expected,
        plain_text(row.read.value, "m"),
        f"{sign}{abs(miss):.0f} m",
        "inside" if row.is_inside else "outside",
    )


def _launch_name(title: str) -> str:
    """Day and launch of a title, without the name of the file."""
    day, _, rest = title.partition(" ")
    launch = rest.rpartition(", ")[2] if ", launch" in rest else ""
    return f"{day}, {launch}" if launch else day


def _chart(result: CalibrateResult) -> BarChart:
    named = (
        next((row for row in one.rows if row.name == _HELD_BACK_HEIGHT), None) for one in result.held_back
    )
    rows = [row for row in named if row is not None and row.read.value is not None]
    has_room = len(rows) <= _MOST_READ_NUMBERS
    bars = []
    for number, row in enumerate(rows, start=1):
        mark: BarMark = "plain" if row.is_inside else "warning"
        read = (spread_digits(row.read) or ("",))[0] if has_room else ""
        bars.append(Bar(str(number), row.expected, mark, read))
    first, last = bars[0].figure, bars[-1].figure
    words = f"From {_width(first)} wide for the first launch to {_width(last)} for the last"
    words += "; above each whisker what the log showed." if has_room else "."
    return BarChart(
        "held-back-heights",
        "Height expected of each launch before it was read",
        words,
        Axis("Height at motor stop", "m"),
        tuple(bars),
        None,
        x_title="Launch",
        is_upright=True,
    )


def _width(figure: Figure) -> str:
    if figure.low is None or figure.high is None:
        return NOT_KNOWN
    return plain_text(figure.high - figure.low, "m")
