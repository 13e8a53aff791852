"""Mass by group, centre of gravity against its range, inertia."""

from glidewright.base.wording import chance_text, number_text
from glidewright.decisions.nouns import CheckResult, MassAnswer, NamedFigure
from glidewright.faces.report.document import (
    Axis,
    Bar,
    BarChart,
    Block,
    Column,
    Details,
    Row,
    Rows,
    Section,
    Steps,
    Table,
)
from glidewright.faces.report.section_registry import SectionOfCheck


def build(result: CheckResult) -> Section | None:
    """Mass and balance of the model that was checked."""
    return None if result.mass is None else mass_section(result.mass)


def mass_section(mass: MassAnswer) -> Section:
    """Totals, groups, balance and inertia."""
    blocks: list[Block] = [
        balance_rows(mass),
        Details("More of mass and balance", (more_rows(mass),)),
        groups_chart(mass),
    ]
    if mass.moved:
        moved = Steps.of(mass.moved, is_ordered=False)
        blocks.insert(2, Details("What the scale changed", (moved,)))
    return Section("mass", "Mass and balance", "", tuple(blocks))


def groups_table(mass: MassAnswer) -> Table:
    """One row a group, and the total."""
    rows = [(group.group, group.items, group.figure) for group in mass.groups]
    items = sum(group.items for group in mass.groups)
    columns = (Column("Group", is_number=False), Column("Items"), Column("Mass", "g"))
    return Table(columns, (*rows, ("all", items, mass.total)))


def groups_chart(mass: MassAnswer) -> BarChart:
    """Groups as lying bars with their spread."""
    known = [group for group in mass.groups if group.figure.value is not None]
    heaviest = max(known, key=lambda group: group.figure.value or 0.0, default=None)
    sentence = f"The model comes to {number_text(mass.total)}"
    if heaviest is not None:
        sentence += f"; the heaviest group is {heaviest.group} with {number_text(heaviest.figure)}"
    bars = tuple(
        Bar(group.group, group.figure, note=number_text(group.figure).split(" ", 1)[0]) for group in known
    )
    return BarChart("masses", "Mass by group", f"{sentence}.", Axis("Mass", "g"), bars, groups_table(mass))


def balance_rows(mass: MassAnswer) -> Rows:
    """Mass, centre of gravity, its range and the chance of being inside."""
    rows = [Row("Mass ready to fly", mass.total)]
    rows += [Row(_centre_title(named), named.figure) for named in mass.centre[:1]]
    rows += [
        Row("Allowed from", mass.balance_front, mass.balance_source),
        Row("Allowed to", mass.balance_rear),
        Row("Chance of being inside", chance_text(mass.chance_inside)),
    ]
    return Rows(tuple(rows))


def more_rows(mass: MassAnswer) -> Rows:
    """What was planned, the other axes, and inertia."""
    rows = [
        Row("Mass as planned", mass.planned_total),
        Row("Centre of gravity as planned", mass.planned_centre_x),
        Row("Share of the mean chord", mass.position_on_chord),
    ]
    rows += [Row(_centre_title(named), named.figure) for named in mass.centre[1:]]
    rows += [Row(f"Inertia in {named.title}", named.figure) for named in mass.inertia]
    return Rows(tuple(rows))


def _centre_title(named: NamedFigure) -> str:
    return f"Centre of gravity {named.title}"


SECTION = SectionOfCheck(60, build)
