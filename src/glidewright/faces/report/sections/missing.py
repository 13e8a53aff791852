"""Values that nobody stated, what stands in for them, and the reading that narrows most."""

from collections.abc import Sequence

from glidewright.decisions.nouns import CheckResult, Missing
from glidewright.faces.report.document import Column, Details, Section, Table
from glidewright.faces.report.section_registry import SectionOfCheck


def build(result: CheckResult) -> Section | None:
    """What is missing in the model that was checked."""
    return missing_section(result.missing)


def missing_section(missing: Sequence[Missing]) -> Section | None:
    """What is missing, or nothing."""
    if not missing:
        return None
    lead = "These values stand in until you state or measure your own."
    narrows = Details("Which reading narrows them most", (narrows_table(missing),))
    return Section("missing", "Missing values", lead, (missing_table(missing), narrows))


def missing_table(missing: Sequence[Missing]) -> Table:
    """One row a missing value: what stands in for it, and where to state it."""
    columns = tuple(
        Column(title, is_number=False) for title in ("Part", "Missing", "Stands in", "Key to fill in")
    )
    return Table(columns, tuple((one.part, one.value, one.stand_in, one.key) for one in missing))


def narrows_table(missing: Sequence[Missing]) -> Table:
    """One row a missing value: the reading that narrows it most."""
    columns = tuple(Column(title, is_number=False) for title in ("Part", "Missing", "Narrowed most by"))
    return Table(columns, tuple((one.part, one.value, one.narrows) for one in missing))


SECTION = SectionOfCheck(70, build)
