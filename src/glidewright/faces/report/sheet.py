"""The report of ``sheet``: the page for the field box and the page of tests behind it."""

from collections.abc import Iterable, Iterator
from dataclasses import replace

from glidewright.base.wording import chance_text, median_text, number_text, sentence
from glidewright.decisions.nouns import LaunchAnswer, NamedFigure
from glidewright.decisions.planning.nouns import PlanStep
from glidewright.decisions.sheet import SheetResult
from glidewright.decisions.steering.nouns import ControlsResult
from glidewright.faces.report.cautions import GENERAL, with_class_note
from glidewright.faces.report.document import (
    Block,
    Cell,
    Column,
    Document,
    Drawing,
    FindingsBlock,
    Note,
    Row,
    Rows,
    Section,
    Table,
)
from glidewright.faces.report.render_pdf import Sheet, TickRow
from glidewright.faces.report.sections.launch import launch_words
from glidewright.faces.report.sections.mass import groups_table
from glidewright.faces.report.status import verdict_on, worst_first
from glidewright.faces.report.subtitle import subtitle

_LEFT = ("drawing", "glide")
_RIGHT = ("mass", "throws", "mixes", "power", "launch", "charge")
_BELOW = ("limits",)
_LAUNCH = (
    "height_counted_m",
    "motor_run_s",
    "mean_climb_m_s",
    "launch_pack_current_A",
    "charge_per_launch_As",
    "lowest_cell_V",
    "motor_temperature_last_K",
)
_POWER = ("pack_current_A", "pack_voltage_V", "revs_per_s", "thrust_N")
_GLIDE = (
    "sink_least_m_s",
    "speed_sink_least_m_s",
    "glide_ratio_best",
    "speed_glide_best_m_s",
    "stall_speed_m_s",
    "static_margin",
)
_MOST_LAUNCHES = 8
_MOST_EXPECTED = 3


def document(result: SheetResult) -> Document:
    """What stands on the sheet, as sections."""
    sections = (
        _drawing(result),
        _mass(result),
        _throws(result.controls),
        _mixes(result.controls),
        _power(result),
        _launch(result),
        _charge(result),
        _glide(result),
        _limits(result),
        _plan(result.steps),
    )
    return Document(
        title=f"Sheet of {result.model}",
        subtitle=subtitle(result.invented, result.draws),
        model=result.model,
        verdict=verdict_on(result.findings, "" if result.launch is None else launch_words(result.launch)),
        cautions=with_class_note(GENERAL, result.class_title, result.class_note),
        sections=tuple(section for section in sections if section is not None),
    )


def sheet(result: SheetResult) -> Sheet:
    """The document laid out on paper."""
    facts = [result.class_title] if result.class_title else []
    facts += [f"{title}: {name}" for title, name in result.fitted]
    facts.append(result.day)
    ticks = tuple(_tick(step) for step in result.steps)
    return Sheet(document(result), _LEFT, _RIGHT, _BELOW, tuple(facts), "Test plan", ticks)


def _tick(step: PlanStep) -> TickRow:
    """A step as it stands on paper: what it asks to be written is expected once, beside its line."""
    asked = {one.title: one.figure for one in step.record}
    shown = [one for one in step.numbers if one.figure.value is not None]
    expect = tuple((one.title, number_text(one.figure)) for one in shown[:_MOST_EXPECTED])
    record = tuple(f"{title}, {figure.shown}" if figure.shown else title for title, figure in asked.items())
    text = " ".join((*step.do, *((sentence(step.caution),) if step.caution else ())))
    return TickRow(step.title, text, step.state, expect, record or ("How it went",))


def _drawing(result: SheetResult) -> Section | None:
    if result.drawing is None:
        return None
    sentence = f"Side and top view of {result.model} to scale, its balance enlarged."
    drawn = Drawing("drawing", "", sentence, result.drawing)
    return Section("drawing", "Drawing", "", (drawn,), is_detail=True)


def _mass(result: SheetResult) -> Section | None:
    mass = result.mass
    if mass is None:
        return None
    rows = [Row("Ready to fly", mass.total)]
    rows += [Row("Centre of gravity, aft of the datum", one.figure) for one in mass.centre[:1]]
    if mass.balance_front.value is not None and mass.balance_rear.value is not None:
        ends = f"{number_text(mass.balance_front, with_unit=False)} to {number_text(mass.balance_rear)}"
        rows.append(Row("Allowed range", ends))
        rows.append(Row("Chance of being inside", chance_text(mass.chance_inside)))
    return Section("mass", "Mass and balance", "", (Rows(tuple(rows)), groups_table(mass)))


