"""The report of ``calibrate``: what changed, what was learned, what is still unknown, what to measure."""

from glidewright.base.figure import Figure
from glidewright.base.wording import NOT_KNOWN, number_text, percent_text, plain_text, sentence, spread_digits
from glidewright.decisions.calibrating.nouns import (
    BeforeAfter,
    CalibrateResult,
    HeldBack,
    LearnedRow,
    PackRow,
)
from glidewright.faces.report.cautions import MODEL_ONLY, PACK
from glidewright.faces.report.document import (
    Answer,
    Answers,
    Axis,
    Bar,
    BarChart,
    BarMark,
    Block,
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
    Tone,
)
from glidewright.faces.report.status import verdict_on
from glidewright.faces.report.subtitle import subtitle

_HEIGHTS = ("height_without_limiter_m", "height_counted_m")
_HELD_BACK_HEIGHT = "height_at_stop_m"
_MOST_HELD_BACK = 8
_MOST_READ_NUMBERS = 12  # that have room beside each other
_SHORT_TITLES = ("Launch height", "Mean climb", "Useful launches", "Least sink")


def document(result: CalibrateResult) -> Document:
    """Answers, before and after, what was learned, held-back flights, packs and the season."""
    sections = [_answers(result), _main(result)]
    sections += [_learned(result), _held_back(result), _next(result)]
    if result.packs:
        sections.append(_packs(result))
    if result.season:
        rows = tuple(Row(row.title, row.value) for row in result.season)
        sections.append(Section("season", "The season", "", (Rows(rows),)))
    if result.evidence:
        steps = Steps.of([sentence(words) for words in result.evidence], is_ordered=False)
        sections.append(Section("evidence", "Evidence", "", (steps,), is_detail=True))
    if result.written:
        sections.append(Section("written", "Kept", sentence(result.written), (), is_last=True))
    return Document(
        title=f"Calibration of {result.model}",
        subtitle=subtitle(result.invented, result.draws),
        model=result.model,
        verdict=verdict_on((), _short(result)),
        cautions=(PACK, MODEL_ONLY),
        sections=tuple(sections),
    )


def _taught(result: CalibrateResult) -> str:
    parts = []
    for count, word in (
        (result.flights, "logged flight"),
        (result.bench_readings, "bench reading"),
        (result.charges, "charge of a pack"),
    ):
        if count:
            plural = word.replace("charge of", "charges of") if "charge" in word else f"{word}s"
            parts.append(f"{count} {word if count == 1 else plural}")
    if result.launches:
        parts[0] += f" with {result.launches} launch{'es' if result.launches != 1 else ''}"
    return ", ".join(parts)


def _height(result: CalibrateResult) -> BeforeAfter | None:
    return next((row for name in _HEIGHTS for row in result.main if row.name == name), None)


def _short(result: CalibrateResult) -> str:
    height = _height(result)
    words = f"{_taught(result)} taught"
    if height is not None and height.after.value is not None:
        words += f"; launch height {number_text(height.after)} after {number_text(height.before)}"
    return words


def _answers(result: CalibrateResult) -> Section:
    found = []
    height = _height(result)
    if height is not None:
        text = f"it was {number_text(height.before)} before; {_left_words(height.width_left)}"
        found.append(Answer(f"{height.title}?", "", text, figure=height.after))
    if result.expected:
        tone: Tone = "good" if result.inside >= 0.6 * result.expected else "warning"
        text = (
            f"{result.inside} of {result.expected} numbers of the logs lay in the range that was expected "
            "before they were read; 8 of 10 should"
        )
        found.append(Answer("Can it be trusted?", "", text, tone))
    if result.still_unknown:
        found.append(Answer("What is still unknown?", "", result.still_unknown[0]))
    if result.worths:
        best = result.worths[0]
        text = f"{best.title}: leaves {percent_text(best.mean_left)} of the ranges of the main figures"
        found.append(Answer("What should be measured next?", "", text))
    blocks: list[Block] = [Answers(tuple(found))]
    blocks += [Note(sentence(remark), tone="warning") for remark in result.remarks]
    return Section("answers", "Answers", sentence(f"learned from {_taught(result)}"), tuple(blocks))


