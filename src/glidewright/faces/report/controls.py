"""The report of ``controls``: what to set, what the brake does, and whether linkages and servos stand it."""

from collections.abc import Iterator

from glidewright.base.figure import Figure
from glidewright.base.units import unit
from glidewright.base.wording import (
    digits,
    exact_text,
    median_text,
    number_text,
    percent_text,
    plain_text,
    sentence,
)
from glidewright.decisions.steering.nouns import BrakeUse, ControlsResult, Throw
from glidewright.faces.report.cautions import AIRSPACE, MODEL_ONLY, PEOPLE
from glidewright.faces.report.controls_build import build_section, weighing_section
from glidewright.faces.report.controls_linkages import linkage_sections, short
from glidewright.faces.report.document import (
    Answer,
    Answers,
    Axis,
    Block,
    Caution,
    Cell,
    Column,
    Details,
    Document,
    FindingsBlock,
    Line,
    LineChart,
    Note,
    Panel,
    Row,
    Rows,
    Section,
    Step,
    Steps,
    Table,
)
from glidewright.faces.report.sections.missing import missing_section
from glidewright.faces.report.status import status_of, verdict_on, worst_first
from glidewright.faces.report.subtitle import subtitle
from glidewright.rules.finding import Finding

MOVING = Caution(
    "Set controls with the propeller off the motor: the pack is plugged in, servos and surfaces move.",
    "Keep fingers out of horns and hinges; a servo that hums against a stop draws its stall current and "
    "burns. Look at every surface from behind before every flight: right way, right size, back to middle.",
)
BRAKE_AT_HEIGHT = Caution(
    "Brake: try it first at height and alone in the air, never for the first time on an approach.",
    "With the brake open the model stalls sooner. Near the ground do not snap it shut.",
)
_SURE = {"kept": "yes", "broken": "no"}


def document(result: ControlsResult) -> Document:
    """Answers and limits first, then settings, brake, linkages, build."""
    sections = (
        Section("answers", "Answers", "", (Answers(tuple(_answers(result))),)),
        _limits(result),
        _throws(result),
        _mixes(result),
        _brake(result),
        *linkage_sections(result),
        build_section(result.build),
        weighing_section(result.build.budget),
        missing_section(result.missing),
        Section(
            "notes", "What it rests on", "", (Steps.of(_notes(result), is_ordered=False),), is_detail=True
        ),
    )
    return Document(
        title=f"Controls of {result.model}",
        subtitle=subtitle(result.invented, result.draws),
        model=result.model,
        verdict=verdict_on(result.findings, _short(result)),
        cautions=(MOVING, BRAKE_AT_HEIGHT, PEOPLE, AIRSPACE, MODEL_ONLY),
        sections=tuple(section for section in sections if section is not None),
    )


def _notes(result: ControlsResult) -> tuple[str, ...]:
    brake = () if result.brake is None else result.brake.notes
    own = tuple(note for linkage in result.linkages for note in linkage.notes)
    return tuple(sentence(note) for note in (*result.notes, *brake, *own))


def _short(result: ControlsResult) -> str:
    return "" if result.why_no_throws else f"elevator {_both_ways(result, 'elevator')}"


# ------------------------------------------------------------------ answers


def _answers(result: ControlsResult) -> Iterator[Answer]:
    yield _worst(
        result, "Do the linkages move freely, without much play?", ("binding", "stop", "play", "rod")
    )
    yield _worst(result, "Are servos and their supply strong enough?", ("torque", "held"))
    yield _throw_answer(result)
    yield from _brake_answers(result)
    yield _build_answer(result)


def _worst(result: ControlsResult, question: str, ends: tuple[str, ...]) -> Answer:
    """The worst of some findings, or that nothing is known."""
    found = worst_first(one for one in result.findings if one.name.endswith(ends))
    if not found:
        why = result.why_no_linkages or "servos and the shape of the airframe are not stated"
        return Answer(question, "not known", why, "warning")
    status = status_of(found[0])
    bad = [one for one in found if not status_of(one).is_kept]
    text = f"{found[0].title.lower()} {number_text(found[0].value)}; {found[0].limit}"
    if len(bad) > 1:
        text += f"; {len(bad)} of {len(found)} limits are not kept for sure"
    elif not bad:
        text = f"all {len(found)} limits are kept"
    return Answer(question, _SURE.get(status.word, status.word), text, status.tone)


def _throw_answer(result: ControlsResult) -> Answer:
    question = "How far should the surfaces move?"
    if not result.throws:
        return Answer(question, "not known", result.why_no_throws, "warning")
    words = [f"{name} {_both_ways(result, name)}" for name in ("elevator", "rudder") if _of(result, name)]
    first = result.throws[0].first
    text = f"{'; '.join(words)} at the trailing edge; for first flights {percent_text(first)} of it"
    return Answer(question, "", text)


