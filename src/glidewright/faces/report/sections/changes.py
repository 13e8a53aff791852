"""What to change first: computed from differences over the same draws."""

from glidewright.base.wording import NOT_KNOWN, number_text, sentence
from glidewright.decisions.changes import JUDGE_DRAWS
from glidewright.decisions.nouns import Change, CheckResult
from glidewright.faces.report.document import Section, Step, Steps
from glidewright.faces.report.section_registry import SectionOfCheck


def build(result: CheckResult) -> Section | None:
    """The changes that would help most."""
    if not result.changes:
        return None
    steps = tuple(change_step(change, result.currency) for change in result.changes)
    lead = (
        f"Each change was computed with everything else as it is, over {JUDGE_DRAWS} of the draws: "
        "chances may differ a little from those of the limits."
    )
    return Section("changes", "What to change first", lead, (Steps(steps),), is_last=True)


def change_step(change: Change, currency: str) -> Step:
    """One change with its effects, then cost and lead time."""
    cost = ""
    if change.cost is not None:
        price = number_text(change.cost, currency=currency)
        cost = f"cost {NOT_KNOWN}" if price == NOT_KNOWN else f"costs {price}"
    terms = ", ".join(part for part in (cost, change.ready) if part)
    return Step(sentence(change.title), change.effects, sentence(terms))


SECTION = SectionOfCheck(80, build)
