"""Total area: wing and horizontal tail, as most international texts count it."""

from glidewright.domain.class_limits import Limit
from glidewright.forecast.prediction import Draws, Prediction
from glidewright.rules.measure import Measure


def total_area_m2(prediction: Prediction, _limit: Limit) -> Draws | str:
    """Wing area plus horizontal tail area in m2, or which of the two is missing."""
    wing, tail = prediction.draws("wing_area_m2"), prediction.draws("tail_area_m2")
    if wing is None:
        return prediction.why_unknown("wing_area_m2")
    if tail is None:
        return prediction.why_unknown("tail_area_m2")
    return wing + tail


MEASURE = Measure(
    "total_area",
    "Total area",
    "m2",
    "dm²",
    "projected area of wing and horizontal tail together",
    predicted=total_area_m2,
    result="wing_area_m2",
)
