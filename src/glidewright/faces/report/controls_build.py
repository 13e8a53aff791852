"""Checks of the build and the plan of weighings in the report of ``controls``."""

from glidewright.base.figure import Figure
from glidewright.base.units import unit
from glidewright.base.wording import digits, median_text, number_text, plain_text, sentence
from glidewright.decisions.steering.nouns import BuildAnswer, BuildCheck, MassBudget
from glidewright.faces.report.document import Block, Cell, Column, Details, Note, Row, Rows, Section, Table

_NO_SHAPE = "The shape of the airframe is not stated: what a fault costs is not known."
_WAYS = {"elevator": ("down", "up"), "rudder": ("right", "left")}
_HARDLY_MM = 0.05
_HARDLY_RAD = 0.001


def build_section(build: BuildAnswer) -> Section:
    """What to measure, what a millimetre costs, what was found."""
    blocks: list[Block] = []
    if build.checks:
        rows: list[tuple[Cell, ...]] = [
            (one.title, _per_mm(one), _found(one), _asks(one)) for one in build.checks
        ]
        heads = tuple(
            Column(title, is_number=False) for title in ("Check", "1 mm costs", "Found", "Asks for")
        )
        note = "Trim at the trailing edge of rudder or elevator. Measure, then write it into [build]."
        blocks.append(Table(heads, tuple(rows), note=note))
        blocks.append(Details("How to measure, and what it does left alone", (_how(build.checks),)))
    else:
        blocks.append(Note(_NO_SHAPE, tone="warning"))
    sums = (
        Row("Rudder for all that was found, right positive", build.rudder_edge),
        Row("Elevator for all that was found, down positive", build.elevator_edge),
    )
    blocks.append(Rows((*sums, *(Row(one.title, one.figure) for one in build.gaps)), "Together, and gaps"))
    if build.angles:
        blocks.append(_angles(build))
        blocks.append(Rows(tuple(Row(one.title, one.figure) for one in build.decalage), "Decalage"))
    if build.lateral is not None:
        blocks.append(Note(sentence(build.lateral.text), title="Left against right"))
    return Section("build", "Build checks", "", tuple(blocks))


def _per_mm(check: BuildCheck) -> str:
    return _trim(check, check.edge)


def _trim(check: BuildCheck, edge: Figure) -> str:
    if edge.value is None:
        return edge.because
    size = abs(unit("mm").from_si(edge.value))
    if size < _HARDLY_MM:
        return f"hardly any {check.control}"
    ways = _WAYS[check.control]
    return f"{check.control} {digits(size, 2)} mm {ways[0] if edge.value > 0.0 else ways[1]}"


def _found(check: BuildCheck) -> str | None:
    return None if check.found.value is None else median_text(check.found)


def _asks(check: BuildCheck) -> str | None:
    if check.trim_found.value is None or check.control == "":
        return None
    size = abs(check.trim_found.value)
    if size < _HARDLY_RAD:
        return f"hardly any {check.control}"
    ways = _WAYS[check.control]
    way = ways[0] if check.trim_found.value > 0.0 else ways[1]
    return f"{check.control} {digits(unit('°').from_si(size), 1)}° {way}"


def _how(checks: tuple[BuildCheck, ...]) -> Table:
    heads = tuple(Column(title, is_number=False) for title in ("Check", "How", "1° is", "Left alone"))
    rows: list[tuple[Cell, ...]] = [
        (
            one.title,
            sentence(one.how),
            None if one.size_m is None else plain_text(one.size_m, "mm"),
            sentence(one.tendency),
        )
        for one in checks
    ]
    return Table(heads, tuple(rows))


def _angles(build: BuildAnswer) -> Details:
    heads = (
        Column("Place", is_number=False),
        Column("Angle", "°"),
        Column("Chord line", "°"),
        Column("Height", "mm"),
        Column("Measured", is_number=False),
    )
    rows: list[tuple[Cell, ...]] = [
        (one.title, one.angle, one.chord_line, one.height, sentence(one.datum)) for one in build.angles
    ]
    note = "As drawn. Height: front edge above rear edge over the chord, along the datum named."
    return Details("Angles as drawn", (Table(heads, tuple(rows), note=note),))


def weighing_section(budget: MassBudget | None) -> Section | None:
    """Groups planned and now, and who weighs what when."""
    if budget is None:
        return None
    rows: list[tuple[Cell, ...]] = [
        (
            "done" if one.is_done else "open",
            one.when,
            one.what,
            median_text(one.expected),
            median_text(one.limit),
            one.who,
        )
        for one in budget.steps
    ]
    titles = ("", "When", "What", "Expected", "Stop above", "Who")
    table = Table(tuple(Column(title, is_number=False) for title in titles), tuple(rows))
    groups: list[tuple[Cell, ...]] = [(one.group, one.items, one.figure) for one in budget.groups]
    heads = (Column("Group", is_number=False), Column("Items"), Column("Now", "g"))
    whole = f"All: {number_text(budget.total)}, as planned {number_text(budget.planned_total)}."
    blocks = (Table(heads, tuple(groups), "Mass budget", whole), table)
    lead = "Weigh each part before it disappears into another; write it down as a [[weighing]] at once."
    return Section("weighing", "Who weighs what when", lead, blocks, is_detail=True)
