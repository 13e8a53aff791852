"""The report of ``glide``: straight flight, circling, drag; handling stands in a module of its own."""

from collections.abc import Iterator

from glidewright.base.figure import Figure
from glidewright.base.wording import digits, median_text, number_text, percent_text, plain_text, sentence
from glidewright.decisions.gliding.nouns import DragAnswer, GlideResult, ThermalAnswer
from glidewright.faces.report.cautions import MODEL_ONLY, PEOPLE
from glidewright.faces.report.document import (
    Answer,
    Answers,
    Axis,
    Block,
    Caution,
    Cell,
    Column,
    Details,
    Document,
    Line,
    LineChart,
    Note,
    Panel,
    Row,
    Rows,
    Section,
    Steps,
    Table,
)
from glidewright.faces.report.glide_brake import brake_section
from glidewright.faces.report.handling import handling_answers, handling_sections, series_of
from glidewright.faces.report.sections.missing import missing_section
from glidewright.faces.report.sections.power import panel_of, series_table
from glidewright.faces.report.sections.readings import readings_section
from glidewright.faces.report.status import verdict_on
from glidewright.faces.report.subtitle import subtitle

_HAND_GLIDE = Caution(
    "Trim: these elevator settings are a start; the first hand glide over long grass decides.",
    "Check that rudder and elevator move the right way before every flight.",
)
_MOST_ROWS = 14


def document(result: GlideResult) -> Document:
    """How it glides and circles, what makes the drag, how it handles, and what all that rests on."""
    more = (_drag(result.drag), brake_section(result), *handling_sections(result), _rests_on(result))
    last = (missing_section(result.missing), readings_section(result.measure_next))
    sections = (_answers(result), _straight(result), _wind(result), _circling(result), *more, *last)
    return Document(
        title=f"Glide of {result.model}",
        subtitle=subtitle(result.invented, result.draws),
        model=result.model,
        verdict=verdict_on(result.findings, _short(result)),
        cautions=(_HAND_GLIDE, PEOPLE, MODEL_ONLY),
        sections=tuple(section for section in sections if section is not None),
    )


def _figure(result: GlideResult, name: str) -> Figure:
    return next(named.figure for named in result.figures if named.name == name)


def _short(result: GlideResult) -> str:
    sink, ratio = _figure(result, "sink_least_m_s"), _figure(result, "glide_ratio_best")
    return f"least sink {number_text(sink)}, best glide {number_text(ratio)}"


def _answers(result: GlideResult) -> Section:
    return Section("answers", "Answers", "", (Answers(tuple(_each_answer(result))),))


def _each_answer(result: GlideResult) -> Iterator[Answer]:
    slow, flat, time = (
        median_text(_figure(result, name))
        for name in ("speed_sink_least_m_s", "speed_glide_best_m_s", "time_from_100_m_s")
    )
    yield Answer(
        "How slowly does it sink?",
        "",
        f"at {slow}; {time} from 100 m in still air",
        figure=_figure(result, "sink_least_m_s"),
    )
    wind = result.winds[-1]
    against = plain_text(wind.headwind_m_s, "m/s")
    text = f"at {flat}; against {against} of head wind fly {median_text(wind.airspeed)}, which gives "
    text += f"{median_text(wind.ground_glide_ratio)} over the ground"
    yield Answer("How far does it glide?", "", text, figure=_figure(result, "glide_ratio_best"))
    yield Answer("Where does it stall?", "", "in straight flight", figure=_figure(result, "stall_speed_m_s"))
    yield _thermal_answer(result.thermal)
    yield from handling_answers(result)


def _thermal_answer(thermal: ThermalAnswer) -> Answer:
    where = f"a thermal of {plain_text(thermal.core_radius_m, 'm')} radius and "
    where += f"{plain_text(thermal.strength_m_s, 'm/s')} in its middle"
    text = f"bank {median_text(thermal.bank)}, {median_text(thermal.airspeed)}, circles of "
    text += f"{median_text(thermal.radius)} radius; {median_text(thermal.time_per_100_m)} for 100 m"
    return Answer(f"How does it climb in {where}?", "", text, figure=thermal.climb)


