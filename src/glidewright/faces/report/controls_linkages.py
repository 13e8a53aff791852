"""Linkages, servos and their supply in the report of ``controls``."""

from collections.abc import Iterator

from glidewright.base.figure import Figure
from glidewright.base.units import unit
from glidewright.base.wording import NOT_KNOWN, chance_text, digits, number_text, sentence, with_symbol
from glidewright.decisions.steering.nouns import ControlsResult, LinkageAnswer
from glidewright.faces.report.document import (
    Axis,
    Block,
    Cell,
    Column,
    Details,
    Line,
    LineChart,
    Note,
    Panel,
    Row,
    Rows,
    Section,
    Table,
)

_SPOILER = "spoiler"
_LOADS = "Fully deflected, elevator and rudder in a dive half; launch at its fastest. 1 kg cm is 9.81 N·cm."


def short(figure: Figure) -> str:
    """The value of a figure alone, with the decimals of its unit.

    >>> tooth = {"low": 14.6, "high": 14.9, "unit": "rad", "shown": "rad", "grade": "quoted", "because": ""}
    >>> short(Figure(value=14.761, **tooth)), short(Figure.unknown("m", "mm", ""))
    ('14.8 rad', 'not known')
    """
    if figure.value is None:
        return NOT_KNOWN
    symbol = unit(figure.shown)
    return with_symbol(digits(symbol.from_si(figure.value), min(symbol.decimals, 1)), figure.shown)


def linkage_sections(result: ControlsResult) -> tuple[Section, ...]:
    """At a glance, then each linkage in full; the servos of the drawer."""
    if not result.linkages:
        words = Note(sentence(result.why_no_linkages), tone="warning")
        return (Section("linkages", "Linkages", "", (words,)),)
    return (_glance(result), _servos(result), *map(_each, result.linkages))


def _glance(result: ControlsResult) -> Section:
    rows: list[tuple[Cell, ...]] = [
        (
            linkage.label,
            " / ".join(f"{short(end.deflection)} {end.way}" for end in linkage.ways),
            short(linkage.per_tooth),
            short(linkage.per_mm),
            short(linkage.play),
            _margin(linkage),
        )
        for linkage in result.linkages
    ]
    heads = (
        Column("Linkage", is_number=False),
        Column("Full travel gives", is_number=False),
        Column("1 tooth"),
        Column("1 mm rod"),
        Column("Play"),
        Column("Torque margin"),
    )
    note = "Turns of the surface. Torque margin: stall torque over need in a dive, full brake or half stick."
    blocks: list[Block] = [Table(heads, tuple(rows), note=note)]
    blocks += [chart for chart in _charts(result.linkages) if chart is not None]
    return Section("linkages", "Linkages", "", tuple(blocks))


def _margin(linkage: LinkageAnswer) -> str:
    return short(linkage.loads[-1].margin) if linkage.loads else NOT_KNOWN


def _charts(linkages: tuple[LinkageAnswer, ...]) -> Iterator[LineChart | None]:
    two_way = [one for one in linkages if one.surface != _SPOILER]
    one_way = [one for one in linkages if one.surface == _SPOILER]
    yield _chart("deflection", "Deflection over servo angle", two_way)
    yield _chart("opening", "Opening of the brake over servo angle", one_way[:1])


def _chart(key: str, title: str, linkages: list[LinkageAnswer]) -> LineChart | None:
    if not linkages:
        return None
    words = "; ".join(
        f"{one.label}: {', '.join(f'{number_text(end.deflection)} {end.way}' for end in one.ways)}"
        for one in linkages
    )
    panels = tuple(
        Panel(
            Axis(f"{one.label.capitalize()} {one.ways[0].way}", "°"),
            (Line.of(one.label, one.servo_rad, one.curve.value, one.curve.low, one.curve.high),),
        )
        for one in linkages
    )
    return LineChart(
        key, title, f"At the ends of the stated travel: {words}.", Axis("Servo", "°"), panels, None
    )


