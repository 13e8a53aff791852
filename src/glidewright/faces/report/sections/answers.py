"""What the flyer asked, answered at the top."""

from glidewright.decisions.nouns import CheckResult
from glidewright.faces.report.document import Answer, Answers, Block, Note, Section
from glidewright.faces.report.section_registry import SectionOfCheck


def build(result: CheckResult) -> Section:
    """The verdicts, and remarks that concern all of them."""
    answers = tuple(
        Answer(verdict.question, verdict.word, verdict.text, verdict.tone, verdict.figure)
        for verdict in result.verdicts
    )
    blocks: list[Block] = [Answers(answers)]
    blocks.extend(Note(remark, tone="warning") for remark in result.remarks)
    return Section("answers", "Answers", "", tuple(blocks))


SECTION = SectionOfCheck(10, build)