def _of(result: ControlsResult, control: str) -> list[Throw]:
    return [throw for throw in result.throws if throw.control == control]


def _both_ways(result: ControlsResult, control: str) -> str:
    found = _of(result, control)
    sizes = [median_text(throw.edge) for throw in found]
    if len(set(sizes)) == 1 and len(found) > 1:
        return f"{sizes[0]} each way"
    return ", ".join(f"{size} {throw.way}" for size, throw in zip(sizes, found, strict=True))


def _brake_answers(result: ControlsResult) -> Iterator[Answer]:
    brake = result.brake
    if brake is None:
        yield Answer("What does the brake do?", "not known", result.why_no_brake, "warning")
        return
    full = brake.steps[-1]
    speed = plain_text(brake.approach_speed.value or 0.0, "m/s")
    text = (
        f"glide ratio with full brake at {speed}; the nose goes down with a chance of "
        f"{percent_text(brake.nose_down)}, so start with elevator {way_text(full.compensation)} "
        f"({way_text(full.edge)})"
    )
    yield Answer("What does the brake do?", "", text, figure=full.ratio)
    worst = max(brake.mistakes, key=lambda one: one.height.value or 0.0)
    text = f"{worst.title.lower()}; try it above {exact_text(brake.test_height_m, 'm')}"
    yield Answer("How much height does a mistake with the brake cost?", "", text, figure=worst.height)


def way_text(figure: Figure) -> str:
    """An elevator deflection, down positive, with its way in words.

    >>> travel = {"low": -0.2, "high": 0.0, "unit": "1", "shown": "%", "grade": "typical", "because": ""}
    >>> way_text(Figure(value=-0.12, **travel))
    '12 % up'
    """
    if figure.value is None:
        return "not known"
    size = abs(figure.value)
    shown = percent_text(size) if figure.shown == "%" else f"{digits(unit(figure.shown).from_si(size), 1)}"
    if shown in ("0.0", "0 %"):
        return "at rest"
    symbol = "" if figure.shown == "%" else f" {figure.shown}"
    return f"{shown}{symbol} {'up' if figure.value < 0.0 else 'down'}"


def _build_answer(result: ControlsResult) -> Answer:
    build = result.build
    question = "Was it built true?"
    measured = [one for one in build.checks if one.found.value is not None]
    if not measured:
        todo = "measure it: each millimetre's cost stands below"
        return Answer(question, "not known", todo if build.checks else result.why_no_throws, "warning")
    words = []
    if build.rudder_edge.value is not None:
        side = "right" if build.rudder_edge.value > 0.0 else "left"
        size = digits(unit("mm").from_si(abs(build.rudder_edge.value)), 1)
        words.append(f"rudder {size} mm {side}")
    if build.elevator_edge.value is not None:
        words.append(f"elevator {way_text(build.elevator_edge)}")
    rest = len(build.checks) - len(measured)
    text = f"what was measured asks for {' and '.join(words) or 'no trim'} as trim"
    return Answer(question, "", f"{text}; {rest} of {len(build.checks)} checks are still open")


# ------------------------------------------------------------------ sections


def _limits(result: ControlsResult) -> Section | None:
    if not result.findings:
        return Section("limits", "Limits", "", (Note(sentence(result.why_no_linkages), tone="warning"),))
    shown: tuple[Finding, ...] = worst_first(result.findings)
    return Section("limits", "Limits", "", (FindingsBlock(shown),))


def _throws(result: ControlsResult) -> Section:
    title = "Throws and trim to set"
    if not result.throws:
        return Section("throws", title, "", (Note(sentence(result.why_no_throws), tone="warning"),))
    rows: list[tuple[Cell, ...]] = [
        (
            f"{throw.control} {throw.way}",
            throw.edge,
            short(throw.deflection),
            _percent(throw.travel),
            short(throw.first_edge),
            _percent(throw.first_travel),
        )
        for throw in result.throws
    ]
    heads = (
        Column("Control", is_number=False),
        Column("Full", "mm"),
        Column("Angle"),
        Column("Travel"),
        Column("First flights"),
        Column("Travel then"),
    )
    stated = next((linkage.stated_travel for linkage in result.linkages), None)
    travel = "" if stated is None else f" Travel: of {short(stated)} of servo each way at 100 %."
    note = f"At the trailing edge where the surface is widest, from the surface in line.{travel}"
    needs: list[tuple[Cell, ...]] = [
        (f"{throw.control} {throw.way}", need.title, need.deflection, need.edge)
        for throw in result.throws
        if throw.way != "right"
        for need in throw.needs
    ]
    columns = (
        Column("Control", is_number=False),
        Column("It must", is_number=False),
        Column("Angle", "°"),
        Column("Edge", "mm"),
    )
    practice = tuple(
        dict.fromkeys(sentence(f"{one.control}: {one.practice}; {one.because}") for one in result.throws)
    )
    blocks: list[Block] = [
        Table(heads, tuple(rows), note=note),
        Rows(tuple(Row(named.title, named.figure) for named in result.trim), "Trim"),
        Details("What asks for them", (Table(columns, tuple(needs)), Steps.of(practice, is_ordered=False))),
    ]
    return Section("throws", title, "", tuple(blocks))


