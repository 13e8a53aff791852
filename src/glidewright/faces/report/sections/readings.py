"""The readings that would narrow the answers most."""

from collections.abc import Sequence

from glidewright.decisions.nouns import CheckResult
from glidewright.faces.report.document import Section, Steps
from glidewright.faces.report.section_registry import SectionOfCheck


def build(result: CheckResult) -> Section | None:
    """What to measure next on the model that was checked."""
    return readings_section(result.measure_next)


def readings_section(readings: Sequence[str]) -> Section | None:
    """The readings, or nothing."""
    if not readings:
        return None
    return Section("readings", "Measure next", "", (Steps.of(readings, is_ordered=False),))


SECTION = SectionOfCheck(75, build)
