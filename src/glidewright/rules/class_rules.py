"""Class findings: every limit of the class file, by the chance of keeping it."""

from collections.abc import Sequence

from glidewright.base.figure import Figure
from glidewright.base.wording import number_text
from glidewright.domain.class_limits import ClassLimits, Limit
from glidewright.forecast.prediction import Prediction

from .against import kept_words
from .chance import chance_within
from .finding import Finding, judged
from .limiter import stop_that_keeps
from .measure import WORDS, Measure
from .measures import MEASURES
from .words import bounds_words


def judge_class(prediction: Prediction) -> list[Finding]:
    """One finding for each limit of the model's class, in the order of the file; none without a class."""
    rule = prediction.rule
    return [] if rule is None else [_judge(prediction, rule, limit) for limit in rule.limits]


def _judge(prediction: Prediction, rule: ClassLimits, limit: Limit) -> Finding:
    measure = MEASURES[limit.measure]
    if measure.stated is not None:
        return _judge_words(rule, limit, measure, measure.stated(prediction))
    assert measure.predicted is not None  # the constructor of Measure sees to it
    draws = measure.predicted(prediction, limit)
    words = bounds_words(limit.at_least, limit.at_most, measure.shown, limit.tolerance)
    if isinstance(draws, str):
        figure = Figure.unknown(measure.unit, measure.shown, draws)
        return class_finding(rule, limit, measure, figure, None, words, f"not known: {draws}")
    # a result of its own has its cause remembered; what was made of several is traced here
    is_result = draws is prediction.draws(measure.result)
    cause, grade = prediction.cause(measure.result) if is_result else prediction.explain(draws)
    figure = Figure.of_draws(draws, measure.unit, measure.shown, grade, cause)
    stop = stop_that_keeps(prediction, rule, limit)
    kept_anyway = None if stop is None else stop.kept
    chance = chance_within(draws, limit.at_least, limit.at_most, limit.tolerance, kept_anyway)
    remark = "" if stop is None else stop.words
    parts = [f"{number_text(figure)}; {words}"]
    parts += [part for part in (kept_words(figure, chance), remark, cause) if part]
    return class_finding(rule, limit, measure, figure, chance, words, "; ".join(parts), remark)


def _judge_words(rule: ClassLimits, limit: Limit, measure: Measure, stated: Sequence[str] | str) -> Finding:
    """A finding on a choice of words: kept when every stated word is an allowed one."""
    allowed = ", ".join(limit.allowed)
    figure = Figure.unknown(WORDS, "", "words, not a number")
    if isinstance(stated, str):
        return class_finding(rule, limit, measure, figure, None, allowed, f"not known: {stated}")
    known = {_plain(word) for word in limit.allowed}
    strange = [word for word in stated if _plain(word) not in known]
    came = ", ".join(stated)
    because = f"{came}; allowed: {allowed}" + (f"; not allowed: {', '.join(strange)}" if strange else "")
    return class_finding(rule, limit, measure, figure, 0.0 if strange else 1.0, allowed, because)


def _plain(word: str) -> str:
    """A word without capitals and without a plural s: spoilers and spoiler are the same."""
    return word.strip().casefold().removesuffix("s")


def class_finding(
    rule: ClassLimits,
    limit: Limit,
    measure: Measure,
    value: Figure,
    chance: float | None,
    words: str,
    because: str,
    remark: str = "",
    of: str = "",
) -> Finding:
    """The answer on one limit of a class; of: what it was measured on, behind the title."""
    edition = f" ({rule.edition})" if rule.edition else ""
    return judged(
        measure.name,
        f"{measure.title}{of}",
        value,
        chance,
        needed=limit.chance_needed,
        kind="class",
        limit=words,
        at_least=limit.at_least,
        at_most=limit.at_most,
        because=because,
        remark=remark,
        consequence=limit.consequence,
        source=(limit.source or rule.source) + edition,
        note=rule.note,
    )
