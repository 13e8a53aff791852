"""Kv of the motor: unloaded speed of its shaft per volt, before any gear."""

import numpy as np

from glidewright.domain.class_limits import Limit
from glidewright.domain.parts import Motor
from glidewright.forecast.prediction import Draws, Prediction
from glidewright.rules.measure import Measure


def _kv_rad_per_Vs(prediction: Prediction, _limit: Limit) -> Draws | str:
    motor = prediction.model.first(Motor)
    if motor is None:
        return "no motor is fitted"
    if motor.kv_rad_per_Vs is None:
        return f"the Kv of {motor.name} is not stated; ask the seller or measure"
    return np.full(prediction.count, motor.kv_rad_per_Vs.value)


MEASURE = Measure(
    "motor_kv",
    "Motor Kv",
    "rad/s/V",
    "rpm/V",
    "unloaded speed of the motor shaft per volt, as stated, before any gear",
    predicted=_kv_rad_per_Vs,
)
