"""The altimeter or limiter that the class needs: is it there, and is it set as the class says."""

from collections.abc import Iterator

from glidewright.base.wording import exact_text
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.parts import Altimeter
from glidewright.forecast.prediction import Prediction
from glidewright.forecast.setup import limiter_of

from .against import certain, number
from .finding import Finding


def judge_limiter(prediction: Prediction) -> list[Finding]:
    """Findings on the device: present where the class needs one, set height and set time."""
    rule = prediction.rule
    if rule is None:
        return []
    limiter = limiter_of(prediction.model)
    if rule.cut_height_m is not None and limiter is None:
        because = (
            f"the class stops the motor at {exact_text(rule.cut_height_m, 'm')}; "
            "no fitted altimeter is marked with stops_motor = true"
        )
        return [_present(rule, False, because)]
    if limiter is not None:
        return list(_settings(rule, limiter))
    if _scores_height(rule) and prediction.model.first(Altimeter) is None:
        return [
            _present(rule, False, "the class scores start height; no altimeter is fitted that records it")
        ]
    return []


def _scores_height(rule: ClassLimits) -> bool:
    return rule.score is not None and (bool(rule.score.height) or rule.score.nominal_height_m is not None)


def _present(rule: ClassLimits, kept: bool, because: str) -> Finding:
    return certain(
        "limiter", "Altimeter or limiter", None, "", kept, because, kind="class", source=rule.source
    )


def _settings(rule: ClassLimits, limiter: Altimeter) -> Iterator[Finding]:
    yield from _setting(
        "limiter_height",
        "Set height of the limiter",
        number(limiter.cut_height_m),
        rule.cut_height_m,
        "m",
        f"{limiter.name} states no set height (cut_height_m); read it from the device",
        rule.source,
    )
    yield from _setting(
        "limiter_time",
        "Set motor run of the limiter",
        number(limiter.cut_time_s),
        rule.motor_run_s,
        "s",
        f"{limiter.name} states no set motor run (cut_time_s); read it from the device",
        rule.source,
    )


def _setting(
    name: str, title: str, value: float | None, allowed: float | None, shown: str, missing: str, source: str
) -> Iterator[Finding]:
    """Nothing where the class sets nothing; a lower setting is legal and gives something away."""
    if allowed is None:
        return
    if value is None:
        yield certain(name, title, None, shown, None, missing, at_most=allowed, kind="class", source=source)
        return
    because = f"set to {exact_text(value, shown)}; the class has {exact_text(allowed, shown)}"
    if value < allowed:
        because += f", so the setting gives away {exact_text(allowed - value, shown)}"
    yield certain(
        name, title, value, shown, value <= allowed, because, at_most=allowed, kind="class", source=source
    )
