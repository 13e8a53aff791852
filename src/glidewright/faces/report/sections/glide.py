"""Glide and balance in flight, the short form; ``glidewright glide`` has all of it."""

from glidewright.decisions.nouns import CheckResult
from glidewright.faces.report.document import Row, Rows, Section
from glidewright.faces.report.section_registry import SectionOfCheck


def build(result: CheckResult) -> Section | None:
    """The main figures of the glide, where they are known."""
    if not result.glide:
        return None
    rows = tuple(Row(named.title, named.figure) for named in result.glide)
    lead = "glidewright glide tells the whole of it: speeds, wind, circling, trim and handling."
    return Section("glide", "Glide", lead, (Rows(rows),), is_detail=True)


SECTION = SectionOfCheck(55, build)
