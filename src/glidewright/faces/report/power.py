"""The report of ``power``."""

from glidewright.decisions.power import PowerResult
from glidewright.faces.report.cautions import POWER
from glidewright.faces.report.document import Document, Section
from glidewright.faces.report.sections.missing import missing_section
from glidewright.faces.report.sections.power import power_section
from glidewright.faces.report.sections.readings import readings_section
from glidewright.faces.report.status import verdict_on
from glidewright.faces.report.subtitle import subtitle


def document(result: PowerResult) -> Document:
    """Operating points, margins, what is missing, and what to measure next."""
    more = (missing_section(result.missing), readings_section(result.measure_next))
    sections: tuple[Section, ...] = (power_section(result.power),)
    return Document(
        title=f"Power of {result.model}",
        subtitle=subtitle(result.invented, result.draws),
        model=result.model,
        verdict=verdict_on(result.findings),
        cautions=POWER,
        sections=sections + tuple(section for section in more if section is not None),
    )
