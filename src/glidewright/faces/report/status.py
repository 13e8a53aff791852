"""What a finding says in one word, and the sign and tone that go with it."""

from collections.abc import Mapping
from dataclasses import dataclass

from glidewright.base.wording import number_text, sentence
from glidewright.faces.report.document import Tone
from glidewright.rules.finding import Finding, Severity
from glidewright.rules.measure import WORDS

IN_WORDS = "in words"


@dataclass(frozen=True)
class Status:
    """A word with its sign and tone: colour is never the only sign."""

    word: str
    sign: str
    tone: Tone
    is_kept: bool = False


STATUS: Mapping[Severity, Status] = {
    "kept": Status("kept", "✓", "good", is_kept=True),
    "doubtful": Status("doubtful", "▲", "warning"),
    "broken": Status("broken", "✕", "alarm"),
    "unknown": Status("not known", "?", "warning"),
}


def found_text(finding: Finding) -> str:
    """What was found; for a choice of words it stands in the reason, not here."""
    return IN_WORDS if finding.unit == WORDS else number_text(finding.value)


def remark_on(finding: Finding) -> str:
    """Why a finding is not kept, and what a broken one costs; nothing for a kept one."""
    status = status_of(finding)
    if status.is_kept:
        return ""
    cost = finding.consequence if status.tone == "alarm" else ""
    return f"{sentence(finding.because)} {sentence(cost)}".strip()


def status_of(finding: Finding) -> Status:
    """The status of a finding."""
    return STATUS[finding.severity]
