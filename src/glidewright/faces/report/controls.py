"""The report of ``controls``: what to set, what the brake does, and whether linkages and servos stand it."""

from collections.abc import Iterator

from glidewright.base.units import unit
from glidewright.base.wording import (
    NOT_KNOWN,
    digits,
    exact_text,
    median_text,
    number_text,
    percent_text,
    plain_text,
    sentence,
)
from glidewright.decisions.steering.nouns import ControlsResult, Throw
from glidewright.faces.report.cautions import AIRSPACE, MODEL_ONLY, PEOPLE
from glidewright.faces.report.controls_brake import brake_section, way_text
from glidewright.faces.report.controls_build import build_section, weighing_section
from glidewright.faces.report.controls_linkages import linkage_sections
from glidewright.faces.report.controls_settings import mixes_section, throws_section
from glidewright.faces.report.document import (
    Answer,
    Answers,
    Caution,
    Document,
    FindingsBlock,
    Note,
    Section,
    Steps,
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
        throws_section(result),
        mixes_section(result),
        brake_section(result),
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
        return Answer(question, NOT_KNOWN, why, "warning")
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
        return Answer(question, NOT_KNOWN, result.why_no_throws, "warning")
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
        yield Answer("What does the brake do?", NOT_KNOWN, result.why_no_brake, "warning")
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


def _build_answer(result: ControlsResult) -> Answer:
    build = result.build
    question = "Was it built true?"
    measured = [one for one in build.checks if one.found.value is not None]
    if not measured:
        todo = "measure it: each millimetre's cost stands below"
        return Answer(question, NOT_KNOWN, todo if build.checks else result.why_no_throws, "warning")
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


def _limits(result: ControlsResult) -> Section | None:
    if not result.findings:
        return Section("limits", "Limits", "", (Note(sentence(result.why_no_linkages), tone="warning"),))
    shown: tuple[Finding, ...] = worst_first(result.findings)
    return Section("limits", "Limits", "", (FindingsBlock(shown),))
