"""What a finding says in one word, and the sign and tone that go with it."""

from collections.abc import Mapping
from dataclasses import dataclass

from glidewright.faces.report.document import Tone
from glidewright.rules.finding import Finding, Severity


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


def status_of(finding: Finding) -> Status:
    """The status of a finding."""
    return STATUS[finding.severity]