def _left_words(left: float | None) -> str:
    if left is None:
        return "its range is not known"
    return f"{percent_text(left)} of its range is left" if left < 1.0 else "its range did not shrink"


def _main(result: CalibrateResult) -> Section:
    heads = (
        Column("Figure", is_number=False),
        Column("Before"),
        Column("After"),
        Column("Range left"),
    )
    rows: list[tuple[Cell, ...]] = [
        (
            row.title,
            row.before,
            row.after,
            "" if row.width_left is None else percent_text(row.width_left),
        )
        for row in result.main
    ]
    lead = "Before: from the papers of the folder alone. After: with all that taught, for the next flight."
    return Section("main", "Before and after", lead, (Table(heads, tuple(rows)),))


def _learned(result: CalibrateResult) -> Section:
    if not result.learned:
        return Section(
            "learned", "What was learned", "Nothing that stands out: no input lost a twentieth of its range."
        )
    heads = (Column("Input", is_number=False), Column("Before"), Column("Now"), Column("Range left"))
    rows: list[tuple[Cell, ...]] = [_learned_row(row) for row in result.learned]
    blocks: list[Block] = [Table(heads, tuple(rows))]
    if result.meters:
        note = "100 % is right; a meter above it shows too much."
        meters: list[tuple[Cell, ...]] = [_learned_row(row) for row in result.meters]
        heads = (Column("Meter", is_number=False), *heads[1:])
        blocks.append(Table(heads, tuple(meters), "Meters against everything else that is known", note))
    lead = "Inputs that lost most of their range; several may hold together though each alone is loose."
    return Section("learned", "What was learned", lead, tuple(blocks))


def _learned_row(row: LearnedRow) -> tuple[Cell, ...]:
    title = f"{row.title}, {row.part}" if row.part else row.title
    return title, row.before, row.after, percent_text(row.width_left)


def _held_back(result: CalibrateResult) -> Section:
    title = "Held-back flights"
    if not result.held_back:
        return Section("held-back", title, "No flight taught: there is none to predict.")
    lead = "Each flight was predicted from those before it alone, then read."
    blocks: list[Block] = []
    rows = [row for one in result.held_back if (row := _held_back_row(one)) is not None]
    heads = (
        Column("Launch", is_number=False),
        Column("Expected height"),
        Column("Read"),
        Column("Miss"),
        Column("", is_number=False),
    )
    if rows:
        blocks.append(Table(heads, tuple(rows[-_MOST_HELD_BACK:]), "Height at motor stop"))
        blocks.append(_chart(result))
    every: list[tuple[Cell, ...]] = [
        (
            _launch_name(one.title),
            row.title,
            row.expected,
            NOT_KNOWN if row.read.value is None else plain_text(row.read.value, row.read.shown),
            "inside" if row.is_inside else "outside",
        )
        for one in result.held_back
        for row in one.rows
    ]
    heads = (
        Column("Launch", is_number=False),
        Column("Figure", is_number=False),
        Column("Expected"),
        Column("Read"),
        Column("", is_number=False),
    )
    blocks.append(Details("Every number", (Table(heads, tuple(every)),)))
    return Section("held-back", title, lead, tuple(blocks))


def _held_back_row(one: HeldBack) -> tuple[Cell, ...] | None:
    row = next((row for row in one.rows if row.name == _HELD_BACK_HEIGHT), None)
    if row is None or row.read.value is None or row.expected.value is None:
        return None
    miss = row.read.value - row.expected.value
    sign = "+" if miss > 0.0 else "-"
    return (
        _launch_name(one.title),
        row.expected,
        plain_text(row.read.value, "m"),
        f"{sign}{abs(miss):.0f} m",
        "inside" if row.is_inside else "outside",
    )


