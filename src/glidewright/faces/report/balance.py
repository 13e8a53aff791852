"""The report of ``balance``."""

from collections.abc import Iterator

from glidewright.base.wording import chance_text, digits, number_text, plain_text
from glidewright.decisions.balancing.nouns import Alternative, BalanceResult, Search
from glidewright.decisions.drawing_geometry import DrawingGeometry
from glidewright.faces.report.balance_sections import lateral_section, record_section, stations_section
from glidewright.faces.report.cautions import MODEL_ONLY, PEOPLE
from glidewright.faces.report.document import (
    Answer,
    Answers,
    Block,
    Caution,
    Column,
    Details,
    Document,
    Drawing,
    FindingsBlock,
    Note,
    Row,
    Rows,
    Section,
    Step,
    Steps,
    Table,
)
from glidewright.faces.report.sections.readings import readings_section
from glidewright.faces.report.status import status_of, verdict_on
from glidewright.faces.report.subtitle import subtitle

_ON_A_STAND = Caution(
    "Balance: check it on a stand before the first flight, ready to fly with the pack in its place.",
    "A forecast never replaces the finger or the blade under the wing. Fix ballast so that it cannot shift.",
)


def document(result: BalanceResult, drawing: DrawingGeometry | None = None) -> Document:
    """Where the balance is, how sure that is, and the least dead weight; drawing: where it has a shape."""
    sections = [
        Section("answers", "Answers", "", (Answers(tuple(_answers(result))),)),
        Section("balance", "Balance", "", tuple(_balance(result, drawing))),
        _known(result),
        _options(result),
        record_section(result),
        stations_section(result),
        lateral_section(result),
        readings_section(result.measure_next),
    ]
    return Document(
        title=f"Balance of {result.model}",
        subtitle=subtitle(result.invented, result.draws),
        model=result.model,
        verdict=verdict_on(result.findings, _first_words(result)),
        cautions=(_ON_A_STAND, PEOPLE, MODEL_ONLY),
        sections=tuple(section for section in sections if section is not None),
    )


def _best(result: BalanceResult) -> Alternative | None:
    found = result.search
    return found.alternatives[0] if found is not None and found.alternatives else None


def _first_words(result: BalanceResult) -> str:
    best = _best(result)
    if best is None:
        return ""
    if _as_it_is(result) is not None:
        return "it needs no change for its balance"
    of_part = result.search is not None and result.search.left_out
    whose = " of the known part alone" if of_part else ""
    return f"lightest way{whose} into the range: {_all_of(best)}"


def _as_it_is(result: BalanceResult) -> Alternative | None:
    """The alternative that changes nothing, where the model may stay as it is."""
    found = () if result.search is None else result.search.alternatives
    return next((one for one in found if not one.does), None)


def _all_of(one: Alternative) -> str:
    return "; ".join(one.does) or "leave it as it is"


def _answers(result: BalanceResult) -> Iterator[Answer]:
    finding = result.findings[0]
    status = status_of(finding)
    where = f"its range is {finding.limit}; chance to be inside {chance_text(result.chance_as_is)}"
    if result.chance_by_pack_bay is not None:
        where += f", {chance_text(result.chance_by_pack_bay)} with the pack anywhere in its bay"
    if finding.value.value is None:
        known = result.known
        where = finding.because
        if known.items:
            where += (
                f"; the known part, {known.items} of {known.fitted} items, balances at "
                f"{number_text(known.centre_x)}"
            )
    yield Answer(
        "Where is the centre of gravity, and is it in its range without ballast?",
        status.word,
        where,
        status.tone,
        finding.value,
    )
    yield _least(result)
    if result.lateral is not None:
        yield Answer("Is it level from wing tip to wing tip?", "", result.lateral.text)


def _least(result: BalanceResult) -> Answer:
    question = "What is the least dead weight that brings it into the range?"
    best, found = _best(result), result.search
    if best is not None and found is not None and found.left_out:
        words = f"{_not_whole(found)}: {_all_of(best)}; {_added_words(best)}; search again once it is weighed"
        return Answer(question, "not sure", words, "warning")
    if best is not None and (same := _as_it_is(result)) is not None:
        words = f"it stays as it is, chance to be inside {chance_text(same.chance)}"
        if best is not same:
            words += f"; lighter still: {_all_of(best)}; {_added_words(best)}"
        return Answer(question, "none", words, "good")
    if best is not None:
        words = f"{_all_of(best)}; {_added_words(best)}, chance then {chance_text(best.chance)}"
        return Answer(question, "", words, "good")
    if found is None:
        return Answer(question, "not known", result.why_no_search, "warning")
    if found.nearest_miss is not None:
        miss = found.nearest_miss
        words = (
            f"no combination reaches the range; the nearest one stays {plain_text(miss.miss_m, 'mm')} away"
        )
        return Answer(question, "none", f"{words}: {_all_of(miss)}", "alarm")
    return Answer(question, "none", "every way breaks a limit that is kept now", "alarm")


