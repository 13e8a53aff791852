"""The launch: trajectory, what stops the motor, and all launches of one charge."""

from glidewright.base.errors import OutsideModelError
from glidewright.base.fields import Noun
from glidewright.calibration.learned import correction_of
from glidewright.decisions.judgement import judge
from glidewright.decisions.launch_answer import launch_answer
from glidewright.decisions.missing_values import LAUNCH_ANSWERS, measure_next, missing_values
from glidewright.decisions.nouns import Answered, LaunchAnswer, Missing
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.model import Model
from glidewright.forecast.aero_sources import aero_sources
from glidewright.forecast.predict import forecast
from glidewright.forecast.setup import prepare

DRAWS = 1024
_ABOUT_LAUNCH = (
    "drive",
    "motor_run",
    "launch_height",
    "climb_rate",
    "height_ceiling",
    "limiter_height",
    "limiter_time",
)


class LaunchRequest(Noun):
    """A model, its class (or none), and how many draws."""

    model: Model
    rule: ClassLimits | None = None
    draws: int = DRAWS


class LaunchResult(Answered):
    """Everything that ``launch`` answers."""

    invented: bool
    class_title: str
    class_note: str
    draws: int
    launch: LaunchAnswer
    remarks: tuple[str, ...]
    missing: tuple[Missing, ...]
    measure_next: tuple[str, ...]
    sources: tuple[str, ...]


def run(request: LaunchRequest) -> LaunchResult:
    """Answer for the launches.

    Raises OutsideModelError when the mass is unknown, the power train is incomplete or not covered.
    """
    correction = correction_of(request.model)
    found = forecast(prepare(request.model, request.rule, request.draws, correction))
    answer = launch_answer(found)
    if answer is None:
        why = found.prediction.why_unknown("height_counted_m")
        message = f"must state what a launch needs; {why}; add it or weigh it"
        raise OutsideModelError.at("model.toml", message)
    rule, power, airframe = request.rule, found.setup.power, request.model.airframe
    findings = tuple(finding for finding in judge(found) if finding.name in _ABOUT_LAUNCH)
    return LaunchResult(
        model=request.model.name,
        invented=request.model.invented,
        class_title=rule.title if rule else "",
        class_note=rule.note if rule else "",
        draws=request.draws,
        launch=answer,
        findings=findings,
        remarks=correction.remarks,
        missing=missing_values(found.setup.missing),
        measure_next=measure_next(found, LAUNCH_ANSWERS),
        sources=(
            *(() if isinstance(power, str) else power.sources),
            *aero_sources(airframe, request.model.field),
        ),
    )
