"""Whether the motor turns its propeller: a finding only where some draw says otherwise."""

from collections.abc import Callable

import pytest

from glidewright.base.figure import Given
from glidewright.domain.parts import Motor, Propeller
from glidewright.forecast.prediction import Prediction
from glidewright.models.power.layout import STATUS_CANNOT_TURN, STATUS_FOUND, STATUS_STALLED
from glidewright.rules.drive import judge_drive

Predict = Callable[..., Prediction]
MOTOR = Motor(id="m")
PROPELLER = Propeller(id="p", diameter_m=Given(value=0.28), pitch_m=Given(value=0.15))


def drive(predict: Predict, status: list[float]) -> Prediction:
    return predict(MOTOR, PROPELLER, drive_status=status, static_revs_per_s=[90.0] * len(status))


def test_no_finding_where_every_draw_turns(predict: Predict) -> None:
    assert judge_drive(drive(predict, [STATUS_FOUND] * 4)) == []


def test_no_finding_where_nothing_was_computed(predict: Predict) -> None:
    assert judge_drive(predict(MOTOR, PROPELLER)) == []


@pytest.mark.parametrize(
    ("status", "chance", "severity"),
    [
        ([STATUS_FOUND] * 19 + [STATUS_STALLED], 0.95, "kept"),
        ([STATUS_FOUND] * 6 + [STATUS_STALLED] * 2 + [STATUS_CANNOT_TURN] * 2, 0.6, "doubtful"),
        ([STATUS_FOUND] + [STATUS_CANNOT_TURN] * 9, 0.1, "broken"),
        ([STATUS_CANNOT_TURN] * 4, 0.0, "broken"),
        ([STATUS_STALLED] * 4, 0.0, "broken"),
    ],
)
def test_the_chance_is_the_share_of_draws_that_turn(
    predict: Predict, status: list[float], chance: float, severity: str
) -> None:
    (finding,) = judge_drive(drive(predict, status))
    assert (finding.name, finding.kind) == ("drive", "part")
    assert finding.chance == pytest.approx(chance)
    assert finding.severity == severity
    assert finding.consequence


def test_a_stall_and_a_standstill_are_told_apart(predict: Predict) -> None:
    stuck, held = "cannot turn", "half of its free speed"
    (only_stuck,) = judge_drive(drive(predict, [STATUS_FOUND, STATUS_CANNOT_TURN]))
    assert stuck in only_stuck.because
    assert held not in only_stuck.because
    (only_held,) = judge_drive(drive(predict, [STATUS_FOUND, STATUS_STALLED]))
    assert held in only_held.because
    assert stuck not in only_held.because
