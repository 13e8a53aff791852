"""The report of ``launch``."""

from glidewright.base.wording import sentence
from glidewright.decisions.launch import LaunchResult
from glidewright.faces.report.cautions import LAUNCH, with_class_note
from glidewright.faces.report.document import Document, FindingsBlock, Note, Section
from glidewright.faces.report.sections.launch import launch_section, launch_words
from glidewright.faces.report.sections.missing import missing_section
from glidewright.faces.report.sections.readings import readings_section
from glidewright.faces.report.status import verdict_on, worst_first
from glidewright.faces.report.subtitle import subtitle


def document(result: LaunchResult) -> Document:
    """The launch, its limits, what is missing, and what to measure next."""
    sections = [launch_section(result.launch)]
    if result.remarks:
        notes = tuple(Note(sentence(remark), tone="warning") for remark in result.remarks)
        sections.append(Section("remarks", "Remarks", "", notes))
    if result.findings:
        sections.append(Section("limits", "Limits", "", (FindingsBlock(worst_first(result.findings)),)))
    more = (missing_section(result.missing), readings_section(result.measure_next))
    sections.extend(section for section in more if section is not None)
    return Document(
        title=f"Launch of {result.model}",
        subtitle=subtitle(result.invented, result.draws),
        model=result.model,
        verdict=verdict_on(result.findings, launch_words(result.launch)),
        cautions=with_class_note(LAUNCH, result.class_title, result.class_note),
        sections=tuple(sections),
    )
