"""Test plan: small safe steps with the numbers of this model, ticked off as they are done."""

from dataclasses import replace

from glidewright.faces.report.document import Block, Document, Note
from glidewright.faces.web.area import Area, Reply, Subject, Tell, Values

_ORDER = ("went badly", "next", "open", "waits", "done")


def answer(subject: Subject, values: Values, tell: Tell) -> Reply:
    """The plan, and what can be written down now."""
    from glidewright.decisions import plan as job
    from glidewright.faces.report import plan as report

    del values
    tell(None, "putting numbers to every step")
    result = job.run(job.PlanRequest(model=subject.model, rule=subject.rule))
    steps = [
        {
            "key": step.key,
            "title": step.title,
            "state": step.state,
            "record": [{"key": one.key, "title": one.title, "unit": _unit(one.key)} for one in step.record],
        }
        for step in sorted(result.steps, key=lambda step: _ORDER.index(step.state))
    ]
    return Reply(_for_the_page(report.document(result)), {"template": "plan_steps.html", "steps": steps})


def _for_the_page(document: Document) -> Document:
    """The document without what to type at the command line: the form above does that."""
    sections = tuple(
        replace(section, blocks=tuple(block for block in section.blocks if not _is_typed(block)))
        for section in document.sections
    )
    return replace(document, sections=sections)


def _is_typed(block: Block) -> bool:
    return isinstance(block, Note) and block.text.startswith("glidewright ")


def _unit(key: str) -> str:
    from glidewright.base.units import unit_of_key

    found = unit_of_key(key)
    return found.symbol if found is not None else ""


AREA = Area(
    "plan",
    "Test plan",
    "Small safe steps with the numbers of this model; what you write down narrows the forecast.",
    group="Fly",
    order=210,
    answer=answer,
)
