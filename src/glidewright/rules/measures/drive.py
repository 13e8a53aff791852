"""Drive: direct or geared, for classes that treat the two differently."""

from glidewright.domain.parts import Motor
from glidewright.forecast.prediction import Prediction
from glidewright.rules.measure import WORDS, Measure


def _drive(prediction: Prediction) -> tuple[str, ...] | str:
    motor = prediction.model.first(Motor)
    if motor is None:
        return "no motor is fitted"
    geared = motor.gear_ratio is not None and motor.gear_ratio.value > 1.0
    return ("geared",) if geared else ("direct",)


MEASURE = Measure("drive", "Drive", WORDS, "", "direct or geared, from the fitted motor", stated=_drive)
