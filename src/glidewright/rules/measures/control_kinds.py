"""Kinds of controls: which surfaces may move."""

from glidewright.forecast.prediction import Prediction
from glidewright.rules.measure import WORDS, Measure


def _kinds(prediction: Prediction) -> tuple[str, ...] | str:
    controls = prediction.model.airframe.controls
    return controls or "the airframe lists no controls"


MEASURE = Measure(
    "control_kinds", "Kinds of controls", WORDS, "", "moving surfaces, one word each", stated=_kinds
)
