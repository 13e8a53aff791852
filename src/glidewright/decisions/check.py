"""The main job: is the model legal, inside its limits, balanced, how high, how often, and how sure."""

from glidewright.base.fields import Noun
from glidewright.base.figure import worst_grade
from glidewright.calibration.learned import correction_of
from glidewright.decisions.changes import best_changes
from glidewright.decisions.gliding.figures import glide_figures
from glidewright.decisions.judgement import judge
from glidewright.decisions.launch_answer import launch_answer
from glidewright.decisions.mass_answer import mass_answer
from glidewright.decisions.missing_values import measure_next, missing_values
from glidewright.decisions.nouns import CheckResult
from glidewright.decisions.power_answer import power_answer
from glidewright.decisions.sources import sources_of
from glidewright.decisions.verdicts import verdicts
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.model import Model
from glidewright.forecast.aero_inputs import polar_remarks
from glidewright.forecast.predict import Forecast, forecast
from glidewright.forecast.setup import prepare
from glidewright.rules.remarks import remark_on

DRAWS = 1024


class CheckRequest(Noun):
    """A model, its class, and how many draws (a power of two up to 4096)."""

    model: Model
    rule: ClassLimits | None = None
    draws: int = DRAWS


def run(request: CheckRequest) -> CheckResult:
    """Answer every question of the check.

    Raises OutsideModelError when no model covers a part of the power train.
    """
    correction = correction_of(request.model)
    found = forecast(prepare(request.model, request.rule, request.draws, correction))
    findings = judge(found)
    changes = best_changes(found, request.rule, correction)
    next_readings = measure_next(found)
    model, rule = request.model, request.rule
    return CheckResult(
        model=model.name,
        invented=model.invented,
        currency=model.currency,
        class_title=rule.title if rule else "",
        class_edition=rule.edition if rule else "",
        class_note=rule.note if rule else "",
        class_open_points=rule.open_points if rule else (),
        draws=request.draws,
        verdicts=verdicts(found, findings, changes, next_readings),
        findings=findings,
        mass=mass_answer(found),
        power=power_answer(found, findings, correction.evidence),
        launch=launch_answer(found),
        glide=glide_figures(found.prediction),
        missing=missing_values(found.setup.missing),
        changes=changes,
        measure_next=next_readings,
        remarks=(
            *correction.remarks,
            *_outside_measured(found),
            *polar_remarks(model.airframe, model.field),
            *(f"{remark.where}: {remark.message}" for remark in remark_on(model, rule)),
        ),
        sources=sources_of(found),
        grade=worst_grade([entry.grade for entry in found.setup.inputs.values() if not entry.is_exact]),
    )


def _outside_measured(found: Forecast) -> tuple[str, ...]:
    """A warning when the propeller lies outside the sizes that were measured."""
    power = found.setup.power
    if isinstance(power, str) or not power.curve.origin.endswith("outside the measured sizes"):
        return ()
    return (f"propeller {power.drive.propeller.id}: {power.curve.because}",)
