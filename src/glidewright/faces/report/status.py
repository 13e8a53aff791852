"""What a finding says in one word, and the sign and tone that go with it."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from glidewright.base.wording import chance_text, number_text, sentence
from glidewright.faces.report.document import Note, Tone
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


# the worst first
STATUS: Mapping[Severity, Status] = {
    "broken": Status("broken", "✕", "alarm"),
    "doubtful": Status("doubtful", "▲", "warning"),
    "unknown": Status("not known", "?", "warning"),
    "kept": Status("kept", "✓", "good", is_kept=True),
}
_RANK = {severity: place for place, severity in enumerate(STATUS)}


def worst_first(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """The findings by severity, those of one severity in their order."""
    return tuple(sorted(findings, key=lambda finding: _RANK[finding.severity]))


def found_text(finding: Finding) -> str:
    """What was found; for a choice of words it stands in the reason, not here."""
    return IN_WORDS if finding.unit == WORDS else number_text(finding.value)


def chance_of(finding: Finding) -> str:
    """The chance of keeping the limit, in words."""
    return chance_text(finding.chance, finding.is_certain)


def remark_on(finding: Finding) -> str:
    """Why a finding is not kept, and what a broken one costs; nothing for a kept one."""
    status = status_of(finding)
    if status.is_kept:
        return ""
    why = finding.because if finding.chance is None or finding.is_certain else finding.remark
    cost = finding.consequence if status.tone == "alarm" else ""
    return f"{sentence(why)} {sentence(cost)}".strip()


def cause_of(finding: Finding) -> str:
    """Where the spread of a finding that is not kept comes from."""
    is_open = not status_of(finding).is_kept and not finding.is_certain
    return sentence(finding.value.because) if is_open else ""


def status_of(finding: Finding) -> Status:
    """The status of a finding."""
    return STATUS[finding.severity]


def verdict_on(findings: Iterable[Finding], more: str = "") -> Note:
    """All findings in one sentence, with what else is worth remembering."""
    found = worst_first(findings)
    parts = []
    for severity, status in STATUS.items():
        titles = [finding.title.lower() for finding in found if finding.severity == severity]
        if titles and not status.is_kept:
            parts.append(f"{len(titles)} {status.word} ({', '.join(dict.fromkeys(titles))})")
    if not found:
        return Note(sentence(more or "no limit is stated"), "In short")
    tone = status_of(found[0]).tone
    limits = ", ".join(parts) or f"every limit is kept, {len(found)} of {len(found)}"
    return Note(" ".join(sentence(part) for part in (limits, more) if part), "In short", tone)
