"""Stability and handling in the report of ``glide``."""

from collections.abc import Iterator, Sequence

from glidewright.base.units import unit
from glidewright.base.wording import (
    digits,
    median_text,
    number_text,
    percent_text,
    plain_text,
    sentence,
)
from glidewright.decisions.gliding.handling_nouns import (
    FaultRow,
    HandlingAnswer,
    ModeRow,
    ModesAt,
    TurnAnswer,
)
from glidewright.decisions.gliding.nouns import GlideResult
from glidewright.decisions.nouns import Series
from glidewright.faces.report.document import (
    Answer,
    Block,
    Cell,
    Column,
    Details,
    Drawing,
    FindingsBlock,
    Note,
    Row,
    Rows,
    Section,
    Steps,
    Table,
)
from glidewright.faces.report.status import status_of


def series_of(many: Sequence[Series], name: str) -> Series:
    """The series of this name; there is one."""
    return next(series for series in many if series.name == name)


_STABLE = {"kept": "yes", "broken": "no"}


def handling_answers(result: GlideResult) -> Iterator[Answer]:
    """Is it stable, and does it turn; or what is missing to say so."""
    handling = result.handling
    if handling is None:
        yield Answer("Is it stable, and how does it handle?", "not known", result.why_no_handling, "warning")
        return
    status = status_of(result.findings[0])
    text = f"the neutral point lies at {median_text(handling.neutral_point_x)}; {handling.feels_now}"
    yield Answer(
        "Is it stable?", _STABLE.get(status.word, status.word), text, status.tone, handling.static_margin
    )
    if handling.turn is not None:
        first = handling.turn.rows[0]
        text = f"bank reached {plain_text(handling.turn.time_s, 's')} after {_throw(handling.turn)}"
        yield Answer("How does it turn in by rudder alone?", "", text, figure=first.bank_after)


def _throw(turn: TurnAnswer) -> str:
    return (
        f"{plain_text(turn.rudder_rad, '°')} of rudder ({plain_text(turn.edge_m, 'mm')} at the trailing edge)"
    )


def handling_sections(result: GlideResult) -> tuple[Section, ...]:
    """Balance in flight, measures, motions, turn and faults."""
    handling = result.handling
    if handling is None:
        return (
            Section(
                "handling",
                "Stability and handling",
                "",
                (Note(sentence(result.why_no_handling), tone="warning"),),
            ),
        )
    return (
        _stability(result, handling),
        _faults(handling),
        _motions(handling),
    )


def _stability(result: GlideResult, handling: HandlingAnswer) -> Section:
    rows = Rows(
        (
            Row("Neutral point", handling.neutral_point_x),
            Row("Centre of gravity", handling.centre_x),
            Row("Static margin", handling.static_margin, "share of the mean chord"),
        )
    )
    margins: list[tuple[Cell, ...]] = [(row.title, row.centre_x, row.feels) for row in handling.margins]
    heads = (
        Column("Where", is_number=False),
        Column("Centre of gravity", "mm"),
        Column("How it feels", is_number=False),
    )
    measures = tuple(
        Row(measure.title, measure.figure, f"usual: {measure.usual}" if measure.usual else "")
        for measure in handling.measures
    )
    blocks: list[Block] = [FindingsBlock(result.findings), rows]
    if result.drawing is not None:
        words = (
            f"Centre of gravity at {number_text(handling.centre_x)}, neutral point at "
            f"{number_text(handling.neutral_point_x)}."
        )
        blocks.append(Drawing("drawing", "The model to scale", words, result.drawing))
    blocks += [
        Table(heads, tuple(margins), "Range of the centre of gravity", "Feel: common practice."),
        Details("Dihedral, tail volumes, decalage", (Rows(measures),)),
    ]
    if handling.turn is not None:
        blocks.append(_turn(handling.turn))
    return Section("handling", "Stability and handling", "", tuple(blocks))


def _turn(turn: TurnAnswer) -> Table:
    rows: list[tuple[Cell, ...]] = [
        (f"{row.title}, {plain_text(row.airspeed_m_s, 'm/s')}", row.roll_rate, row.bank_after)
        for row in turn.rows
    ]
    after = plain_text(turn.time_s, "s")
    heads = (
        Column("Where", is_number=False),
        Column("Steady roll", "°/s"),
        Column(f"Bank after {after}", "°"),
    )
    return Table(heads, tuple(rows), "Turn by rudder alone", f"Rudder moved at once: {_throw(turn)}.")


