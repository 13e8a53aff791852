"""The report of ``calibrate``: what changed, what was learned, what is still unknown, what to measure."""

from glidewright.base.wording import number_text, percent_text, sentence
from glidewright.decisions.calibrating.nouns import (
    BeforeAfter,
    CalibrateResult,
    LearnedRow,
)
from glidewright.faces.report.calibrate_held_back import held_back_section
from glidewright.faces.report.calibrate_packs import packs_section
from glidewright.faces.report.cautions import MODEL_ONLY, PACK
from glidewright.faces.report.document import (
    Answer,
    Answers,
    Block,
    Cell,
    Column,
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
_SHORT_TITLES = ("Launch height", "Mean climb", "Useful launches", "Least sink")


def document(result: CalibrateResult) -> Document:
    """Answers, before and after, what was learned, held-back flights, packs and the season."""
    sections = [_answers(result), _main(result)]
    sections += [_learned(result), held_back_section(result), _next(result)]
    if result.packs:
        sections.append(packs_section(result))
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