def _straight(result: GlideResult) -> Section:
    polar = result.polar
    sink, ratio = (series_of(polar.over_airspeed, name) for name in ("sink_m_s", "glide_ratio"))
    first, last = (plain_text(polar.airspeeds_m_s[place], "m/s") for place in (0, -1))
    chart = LineChart(
        "polar",
        "Sink and glide ratio over airspeed",
        f"From the stall near {first} to {last}: {_short(result)}.",
        Axis("Airspeed", "m/s"),
        (panel_of(sink, polar.airspeeds_m_s), panel_of(ratio, polar.airspeeds_m_s)),
        None,
    )
    blocks: list[Block] = [Rows(tuple(Row(named.title, named.figure) for named in result.figures)), chart]
    tables = [series_table("Airspeed", "m/s", polar.airspeeds_m_s, polar.over_airspeed, _MOST_ROWS)]
    turned = [one for one in (polar.elevator, polar.elevator_edge) if one is not None]
    if turned:
        panels = tuple(panel_of(one, polar.airspeeds_m_s) for one in turned)
        blocks.append(_elevator_chart(result, panels))
        tables.append(series_table("Airspeed", "m/s", polar.airspeeds_m_s, turned, _MOST_ROWS))
    blocks.append(Details("Trimmed polar by airspeed", tuple(tables)))
    return Section("straight", "Straight flight", sentence(result.source), tuple(blocks))


def _elevator_chart(result: GlideResult, panels: tuple[Panel, ...]) -> LineChart:
    polar = result.polar
    elevator = polar.elevator
    assert elevator is not None  # the caller has seen to it
    first, last = (
        f"{plain_text(elevator.value[place], '°')} at {plain_text(polar.airspeeds_m_s[place], 'm/s')}"
        for place in (0, -1)
    )
    edge = polar.elevator_edge
    travel = ""
    if edge is not None and polar.elevator_edge_chord_m is not None:
        way = abs(edge.value[-1] - edge.value[0])
        travel = (
            f", {plain_text(way, 'mm')} of the trailing edge at the root "
            f"({plain_text(polar.elevator_edge_chord_m, 'mm')} behind the hinge)"
        )
    return LineChart(
        "elevator",
        "Elevator that trims, over airspeed",
        f"From {first} to {last}{travel}; down counts positive.",
        Axis("Airspeed", "m/s"),
        panels,
        None,
    )


def _wind(result: GlideResult) -> Section:
    winds: list[tuple[Cell, ...]] = [
        (row.headwind_m_s, row.airspeed, row.ground_glide_ratio) for row in result.winds
    ]
    columns = (Column("Head wind", "m/s"), Column("Fly at", "m/s"), Column("Glide over the ground"))
    heavy: list[tuple[Cell, ...]] = [
        (
            row.added_mass_kg,
            row.sink_least,
            row.glide_ratio_best,
            row.speed_glide_best,
            row.stall_speed,
        )
        for row in result.ballast
    ]
    heads = (
        Column("Ballast", "g"),
        Column("Least sink", "m/s"),
        Column("Best glide"),
        Column("At", "m/s"),
        Column("Stall", "m/s"),
    )
    note = "Ballast at the centre of gravity; the class may limit mass and wing loading."
    blocks = (
        Table(columns, tuple(winds), "Speed to fly against the wind"),
        Table(heads, tuple(heavy), "With ballast", note),
    )
    return Section("wind", "Wind and ballast", "In air that neither rises nor sinks.", blocks)


