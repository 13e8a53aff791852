"""What the limiter did: it keeps limits, it costs motor run, and the model still rises afterwards."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glidewright.base.wording import chance_text, exact_text
from glidewright.domain.class_limits import ClassLimits, Limit
from glidewright.domain.parts import Altimeter
from glidewright.forecast.prediction import Draws, Prediction
from glidewright.forecast.setup import limiter_of

from .words import spread_words

_COUNT_WORDS = {
    "highest": "counts by the height rule of the class, up to {window:g} s after the stop",
    "at_cut": "does not count by the height rule of the class, which takes the height at the stop",
    "at_window_end": "counts as far as it is still there {window:g} s after the stop",
}


@dataclass(frozen=True)
class Stop:
    """Draws, shape (count,), that keep a limit because the limiter stopped the motor, and why in words."""

    kept: NDArray[np.bool_]
    words: str


def set_height_m(limiter: Altimeter, rule: ClassLimits) -> float | None:
    """Indicated height in m at which the device stops the motor; the class's where it states none itself."""
    return limiter.cut_height_m.value if limiter.cut_height_m is not None else rule.cut_height_m


def set_run_s(limiter: Altimeter, rule: ClassLimits) -> float | None:
    """Seconds by its own clock after which the device stops the motor; the class's where it states none."""
    return limiter.cut_time_s.value if limiter.cut_time_s is not None else rule.motor_run_s


def by_clock_words(run_s: float) -> str:
    """Why a stop by the clock of the device keeps a limit on the motor run."""
    return f"the limiter stops the motor after {exact_text(run_s, 's')} by its own clock, which counts"


def stop_that_keeps(prediction: Prediction, rule: ClassLimits, limit: Limit) -> Stop | None:
    """How the limiter keeps a limit on launch height or motor run; None when it does not or is not fitted."""
    limiter = limiter_of(prediction.model)
    if limiter is None or limit.at_most is None or not limit.stop_keeps:
        return None
    if limit.measure == "launch_height":
        return _height_stop(prediction, rule, limit.at_most + limit.tolerance, limiter)
    if limit.measure == "motor_run":
        return _time_stop(prediction, rule, limit.at_most + limit.tolerance, limiter)
    return None


def _time_stop(prediction: Prediction, rule: ClassLimits, bound_s: float, limiter: Altimeter) -> Stop | None:
    """A run that the device ends at a legal setting is legal: the device is the clock of the class."""
    set_s, run_s = set_run_s(limiter, rule), prediction.draws("motor_run_s")
    if set_s is None or run_s is None or set_s > bound_s:
        return None
    return Stop(np.isfinite(run_s), by_clock_words(set_s))


def _height_stop(
    prediction: Prediction, rule: ClassLimits, bound_m: float, limiter: Altimeter
) -> Stop | None:
    stopped = prediction.draws("cut_by_limiter")
    height_m = set_height_m(limiter, rule)
    if stopped is None or height_m is None or height_m > bound_m:
        return None
    by_height = stopped > 0.5
    if not by_height.any():
        return Stop(by_height, "the limiter stops the motor by height in none of the draws")
    return Stop(by_height, _words(prediction, rule, by_height, exact_text(height_m, "m")))


def _words(prediction: Prediction, rule: ClassLimits, by_height: NDArray[np.bool_], set_words: str) -> str:
    """Sentence parts: how often, what it costs in motor run and height, and what the zoom does."""

    def among(name: str) -> Draws | None:
        draws = prediction.draws(name)
        return None if draws is None else draws[by_height]

    share = chance_text(float(np.mean(by_height)))
    parts = [
        f"the limiter stops the motor at {set_words} in {share} of the draws",
        "such a stop counts as keeping the limit",
    ]
    lost_s = among("motor_run_lost_s")
    if lost_s is not None:
        parts.append(f"it costs {spread_words(lost_s, 's')} of motor run")
    free_m, counted_m = among("height_without_limiter_m"), among("height_counted_m")
    if free_m is not None and counted_m is not None:
        parts.append(f"without it the launch would count {spread_words(free_m - counted_m, 'm')} more")
    top_m, cut_m = among("height_highest_m"), among("height_at_cut_m")
    if top_m is not None and cut_m is not None:
        how = _COUNT_WORDS[rule.height.count].format(window=rule.height.window_s)
        parts.append(f"after it the model still rises {spread_words(top_m - cut_m, 'm')}, which {how}")
    return "; ".join(parts)
