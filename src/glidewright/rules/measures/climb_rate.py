"""Climb rate: a rate means nothing without the time that it is averaged over."""

import numpy as np

from glidewright.base.figure import Figure
from glidewright.domain.class_limits import Limit
from glidewright.forecast.prediction import Draws, Prediction
from glidewright.rules.measure import LoggedLaunch, Measure, read

# the window over which a prediction reports its best climb
BEST_WINDOW_s = 5.0
_MEAN = read("mean_climb_m_s")
_BEST = read("best_climb_m_s")


def _climb_m_s(prediction: Prediction, limit: Limit) -> Draws | str:
    if limit.window_s is None:
        return _MEAN(prediction, limit)
    if limit.window_s == BEST_WINDOW_s:
        return _BEST(prediction, limit)
    return (
        f"the steepest climb is computed over {BEST_WINDOW_s:g} s and the class states {limit.window_s:g} s; "
        "read it from a log"
    )


def _logged(logged: LoggedLaunch, limit: Limit) -> Figure:
    launch = logged.launch
    if limit.window_s is None:
        return launch.mean_climb
    if limit.window_s == BEST_WINDOW_s:
        return launch.best_climb
    return _best_over(logged, limit.window_s)


def _best_over(logged: LoggedLaunch, window_s: float) -> Figure:
    """Best mean over any window of the motor run; two heights as sure as those of the best 5 s."""
    trace, best = logged.trace, logged.launch.best_climb
    start, stop = logged.launch.motor_start.value, logged.launch.motor_stop.value
    if trace is None or start is None or stop is None or best.low is None or best.high is None:
        return Figure.unknown("m/s", "m/s", "the curves of the flight are not at hand; read the log again")
    if stop - start < window_s:
        return Figure.unknown("m/s", "m/s", f"the motor ran for less than {window_s:g} s")
    begins = trace.time_s[(trace.time_s >= start) & (trace.time_s <= stop - window_s)]
    begins = np.append(begins, [start, stop - window_s])
    gains = np.interp(begins + window_s, trace.time_s, trace.height_m)
    gains -= np.interp(begins, trace.time_s, trace.height_m)
    value = float(gains.max()) / window_s
    half = 0.5 * (best.high - best.low) * BEST_WINDOW_s / window_s
    return Figure(
        value=value,
        low=value - half,
        high=value + half,
        unit="m/s",
        shown="m/s",
        grade="measured",
        because=f"best mean over {window_s:g} s of the motor run; {best.because}",
    )


MEASURE = Measure(
    "climb_rate",
    "Climb rate",
    "m/s",
    "m/s",
    "highest mean climb over any window of window_s seconds of the motor run; without a window, of all of it",
    predicted=_climb_m_s,
    result="best_climb_m_s",
    logged=_logged,
)
