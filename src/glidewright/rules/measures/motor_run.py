"""Motor run: time with the motor driven; a model without a motor has none, as launching by rubber asks."""

import numpy as np

from glidewright.domain.class_limits import Limit
from glidewright.domain.parts import Motor
from glidewright.forecast.prediction import Draws, Prediction
from glidewright.rules.measure import Measure, read, read_from

_RUN = read("motor_run_s")


def _motor_run_s(prediction: Prediction, limit: Limit) -> Draws | str:
    if prediction.model.first(Motor) is None:
        return np.zeros(prediction.count)
    return _RUN(prediction, limit)


MEASURE = Measure(
    "motor_run",
    "Motor run",
    "s",
    "s",
    "time with the motor driven, first launch; none without a motor",
    predicted=_motor_run_s,
    result="motor_run_s",
    logged=read_from("motor_run"),
)