def _servos(result: ControlsResult) -> Section:
    blocks: list[Block] = []
    best: list[tuple[Cell, ...]] = []
    for linkage in result.linkages:
        if linkage.choices:
            first = linkage.choices[0]
            fitted = next((one.title for one in linkage.choices if one.is_fitted), None)
            best.append((linkage.label, fitted, first.title, sentence(first.because)))
    if best:
        titles = ("Surface", "Fitted", "Lightest that suits", "Why")
        blocks.append(Table(tuple(Column(title, is_number=False) for title in titles), tuple(best)))
    supply = result.supply
    if supply is not None:
        rows = (
            Row("Stated limit", supply.limit),
            Row("At rest", supply.quiet),
            Row("All surfaces held in a dive", supply.held),
            Row("All servos blocked at once", supply.blocked),
        )
        blocks.append(Rows(rows, "Servo supply of the controller"))
    blocks += [
        Details(f"Servos for the {one.label}", (_choices(one),)) for one in result.linkages if one.choices
    ]
    return Section("servos", "Servos", "", tuple(blocks))


def _choices(linkage: LinkageAnswer) -> Table:
    heads = (
        Column("Servo", is_number=False),
        Column("Mass", "g"),
        Column("Torque margin"),
        Column("Chance of 2"),
        Column("1 tooth", "°"),
        Column("", is_number=False),
    )
    rows: list[tuple[Cell, ...]] = [
        (
            one.title,
            one.mass,
            one.margin,
            chance_text(one.chance),
            one.tooth,
            ", ".join(word for word, is_so in (("fitted", one.is_fitted), ("on hand", one.on_hand)) if is_so)
            or "to buy",
        )
        for one in linkage.choices
    ]
    return Table(heads, tuple(rows))


def _each(linkage: LinkageAnswer) -> Section:
    """One linkage with every figure."""
    travel = number_text(linkage.stated_travel)
    lead = (
        f"Servo: {linkage.servo or 'none named'}. Stated travel {travel} each way. A push of the rod moves "
        f"it {linkage.push_gives}: look and see."
    )
    blocks = (_ends(linkage), _fineness(linkage), _play(linkage), _rod(linkage), _loads(linkage))
    key = f"linkage-{linkage.label.replace(' ', '-')}"
    return Section(key, f"Linkage of the {linkage.label}", lead, blocks, is_detail=True)


def _ends(linkage: LinkageAnswer) -> Rows:
    rows = [
        row
        for end in linkage.ways
        for row in (
            Row(f"Deflection {end.way}", end.deflection),
            Row(f"At the trailing edge, {end.way}", end.edge),
            Row(f"Ratio at that end, {end.way}", end.ratio),
            Row(f"Angle of the rod there, {end.way}", end.rod_angle),
        )
    ]
    return Rows(tuple(rows), "Ends")


def _fineness(linkage: LinkageAnswer) -> Rows:
    rows = (
        Row("Asymmetry of the ends", linkage.asymmetry),
        Row("One tooth of the servo", linkage.per_tooth),
        Row("Rod length that makes good half a tooth", linkage.off_square),
        Row("One step of the transmitter", linkage.per_step),
        Row("Dead band of the servo", linkage.dead_band),
        Row("One millimetre of rod", linkage.per_mm),
        Row("Travel at which the surface touches its stop", linkage.stop_share),
        Row("Effect lost by the open hinge gap", linkage.gap_loss),
    )
    return Rows(rows, "Fineness")


def _play(linkage: LinkageAnswer) -> Rows:
    rows = (
        Row("Play, as it is likely to add up", linkage.play),
        Row("Play, all to one side", linkage.play_worst),
        Row("Likely play at the trailing edge", linkage.play_edge),
        *(Row(f"of it: {part.title.lower()}", part.figure) for part in linkage.play_parts),
    )
    return Rows(rows, "Play")


def _rod(linkage: LinkageAnswer) -> Rows:
    rod = linkage.rod
    rows = (
        Row("Rod length needed, hole to hole", rod.needed),
        Row("Rod length stated", rod.stated),
        Row("Exact to, for half a degree", rod.exact),
        Row("Push in a dive", rod.push),
        Row("Push at which it buckles", rod.buckles_at),
        Row("Margin against buckling", rod.margin),
        Row("Give of the rod under that push", rod.give),
        Row("Turn when it gets 10 K warmer", rod.warmth),
    )
    return Rows(rows, "Rod")


def _loads(linkage: LinkageAnswer) -> Table:
    heads = (
        Column("At", is_number=False),
        Column("Speed", "m/s"),
        Column("Hinge", "N·cm"),
        Column("Servo", "N·cm"),
        Column("Margin"),
        Column("Current", "mA"),
    )
    rows: list[tuple[Cell, ...]] = [
        (one.title, one.airspeed, one.hinge_moment, one.torque, one.margin, one.current)
        for one in linkage.loads
    ]
    return Table(heads, tuple(rows), "Loads", _LOADS)
