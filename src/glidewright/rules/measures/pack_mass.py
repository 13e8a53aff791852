"""Mass of the flight pack."""

import numpy as np

from glidewright.domain.class_limits import Limit
from glidewright.domain.parts import Pack
from glidewright.forecast.prediction import Draws, Prediction
from glidewright.rules.measure import Measure


def _pack_mass_kg(prediction: Prediction, _limit: Limit) -> Draws | str:
    pack = prediction.model.first(Pack)
    if pack is None:
        return "no pack is fitted"
    if pack.mass_kg is None:
        return f"the mass of {pack.name} is not stated; weigh it with its leads"
    return np.full(prediction.count, pack.mass_kg.value)


MEASURE = Measure(
    "pack_mass", "Pack mass", "kg", "g", "mass of the flight pack with its leads", predicted=_pack_mass_kg
)