def _launch_name(title: str) -> str:
    """Day and launch of a title, without the name of the file."""
    day, _, rest = title.partition(" ")
    launch = rest.rpartition(", ")[2] if ", launch" in rest else ""
    return f"{day}, {launch}" if launch else day


def _chart(result: CalibrateResult) -> BarChart:
    named = (
        next((row for row in one.rows if row.name == _HELD_BACK_HEIGHT), None) for one in result.held_back
    )
    rows = [row for row in named if row is not None and row.read.value is not None]
    has_room = len(rows) <= _MOST_READ_NUMBERS
    bars = []
    for number, row in enumerate(rows, start=1):
        mark: BarMark = "plain" if row.is_inside else "warning"
        read = (spread_digits(row.read) or ("",))[0] if has_room else ""
        bars.append(Bar(str(number), row.expected, mark, read))
    first, last = bars[0].figure, bars[-1].figure
    words = f"From {_width(first)} wide for the first launch to {_width(last)} for the last"
    words += "; above each whisker what the log showed." if has_room else "."
    return BarChart(
        "held-back-heights",
        "Height expected of each launch before it was read",
        words,
        Axis("Height at motor stop", "m"),
        tuple(bars),
        None,
        x_title="Launch",
        is_upright=True,
    )


def _width(figure: Figure) -> str:
    if figure.low is None or figure.high is None:
        return NOT_KNOWN
    return plain_text(figure.high - figure.low, "m")


def _next(result: CalibrateResult) -> Section:
    blocks: list[Block] = []
    if result.still_unknown:
        blocks.append(Steps.of(result.still_unknown, "Still unknown", is_ordered=False))
    if result.worths:
        heads = [Column("Reading", is_number=False)]
        heads += [Column(_short_title(title)) for title in result.worth_of]
        rows: list[tuple[Cell, ...]] = [
            (worth.title, *(percent_text(figure.value or 0.0) for figure in worth.left))
            for worth in result.worths
        ]
        note = "Share of the range that each reading is expected to leave, computed before it is taken."
        blocks.append(Table(tuple(heads), tuple(rows), "Measure next", note))
    return Section("next", "Still unknown, and what to measure", "", tuple(blocks))


def _short_title(title: str) -> str:
    for word in _SHORT_TITLES:
        if title.startswith(word):
            return word
    return title


def _packs(result: CalibrateResult) -> Section:
    blocks: list[Block] = []
    for pack in result.packs:
        blocks.append(_pack_rows(pack))
        blocks += [Note(sentence(caution), f"Pack {pack.pack}", "warning") for caution in pack.cautions]
        if pack.charges:
            blocks.append(Details(f"Charges of {pack.pack}", (_charge_table(pack),)))
    lead = "Charges are those of charges.toml; a pack is held against its own first charges."
    return Section("packs", "Packs", lead, tuple(blocks))


def _pack_rows(pack: PackRow) -> Table:
    heads = (
        Column("Pack", is_number=False),
        Column("Charges"),
        Column("Launches"),
        Column("Capacity, of first"),
        Column("Resistance, of first"),
        Column("In logs"),
    )
    row: tuple[Cell, ...] = (
        pack.pack,
        len(pack.charges),
        pack.launches,
        pack.capacity_share,
        pack.resistance_ratio,
        pack.log_resistance,
    )
    return Table(heads, (row,))


def _charge_table(pack: PackRow) -> Table:
    heads = (
        Column("Day", is_number=False),
        Column("Put back"),
        Column("Before"),
        Column("Resistance"),
        Column("Capacity"),
        Column("Note", is_number=False),
    )
    rows: list[tuple[Cell, ...]] = [
        (
            charge.date,
            charge.put_back,
            charge.resting_before,
            charge.resistance,
            charge.capacity,
            charge.note,
        )
        for charge in pack.charges
    ]
    return Table(heads, tuple(rows))