def _circling(result: GlideResult) -> Section:
    thermal = result.thermal
    rows: list[tuple[Cell, ...]] = [
        (row.bank_rad, row.sink_least, row.penalty, row.radius, row.climb) for row in result.banks
    ]
    heads = (
        Column("Bank", "°"),
        Column("Least sink", "m/s"),
        Column("Times straight"),
        Column("Radius", "m"),
        Column("Climb in the thermal", "m/s"),
    )
    where = f"{plain_text(thermal.core_radius_m, 'm')} radius, {plain_text(thermal.strength_m_s, 'm/s')}"
    best = Rows(
        (
            Row("Climb", thermal.climb),
            Row("Sink through its air", thermal.sink),
            Row("Bank", thermal.bank),
            Row("Airspeed", thermal.airspeed),
            Row("Radius of the circles", thermal.radius),
            Row("Time for 100 m", thermal.time_per_100_m),
        ),
        f"At its best in a thermal of {where} in the middle",
    )
    table = Details("Circling by bank", (Table(heads, tuple(rows)),))
    lead = f"The thermal: {thermal.because}; upward air falls off as a parabola."
    return Section("circling", "Circling", lead, (best, _circling_chart(result), table))


def _circling_chart(result: GlideResult) -> LineChart:
    banks = tuple(row.bank_rad for row in result.banks)

    def line(name: str, title: str) -> Line:
        figures = [getattr(row, name) for row in result.banks]
        return Line.of(
            title, banks, *([getattr(f, key) for f in figures] for key in ("value", "low", "high"))
        )

    at_30 = min(result.banks, key=lambda row: abs(row.bank_rad - 0.5236))
    return LineChart(
        "circling",
        "Circling over bank",
        f"At 30° of bank it sinks {number_text(at_30.sink_least)}, {_times(at_30.penalty)} times as "
        f"much as straight; in the thermal it climbs best at {median_text(result.thermal.bank)}.",
        Axis("Bank", "°"),
        (
            Panel(Axis("Least sink", "m/s"), (line("sink_least", "Least sink"),)),
            Panel(Axis("Climb in the thermal", "m/s"), (line("climb", "Climb in the thermal"),)),
        ),
        None,
    )


def _times(figure: Figure) -> str:
    return "" if figure.value is None else digits(figure.value, 2)


def _drag(drag: DragAnswer | None) -> Section | None:
    """Causes of drag as shares, each speed a column."""
    if drag is None:
        return None
    totals = [sum(row.coefficients[place] for row in drag.rows) for place in range(len(drag.titles))]
    heads = [Column("Cause", is_number=False)]
    heads += [
        Column(f"{title}, {plain_text(speed, 'm/s')}: %")
        for title, speed in zip(drag.titles, drag.airspeeds_m_s, strict=True)
    ]
    rows: list[tuple[Cell, ...]] = [
        (
            row.cause,
            *(f"{100.0 * one / total:.1f}" for one, total in zip(row.coefficients, totals, strict=True)),
        )
        for row in drag.rows
    ]
    note = "Drag coefficient of all together: " + ", ".join(
        f"{total:.4f} at {title}" for total, title in zip(totals, drag.titles, strict=True)
    )
    first = max(drag.rows, key=lambda row: row.coefficients[0])
    fast = max(drag.rows, key=lambda row: row.coefficients[-1])
    lead = (
        f"Most at least sink: {first.cause.lower()} with {percent_text(first.coefficients[0] / totals[0])}; "
        f"most when fast: {fast.cause.lower()} with {percent_text(fast.coefficients[-1] / totals[-1])}. "
        "Every input at its middle."
    )
    return Section("drag", "What makes the drag", lead, (Table(tuple(heads), tuple(rows), note=f"{note}."),))


def _rests_on(result: GlideResult) -> Section | None:
    if not result.rests_on:
        return Section("rests", "What it rests on", "", (Note(sentence(result.source)),))
    steps = Steps.of([sentence(words) for words in result.rests_on], is_ordered=False)
    return Section("rests", "What it rests on", "", (steps,), is_detail=True)
