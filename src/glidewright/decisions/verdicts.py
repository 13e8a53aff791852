"""The flyer's questions, answered in a word and a sentence each."""

from typing import Literal

from glidewright.base.figure import Figure
from glidewright.decisions.nouns import Change, Verdict
from glidewright.forecast.predict import Forecast
from glidewright.rules.finding import Finding

Tone = Literal["plain", "good", "warning", "alarm"]
_TONES: dict[str, Tone] = {"yes": "good", "doubtful": "warning", "not known": "warning", "no": "alarm"}


def verdicts(
    forecast: Forecast,
    findings: tuple[Finding, ...],
    changes: tuple[Change, ...],
    measure_next: tuple[str, ...],
) -> tuple[Verdict, ...]:
    """One answer a question, in the order in which a flyer asks."""
    prediction = forecast.prediction
    rule = forecast.setup.rule
    class_title = rule.title if rule else "no class"
    legal = [f for f in findings if f.kind == "class"]
    inside = [f for f in findings if f.kind == "part" and f.name != "balance"]
    height = prediction.figure("height_true_m", "m")
    launches = prediction.figure("launches", "")
    return (
        _limits(f"Does it keep the limits of {class_title}?", legal),
        _limits("Does every current, voltage and temperature stay inside its limit?", inside),
        _balance(next(f for f in findings if f.name == "balance")),
        *_over_ground([f for f in findings if f.kind == "field"]),
        _figure("How high does a launch go?", height, "over ground, as the class counts it"),
        _figure("How many launches does a pack give?", launches, "useful launches from one charge"),
        _first_change(changes),
        _how_sure(measure_next),
    )


def word_of(findings: list[Finding]) -> str:
    """The word for several limits: the worst of them decides."""
    severities = {f.severity for f in findings}
    if not findings:
        return "not known"
    if "broken" in severities:
        return "no"
    if "doubtful" in severities:
        return "doubtful"
    return "not known" if severities == {"unknown"} else "yes"


def _limits(question: str, findings: list[Finding]) -> Verdict:
    word = word_of(findings)
    if not findings:
        return Verdict(question=question, word=word, text="no limits are stated", tone="plain")
    named = []
    for severity in ("broken", "doubtful", "unknown"):
        titles = [f.title.lower() for f in findings if f.severity == severity]
        if titles:
            named.append(f"{severity}: {', '.join(dict.fromkeys(titles))}")
    kept = sum(f.severity == "kept" for f in findings)
    text = f"{kept} of {len(findings)} kept" + (f"; {'; '.join(named)}" if named else "")
    return Verdict(question=question, word=word, text=text, tone=_TONES[word])


def _balance(finding: Finding) -> Verdict:
    question = "Where is the centre of gravity, and is it in its range?"
    word = word_of([finding])
    if finding.value.value is None or finding.chance is None:
        return Verdict(
            question=question, word=word, text=finding.because, tone="warning", figure=finding.value
        )
    assert finding.at_least is not None and finding.at_most is not None  # a chance has a range
    where = "inside its range"
    if finding.value.value < finding.at_least:
        where = f"{1e3 * (finding.at_least - finding.value.value):.0f} mm in front of its range: nose-heavy"
    elif finding.value.value > finding.at_most:
        where = f"{1e3 * (finding.value.value - finding.at_most):.0f} mm behind its range: tail-heavy"
    text = f"aft of the datum; allowed {finding.limit}; {where}"
    text += f"; chance to be inside {100 * finding.chance:.0f} %"
    return Verdict(question=question, word=word, text=text, tone=_TONES[word], figure=finding.value)


def _over_ground(findings: list[Finding]) -> tuple[Verdict, ...]:
    known = [f for f in findings if f.severity != "unknown"]
    if not known:
        return ()
    return (_limits("Does it stay under the height ceiling of the field?", known),)


def _figure(question: str, figure: Figure, words: str) -> Verdict:
    if figure.value is None:
        return Verdict(
            question=question, word="not known", text=figure.because, tone="warning", figure=figure
        )
    return Verdict(question=question, word="", text=f"{words}; {figure.because}", tone="plain", figure=figure)


def _first_change(changes: tuple[Change, ...]) -> Verdict:
    question = "What should be changed first?"
    if not changes:
        text = "no single change from the drawer, the balance or the settings makes it better"
        return Verdict(question=question, word="nothing", text=text, tone="good")
    first = changes[0]
    return Verdict(
        question=question, word="", text=f"{first.title}: {'; '.join(first.effects)}", tone="plain"
    )


def _how_sure(measure_next: tuple[str, ...]) -> Verdict:
    question = "How sure is this, and what would make it surer?"
    text = "each figure is given with the range that holds 8 of 10 cases"
    if measure_next:
        text += f"; most would be gained by: {measure_next[0]}"
    return Verdict(question=question, word="", text=text, tone="plain")
