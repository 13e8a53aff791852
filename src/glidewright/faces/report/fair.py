"""The report of ``fair``: the options side by side, the field under each, and what a check can tell."""

from glidewright.base.figure import Figure
from glidewright.base.wording import median_text, percent_text, sentence
from glidewright.decisions.fairness.nouns import FairResult
from glidewright.faces.report.cautions import AIRSPACE, MODEL_ONLY, PACK, PROPELLER, with_class_note
from glidewright.faces.report.document import (
    Axis,
    Bar,
    BarChart,
    Block,
    Caution,
    Cell,
    Column,
    Details,
    Document,
    Note,
    Row,
    Rows,
    Section,
    Steps,
    Table,
)
from glidewright.faces.report.fair_check import check_section
from glidewright.faces.report.fair_field import entry_sections, money, parts_section

_STANDS, _BEATEN = "stands", "beaten"
_SHORT = "Ranges are launch to launch: pilot, wind, timer and limiter, each model tuned by its owner."


def document(result: FairResult) -> Document:
    """Which options stand, how far entries lie apart, what binds whom, what it costs, what a check tells."""
    sections = (
        _options(result),
        _changes(result),
        _apart(result),
        _binds(result),
        parts_section(result),
        check_section(result),
        *entry_sections(result),
        _measures(result),
        _remarks(result),
    )
    return Document(
        title=f"Fair limits: {result.class_title}",
        subtitle=_subtitle(result),
        model=", ".join(result.airframes),
        verdict=Note(verdict_words(result), tone="good"),
        cautions=cautions_of(result),
        sections=tuple(section for section in sections if section is not None),
    )


def cautions_of(result: FairResult) -> tuple[Caution, ...]:
    """The note of the class, the law above it, and the usual care."""
    return with_class_note((AIRSPACE, PROPELLER, PACK, MODEL_ONLY), result.class_title, result.class_note)


def _subtitle(result: FairResult) -> str:
    invented = "Invented for the demo. " if result.invented else ""
    where = ", ".join(result.airframes)
    return f"{invented}{result.builds} builds on {where}; every range comes from {result.draws} launches."


def verdict_words(result: FairResult) -> str:
    """The options that no other beats, in one sentence."""
    named = ", ".join(result.unbeaten)
    if len(result.unbeaten) == 1:
        return f"{named}: this option beats all others on fairness, cost and freedom. The committee decides."
    return f"No option beats {named} on fairness, cost and freedom together. The committee decides."


def _options(result: FairResult) -> Section:
    lead = (
        "Gap: how much higher the best entry launches than the typical one. Cost: cheapest entry that "
        f"reaches {percent_text(result.within)} of the best height, all new. Freedom: share of the sound "
        "builds that may start."
    )
    blocks: list[Block] = [options_table(result), height_chart(result)]
    beaten = [
        f"{one.name} is beaten by {', '.join(one.beaten_by)}" for one in result.options if one.beaten_by
    ]
    if beaten:
        blocks.append(Details("Which option beats which", (Steps.of(beaten, is_ordered=False),)))
    return Section("options", "The options", lead, tuple(blocks))


def options_table(result: FairResult) -> Table:
    """One row an option: the three measures, the typical launch, how often the limiter stops it."""
    columns = (
        Column("Option", is_number=False),
        Column("Gap", "m"),
        Column(f"Cost, {result.currency}"),
        Column("Freedom, %"),
        Column("Typical launch, m"),
        Column("Limiter stops, %"),
        Column("", is_number=False),
    )
    rows: list[tuple[Cell, ...]] = [
        (
            one.name,
            one.gap,
            money(one.cost),
            percent(one.freedom),
            whole(one.height.typical),
            percent(one.limiter_stops),
            _STANDS if one.unbeaten else _BEATEN,
        )
        for one in result.options
    ]
    return Table(columns, tuple(rows), note=_SHORT)


def percent(figure: Figure) -> str:
    """A share in whole per cents, which the heading names."""
    return "-" if figure.value is None else f"{100.0 * figure.value:.0f}"


def whole(figure: Figure) -> str:
    """A height in whole metres, which the heading names."""
    return "-" if figure.value is None else f"{figure.value:.0f}"


def height_chart(result: FairResult) -> BarChart:
    """Typical launch under every option, the whisker from the lowest to the highest tenth of the entries."""
    bars = tuple(
        Bar(
            one.name,
            Figure(
                value=one.height.typical.value,
                low=one.height.low.value,
                high=one.height.high.value,
                unit="m",
                shown="m",
                grade="typical",
                because="from entry to entry",
            ),
            mark="last" if one.unbeaten else "plain",
            note=f"best {median_text(one.height.best)}",
        )
        for one in result.options
    )
    told = "Bars: the typical entry; whiskers: from the lowest to the highest tenth of the entries. "
    told += f"Dark: {', '.join(result.unbeaten)}."
    return BarChart("heights", "Launch height of the field", told, Axis("Highest point", "m"), bars, None)