def _launch_rows(launch: LaunchAnswer) -> tuple[Row, ...]:
    """The figures of a launch; the first stands here without the one that it refers to in the full report."""
    first, *others = _picked(launch.figures, _LAUNCH)
    return (replace(first, label="Launch height as the altimeter reads it"), *others)


def _picked(figures: Iterable[NamedFigure], names: Iterable[str]) -> tuple[Row, ...]:
    known = {one.name: one for one in figures}
    return tuple(Row(known[name].title, known[name].figure) for name in names if name in known)


def _throws(controls: ControlsResult) -> Section | None:
    """Travels at the trailing edge, full and for first flights, and as share of the servo's travel."""
    if not controls.throws:
        return None
    rows = tuple(
        (
            f"{throw.control} {throw.way}",
            *(
                median_text(figure)
                for figure in (throw.edge, throw.deflection, throw.first_edge, throw.first_travel)
            ),
        )
        for throw in controls.throws
    )
    columns = (
        Column("At the trailing edge", is_number=False),
        *map(Column, ("Full", "Angle", "First flights", "Travel then")),
    )
    return Section("throws", "Throws", "", (Table(columns, rows),))


def _mixes(controls: ControlsResult) -> Section | None:
    """Exponential, mixes and trim, each on a line."""
    rows = [Row(f"Exponential, {curve.control}", median_text(curve.share)) for curve in controls.curves]
    rows += [Row(mix.title, mix.value.split(":")[0]) for mix in controls.mixes if mix.is_on]
    rows += [Row("Elevator for least sink, at its edge", one.figure) for one in controls.trim[1:2]]
    return Section("mixes", "Mixes and trim", "", (Rows(tuple(rows)),)) if rows else None


def _power(result: SheetResult) -> Section | None:
    power = result.power
    if power is None:
        return None
    rows = _picked(power.at_rest.figures, _POWER)
    return Section("power", "Power at rest, full pack", "", (Rows(rows),))


def _launch(result: SheetResult) -> Section | None:
    launch = result.launch
    if launch is None:
        return None
    rows = (
        Row("Climb airspeed", launch.climb_speed),
        *_launch_rows(launch),
        Row("Useful launches from one charge", launch.useful_launches),
    )
    return Section("launch", "Launch", "", (Rows(rows),))


def _charge(result: SheetResult) -> Section | None:
    """Launch after launch; on paper the middle values alone, the spread stands above."""
    launch = result.launch
    if launch is None:
        return None
    rows: list[tuple[Cell, ...]] = [
        (
            row.number,
            *(median_text(figure) for figure in (row.height, row.climb, row.lowest_cell, row.charge_left)),
            chance_text(row.useful_chance),
        )
        for row in launch.rows[:_MOST_LAUNCHES]
    ]
    columns = tuple(map(Column, ("Launch", "Height", "Climb", "Cell", "Left", "Useful")))
    note = "Middle values. Useful: the chance that reserve, climb and cell voltage still allow this launch."
    return Section("charge", "Launches from one charge", "", (Table(columns, tuple(rows), note=note),))


def _glide(result: SheetResult) -> Section | None:
    rows = _picked(result.glide, _GLIDE)
    return Section("glide", "Glide", "", (Rows(rows),)) if rows else None


def _limits(result: SheetResult) -> Section | None:
    if not result.findings:
        return None
    open_ones = tuple(one for one in worst_first(result.findings) if one.severity != "kept")
    kept = len(result.findings) - len(open_ones)
    blocks: list[Block] = [FindingsBlock(open_ones)] if open_ones else []
    words = f"{kept} of {len(result.findings)} limits of class, field and parts are kept"
    blocks.append(Note(f"{words}; the open ones stand above." if open_ones else f"{words}."))
    return Section("limits", "Limits that are not safely kept", "", tuple(blocks))


def _plan(steps: Iterable[PlanStep]) -> Section:
    """The test plan on one page: a box to tick, the number that matters, room to write."""
    rows = tuple(_plan_row(number, step) for number, step in enumerate(steps, 1))
    columns = (
        Column("", is_number=False),
        Column("Step", is_number=False),
        Column("Expect of this model", is_number=False),
        Column("Came", is_number=False),
    )
    return Section("plan", "Test plan", "", (Table(columns, rows),))


def _plan_row(number: int, step: PlanStep) -> tuple[Cell, ...]:
    sign = {"done": "done", "went badly": "BADLY"}.get(step.state, "\u2610")
    expect = "; ".join(_expected(step))
    return (f"{number} {sign}", step.title, expect, "")


def _expected(step: PlanStep) -> Iterator[str]:
    for one in step.numbers:
        if one.figure.value is not None:
            yield f"{one.title[0].lower()}{one.title[1:]} {number_text(one.figure)}"
