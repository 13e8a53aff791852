"""Diameter of the propeller."""

import numpy as np

from glidewright.domain.class_limits import Limit
from glidewright.domain.parts import Propeller
from glidewright.forecast.prediction import Draws, Prediction
from glidewright.rules.measure import Measure


def _diameter_m(prediction: Prediction, _limit: Limit) -> Draws | str:
    propeller = prediction.model.first(Propeller)
    if propeller is None:
        return "no propeller is fitted"
    return np.full(prediction.count, propeller.diameter_m.value)


MEASURE = Measure(
    "propeller_diameter",
    "Propeller diameter",
    "m",
    "in",
    "as marked on the blade, not widened by a yoke",
    predicted=_diameter_m,
)
