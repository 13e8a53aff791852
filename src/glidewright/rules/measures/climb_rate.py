"""Climb rate: a rate means nothing without the time that it is averaged over."""

from glidewright.domain.class_limits import Limit
from glidewright.forecast.prediction import Draws, Prediction
from glidewright.rules.measure import Measure, read

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


MEASURE = Measure(
    "climb_rate",
    "Climb rate",
    "m/s",
    "m/s",
    "highest mean climb over any window of window_s seconds of the motor run; without a window, of all of it",
    predicted=_climb_m_s,
    result="best_climb_m_s",
)
