"""The report of ``check``."""

from glidewright.decisions.nouns import CheckResult
from glidewright.faces.report.cautions import GENERAL, with_class_note
from glidewright.faces.report.document import Document
from glidewright.faces.report.section_registry import sections_of
from glidewright.faces.report.subtitle import subtitle


def document(result: CheckResult) -> Document:
    """Everything that ``check`` answers, in the order of the questions."""
    return Document(
        title=f"Check of {result.model}",
        subtitle=f"{subtitle(result.invented, result.draws)} Least sure input: {result.grade}.",
        model=result.model,
        cautions=with_class_note(GENERAL, result.class_title, result.class_note),
        sections=sections_of(result),
    )
