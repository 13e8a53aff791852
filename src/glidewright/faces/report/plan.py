"""The report of ``plan``: the step that is next, all steps at a glance, then each with its numbers."""

from collections.abc import Iterator, Mapping, Sequence

from glidewright.base.wording import number_text, sentence
from glidewright.decisions.planning.nouns import PlanResult, PlanStep
from glidewright.faces.report.cautions import GENERAL
from glidewright.faces.report.document import (
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
from glidewright.faces.report.subtitle import subtitle

_PLACES = {
    "workshop": "In the workshop",
    "field": "On the field, before it flies under power",
    "air": "In the air",
}
_WORDS = {"went badly": "WENT BADLY", "next": "next", "done": "done", "open": "open", "waits": "waits"}


def document(result: PlanResult) -> Document:
    """The plan of one model."""
    sections = [_next(result), _all(result)]
    sections += [_place(result, place) for place in _PLACES]
    return Document(
        title=f"Test plan of {result.model}",
        subtitle=subtitle(result.invented, result.draws),
        model=result.model,
        verdict=_verdict(result.steps),
        cautions=GENERAL,
        sections=tuple(section for section in sections if section is not None),
    )


def _verdict(steps: Sequence[PlanStep]) -> Note:
    done = sum(step.state == "done" for step in steps)
    bad = [step.title for step in steps if step.state == "went badly"]
    text = f"{done} of {len(steps)} steps done"
    tone: Tone = "plain"
    if bad:
        tone = "alarm"
        text += f"; went badly: {', '.join(bad)}; mend it and do it again before what follows"
    else:
        coming = next((step.title for step in steps if step.state == "next"), "")
        text += f"; next: {coming}" if coming else "; the plan is through"
    return Note(sentence(text), tone=tone)


def _next(result: PlanResult) -> Section | None:
    """The step to do now: one that went badly goes before the next one."""
    order = ("went badly", "next")
    step = next((one for state in order for one in result.steps if one.state == state), None)
    if step is None:
        return None
    title = "Do again" if step.state == "went badly" else "Next step"
    return Section("next", title, "", tuple(_step(step, with_key=True)))


def _all(result: PlanResult) -> Section:
    numbers = {step.title: number for number, step in enumerate(result.steps, 1)}
    rows = tuple(
        (str(numbers[step.title]), step.title, step.key, _state(step, numbers)) for step in result.steps
    )
    columns = (
        Column("", is_number=False),
        Column("Step", is_number=False),
        Column("Key", is_number=False),
        Column("State", is_number=False),
    )
    return Section("steps", "All steps", "", (Table(columns, rows),))


def _state(step: PlanStep, numbers: Mapping[str, int]) -> str:
    words = _WORDS[step.state]
    if step.state == "waits":
        return f"waits for step {numbers[step.waits_for]}"
    if step.done is not None and step.done.date:
        words += f", {step.done.date}"
    return words


def _place(result: PlanResult, place: str) -> Section | None:
    steps = [step for step in result.steps if step.place == place]
    if not steps:
        return None
    blocks = tuple(block for step in steps for block in _step(step))
    return Section(f"plan-{place}", _PLACES[place], "", blocks, is_detail=True)


def _step(step: PlanStep, with_key: bool = False) -> Iterator[Block]:
    if step.caution:
        yield Note(step.caution, title=step.title, tone="warning")
    yield Steps.of(step.do, title="" if step.caution else step.title)
    if step.numbers:
        rows = tuple(Row(one.title, one.figure) for one in step.numbers)
        yield Rows(rows, title="What to expect of this model")
    if step.record:
        yield _to_write(step)
    if step.if_it_fails:
        yield Steps.of(step.if_it_fails, title="If it fails", is_ordered=False)
    if step.goes_to:
        yield Note(sentence(f"what you write down becomes {step.goes_to}"))
    if with_key:
        yield Note(_how_to_write(step), title="When it is done")


def _to_write(step: PlanStep) -> Table:
    came = {} if step.done is None else {one.title: one for one in step.done.numbers}
    rows: list[tuple[Cell, ...]] = []
    for one in step.record:
        own = came.get(one.title)
        expected = number_text(one.figure) if one.figure.value is not None else "-"
        found = f"{number_text(own.value)}: {own.says}" if own is not None else "________"
        rows.append((one.title, one.key, expected, found))
    columns = (
        Column("Write down", is_number=False),
        Column("Key", is_number=False),
        Column("Forecast", is_number=False),
        Column("Came", is_number=False),
    )
    return Table(columns, tuple(rows))


def _how_to_write(step: PlanStep) -> str:
    numbers = "".join(f" --found {one.key}=NUMBER" for one in step.record)
    return f"glidewright plan MODEL --well {step.key}{numbers} --note TEXT, or --badly {step.key}."
