"""One page for a club meeting: the options, what stands, what a check can tell, and who decides."""

from collections.abc import Iterator

from glidewright.base.wording import exact_text, median_text, number_text, percent_text, sentence
from glidewright.decisions.fairness.nouns import FairResult, OptionResult
from glidewright.faces.report.document import (
    Caution,
    Cell,
    Column,
    Document,
    Note,
    Section,
    Steps,
    Table,
)
from glidewright.faces.report.fair import percent, verdict_words, whole
from glidewright.faces.report.fair_field import money
from glidewright.faces.report.render_html import render_html

MOST_OPTIONS = 10  # so many fit the page; those that stand come first
_ONE_SHEET = """
@page { size: A4; margin: 13mm 15mm; }
@media print {
  html, body { font-size: 8.8pt; line-height: 1.33; }
  h1 { font-size: 15pt; }
  h2 { font-size: 10.5pt; margin-bottom: .1rem; }
  p, .note, ol, ul { max-width: none; }
  header.top { padding-bottom: .4rem; }
  section { padding: .45rem 0 0; }
  section + section { margin-top: .4rem; }
  table { width: 100%; }
  td.number { white-space: nowrap; }
  th, td { padding: .16rem .7rem .16rem 0; }
  tbody th { white-space: nowrap; }
  ol, ul { margin: .15rem 0 .2rem; }
  li { margin: .08rem 0; }
  footer { margin-top: .4rem; padding-top: .2rem; font-size: 7pt; }
}
"""


def paper_html(result: FairResult) -> str:
    """The paper as one self-contained page that prints on one A4 sheet."""
    return render_html(paper(result)).replace("</style>", f"{_ONE_SHEET}</style>", 1)


def paper(result: FairResult) -> Document:
    """The paper as a document."""
    shown = _shown(result)
    sections = (_options(result, shown), _binding(shown), _checked(result))
    invented = "Invented for the demo. " if result.invented else ""
    where = ", ".join(result.airframes)
    return Document(
        title=f"Rule options: {result.class_title}",
        subtitle=f"{invented}{result.builds} builds on {where}, each set up as well as its owner could.",
        model=where,
        verdict=Note(verdict_words(result), tone="good"),
        cautions=(
            Caution(f"Rules: {result.class_note}; what the law says of height counts above every rule."),
            Caution(
                "Prediction: it rests on what sellers state of their parts; fly and log before the vote."
            ),
        ),
        sections=tuple(section for section in sections if section is not None),
    )


def _shown(result: FairResult) -> list[OptionResult]:
    """The class as it is, the options that stand, and others while there is room; in their order."""
    first, *others = result.options
    by_rank = sorted(range(len(others)), key=lambda place: (not others[place].unbeaten, place))
    return [first, *(others[place] for place in sorted(by_rank[: MOST_OPTIONS - 1]))]


def _options(result: FairResult, shown: list[OptionResult]) -> Section:
    columns = (
        Column("Option", is_number=False),
        Column("Gap, m"),
        Column(f"Cost, {result.currency}"),
        Column("Freedom, %"),
        Column("Launch, m"),
        Column("Parts on hand, %"),
        Column("Limiter stops, %"),
        Column("", is_number=False),
    )
    rows: list[tuple[Cell, ...]] = [
        (
            one.name,
            number_text(one.gap, with_unit=False),
            money(one.cost),
            percent(one.freedom),
            whole(one.height.typical),
            percent(one.on_hand),
            percent(one.limiter_stops),
            "stands" if one.unbeaten else "beaten",
        )
        for one in shown
    ]
    note = (
        "Gap: best entry less the typical one, highest point after the launch. Cost: cheapest power train "
        f"that reaches {percent_text(result.within)} of the best height, all new. Freedom: share of the "
        "sound builds that may start. Launch: typical entry. Parts on hand: best height with them over the "
        "best of all. "
        "Beaten: another option is nowhere worse in gap, cost and freedom, and somewhere better."
    )
    left = len(result.options) - len(shown)
    if left:
        note += f" {left} more options are in the full report."
    return Section("options", "The options", "", (Table(columns, tuple(rows), note=note),))


def _binding(shown: list[OptionResult]) -> Section:
    texts = [f"{one.name}: {_says(one)}{_bound(one)}" for one in shown]
    steps = Steps.of(texts, is_ordered=False)
    return Section("binds", "What they say, and how many of the entries each limit binds", "", (steps,))


def _says(one: OptionResult) -> str:
    """The option in a few words, unless its name says it all."""
    words = "; ".join(one.says[:3])
    return "" if words.casefold() == one.name.casefold() else f"{words}. "


def _bound(one: OptionResult) -> str:
    rows = [f"{row.title.lower()} {row.count}" for row in one.binds if row.count]
    return f"Of {one.entries} entries: {', '.join(rows)}." if rows else ""


def _checked(result: FairResult) -> Section | None:
    texts = list(map(sentence, _checks(result)))
    if not texts:
        return None
    return Section("check", "What a check can tell", "", (Steps.of(texts, is_ordered=False),))


def _checks(result: FairResult) -> Iterator[str]:
    rate = percent_text(result.wrong)
    own = next((one for one in result.options if one.check is not None), None)
    if own is not None and own.check is not None:
        check = own.check
        yield (
            f"Height ({own.name}): {median_text(check.allowance)} of allowance keep legal launches from "
            f"being found over in more than {rate} of the checks by another logger; the stop at "
            f"{exact_text(check.limit_m, 'm')} lies {median_text(check.true_cold)} over ground on a cold "
            f"day, {median_text(check.true_warm)} on a warm one"
        )
    if result.climb_checks and result.climb_check_m_s is not None:
        told = ", ".join(
            f"{median_text(one.allowance)} over {exact_text(one.window_s, 's')}"
            for one in result.climb_checks
        )
        limit = exact_text(result.climb_check_m_s, "m/s")
        yield f"Climb limit of {limit}: allowance by the window that the rule states: {told}"