def _faults(handling: HandlingAnswer) -> Section:
    rows: list[tuple[Cell, ...]] = [
        (
            fault.title,
            None if fault.size_m is None else plain_text(fault.size_m, "mm"),
            _trim(fault),
            sentence(fault.tendency),
        )
        for fault in handling.faults
    ]
    titles = ("Fault", "Seen at the edge", "Trim that holds it straight", "Left alone")
    heads = tuple(Column(title, is_number=False) for title in titles)
    lead = (
        f"One degree of each at {plain_text(handling.airspeed_m_s, 'm/s')}; other sizes go in proportion. "
        "Travel of a control is told at its trailing edge, at the root."
    )
    return Section("faults", "Building faults", lead, (Table(heads, tuple(rows)),), is_detail=True)


def _trim(fault: FaultRow) -> str:
    """Control, angle and way of its edge, with the direction in words."""
    angle, edge = fault.angle.value, fault.edge.value
    if angle is None:
        return fault.angle.because
    degrees = abs(unit("°").from_si(angle))
    if degrees < _HARDLY_DEG:
        return f"hardly any {fault.control}"
    ways = ("down", "up") if fault.control == "elevator" else ("right", "left")
    way = ways[0] if angle > 0.0 else ways[1]
    travel = "" if edge is None else f", {digits(abs(unit('mm').from_si(edge)), 1)} mm"
    return f"{fault.control} {digits(degrees, 1)}° {way}{travel}"


_HARDLY_DEG = 0.05


def _motions(handling: HandlingAnswer) -> Section:
    blocks: list[Block] = [_modes(at) for at in handling.modes]
    blocks.append(Details("Their ranges", tuple(map(_ranges, handling.modes))))
    slopes = Rows(tuple(Row(named.title, named.figure) for named in handling.slopes))
    blocks.append(Details("Slopes behind them, a radian or a plain rate", (slopes,)))
    blocks.append(Steps.of(handling.notes, is_ordered=False))
    return Section("motions", "Natural motions", "", tuple(blocks), is_detail=True)


def _modes(at: ModesAt) -> Table:
    rows: list[tuple[Cell, ...]] = [_mode(mode) for mode in (*at.longitudinal, *at.lateral)]
    titles = ("Motion", "Root, 1/s", "Period", "Damping ratio", "Half or double")
    heads = tuple(Column(title, is_number=False) for title in titles)
    return Table(heads, tuple(rows), f"{at.title}, {plain_text(at.airspeed_m_s, 'm/s')}")


def _ranges(at: ModesAt) -> Rows:
    """What is known of every motion with its 10 to 90 % range."""
    rows = [
        Row(f"{mode.name}, {title}", figure)
        for mode in (*at.longitudinal, *at.lateral)
        for title, figure in (
            ("period", mode.period),
            ("damping ratio", mode.damping_ratio),
            ("half after", mode.time_to_half),
            ("double after", mode.time_to_double),
        )
        if figure.value is not None
    ]
    return Rows(tuple(rows), at.title)


def _mode(mode: ModeRow) -> tuple[Cell, ...]:
    root = f"{mode.root_real_per_s:.2f}"
    if mode.root_imaginary_per_s > 0.0:
        root += f" ± {mode.root_imaginary_per_s:.2f}i"
    name = mode.name if mode.share >= _ALWAYS else f"{mode.name} (in {percent_text(mode.share)} of the draws)"
    swing = [
        median_text(figure) if figure.value is not None else "-"
        for figure in (mode.period, mode.damping_ratio)
    ]
    return name, root, *swing, _dies_or_grows(mode)


_ALWAYS = 0.95


def _dies_or_grows(mode: ModeRow) -> str:
    if mode.time_to_half.value is not None:
        return f"half in {median_text(mode.time_to_half)}"
    if mode.time_to_double.value is not None:
        return f"doubles in {median_text(mode.time_to_double)}"
    return "dies in some draws, grows in others"
