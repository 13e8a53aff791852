"""Whether the motor turns the propeller at all, and whether it does so on the useful side of its power."""

import numpy as np

from glidewright.base.wording import chance_text
from glidewright.domain.parts import Motor, Propeller
from glidewright.forecast.prediction import Prediction
from glidewright.models.power.layout import STATUS_FOUND, STATUS_STALLED

from .finding import Finding, judged

DRIVE_TITLE = "Motor speed under load"


def judge_drive(prediction: Prediction) -> list[Finding]:
    """One finding when some draw cannot turn the propeller or is overloaded by it; none when all is well."""
    status = prediction.draws("drive_status")
    if status is None or not np.any(status != STATUS_FOUND):
        return []
    motor, propeller = prediction.model.first(Motor), prediction.model.first(Propeller)
    assert motor is not None and propeller is not None  # a status has a complete power train
    stuck = float(np.mean((status != STATUS_FOUND) & (status != STATUS_STALLED)))
    chance = float(np.mean(status == STATUS_FOUND))
    parts = []
    if stuck > 0.0:
        parts.append(f"{motor.name} cannot turn {propeller.name} in {chance_text(stuck)} of the draws")
    if stuck + chance < 1.0:
        held = chance_text(1.0 - stuck - chance)
        parts.append(f"it holds the motor below half of its free speed in {held} of the draws")
    because = "; ".join(parts) + "; take a smaller propeller, more volts or a motor of higher torque"
    value = prediction.figure("static_revs_per_s", "rpm")
    return [
        judged(
            "drive",
            DRIVE_TITLE,
            value,
            chance,
            limit="above half of its free speed",
            because=because,
            remark=because,
            consequence="no thrust, and a motor or controller that burns",
        )
    ]
