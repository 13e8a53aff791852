"""What to change first: computed from differences over the same draws."""

from glidewright.base.wording import number_text
from glidewright.decisions.nouns import Change, CheckResult
from glidewright.faces.report.document import Block, Section, Steps
from glidewright.faces.report.section_registry import SectionOfCheck


def build(result: CheckResult) -> Section | None:
    """The changes that would help most, then the readings that would narrow the answers most."""
    if not result.changes and not result.measure_next:
        return None
    blocks: list[Block] = []
    if result.changes:
        blocks.append(Steps(tuple(change_sentence(change) for change in result.changes)))
    if result.measure_next:
        blocks.append(_readings(result.measure_next, "Measure next"))
    lead = "Each change was computed with everything else as it is." if result.changes else ""
    return Section("changes", "What to change first", lead, tuple(blocks))


def readings_section(readings: tuple[str, ...]) -> Section | None:
    """The readings alone, for a report without changes."""
    return Section("readings", "Measure next", "", (_readings(readings, ""),)) if readings else None


def _readings(readings: tuple[str, ...], title: str) -> Steps:
    return Steps(readings, title, is_ordered=False)


def change_sentence(change: Change) -> str:
    """One change with its effects, cost and lead time."""
    parts = [f"{change.title}: {'; '.join(change.effects)}" if change.effects else change.title]
    if change.cost is not None and change.cost.value:
        parts.append(f"costs {number_text(change.cost)}")
    if change.ready:
        parts.append(change.ready)
    return ". ".join(part[:1].upper() + part[1:] for part in parts) + "."


SECTION = SectionOfCheck(80, build)
