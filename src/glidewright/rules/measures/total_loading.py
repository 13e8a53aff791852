"""Loading on the total area: mass by wing and horizontal tail together."""

from glidewright.domain.class_limits import Limit
from glidewright.forecast.prediction import Draws, Prediction
from glidewright.rules.measure import Measure
from glidewright.rules.measures.total_area import total_area_m2


def _loading_kg_m2(prediction: Prediction, limit: Limit) -> Draws | str:
    mass = prediction.draws("mass_kg")
    if mass is None:
        return prediction.why_unknown("mass_kg")
    area = total_area_m2(prediction, limit)
    return area if isinstance(area, str) else mass / area


MEASURE = Measure(
    "total_loading",
    "Loading on total area",
    "kg/m2",
    "g/dm²",
    "mass by the area of wing and horizontal tail together",
    predicted=_loading_kg_m2,
    result="mass_kg",
)