def _changes(result: FairResult) -> Section:
    texts = []
    for one in result.options:
        lines = [f"{one.name}: {'; '.join(one.says)}.", *map(sentence, one.arithmetic)]
        lines += [sentence(one.note)] if one.note else []
        texts.append(" ".join(lines))
    lead = "The arithmetic is by hand: no wind, no zoom, the climb held all the time."
    return Section("says", "What the options say", lead, (Steps.of(texts, is_ordered=False),))


def _apart(result: FairResult) -> Section:
    columns = (
        Column("Option", is_number=False),
        Column("Entries"),
        Column("Best, m"),
        Column("Highest tenth, m"),
        Column("Typical, m"),
        Column("Lowest tenth, m"),
        Column("Typical climb, m/s"),
        Column("Best climb, m/s"),
    )
    rows: list[tuple[Cell, ...]] = [
        (
            one.name,
            one.entries,
            *(
                whole(one_of)
                for one_of in (one.height.best, one.height.high, one.height.typical, one.height.low)
            ),
            *(_climb(one_of) for one_of in (one.climb.typical, one.climb.best)),
        )
        for one in result.options
    ]
    gaps: list[tuple[Cell, ...]] = [(one.name, one.gap, one.gap_by_parts) for one in result.options]
    heads = (
        Column("Option", is_number=False),
        Column("Gap, launch to launch", "m"),
        Column("Gap, if parts are otherwise", "m"),
    )
    table = Table(heads, tuple(gaps), note=_OTHERWISE)
    lead = "Highest point over ground, where the glide begins; middle of the launches of each entry."
    blocks: tuple[Block, ...] = (Table(columns, tuple(rows)), Details("How sure the gap is", (table,)))
    return Section("apart", "How far entries lie apart", lead, blocks)


def _climb(figure: Figure) -> str:
    return "-" if figure.value is None else f"{figure.value:.1f}"


_OTHERWISE = (
    "Second column: motor, controller, pack and propeller drawn as far as they are not known, sixteen "
    "models, each tuned anew by its owner. A wide range says: measure the parts before the vote."
)


def _binds(result: FairResult) -> Section:
    names = [row for one in result.options for row in one.binds]
    titles = {row.name: row.title for row in names}
    columns = [Column("Option", is_number=False), Column("Entries")]
    columns += [Column(title) for title in titles.values()]
    columns.append(Column("Limiter stops, %"))
    rows: list[tuple[Cell, ...]] = []
    for one in result.options:
        counts = {row.name: row.count for row in one.binds}
        rows.append(
            (one.name, one.entries, *(counts.get(name) for name in titles), percent(one.limiter_stops))
        )
    lead = (
        "Entries that would launch higher if that limit alone were lifted; a dash where the option has no "
        "such limit. Last column: share of all launches."
    )
    stops = [
        f"{one.name}: " + ", ".join(f"{row.title} {percent_text(row.count / row.of)}" for row in one.stops)
        for one in result.options
    ]
    details = Details("What stops the motor, over all launches", (Steps.of(stops, is_ordered=False),))
    return Section("binds", "Which limit binds whom", lead, (Table(tuple(columns), tuple(rows)), details))


def _measures(result: FairResult) -> Section:
    rows = (
        Row(
            "Fairness: gap",
            "m",
            "best entry less the typical one, highest point after the launch; who flies the typical model "
            "gives away so many metres, whatever his skill; less is fairer",
        ),
        Row(
            "Cost",
            result.currency,
            "price and postage of the cheapest power train that reaches "
            f"{percent_text(result.within)} of the best height, nothing on hand: what a newcomer pays to be "
            "in it; airframe and radio are not in it",
        ),
        Row(
            "Freedom",
            "%",
            "of all builds of the drawers that are sound under some option, the share that may start: "
            "what a flyer may choose from, and what his parts may be",
        ),
    )
    texts = (
        "An option is beaten when another is nowhere worse and somewhere better, in steps of 0.1 m, 1 "
        f"{result.currency} and 1 %.",
        "Sound: no part goes beyond a limit that its seller states. Legal: sizes, masses and labels inside "
        "the limits, and the launch inside them as often as the class asks.",
        "Owners fly the airspeed that stops soonest or launches highest, take throttle or run back where "
        "climb or energy are limited, and move the pack or hang in ballast for balance and least mass.",
    )
    blocks: tuple[Block, ...] = (Rows(rows), Steps.of(texts, is_ordered=False))
    return Section("measures", "How it is measured", "", blocks, is_detail=True)


def _remarks(result: FairResult) -> Section | None:
    texts = [*result.remarks, *(sentence(point) for point in result.class_open_points)]
    if not texts:
        return None
    return Section("remarks", "Remarks", "", (Steps.of(texts, is_ordered=False),))
