"""The entries of ``fair``: best, typical, cheapest; parts on hand; what takes builds out; the pilot."""

from collections.abc import Iterator

from glidewright.base.figure import Figure
from glidewright.base.wording import NOT_KNOWN, percent_text
from glidewright.decisions.fairness.nouns import EntryRow, FairResult, OptionResult
from glidewright.faces.report.document import Block, Cell, Column, Details, Section, Steps, Table

_ROLES = {
    "best": "best",
    "typical": "typical",
    "competitive": "cheapest in it",
    "on_hand": "best on hand",
}
_PARTS_A_TABLE = 4


def parts_section(result: FairResult) -> Section:
    """What it costs to be in it, and what parts on hand reach under every option."""
    costs: list[tuple[Cell, ...]] = [
        (one.name, one.competitive, _cheapest(one), money(one.cost), money(one.cost_to_buy))
        for one in result.options
    ]
    heads = (
        Column("Option", is_number=False),
        Column("Entries in it"),
        Column("Cheapest of them", is_number=False),
        Column(f"New, {result.currency}"),
        Column(f"To buy, {result.currency}"),
    )
    share = percent_text(result.within)
    note = "To buy: what of it is not on hand in the drawers."
    owned: list[tuple[Cell, ...]] = [
        (one.name, _share(one.on_hand), _illegal(one), money(one.illegal_cost)) for one in result.options
    ]
    columns = (
        Column("Option", is_number=False),
        Column("Reach, %"),
        Column("Parts on hand that no legal build has", is_number=False),
        Column(f"Their price, {result.currency}"),
    )
    reach = "Reach: best launch with nothing bought over the best of all."
    blocks: list[Block] = [
        Table(heads, tuple(costs), f"What it costs to reach {share} of the best height", note),
        Table(columns, tuple(owned), "What parts on hand are worth", reach),
        Details("Part by part", tuple(_part_tables(result))),
    ]
    names = [f"{part.id}: {part.name}" for part in result.parts]
    blocks.append(Details("What the names of the parts stand for", (Steps.of(names, is_ordered=False),)))
    return Section("parts", "Money and parts on hand", "", tuple(blocks))


def _illegal(one: OptionResult) -> str:
    return ", ".join(part.part for part in one.parts if not part.legal) or "none"


def _part_tables(result: FairResult) -> Iterator[Table]:
    """Share of the best height that the best build with each part reaches, a few parts a table."""
    parts = result.options[0].parts
    for first in range(0, len(parts), _PARTS_A_TABLE):
        places = range(first, min(first + _PARTS_A_TABLE, len(parts)))
        labels = [
            parts[place].part + (f" ({parts[place].airframe})" if len(result.airframes) > 1 else "")
            for place in places
        ]
        rows = tuple(
            (one.name, *(_worth(one.parts[place].legal, one.parts[place].height_share) for place in places))
            for one in result.options
        )
        columns = (Column("Option", is_number=False), *(Column(label) for label in labels))
        note = "" if first else "Best launch with the part over the best of all, %."
        yield Table(columns, rows, note=note)


def _worth(legal: bool, share: Figure) -> str:
    if not legal:
        return "illegal"
    return "unsound" if share.value is None else _share(share)


def _share(share: Figure) -> str:
    return "-" if share.value is None else f"{100.0 * share.value:.0f}"


def money(figure: Figure) -> str:
    """A sum in whole units of the currency, which the heading names."""
    return NOT_KNOWN if figure.value is None else f"{figure.value:.0f}"


def _cheapest(one: OptionResult) -> str:
    row = next((row for row in one.rows if row.role == "competitive"), None)
    return "no prices" if row is None else ", ".join((row.motor, row.controller, row.pack, row.propeller))


def entry_sections(result: FairResult) -> Iterator[Section]:
    """Entries of every option, builds that may not start, and what pilot and limiter change."""
    yield _pilot(result)
    yield _out(result)
    tables = tuple(
        Details(
            one.name,
            (
                _entry_parts(one, result),
                _entry_numbers(one),
                Steps.of(list(_binds(one)), is_ordered=False),
            ),
        )
        for one in result.options
    )
    lead = (
        "Best, typical, cheapest in it, best on hand, and the best of every motor; set up as its owner would."
    )
    yield Section("entries", "Entries", lead, tables, is_detail=True)


def _role(row: EntryRow) -> str:
    return f"best with {row.motor}" if row.role == "motor" else _ROLES[row.role]


def _entry_parts(one: OptionResult, result: FairResult) -> Table:
    columns = [
        Column("Entry", is_number=False),
        Column("Motor, controller, pack, propeller", is_number=False),
        Column(f"New, {result.currency}"),
    ]
    more = len(result.airframes) > 1
    rows: list[tuple[Cell, ...]] = []
    for row in one.rows:
        parts = ", ".join((row.motor, row.controller, row.pack, row.propeller))
        rows.append((_role(row), f"{row.airframe}: {parts}" if more else parts, money(row.cost_new)))
    return Table(tuple(columns), tuple(rows))


def _entry_numbers(one: OptionResult) -> Table:
    columns = (
        Column("Entry", is_number=False),
        Column("Height", "m"),
        Column("Climb", "m/s"),
        Column("Airspeed", "m/s"),
        Column("Throttle, %"),
        Column("Ballast", "g"),
    )
    rows: list[tuple[Cell, ...]] = [
        (
            _role(row),
            row.height,
            row.climb,
            row.climb_speed_m_s,
            f"{100.0 * row.throttle:.0f}",
            row.ballast_kg,
        )
        for row in one.rows
    ]
    return Table(columns, tuple(rows))


def _binds(one: OptionResult) -> Iterator[str]:
    for row in one.rows:
        if row.role != "motor":
            yield f"{_ROLES[row.role]}: {row.binds}"


def _pilot(result: FairResult) -> Section:
    """What one change does to the typical entry, one row an option; best entries as details."""
    blocks: tuple[Block, ...] = (
        _changes(result, "typical", "The typical entry, m"),
        Details("The best entry, m", (_changes(result, "best", ""),)),
    )
    lead = "Metres of launch height that one change brings, launch by launch; limits may be broken by it."
    return Section("pilot", "Pilot and limiter", lead, blocks)


def _changes(result: FairResult, who: str, title: str) -> Table:
    names = {row.name: row.title for one in result.options for row in one.sensitivity}
    columns = [Column("Option", is_number=False), *(Column(title) for title in names.values())]
    rows: list[tuple[Cell, ...]] = []
    for one in result.options:
        own = {row.name: getattr(row, who) for row in one.sensitivity}
        rows.append((one.name, *(_metres(own[name]) if name in own else None for name in names)))
    return Table(tuple(columns), tuple(rows), title)


def _metres(figure: Figure) -> str:
    if figure.value is None:
        return "-"
    text = f"{figure.value:+.1f}"
    return "0" if text in ("+0.0", "-0.0") else text


def _out(result: FairResult) -> Section:
    blocks = tuple(
        Details(
            one.name,
            (
                Table(
                    (
                        Column("Limit", is_number=False),
                        Column("Of", is_number=False),
                        Column("Builds"),
                        Column("It alone"),
                        Column("Nearest miss", is_number=False),
                    ),
                    tuple(
                        (row.title, "class" if row.of_class else "part", row.builds, row.alone,
                         row.nearest.split(";")[0])
                        for row in one.removed
                    ),
                ),
            ),
        )
        for one in result.options
        if one.removed
    )  # fmt: skip
    lead = "Builds that each limit takes out, those that it alone takes out, and who comes nearest."
    return Section("out", "Builds that may not start", lead, blocks, is_detail=True)
