"""The report of ``compare``: what differs, every figure side by side, differences, and limits."""

from collections.abc import Iterator

from glidewright.base.wording import chance_text, plain_text, sentence
from glidewright.decisions.comparing.nouns import FEWEST, Compared, CompareResult
from glidewright.faces.report.cautions import AIRSPACE, MODEL_ONLY, PEOPLE
from glidewright.faces.report.compare_charts import share_charts, sink_chart
from glidewright.faces.report.compare_tables import (
    SURE_ENOUGH,
    figures_table,
    inputs_table,
    limits_table,
    limits_words,
    short_tables,
    winners,
)
from glidewright.faces.report.document import (
    Block,
    Caution,
    Details,
    Document,
    Note,
    Row,
    Rows,
    Section,
    Steps,
)
from glidewright.faces.report.subtitle import subtitle

_MOST_INPUTS = 16
_LIKELY = 0.6


def document(result: CompareResult) -> Document:
    """Everything that ``compare`` answers."""
    models = result.models
    sections = (_models(result), _inputs(result), _side_by_side(result), _limits(result), _rests(result))
    return Document(
        title=f"Comparison of {len(models)} models",
        subtitle=subtitle(all(one.invented for one in models), result.draws),
        model=result.model,
        verdict=Note(_verdict(result), "In short"),
        cautions=(*_class_notes(models), PEOPLE, AIRSPACE, MODEL_ONLY),
        sections=sections,
    )


def _class_notes(models: tuple[Compared, ...]) -> Iterator[Caution]:
    """The note of every class that judged one of them, each once."""
    notes = dict.fromkeys((one.class_title, one.class_note) for one in models if one.class_title)
    for title, note in notes:
        yield Caution(f"Rules: {title}: {note}.")


def _models(result: CompareResult) -> Section:
    """Letter and name of each, what skill it asks, and which class judges it."""
    skills = next((line.words for line in result.lines if line.words), ())
    rows = []
    for one, skill in zip(result.models, skills, strict=True):
        edition = f", {one.class_edition}" if one.class_edition else ""
        judged = f"judged by {one.class_title}{edition}" if one.class_title else "judged by no class"
        rows.append(Row(one.letter, one.name, f"skill asked: {skill}; {judged}"))
    return Section("models", "Models", "", (Rows(tuple(rows)),))


def _inputs(result: CompareResult) -> Section:
    if not result.inputs:
        nothing = Note("Nothing differs in the inputs.", tone="warning")
        return Section("inputs", "What differs", "", (nothing,))
    letters = [one.letter for one in result.models]
    rows = result.inputs
    tables = inputs_table(rows[:_MOST_INPUTS], letters)
    blocks: list[Block] = list(tables)
    if len(rows) > _MOST_INPUTS:
        more = inputs_table(rows[_MOST_INPUTS:], letters)
        blocks.append(Details(f"{len(rows) - _MOST_INPUTS} more inputs that differ", more))
    return Section("inputs", "What differs", "In the inputs, and nothing else.", tuple(blocks))


def _side_by_side(result: CompareResult) -> Section:
    wind = plain_text(result.headwind_m_s, "m/s")
    share = "it is better" if len(result.models) == FEWEST else "no other is better"
    lead = f"Head wind {wind}. A chance is the share of the draws in which {share} by what one would notice."
    blocks: list[Block] = [*short_tables(result), *share_charts(result)]
    chart = sink_chart(result)
    if chart is not None:
        blocks.append(chart)
    blocks.append(Details("Every figure with its range", figures_table(result)))
    for number, model in enumerate(result.models[1:]):
        rows = tuple(
            Row(line.title, line.differences[number].figure) for line in result.lines if line.differences
        )
        title = f"{model.letter} less {result.models[0].letter}, and where its spread comes from"
        blocks.append(Details(title, (Rows(rows),)))
    return Section("figures", "Side by side", lead, tuple(blocks))


def _limits(result: CompareResult) -> Section:
    shown, rest = limits_table(result.models)
    blocks: list[Block] = list(shown)
    if rest:
        blocks.append(Details("Limits that are alike in all of them", rest))
    return Section("limits", "Limits", limits_words(result.models), tuple(blocks))


def _rests(result: CompareResult) -> Section:
    apart = result.drawn_apart
    drawn = "all inputs are the same draws in all models"
    if apart:
        drawn = f"{len(apart)} inputs have draws of their own where they are not the same thing; all others "
        drawn += "are the same draws in all models"
    words = [sentence(one) for one in (*result.remarks, drawn)]
    blocks: list[Block] = [Steps.of(words, is_ordered=False)]
    if apart:
        blocks.append(Details("Inputs with draws of their own", (Note(sentence(", ".join(apart))),)))
    return Section("rests", "To read it rightly", "", tuple(blocks))


def _verdict(result: CompareResult) -> str:
    """Who is surely better in what; what is likely is said with its chance, what is even is left out."""
    won: dict[str, list[str]] = {one.letter: [] for one in result.models}
    open_ones = []
    for line in result.lines:
        letters, sure = winners(line, len(result.models))
        if not letters:
            continue
        if sure is not None and sure < SURE_ENOUGH:
            if sure >= _LIKELY:
                open_ones.append(f"{line.title.lower()} ({', '.join(letters)} {chance_text(sure)})")
        elif len(letters) == 1:
            won[letters[0]].append(line.title.lower())
    word = "better" if len(result.models) == FEWEST else "best"
    parts = [f"{letter} is {word} in {_listed(titles)}" for letter, titles in won.items() if titles]
    if open_ones:
        parts.append(f"not sure: {', '.join(open_ones)}")
    return " ".join(sentence(part) for part in parts) or "They are alike in all that is wanted."


def _listed(words: list[str]) -> str:
    return f"{', '.join(words[:-1])} and {words[-1]}" if len(words) > 1 else words[0]