def _not_whole(found: Search) -> str:
    """That only the known part was searched."""
    return f"of the known part alone, while {', '.join(found.left_out)} cannot be counted in"


def _added_words(one: Alternative) -> str:
    grams = 1e3 * one.added_mass_kg
    return f"{'+' if grams >= 0.0 else ''}{digits(grams, 1)} g"


def _balance(result: BalanceResult, drawing: DrawingGeometry | None) -> Iterator[Block]:
    yield FindingsBlock(result.findings)
    yield _rows(result)
    if drawing is not None:
        sentence = f"The centre of gravity lies at {number_text(result.centre[0].figure)} aft of the datum."
        yield Drawing("drawing", "The model to scale with its balance", sentence, drawing)


def _rows(result: BalanceResult) -> Rows:
    rows = [Row("Mass ready to fly", result.mass)]
    rows += [Row(f"Centre of gravity {one.title}", one.figure) for one in result.centre]
    rows += [
        Row("Allowed from", result.allowed.front, result.allowed.source),
        Row("Allowed to", result.allowed.rear),
        Row("Chance to be inside as it is", chance_text(result.chance_as_is)),
    ]
    if result.chance_by_pack_bay is not None:
        rows.append(Row("Chance with the pack anywhere in its bay", chance_text(result.chance_by_pack_bay)))
    rows += [
        Row("Neutral point", result.stability.neutral_point_x),
        Row("Static margin", result.stability.static_margin),
    ]
    return Rows(tuple(rows))


def _known(result: BalanceResult) -> Section | None:
    """The known part alone, while something is left out."""
    known = result.known
    if not known.left_out and known.items:
        return None
    lead = (
        f"{known.items} of {known.fitted} fitted items have a mass and a place. They are counted alone here."
    )
    blocks: list[Block] = [
        Rows((Row("Mass of the known part", known.mass), Row("It balances at", known.centre_x)))
    ]
    if known.still_to_come:
        blocks.append(Steps.of(known.still_to_come, "What the known part still needs", is_ordered=False))
    if known.left_out:
        columns = tuple(
            Column(title, is_number=False) for title in ("Not counted", "It lacks", "It should be")
        )
        blocks.append(Table(columns, tuple((one.name, one.lacks, one.needs) for one in known.left_out)))
    return Section("known", "The known part", lead, tuple(blocks))


def _options(result: BalanceResult) -> Section | None:
    found = result.search
    if found is None:
        return None
    steps = tuple(_step(one, result.currency) for one in found.alternatives)
    blocks: list[Block] = [Steps(steps)] if steps else []
    if found.nearest_miss is not None:
        blocks.append(
            Note(f"Nothing reaches the range. The nearest: {_all_of(found.nearest_miss)}.", tone="alarm")
        )
        blocks.append(Steps((_step(found.nearest_miss, result.currency),), "Nearest miss", is_ordered=False))
    if found.ballast_alone is not None and found.ballast_alone.does:
        blocks.append(
            Steps((_step(found.ballast_alone, result.currency),), "For comparison, ballast alone", False)
        )
    blocks.append(Details("How it was searched", tuple(_how(found))))
    lead = f"{found.combinations} combinations of parts and places, ballast at the ends and in the tips."
    if found.left_out:
        lead += f" Ways {_not_whole(found)}."
    return Section("options", "Ways into the range, the lightest first", lead, tuple(blocks))


def _how(found: Search) -> Iterator[Steps]:
    yield Steps.of(found.how, is_ordered=False)
    if found.not_offered:
        yield Steps.of(found.not_offered, "Not offered", is_ordered=False)


def _step(one: Alternative, currency: str) -> Step:
    """A way with its effects and on what terms it is to be had."""
    where = f"centre of gravity {number_text(one.centre_x)}, chance to be inside {chance_text(one.chance)}"
    if one.chance is None:
        where = f"the known part then balances at {number_text(one.centre_x)}"
    ballast = f", of which {digits(1e3 * one.ballast_kg, 1)} g ballast" if one.ballast_kg > 0.0 else ""
    effects = [f"mass {_added_words(one)}{ballast}", where]
    if one.miss_m > 0.0:
        effects.append(f"the median stays {plain_text(one.miss_m, 'mm')} outside the range")
    if one.height_before_m is not None and one.height_after_m is not None:
        before, after = plain_text(one.height_before_m, "m", False), plain_text(one.height_after_m, "m")
        effects.append(f"launch height {before} -> {after}")
    cost = f"costs {digits(one.cost, 2)} {currency}, " if one.cost > 0.0 else ""
    counts = digits(1e3 * one.rank_kg, 1)
    terms = f"{cost}about {one.work_s / 60.0:.0f} min of work; counts as {counts} g"
    text = _all_of(one)
    return Step(f"{text[0].upper()}{text[1:]}.", (*effects, *one.remarks), f"{terms[0].upper()}{terms[1:]}.")
