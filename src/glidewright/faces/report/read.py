"""The report of ``read``: what happened, what was expected, what the class says, and the day so far."""

from glidewright.base.wording import NOT_KNOWN, median_text, number_text, plain_text, sentence
from glidewright.decisions.reading.nouns import ChannelsAnswer, ExpectedRow, LoggedFlight, ReadResult
from glidewright.faces.report.cautions import LAUNCH, with_class_note
from glidewright.faces.report.day import day_section, day_words, middle
from glidewright.faces.report.document import (
    Answer,
    Answers,
    Axis,
    Block,
    Cell,
    Column,
    Details,
    Document,
    FindingsBlock,
    Line,
    LineChart,
    Note,
    Panel,
    Row,
    Rows,
    Section,
    Span,
    Steps,
    Table,
    Tone,
)
from glidewright.faces.report.read_tables import (
    PHASE_WORDS,
    launch_rows,
    launch_table,
    lift_table,
    phase_table,
)
from glidewright.faces.report.status import verdict_on, worst_first
from glidewright.logs.formats import FORMATS

_FEW = 2
_FIRST_OF_EXPECTED = ("height_at_stop_m", "mean_current_A", "sink_m_s")
_SHADED = ("motor", "lift")
_MAIN_PANELS = ("height_m", "current_A", "voltage_V")


def document(result: ReadResult) -> Document:
    """One section a flight, then limits, the day, and how the log is read."""
    sections: list[Section] = []
    for number, flight in enumerate(result.flights, start=1):
        sections += _flight_sections(flight, number if len(result.flights) > 1 else 0)
    if result.findings:
        lead = "From the log, with the spread of its figures."
        blocks: list[Block] = [FindingsBlock(worst_first(result.findings))]
        if result.not_from_log:
            words = f"No log shows: {', '.join(result.not_from_log).lower()}."
            blocks.append(Details("The other limits", (Note(words),)))
        sections.append(Section("limits", "Limits", lead, tuple(blocks)))
    if result.day is not None:
        sections.append(day_section(result.day))
    if result.channels is not None:
        sections.append(_channels(result.channels))
    if result.next_steps or result.entered:
        steps = Steps.of(result.next_steps, is_ordered=False)
        blocks = [steps] if result.next_steps else []
        sections.append(Section("entered", "Logbook", sentence(result.entered), tuple(blocks), is_last=True))
    what = result.source_name or (result.day.date if result.day is not None else "")
    invented = "Invented for the demo. " if result.invented else ""
    titles = {one.name: one.title for one in FORMATS}
    kind = f"{titles[result.format]}. " if result.format else ""
    return Document(
        title=f"Log {what} of {result.model}" if result.source_name else f"{what} with {result.model}",
        subtitle=f"{invented}{kind}Every range holds 8 of 10 cases.",
        model=result.model,
        verdict=verdict_on(result.findings, _short(result)),
        cautions=with_class_note(LAUNCH, result.class_title, result.class_note),
        sections=tuple(sections),
    )


def _short(result: ReadResult) -> str:
    launches = [launch for flight in result.flights for launch in flight.launches]
    words = [number_text(launch.counted_height) for launch in launches]
    if len(launches) > _FEW:
        words = [f"{len(launches)} launches: {', '.join(middle(one.counted_height) for one in launches)}"]
    elif launches:
        words = [f"launch height {', '.join(words)}"]
    if result.flights and not words:
        words = ["no launch is seen"]
    if result.day is not None and not result.flights:
        words = [day_words(result.day)]
    return "; ".join(words)


def _flight_sections(flight: LoggedFlight, number: int) -> list[Section]:
    key = f"flight-{number}" if number else "flight"
    title = f"Flight {number}" if number else "Flight"
    blocks: list[Block] = [Answers(tuple(_answers(flight)))]
    chart = _chart(flight, key)
    if chart is not None:
        blocks.append(chart)
    if flight.launches:
        blocks.append(launch_table(flight.launches))
    blocks.append(Details("Each launch", tuple(launch_rows(launch) for launch in flight.launches)))
    blocks.append(Details("Phases", (phase_table(flight.phases),)))
    figures = tuple(Row(named.title, named.figure) for named in flight.figures)
    blocks.append(Details("The record", (Rows(figures),)))
    if flight.lifts:
        blocks.append(Details("Lift", (lift_table(flight.lifts),)))
    if flight.statements:
        blocks.append(Details("What this log cannot tell", (Steps.of(flight.statements, is_ordered=False),)))
    return [
        Section(key, title, _lead(flight), tuple(blocks)),
        _expected_section(flight, key, title),
    ]


def _lead(flight: LoggedFlight) -> str:
    date = f"{flight.date}. " if flight.date else "The log states no day. "
    counts: dict[str, int] = {}
    for phase in flight.phases:
        counts[phase.kind] = counts.get(phase.kind, 0) + 1
    words = ", ".join(
        f"{count} x {PHASE_WORDS[kind]}" if count > 1 else PHASE_WORDS[kind] for kind, count in counts.items()
    )
    return f"{date}{sentence(words)}"


