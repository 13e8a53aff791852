"""The power train: operating points at rest, in the climb and over airspeeds, with margins."""

from glidewright.base.errors import OutsideModelError
from glidewright.base.fields import Noun
from glidewright.calibration.learned import correction_of
from glidewright.decisions.missing_values import POWER_ANSWERS, measure_next, missing_values
from glidewright.decisions.nouns import Answered, Missing, PowerAnswer
from glidewright.decisions.power_answer import power_answer
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.model import Model
from glidewright.forecast.predict import forecast
from glidewright.forecast.setup import prepare
from glidewright.rules.drive import judge_drive
from glidewright.rules.part_limits import judge_parts

DRAWS = 1024


class PowerRequest(Noun):
    """A model, its class (for the climb that is flown), and how many draws."""

    model: Model
    rule: ClassLimits | None = None
    draws: int = DRAWS


class PowerResult(Answered):
    """Everything that ``power`` answers."""

    invented: bool
    draws: int
    power: PowerAnswer
    missing: tuple[Missing, ...]
    measure_next: tuple[str, ...]
    sources: tuple[str, ...]


def run(request: PowerRequest) -> PowerResult:
    """Answer for the power train.

    Raises OutsideModelError when it is incomplete or no model covers a part of it.
    """
    correction = correction_of(request.model)
    setup = prepare(request.model, request.rule, request.draws, correction)
    if isinstance(setup.power, str):
        message = (
            f"must have a motor, a controller, a pack and a propeller; {setup.power}; fit what is missing"
        )
        raise OutsideModelError.at("model.toml", message)
    found = forecast(setup, with_trace=False)
    findings = (*judge_drive(found.prediction), *judge_parts(found.prediction))
    answer = power_answer(found, findings, (*correction.remarks, *correction.evidence))
    assert answer is not None  # the power train is complete
    power_parts = {part.id for part in vars(setup.power.drive).values()}
    return PowerResult(
        model=request.model.name,
        invented=request.model.invented,
        draws=request.draws,
        power=answer,
        findings=findings,
        missing=tuple(value for value in missing_values(found.setup.missing) if value.part in power_parts),
        measure_next=measure_next(found, POWER_ANSWERS),
        sources=setup.power.sources,
    )
