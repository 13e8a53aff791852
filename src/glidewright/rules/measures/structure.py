"""Structure: what the airframe is mainly made of."""

from glidewright.forecast.prediction import Prediction
from glidewright.rules.measure import WORDS, Measure


def _structure(prediction: Prediction) -> tuple[str, ...] | str:
    word = prediction.model.airframe.structure
    return (word,) if word else "the airframe does not say what it is made of"


MEASURE = Measure(
    "structure",
    "Structure",
    WORDS,
    "",
    "wood, composite or mixed, as the airframe states it",
    stated=_structure,
)