def _answers(flight: LoggedFlight) -> list[Answer]:
    named = {one.name: one.figure for one in flight.figures}
    found = []
    for launch in flight.launches:
        name = f"launch {launch.number}" if len(flight.launches) > 1 else "the launch"
        climb = f"mean climb {number_text(launch.mean_climb)}, motor run {number_text(launch.motor_run)}"
        again = "; the motor ran again before the model had landed" if launch.is_restart else ""
        tone: Tone = "warning" if launch.is_restart else "plain"
        found.append(Answer(f"How high was {name}?", "", f"{climb}{again}", tone, launch.counted_height))
    if named["flight_time"].value is not None:
        text = _touch_words(flight)
        found.append(Answer("How long was the flight?", "", text, figure=named["flight_time"]))
    if named["still_sink"].value is not None:
        text = "the motion of the air is in it: one flight cannot tell it from the sink of the model"
        found.append(Answer("How fast did it sink?", "", text, figure=named["still_sink"]))
    if flight.lifts:
        best = max(flight.lifts, key=lambda lift: lift.gain.value or 0.0)
        won = f"{median_text(best.gain)} in {median_text(best.duration)}"
        text = f"{len(flight.lifts)} used; the best gave {won}"
        found.append(Answer("Was there lift?", "", text, figure=best.strength))
    return found


def _touch_words(flight: LoggedFlight) -> str:
    landing = flight.landing
    if landing is None or landing.height.value is None:
        return "from motor start to touch"
    return (
        f"from motor start to touch; the landing place is {median_text(landing.height)} over the launch place"
    )


def _chart(flight: LoggedFlight, key: str) -> LineChart | None:
    shown = [series for name in _MAIN_PANELS for series in flight.curves if series.name == name]
    if not shown or len(flight.times_s) < 2:
        return None
    spans = tuple(
        Span(phase.start.value, phase.end.value, PHASE_WORDS[phase.kind])
        for phase in flight.phases
        if phase.kind in _SHADED and phase.start.value is not None and phase.end.value is not None
    )
    panels = tuple(
        Panel(
            Axis(series.title, series.shown),
            (Line.of(series.title, flight.times_s, series.value),),
            spans=spans,
        )
        for series in shown
    )
    words = [
        f"motor run from {plain_text(span.start, 's')} to {plain_text(span.end, 's')}"
        for span in spans
        if span.label == PHASE_WORDS["motor"]
    ]
    text = "; ".join(words) or "no motor run is seen"
    return LineChart(
        f"{key}-curves", "Height and drive over the time", sentence(text), Axis("Time", "s"), panels, None
    )


def _expected_section(flight: LoggedFlight, key: str, title: str) -> Section:
    heading = "Expected and flown" if title == "Flight" else f"{title}: expected and flown"
    if not flight.expected:
        notes = (Note(sentence(flight.doubt), tone="warning"),) if flight.doubt else ()
        return Section(
            f"{key}-expected", heading, sentence(f"not compared: {flight.why_not_expected}"), notes
        )
    heads = (
        Column("Launch", is_number=False),
        Column("Figure", is_number=False),
        Column("Expected"),
        Column("In the log"),
        Column("", is_number=False),
    )
    main = [_expected_row(row) for row in flight.expected if row.name in _FIRST_OF_EXPECTED]
    rows = [_expected_row(row) for row in flight.expected]
    inside = sum(row.is_inside for row in flight.expected)
    lead = (
        "Expected before this log was read, from all that taught until then; "
        f"{inside} of {len(flight.expected)} lie in the range that holds 8 of 10."
    )
    blocks: list[Block] = [Table(heads, tuple(main)), Details("All of it", (Table(heads, tuple(rows)),))]
    if flight.doubt:
        blocks.insert(0, Note(sentence(flight.doubt), tone="warning"))
    return Section(f"{key}-expected", heading, lead, tuple(blocks))


def _expected_row(row: ExpectedRow) -> tuple[Cell, ...]:
    where = str(row.launch) if row.launch else "glide"
    read = NOT_KNOWN if row.read.value is None else plain_text(row.read.value, row.read.shown)
    return where, row.title, row.expected, read, "inside" if row.is_inside else "outside"


def _channels(channels: ChannelsAnswer) -> Section:
    heads = (
        Column("Column"),
        Column("Header", is_number=False),
        Column("Read as", is_number=False),
        Column("Unit", is_number=False),
        Column("Because", is_number=False),
    )
    rows: list[tuple[Cell, ...]] = [
        (row.place, row.header, row.channel, row.unit, row.because) for row in channels.rows
    ]
    blocks: list[Block] = [Table(heads, tuple(rows))]
    if channels.questions:
        blocks.append(Steps.of(channels.questions, "Look at these", is_ordered=False))
    lead = (
        "Accepted and kept in flights/maps/ for every log with this header."
        if channels.is_accepted
        else "Not accepted yet: look at it once."
    )
    return Section("channels", "Channels of the log", lead, tuple(blocks), is_detail=channels.is_accepted)
