"""The flyer's questions, answered in a word and a sentence each."""

from typing import Literal

from glidewright.base.figure import Figure
from glidewright.base.wording import chance_text, median_text, percent_text
from glidewright.decisions.nouns import Change, Verdict
from glidewright.forecast.causes import Cause
from glidewright.forecast.predict import Forecast
from glidewright.rules.finding import Finding
from glidewright.rules.words import bounds_words

Tone = Literal["plain", "good", "warning", "alarm"]
_TONES: dict[str, Tone] = {"yes": "good", "doubtful": "warning", "not known": "warning", "no": "alarm"}


def verdicts(
    forecast: Forecast,
    findings: tuple[Finding, ...],
    changes: tuple[Change, ...],
    measure_next: tuple[str, ...],
) -> tuple[Verdict, ...]:
    """One answer a question, in the order in which a flyer asks."""
    rule = forecast.setup.rule
    class_title = rule.title if rule else "no class"
    legal = [f for f in findings if f.kind == "class"]
    inside = [f for f in findings if f.kind == "part" and f.name != "balance"]
    return (
        _limits(f"Does it keep the limits of {class_title}?", legal),
        _limits("Does every current, voltage and temperature stay inside its limit?", inside),
        _balance(next(f for f in findings if f.name == "balance")),
        *_over_ground([f for f in findings if f.kind == "field"]),
        _figure(
            forecast,
            "How high does a launch go?",
            "height_true_m",
            "m",
            "over ground, as the class counts it",
        ),
        _figure(
            forecast, "How many launches does a pack give?", "launches", "", "useful ones from one charge"
        ),
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
            heading = "not known" if severity == "unknown" else severity
            named.append(f"{heading}: {', '.join(dict.fromkeys(titles))}")
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
    allowed = f"its range of {bounds_words(finding.at_least, finding.at_most, finding.shown)}"
    where = f"inside {allowed}"
    before_m, behind_m = finding.at_least - finding.value.value, finding.value.value - finding.at_most
    if before_m > 0.0:
        where = f"{_distance(finding.value, before_m)} in front of {allowed}: nose-heavy"
    elif behind_m > 0.0:
        where = f"{_distance(finding.value, behind_m)} behind {allowed}: tail-heavy"
    chance = chance_text(finding.chance, finding.is_certain)
    text = f"aft of the datum, {where}; chance to be inside {chance}"
    return Verdict(question=question, word=word, text=text, tone=_TONES[word], figure=finding.value)


def _distance(place: Figure, distance_m: float) -> str:
    """A distance from a place, as sure as the place is."""
    assert place.value is not None and place.low is not None and place.high is not None  # the caller saw it
    low_m, high_m = distance_m + place.low - place.value, distance_m + place.high - place.value
    return median_text(place.model_copy(update={"value": distance_m, "low": low_m, "high": high_m}))


def _over_ground(findings: list[Finding]) -> tuple[Verdict, ...]:
    known = [f for f in findings if f.severity != "unknown"]
    if not known:
        return ()
    return (_limits("Does it stay under the height ceiling of the field?", known),)


def _figure(forecast: Forecast, question: str, result: str, shown: str, words: str) -> Verdict:
    figure: Figure = forecast.prediction.figure(result, shown)
    draws = forecast.prediction.draws(result)
    if figure.value is None:
        return Verdict(
            question=question, word="not known", text=figure.because, tone="warning", figure=figure
        )
    causes = [] if draws is None else forecast.causes.of(draws)
    cause = f"; spread first of all from {_cause_words(causes[0])}" if causes else ""
    return Verdict(question=question, word="", text=f"{words}{cause}", tone="plain", figure=figure)


def _cause_words(cause: Cause) -> str:
    return f"{cause.entry.title} ({percent_text(cause.share)} of it, {cause.entry.grade})"


def _first_change(changes: tuple[Change, ...]) -> Verdict:
    question = "What should be changed first?"
    if not changes:
        text = "no single change from the drawer, the balance or the settings makes it better"
        return Verdict(question=question, word="nothing", text=text, tone="good")
    first = changes[0]
    return Verdict(
        question=question, word="", text=": ".join([first.title, *first.effects[:1]]), tone="plain"
    )


def _how_sure(measure_next: tuple[str, ...]) -> Verdict:
    question = "How sure is this, and what would make it surer?"
    text = "every range holds 8 of 10 cases"
    if measure_next:
        text += f"; measure first: {measure_next[0]}"
    return Verdict(question=question, word="", text=text, tone="plain")
