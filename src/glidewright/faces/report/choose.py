"""The report of ``choose``."""

from collections.abc import Iterator, Sequence

from glidewright.base.figure import Figure
from glidewright.base.wording import chance_text, count_text, median_text, number_text, sentence
from glidewright.decisions.choosing.nouns import BrokenLimit, Choice, ChooseResult, OneMore
from glidewright.faces.report.cautions import MODEL_ONLY, PACK, PROPELLER, with_class_note
from glidewright.faces.report.document import (
    Answer,
    Answers,
    Axis,
    Block,
    Cell,
    Column,
    Details,
    Document,
    Dot,
    Note,
    ScatterChart,
    Section,
    Step,
    Steps,
    Table,
)
from glidewright.faces.report.subtitle import subtitle

_TOLD = 3  # builds in words in the short form
_LIMITS = 6
_MONEY = "money"


def document(result: ChooseResult) -> Document:
    """What to fit and why, what nothing beats, what was taken out, and what one more purchase adds."""
    sections = (
        Section("answers", "Answers", "", (Answers(tuple(_answers(result))),)),
        _set(result),
        _one_more(result),
        _taken_out(result),
        _parts(result),
        _how(result),
    )
    return Document(
        title=f"Parts for {result.model}",
        subtitle=subtitle(result.invented, result.draws),
        model=result.model,
        verdict=_verdict(result),
        cautions=with_class_note((PACK, PROPELLER, MODEL_ONLY), result.class_title, result.class_note),
        sections=tuple(section for section in sections if section is not None),
    )


def _verdict(result: ChooseResult) -> Note:
    best = result.choices[0]
    words = f"Recommended: {_ids(best)}: {_goal_words(result, best)}."
    if result.is_partial:
        return Note(f"Stopped while {result.stopped_in}: a partial answer. {words}", tone="warning")
    return Note(words, tone="good")


def _all_of(choice: Choice) -> str:
    return "; ".join(choice.does) or "leave the model as it is"


def _money(figure: Figure, currency: str) -> str:
    """A cost without its range: nobody chooses by that in a list."""
    return "at a price not stated" if figure.value is None else f"{figure.value:.2f} {currency}"


def _goal_words(result: ChooseResult, choice: Choice, names: Sequence[str] = ()) -> str:
    """The goals of a build, the number alone."""
    titles = dict(zip(result.goals, result.goal_titles, strict=True))
    words = []
    for name in names or result.goals:
        figure = choice.value(name)
        text = median_text(figure)
        if figure.shown == _MONEY and figure.value is not None:
            text = f"{figure.value:.2f} {result.currency}"
        words.append(f"{titles.get(name, name).lower()} {text}")
    return ", ".join(words)


def _answers(result: ChooseResult) -> Iterator[Answer]:
    best = result.choices[0]
    yield Answer("What should be fitted?", "", _all_of(best), "good")
    yield Answer("Why this?", "", result.why)
    if result.now is not None:
        broken = "; ".join(result.now_breaks)
        words = _goal_words(result, result.now)
        if broken:
            yield Answer("And the model as it is?", "breaks a limit", f"{broken}; {words}", "alarm")
        else:
            yield Answer("And the model as it is?", "keeps every limit", words, "good")
    if result.on_hand is None:
        text = "no build of parts on hand keeps every limit with the chance wanted"
        yield Answer("What can be had without buying?", "nothing", text, "warning")
    else:
        words = f"{_all_of(result.on_hand)}; {_goal_words(result, result.on_hand)}"
        yield Answer("What can be had without buying?", "", words)
    if result.one_more:
        first = result.one_more[0]
        words = f"{first.name}, {_money(first.cost, result.currency)}: {'; '.join(first.gains)}"
        yield Answer("What would one more purchase add?", "", words)


def _set(result: ChooseResult) -> Section:
    """The set as a table, the first builds in words, the others folded, and the picture of two goals."""
    steps = tuple(_step(result, choice) for choice in result.choices)
    blocks: list[Block] = [_table(result), Steps(steps[:_TOLD])]
    chart = _chart(result)
    if chart is not None:
        blocks.append(chart)
    if steps[_TOLD:]:
        more = Steps(steps[_TOLD:], f"Builds {_TOLD + 1} to {len(steps)}", is_ordered=False)
        blocks.append(Details("The other builds in words", (more,)))
    every, kept, flown, failed = map(
        count_text, (result.sets, result.kept_sets, result.simulated, result.failed)
    )
    lead = f"Of {every} sets of parts ({count_text(result.combinations)} combinations with every place) "
    lead += f"{kept} keep every limit at the middle of every input; "
    lead += f"{flown} were flown with spread, {failed} of them fell out."
    if result.open_sets:
        lead += f" {count_text(result.open_sets)} more that nothing beats were not flown: raise --simulate."
    if result.is_partial:
        lead = f"Partial: stopped while {result.stopped_in}. {lead}"
    return Section("set", "Builds that nothing beats, the recommended one first", lead, tuple(blocks))


def _table(result: ChooseResult) -> Table:
    columns = [Column("", is_number=False), Column("Fit", is_number=False)]
    for name, title in zip(result.goals, result.goal_titles, strict=True):
        shown = result.choices[0].value(name).shown
        columns.append(Column(f"{title}, {result.currency}" if shown == _MONEY else title, shown))
    rows: list[tuple[Cell, ...]] = []
    for number, choice in enumerate(result.choices, start=1):
        values = [choice.value(name) for name in result.goals]
        rows.append((f"{number}", _ids(choice), *values))
    return Table(
        tuple(columns), tuple(rows), note="Motor, controller, pack, propeller; numbers at the middle."
    )


