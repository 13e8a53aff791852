"""Class findings from a log: what was flown, against every limit that a log can show.

The chance is that of the true reading of the class's own device: the figure of the log with its spread. The
tolerance of the class counts on top.
"""

import math
from collections.abc import Iterator

from glidewright.base.figure import Figure
from glidewright.base.wording import exact_text, number_text
from glidewright.domain.class_limits import ClassLimits, Limit
from glidewright.domain.flight_reading import FlightReading, LaunchReading
from glidewright.domain.model import Model
from glidewright.domain.parts import Altimeter
from glidewright.forecast.day_inputs import launch_inputs
from glidewright.forecast.setup import limiter_of

from .chance import chance_of_figure
from .class_rules import class_finding
from .finding import Finding
from .limiter import by_clock_words, set_height_m, set_run_s
from .measure import LoggedLaunch
from .measures import MEASURES
from .words import bounds_words

_NEAR_STOP_m = 3.0  # a limiter that stops at a height is seen there within its reading and the time to act
_NEAR_STOP_s = 0.6


def judge_log(model: Model, rule: ClassLimits | None, reading: FlightReading) -> tuple[Finding, ...]:
    """Findings on every launch, in its order; none without a class."""
    if rule is None:
        return ()
    return tuple(
        _judge(model, rule, limit, LoggedLaunch(launch, reading.trace), len(reading.launches))
        for launch in reading.launches
        for limit in rule.limits
        if MEASURES[limit.measure].logged is not None
    )


def with_device_error(model: Model, height: Figure) -> Figure:
    """A height of a log with the error of the device that reads heights on top of that of the reading."""
    if height.value is None or height.low is None or height.high is None:
        return height
    entries = launch_inputs(model, limiter=limiter_of(model))
    error = next(entry for entry in entries if entry.name == "altimeter.error")
    low = height.value - math.hypot(height.value - height.low, error.low)
    high = height.value + math.hypot(height.high - height.value, error.high)
    because = f"{height.because}; error of the altimeter, {error.because}"
    return height.model_copy(update={"low": low, "high": high, "because": because})


def _judge(model: Model, rule: ClassLimits, limit: Limit, logged: LoggedLaunch, launches: int) -> Finding:
    measure = MEASURES[limit.measure]
    assert measure.logged is not None  # the caller has seen to it
    figure = measure.logged(logged, limit)
    if measure.name == "launch_height":
        figure = with_device_error(model, figure)
    words = bounds_words(limit.at_least, limit.at_most, measure.shown, limit.tolerance)
    chance = chance_of_figure(figure, limit.at_least, limit.at_most, limit.tolerance)
    remark = _stop_words(model, rule, limit, logged.launch)
    if remark and chance is not None:
        chance = 1.0
    parts = [f"{number_text(figure)} in the log; {words}"] if chance is not None else []
    parts += [part for part in (remark, figure.because) if part]
    number = f" (launch {logged.launch.number})" if launches > 1 else ""
    why = remark or (figure.because if chance is None else "")
    return class_finding(rule, limit, measure, figure, chance, words, "; ".join(parts), why, number)


def _stop_words(model: Model, rule: ClassLimits, limit: Limit, launch: LaunchReading) -> str:
    """Why a stop by the limiter keeps a limit; an empty text where none is seen in the log."""
    limiter = limiter_of(model)
    if limiter is None or limit.at_most is None or not limit.stop_keeps:
        return ""
    if limit.measure == "launch_height":
        return _height_stop_words(rule, limit, limiter, launch)
    if limit.measure == "motor_run":
        return _time_stop_words(rule, limit, limiter, launch)
    return ""


def _height_stop_words(rule: ClassLimits, limit: Limit, limiter: Altimeter, launch: LaunchReading) -> str:
    set_m, stop = set_height_m(limiter, rule), launch.height_at_stop
    assert limit.at_most is not None  # the caller has seen to it
    if set_m is None or set_m > limit.at_most + limit.tolerance or stop.low is None or stop.high is None:
        return ""
    if not stop.low - _NEAR_STOP_m <= set_m <= stop.high + _NEAR_STOP_m or _ran_out(rule, limiter, launch):
        return ""
    height = exact_text(set_m, "m")
    return f"the motor stopped near {height}, where the limiter is set to stop it, which counts as keeping it"


def _time_stop_words(rule: ClassLimits, limit: Limit, limiter: Altimeter, launch: LaunchReading) -> str:
    set_s = set_run_s(limiter, rule)
    assert limit.at_most is not None  # the caller has seen to it
    if set_s is None or set_s > limit.at_most + limit.tolerance or not _ran_out(rule, limiter, launch):
        return ""
    return by_clock_words(set_s)


def _ran_out(rule: ClassLimits, limiter: Altimeter, launch: LaunchReading) -> bool:
    """Whether the motor stopped when the set time of the limiter was over."""
    set_s, run = set_run_s(limiter, rule), launch.motor_run
    if set_s is None or run.low is None or run.high is None:
        return False
    return run.low - _NEAR_STOP_s <= set_s <= run.high + _NEAR_STOP_s


def not_from_log(rule: ClassLimits | None) -> Iterator[str]:
    """Titles of the limits of a class that no log shows."""
    if rule is not None:
        yield from (
            MEASURES[one.measure].title for one in rule.limits if MEASURES[one.measure].logged is None
        )
