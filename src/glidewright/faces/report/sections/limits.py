"""Every limit of class, field and parts, with the chance of keeping it."""

from collections.abc import Sequence

from glidewright.base.figure import Figure
from glidewright.decisions.nouns import CheckResult
from glidewright.faces.report.document import (
    Axis,
    Bar,
    BarChart,
    BarMark,
    Block,
    Details,
    FindingsBlock,
    Section,
    Steps,
    Tone,
)
from glidewright.faces.report.section_registry import SectionOfCheck
from glidewright.faces.report.status import chance_of, status_of, worst_first
from glidewright.rules.finding import Finding

_MARK_OF_TONE: dict[Tone, BarMark] = {
    "plain": "plain",
    "good": "plain",
    "warning": "warning",
    "alarm": "alarm",
}


_SURE = 0.995
_MOST_BARS = 10


def build(result: CheckResult) -> Section | None:
    """The findings as a table and as a chart of chances."""
    if not result.findings:
        return None
    edition = f", {result.class_edition}" if result.class_edition else ""
    lead = f"{result.class_title}{edition}: {result.class_note}." if result.class_title else ""
    blocks: list[Block] = [FindingsBlock(worst_first(result.findings))]
    chart = chance_chart(result.findings)
    if chart is not None:
        blocks.append(chart)
    if result.class_open_points:
        steps = Steps.of(result.class_open_points, is_ordered=False)
        blocks.append(Details("Left open by the rule text", (steps,)))
    return Section("limits", "Limits", lead, tuple(blocks))


def chance_chart(findings: Sequence[Finding]) -> BarChart | None:
    """The limits whose chance is known and that are least sure, weakest first."""
    known = [finding for finding in findings if finding.chance is not None]
    if not known:
        return None
    ordered = sorted(known, key=_chance)
    unsure = [finding for finding in ordered if _chance(finding) < _SURE]
    bars = tuple(_bar(finding) for finding in (unsure or ordered)[:_MOST_BARS])
    kept = sum(status_of(finding).is_kept for finding in known)
    weak = [f"{f.title} ({chance_of(f)})" for f in known if not status_of(f).is_kept]
    rest = f" Not sure enough: {', '.join(weak)}." if weak else ""
    if len(bars) < len(known):
        rest += f" The picture shows the {len(bars)} least sure."
    return BarChart(
        "chances",
        "Chance of keeping each limit",
        f"{kept} of {len(known)} limits are kept with the chance that they need.{rest}",
        Axis("Chance", "%"),
        bars,
        None,
        largest=1.0,
    )


def _chance(finding: Finding) -> float:
    return finding.chance if finding.chance is not None else 0.0


def _bar(finding: Finding) -> Bar:
    status = status_of(finding)
    figure = Figure.exact(_chance(finding), "1", "%", finding.value.grade, finding.because)
    return Bar(finding.title, figure, _MARK_OF_TONE[status.tone], f"{status.sign} {status.word}")


SECTION = SectionOfCheck(20, build)
