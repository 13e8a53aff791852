"""Values that nobody stated, what stands in for them, and the reading that narrows most."""

from collections.abc import Sequence

from glidewright.decisions.nouns import CheckResult, Missing
from glidewright.faces.report.document import Column, Section, Table
from glidewright.faces.report.section_registry import SectionOfCheck


def build(result: CheckResult) -> Section | None:
    """What is missing in the model that was checked."""
    return missing_section(result.missing)


def missing_section(missing: Sequence[Missing]) -> Section | None:
    """What is missing, or nothing."""
    if not missing:
        return None
    lead = "Nothing was filled in silently; these values stand in until you state or measure your own."
    return Section("missing", "Missing values", lead, (missing_table(missing),))


def missing_table(missing: Sequence[Missing], title: str = "") -> Table:
    """One row a missing value."""
    columns = (
        Column("Part", is_number=False),
        Column("Missing", is_number=False),
        Column("Stands in", is_number=False),
        Column("Narrowed most by", is_number=False),
    )
    rows = tuple((one.part, f"{one.value} ({one.key})", one.stand_in, one.narrows) for one in missing)
    return Table(columns, rows, title=title)


SECTION = SectionOfCheck(70, build)
