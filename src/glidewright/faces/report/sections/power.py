"""The power train: at rest, in the climb, over airspeed, and its margins."""

import math
from collections.abc import Sequence

from glidewright.base.figure import Figure
from glidewright.base.wording import median_text, plain_text, sentence
from glidewright.decisions.nouns import CheckResult, PointAnswer, PowerAnswer, Series
from glidewright.faces.report.document import (
    Axis,
    Block,
    Cell,
    Column,
    Details,
    FindingsBlock,
    Line,
    LineChart,
    Panel,
    Row,
    Rows,
    Section,
    Steps,
    Table,
)
from glidewright.faces.report.section_registry import SectionOfCheck
from glidewright.faces.report.status import worst_first

_PANELS = ("thrust_N", "pack_current_A", "revs_per_s")


def build(result: CheckResult) -> Section | None:
    """Operating points of the model that was checked; its margins stand among the limits."""
    if result.power is None:
        return None
    return Section(
        "power", "Power", train_sentence(result.power), (points_table(result.power),), is_detail=True
    )


def power_section(power: PowerAnswer) -> Section:
    """The section as ``power`` shows it: points, range, margins, evidence."""
    blocks: list[Block] = [points_table(power), Details("Grades and causes of the spread", point_rows(power))]
    if power.margins:
        blocks.append(FindingsBlock(worst_first(power.margins), "Margins"))
    chart = airspeed_chart(power)
    if chart is not None:
        blocks.append(chart)
    if power.evidence:
        blocks.append(Steps.of(power.evidence, "Readings that entered", is_ordered=False))
    return Section("power", "Power", train_sentence(power), tuple(blocks))


def train_sentence(power: PowerAnswer) -> str:
    """Which parts drive the model, and how well the propeller is known."""
    parts = "; ".join((power.motor, power.controller, power.pack, power.propeller))
    return f"{parts}. {sentence(power.propeller_curve)}"


def points_table(power: PowerAnswer) -> Table:
    """Rest and climb side by side, one figure a row."""
    rest, climb = power.at_rest, power.in_climb
    in_climb = {named.name: named.figure for named in climb.figures}
    at_rest = {named.name for named in rest.figures}
    rows: list[tuple[Cell, ...]] = [
        (named.title, named.figure, in_climb.get(named.name)) for named in rest.figures
    ]
    rows += [(named.title, None, named.figure) for named in climb.figures if named.name not in at_rest]
    heads = (Column("Figure", is_number=False), Column(_point_title(rest)), Column(_point_title(climb)))
    return Table(heads, tuple(rows), title="Operating points")


def point_rows(power: PowerAnswer) -> tuple[Rows, Rows]:
    """Rest and climb, each with grade and reason."""
    return _rows(power.at_rest), _rows(power.in_climb)


def _rows(point: PointAnswer) -> Rows:
    rows = tuple(Row(named.title, named.figure) for named in point.figures)
    return Rows(rows, _point_title(point))


def _point_title(point: PointAnswer) -> str:
    speed = point.airspeed.value
    return f"{point.title}, {plain_text(speed, point.airspeed.shown)}" if speed else point.title


def airspeed_chart(power: PowerAnswer) -> LineChart | None:
    """Thrust, current and speed of rotation against airspeed, as far as they are known."""
    shown = [series for key in _PANELS for series in power.over_airspeed if series.name == key]
    if not shown or len(power.airspeeds_m_s) < 2:
        return None
    first, last = power.airspeeds_m_s[0], power.airspeeds_m_s[-1]
    changes = ", ".join(
        f"{series.title.lower()} from {_ends(series, 0)} to {_ends(series, -1)}" for series in shown
    )
    return LineChart(
        "airspeed",
        "Power train over airspeed",
        f"From {plain_text(first, 'm/s')} to {plain_text(last, 'm/s')} of airspeed: {changes}.",
        Axis("Airspeed", "m/s"),
        tuple(panel_of(series, power.airspeeds_m_s) for series in shown),
        series_table("Airspeed", "m/s", power.airspeeds_m_s, power.over_airspeed, most=12),
    )


def _ends(series: Series, place: int) -> str:
    return median_text(series_figure(series, place))


def panel_of(series: Series, x: Sequence[float]) -> Panel:
    """One series as a panel of its own."""
    line = Line.of(series.title, x, series.value, series.low, series.high)
    return Panel(Axis(series.title, series.shown), (line,))


def peak(series: Series) -> Figure:
    """The highest median of a series with its spread; there is one wherever a series is shown."""
    known = [step for step, value in enumerate(series.value) if math.isfinite(value)]
    return series_figure(series, max(known, key=lambda step: series.value[step]))


def series_table(title: str, unit: str, x: Sequence[float], many: Sequence[Series], most: int) -> Table:
    """At most ``most`` evenly picked steps of some series as figures."""
    step = max(1, -(-len(x) // most))
    heads = (Column(title, unit), *(Column(series.title, series.shown) for series in many))
    rows: list[tuple[Cell, ...]] = [
        (x[i], *(series_figure(series, i) for series in many)) for i in range(0, len(x), step)
    ]
    return Table(heads, tuple(rows), title=f"Over {title.lower()}")


def series_figure(series: Series, step: int) -> Figure:
    """One step of a series as a figure; its grade and reason stand with the figures of the same result."""
    numbers = (series.value[step], series.low[step], series.high[step])
    if not all(map(math.isfinite, numbers)):
        return Figure.unknown(series.unit, series.shown, "past the end of the flight")
    value, low, high = numbers
    return Figure(
        value=value,
        low=low,
        high=high,
        unit=series.unit,
        shown=series.shown,
        grade="typical",
        because="",
    )


SECTION = SectionOfCheck(50, build)
