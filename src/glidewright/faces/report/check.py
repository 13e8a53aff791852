"""The report of ``check``."""

from glidewright.decisions.nouns import CheckResult
from glidewright.faces.report.cautions import GENERAL, with_class_note
from glidewright.faces.report.document import Document
from glidewright.faces.report.section_registry import sections_of
from glidewright.faces.report.sections.launch import launch_words
from glidewright.faces.report.status import verdict_on
from glidewright.faces.report.subtitle import subtitle


def document(result: CheckResult) -> Document:
    """Everything that ``check`` answers, in the order of the questions."""
    return Document(
        title=f"Check of {result.model}",
        subtitle=subtitle(result.invented, result.draws),
        model=result.model,
        verdict=verdict_on(result.findings, _launch_words(result)),
        cautions=with_class_note(GENERAL, result.class_title, result.class_note),
        sections=sections_of(result),
    )


def _launch_words(result: CheckResult) -> str:
    """Height and number of launches, where they are known."""
    return "" if result.launch is None else launch_words(result.launch)
