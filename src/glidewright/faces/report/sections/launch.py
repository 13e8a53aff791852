"""The launch: how high, how it goes, and how many a charge gives."""

from glidewright.base.wording import chance_text, median_text, number_text, sentence
from glidewright.decisions.nouns import CheckResult, LaunchAnswer, LaunchRow
from glidewright.faces.report.document import (
    Axis,
    Bar,
    BarChart,
    BarMark,
    Block,
    Column,
    Details,
    LineChart,
    Row,
    Rows,
    Section,
    Table,
)
from glidewright.faces.report.section_registry import SectionOfCheck
from glidewright.faces.report.sections.power import panel_of, peak, series_table

_PANELS = ("height_m", "pack_current_A")
_EVEN_CHANCE = 0.5
_HEIGHT = "height_true_m"
# figures that a first reading can do without
_SECOND = (
    "height_counted_m",
    "zoom_m",
    "motor_run_lost_s",
    "height_without_limiter_m",
    "mean_climb_m_s",
    "launch_motor_current_A",
    "energy_J",
    "motor_temperature_K",
    "pack_temperature_K",
)


def build(result: CheckResult) -> Section | None:
    """The launch of the model that was checked."""
    return None if result.launch is None else launch_section(result.launch)


def launch_section(launch: LaunchAnswer) -> Section:
    """First launch, its course, and all launches of one charge."""
    main = [Row("Climb airspeed", launch.climb_speed)]
    main += [Row(named.title, named.figure) for named in launch.figures if named.name not in _SECOND]
    second = [Row(named.title, named.figure) for named in launch.figures if named.name in _SECOND]
    chart = trace_chart(launch)
    blocks: list[Block] = [] if chart is None else [chart]
    blocks.append(Rows(tuple(main), "First launch"))
    if second:
        blocks.append(Details("More of the first launch", (Rows(tuple(second)),)))
    if launch.rows:
        blocks.extend((launches_chart(launch), launches_table(launch)))
        blocks.append(Details("Climb, motor run, charge and heat of each launch", (wear_table(launch),)))
    return Section(
        "launch", "Launch", " ".join(map(sentence, (launch.counted, launch.stop, launch.air))), tuple(blocks)
    )


def launch_words(launch: LaunchAnswer) -> str:
    """The launch in a few words: how high, and how often."""
    heights = [number_text(named.figure) for named in launch.figures if named.name == _HEIGHT]
    words = [f"launch height {height}" for height in heights]
    return "; ".join([*words, f"useful launches from one charge {number_text(launch.useful_launches)}"])


def trace_chart(launch: LaunchAnswer) -> LineChart | None:
    """Height and current against time with their spread."""
    shown = [series for key in _PANELS for series in launch.trace if series.name == key]
    if not shown or len(launch.times_s) < 2:
        return None
    peaks = "; ".join(f"{series.title.lower()} peaks at {median_text(peak(series))}" for series in shown)
    return LineChart(
        "trace",
        "First launch against time",
        sentence(peaks),
        Axis("Time", "s"),
        tuple(panel_of(series, launch.times_s) for series in shown),
        series_table("Time", "s", launch.times_s, launch.trace, most=12),
    )


def last_useful(launch: LaunchAnswer) -> int:
    """Number of the last launch that is more likely useful than not; 0 when none is."""
    useful = [row.number for row in launch.rows if row.useful_chance >= _EVEN_CHANCE]
    return max(useful, default=0)


def launches_chart(launch: LaunchAnswer) -> BarChart:
    """Height of every launch of one charge, the last useful one marked."""
    last = last_useful(launch)
    first_row = launch.rows[0]
    words = f"The first launch gives {number_text(first_row.height)}"
    if last:
        height = number_text(launch.rows[last - 1].height)
        words += f", the last useful one is number {last} with {height}"
    bound = f"; it is bound by {launch.last_bound_by}" if launch.last_bound_by else ""
    return BarChart(
        "launches",
        "Launches from one charge",
        f"{words}{bound}.",
        Axis("Height", "m"),
        tuple(_bar(row, last) for row in launch.rows),
        None,
        x_title="Launch",
        is_upright=True,
    )


def _bar(row: LaunchRow, last: int) -> Bar:
    mark: BarMark = "last" if row.number == last else "beyond" if row.number > last else "plain"
    note = "last useful" if row.number == last else ""
    return Bar(str(row.number), row.height, mark, note)


def launches_table(launch: LaunchAnswer) -> Table:
    """Every launch of one charge with height, climb, cell voltage and charge."""
    columns = (
        Column("Launch"),
        Column("Height", "m"),
        Column("Lowest cell", "V"),
        Column("Charge left", "%"),
        Column("Useful"),
    )
    rows = tuple(
        (row.number, row.height, row.lowest_cell, row.charge_left, chance_text(row.useful_chance))
        for row in launch.rows
    )
    bound = f", bound by {launch.last_bound_by}" if launch.last_bound_by else ""
    note = f"Useful launches from one charge: {number_text(launch.useful_launches)}{bound}."
    return Table(columns, rows, title="Launch by launch", note=note)


def wear_table(launch: LaunchAnswer) -> Table:
    """What every launch asks of motor and pack."""
    columns = (
        Column("Launch"),
        Column("Climb", "m/s"),
        Column("Motor run", "s"),
        Column("Charge used", "mAh"),
        Column("Motor", "°C"),
        Column("Pack", "°C"),
    )
    rows = tuple(
        (row.number, row.climb, row.motor_run, row.charge_used, row.motor_temperature, row.pack_temperature)
        for row in launch.rows
    )
    return Table(columns, rows)


SECTION = SectionOfCheck(40, build)