def _ids(choice: Choice) -> str:
    build = choice.build
    propeller = f"{build.propeller} on {build.yoke}" if build.yoke else build.propeller
    return " + ".join((build.motor, build.controller, build.pack, propeller))


def _step(result: ChooseResult, choice: Choice) -> Step:
    """A build in words: what to do, what it gives, on what terms."""
    effects = [_goal_words(result, choice)]
    if choice.least_chance is not None:
        effects.append(
            f"least sure limit: {choice.least_chance_of.lower()}, {chance_text(choice.least_chance)}"
        )
    if choice.margin_by:
        margin = number_text(choice.value("margin"))
        effects.append(f"least margin of a part: {margin} ({choice.margin_by.lower()})")
    if choice.chance_balance is not None:
        effects.append(f"chance to be in the balance range {chance_text(choice.chance_balance)}")
    if choice.not_stated:
        effects.append(f"not stated, so not judged: {', '.join(choice.not_stated).lower()}")
    if choice.equals:
        effects.append(f"{choice.equals} more builds give the same")
    return Step(sentence(_all_of(choice)), tuple(effects), _terms(result, choice))


def _terms(result: ChooseResult, choice: Choice) -> str:
    if not choice.purchases:
        return "Nothing to buy."
    parts = [
        f"{f'{one.pieces} x ' if one.pieces > 1 else ''}{one.part} {_money(one.cost, result.currency)}"
        for one in choice.purchases
    ]
    ready = choice.value("days")
    when = "lead time not stated" if ready.value is None else f"there in {number_text(ready)}"
    return f"To buy: {', '.join(parts)}; {when}."


def _chart(result: ChooseResult) -> ScatterChart | None:
    """The first two goals as a plane, where there are two and more than one build."""
    if len(result.goals) < 2 or len(result.choices) < 2:
        return None
    (first, first_title), (second, second_title) = zip(result.goals[:2], result.goal_titles[:2], strict=True)
    dots = [
        Dot(
            str(number),
            _plain(choice.value(first)),
            _plain(choice.value(second)),
            "last" if number == 1 else "beyond",
        )
        for number, choice in enumerate(result.choices, start=1)
    ]
    known = tuple(dot for dot in dots if dot.x.value is not None and dot.y.value is not None)
    if not known:
        return None
    best = result.choices[0]
    return ScatterChart(
        "choices",
        f"{first_title} and {second_title.lower()} of the builds",
        f"Build 1, the recommended one, has {_goal_words(result, best, (first, second))}.",
        _axis(result, first, first_title),
        _axis(result, second, second_title),
        known,
        None,
    )


def _axis(result: ChooseResult, name: str, title: str) -> Axis:
    shown = result.choices[0].value(name).shown
    return Axis(f"{title}, {result.currency}", "") if shown == _MONEY else Axis(title, shown)


def _plain(figure: Figure) -> Figure:
    """Money as a plain number: the axis names the currency."""
    return figure.model_copy(update={"unit": "1", "shown": ""}) if figure.shown == _MONEY else figure


def _one_more(result: ChooseResult) -> Section | None:
    if not result.one_more:
        return None
    steps = tuple(_purchase(result, one) for one in result.one_more)
    return Section("more", "What one more purchase would add", "", (Steps(steps),))


def _purchase(result: ChooseResult, one: OneMore) -> Step:
    ready = "lead time not stated" if one.ready.value is None else f"there in {number_text(one.ready)}"
    effects = (*one.gains, f"then {_all_of(one.choice)}")
    return Step(f"{one.name}.", effects, f"{_money(one.cost, result.currency)}, {ready}.")


def _taken_out(result: ChooseResult) -> Section:
    """Limits by how many sets they took out, each set counted at the first one that it breaks."""
    blocks: list[Block] = []
    if result.broken:
        blocks.append(_limits(result.broken[:_LIMITS], "Sets"))
    if result.doubtful:
        blocks.append(
            _limits(
                result.doubtful[:_LIMITS], "Builds", "Not kept with the chance wanted, when flown with spread"
            )
        )
    rest = (*result.broken[_LIMITS:], *result.doubtful[_LIMITS:])
    if rest:
        blocks.append(Details("Further limits", (_limits(rest, "Sets"),)))
    lead = "Each set of parts is counted at the first limit that it breaks."
    return Section("out", "What took builds out", lead, tuple(blocks))


def _limits(limits: Sequence[BrokenLimit], what: str, title: str = "") -> Table:
    columns = (Column("Limit", is_number=False), Column("Allowed", is_number=False), Column(what))
    return Table(columns, tuple((one.limit, one.allowed or None, one.sets) for one in limits), title)


def _parts(result: ChooseResult) -> Section:
    """Every part with what became of its sets."""
    columns = (
        Column("Part", is_number=False),
        Column("Role", is_number=False),
        Column("Sets"),
        Column("Kept"),
        Column("Broke most", is_number=False),
    )
    rows = tuple(
        (
            one.part if one.on_hand else f"{one.part} (to buy)",
            one.role,
            one.sets,
            one.kept,
            ", ".join(f"{limit.limit.lower()} {limit.sets}" for limit in one.broke[:2]) or None,
        )
        for one in result.records
    )
    blocks: list[Block] = [Table(columns, rows)]
    if result.left_out:
        texts = [f"{one.part}: {one.because}" for one in result.left_out]
        blocks.append(Steps.of(texts, "Not counted with", is_ordered=False))
    return Section("parts", "What became of every part", "", tuple(blocks), is_detail=True)


def _how(result: ChooseResult) -> Section:
    blocks: list[Block] = [Steps.of([sentence(text) for text in result.how], is_ordered=False)]
    if result.remarks:
        blocks.append(Steps.of([sentence(text) for text in result.remarks], "Remarks", is_ordered=False))
    return Section("how", "How it was searched", "", tuple(blocks), is_detail=True)