def _percent(figure: Figure) -> str:
    return "not known" if figure.value is None else percent_text(figure.value)


def _mixes(result: ControlsResult) -> Section:
    blocks: list[Block] = []
    if result.curves:
        heads = (
            Column("Exponential", is_number=False),
            Column("Share"),
            *(Column(f"Stick {percent_text(at)}") for at in result.curves[0].stick),
        )
        rows: list[tuple[Cell, ...]] = [
            (curve.control, _percent(curve.share), *(percent_text(one) for one in curve.travel))
            for curve in result.curves
        ]
        because = " ".join(sentence(f"{curve.control}: {curve.because}") for curve in result.curves)
        blocks.append(Table(heads, tuple(rows), note=because))
    mixes = tuple(
        Step(
            f"{mix.title}: {mix.value}.",
            (mix.because, *(() if mix.source == "brake" else mix.test)),
        )
        for mix in result.mixes
    )
    if mixes:
        blocks.append(Steps(mixes, "Mixes", is_ordered=False))
    return Section("mixes", "Exponential and mixes", "", tuple(blocks))


def _brake(result: ControlsResult) -> Section | None:
    brake = result.brake
    if brake is None:
        return Section("brake", "Brake", "", (Note(sentence(result.why_no_brake), tone="warning"),))
    has_travel = brake.steps[-1].travel.value is not None
    rows: list[tuple[Cell, ...]] = [
        (
            percent_text(step.share),
            short(step.opening),
            _signed(step.travel if has_travel else step.edge, "%" if has_travel else "mm"),
            way_text(step.edge),
            step.ratio,
            short(step.sink),
            short(step.reach),
        )
        for step in brake.steps
    ]
    heads = (
        Column("Brake"),
        Column("Blade"),
        Column("Elevator, % of travel" if has_travel else "Elevator, mm"),
        Column("At its edge"),
        Column("Glide ratio"),
        Column("Sink"),
        Column("From 10 m"),
    )
    lead = (
        f"At {short(brake.approach_speed)}, 1.3 times the stall with full brake, "
        f"{number_text(brake.stall_open)} (closed {median_text(brake.stall_closed)}). Elevator against the "
        "brake closed, up is minus."
    )
    costs: list[tuple[Cell, ...]] = [(one.title, one.height, one.fastest) for one in brake.mistakes]
    columns = (Column("Mistake", is_number=False), Column("Height", "m"), Column("Fastest", "m/s"))
    alone = (
        f"Left alone with full brake it settles at {number_text(brake.left_alone)}. Keep "
        f"{exact_text(brake.test_height_m, 'm')} for the test."
    )
    blocks: tuple[Block, ...] = (
        Table(heads, tuple(rows)),
        compensation_chart(brake),
        Table(columns, tuple(costs), "What a mistake costs", alone),
        Steps.of(brake.test, "The test that sets it"),
    )
    return Section("brake", "Brake", lead, blocks)


def _signed(figure: Figure, shown: str) -> str:
    """A signed figure with its range in a shown unit, without its symbol, whole per cents."""
    if figure.value is None:
        return "not known"
    symbol = unit(shown)
    numbers = [symbol.from_si(n if n is not None else 0.0) for n in (figure.value, figure.low, figure.high)]
    decimals = 0 if shown == "%" else 1
    value, low, high = (digits(number, decimals) for number in numbers)
    return value if low == high else f"{value} ({low} to {high})"


def compensation_chart(brake: BrakeUse) -> LineChart:
    """Elevator against brake."""
    curve = brake.curve
    full, half = brake.steps[-1], brake.steps[2]
    shown = full.compensation if full.travel.value is None else full.travel
    at_half = half.compensation if half.travel.value is None else half.travel
    words = f"Elevator {way_text(at_half)} at half brake and {way_text(shown)} at full brake, as a start."
    line = Line.of(curve.title, brake.curve_shares, curve.value, curve.low, curve.high)
    return LineChart(
        "compensation",
        "Elevator that goes with the brake",
        words,
        Axis("Brake", "%"),
        (Panel(Axis(curve.title, curve.shown), (line,)),),
        None,
    )
