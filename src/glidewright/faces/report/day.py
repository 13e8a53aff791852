"""The day: launches in their order, what the pack still gives, and the score sheet."""

from glidewright.base.figure import Figure
from glidewright.base.wording import median_text, number_text, percent_text, plain_text
from glidewright.decisions.reading.nouns import DayAnswer, ScoreRow
from glidewright.faces.report.document import (
    Answer,
    Answers,
    Axis,
    Bar,
    BarChart,
    Block,
    Cell,
    Column,
    Details,
    Row,
    Rows,
    Section,
    Table,
)


def day_section(day: DayAnswer) -> Section:
    """The day so far, with the next launch and the points."""
    blocks: list[Block] = [Answers(_answers(day)), _launches(day)]
    if len(day.launches) > 1:
        blocks.append(_chart(day))
    if day.next_launch:
        rows = tuple(Row(named.title, named.figure) for named in day.next_launch)
        blocks.append(Details("The next launch", (Rows(rows),)))
    if day.scores:
        blocks.append(_scores(day))
    return Section("day", f"The day: {day.date}", "", tuple(blocks))


def day_words(day: DayAnswer) -> str:
    """The day in a few words."""
    count = len(day.launches)
    words = f"{count} launch{'es' if count != 1 else ''} on {day.date}"
    if day.launches_left.value is not None:
        words += f"; useful launches left {number_text(day.launches_left)}"
    return words


def _answers(day: DayAnswer) -> tuple[Answer, ...]:
    found = [Answer("What next?", "", day.advice, day.tone)]
    if day.launches_left.value is not None:
        text = f"in this charge; the end comes by {day.bound_by}"
        found.append(Answer("How many launches are left?", "", text, figure=day.launches_left))
        if day.launches_left.value >= 1.0:
            height = day.next_launch[0].figure
            text = f"expected of the next launch. {day.trend_words}"
            found.append(Answer("How high?", "", text, figure=height))
    elif day.why_no_next:
        found.append(Answer("How many launches are left?", "not known", day.why_no_next, "warning"))
    return tuple(found)


def _launches(day: DayAnswer) -> Table:
    packs = {launch.pack for launch in day.launches}
    heads = [
        Column("Launch", is_number=False),
        *map(Column, ("Height", "Climb", "Of the first", "Charge", "Lowest cell", "Left")),
    ]
    rows: list[tuple[Cell, ...]] = []
    for number, launch in enumerate(day.launches, start=1):
        name = f"{number}, {launch.title}"
        if len(packs) > 1 or launch.number != number:
            name += f", {launch.pack} no. {launch.number}"
        share = "" if launch.climb_share is None else percent_text(launch.climb_share)
        rows.append(
            (
                name,
                middle(launch.counted_height),
                middle(launch.mean_climb),
                share,
                middle(launch.charge),
                middle(launch.lowest_cell),
                launch.charge_left,
            )
        )
    note = "Times are UTC. Left: charge before the launch that would follow."
    return Table(tuple(heads), tuple(rows), "Launches of the day", note)


def _chart(day: DayAnswer) -> BarChart:
    bars = tuple(
        Bar(str(number), launch.counted_height, "plain", launch.pack if launch.number == 1 else "")
        for number, launch in enumerate(day.launches, start=1)
    )
    return BarChart(
        "day-heights",
        "Counted height of the launches of the day",
        day.trend_words,
        Axis("Counted height", "m"),
        bars,
        None,
        x_title="Launch",
        is_upright=True,
    )


def _scores(day: DayAnswer) -> Table:
    heads = (
        Column("Flight", is_number=False),
        *map(Column, ("Time", "Points", "Spot", "Points", "Height", "Points", "All points")),
    )
    rows: list[tuple[Cell, ...]] = [_score(row) for row in day.scores]
    note = " ".join(f"{note[0].upper()}{note[1:]}." for note in day.score_notes)
    return Table(heads, tuple(rows), "Score sheet, by the formula of the class", note)


def _score(row: ScoreRow) -> tuple[Cell, ...]:
    spot = "" if row.landing_m is None else plain_text(row.landing_m, "m")
    return (
        row.title,
        middle(row.flight_time),
        middle(row.time),
        spot,
        middle(row.landing),
        middle(row.start_height),
        middle(row.height),
        row.total,
    )


def middle(figure: Figure) -> str:
    """The value of a figure for a table that has no room for its range; a dash where it is not known."""
    return "-" if figure.value is None else median_text(figure)
