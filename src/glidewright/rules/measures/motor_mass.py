"""Mass of the motor."""

import numpy as np

from glidewright.domain.class_limits import Limit
from glidewright.domain.parts import Motor
from glidewright.forecast.prediction import Draws, Prediction
from glidewright.rules.measure import Measure


def _motor_mass_kg(prediction: Prediction, _limit: Limit) -> Draws | str:
    motor = prediction.model.first(Motor)
    if motor is None:
        return "no motor is fitted"
    if motor.mass_kg is None:
        return f"the mass of {motor.name} is not stated; weigh it with its leads"
    return np.full(prediction.count, motor.mass_kg.value)


MEASURE = Measure(
    "motor_mass", "Motor mass", "kg", "g", "mass of the motor with its leads", predicted=_motor_mass_kg
)
