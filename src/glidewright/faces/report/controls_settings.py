"""Throws, trim, exponential and mixes in the report of ``controls``: what is set at the transmitter."""

from glidewright.base.figure import Figure
from glidewright.base.wording import NOT_KNOWN, percent_text, sentence
from glidewright.decisions.steering.nouns import ControlsResult
from glidewright.faces.report.controls_linkages import short
from glidewright.faces.report.document import (
    Block,
    Cell,
    Column,
    Details,
    Note,
    Row,
    Rows,
    Section,
    Step,
    Steps,
    Table,
)


def throws_section(result: ControlsResult) -> Section:
    """How far each surface moves, full and for first flights, the trim, and what asks for them."""
    title = "Throws and trim to set"
    if not result.throws:
        return Section("throws", title, "", (Note(sentence(result.why_no_throws), tone="warning"),))
    rows: list[tuple[Cell, ...]] = [
        (
            f"{throw.control} {throw.way}",
            throw.edge,
            short(throw.deflection),
            _percent(throw.travel),
            short(throw.first_edge),
            _percent(throw.first_travel),
        )
        for throw in result.throws
    ]
    heads = (
        Column("Control", is_number=False),
        Column("Full", "mm"),
        Column("Angle"),
        Column("Travel"),
        Column("First flights"),
        Column("Travel then"),
    )
    stated = next((linkage.stated_travel for linkage in result.linkages), None)
    travel = "" if stated is None else f" Travel: of {short(stated)} of servo each way at 100 %."
    note = f"At the trailing edge where the surface is widest, from the surface in line.{travel}"
    practice = tuple(
        dict.fromkeys(sentence(f"{one.control}: {one.practice}; {one.because}") for one in result.throws)
    )
    blocks: list[Block] = [
        Table(heads, tuple(rows), note=note),
        Rows(tuple(Row(named.title, named.figure) for named in result.trim), "Trim"),
        Details("What asks for them", (_needs(result), Steps.of(practice, is_ordered=False))),
    ]
    return Section("throws", title, "", tuple(blocks))


def _needs(result: ControlsResult) -> Table:
    needs: list[tuple[Cell, ...]] = [
        (f"{throw.control} {throw.way}", need.title, need.deflection, need.edge)
        for throw in result.throws
        if throw.way != "right"
        for need in throw.needs
    ]
    columns = (
        Column("Control", is_number=False),
        Column("It must", is_number=False),
        Column("Angle", "°"),
        Column("Edge", "mm"),
    )
    return Table(columns, tuple(needs))


def _percent(figure: Figure) -> str:
    return NOT_KNOWN if figure.value is None else percent_text(figure.value)


def mixes_section(result: ControlsResult) -> Section:
    """Exponential along the stick, and mixes with their reason and test."""
    blocks: list[Block] = []
    if result.curves:
        heads = (
            Column("Exponential", is_number=False),
            Column("Share"),
            *(Column(f"Stick {percent_text(at)}") for at in result.curves[0].stick),
        )
        rows: list[tuple[Cell, ...]] = [
            (curve.control, _percent(curve.share), *(percent_text(one) for one in curve.travel))
            for curve in result.curves
        ]
        because = " ".join(sentence(f"{curve.control}: {curve.because}") for curve in result.curves)
        blocks.append(Table(heads, tuple(rows), note=because))
    mixes = tuple(
        Step(
            f"{mix.title}: {mix.value}.",
            (mix.because, *(() if mix.source == "brake" else mix.test)),
        )
        for mix in result.mixes
    )
    if mixes:
        blocks.append(Steps(mixes, "Mixes", is_ordered=False))
    return Section("mixes", "Exponential and mixes", "", tuple(blocks))
