"""The sheet for the field: one page of what the flyer must know of this model, and its test plan."""

from datetime import date

from glidewright.base.fields import Noun, plain
from glidewright.calibration.learned import correction_of
from glidewright.decisions.controls import ControlsRequest
from glidewright.decisions.controls import of_forecast as controls_of_forecast
from glidewright.decisions.drawing_geometry import DrawingGeometry, drawing_of
from glidewright.decisions.gliding.figures import glide_figures
from glidewright.decisions.judgement import judge
from glidewright.decisions.launch_answer import launch_answer
from glidewright.decisions.mass_answer import mass_answer
from glidewright.decisions.missing_values import missing_values
from glidewright.decisions.nouns import Answered, LaunchAnswer, MassAnswer, Missing, NamedFigure, PowerAnswer
from glidewright.decisions.plan import PlanRequest
from glidewright.decisions.plan import of_sight as plan_of_sight
from glidewright.decisions.planning.nouns import PlanStep
from glidewright.decisions.planning.sight import Sight
from glidewright.decisions.power_answer import power_answer
from glidewright.decisions.steering.nouns import ControlsResult
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.day import day_of
from glidewright.domain.model import Model
from glidewright.domain.parts import Motor, Pack, Propeller
from glidewright.forecast.predict import forecast
from glidewright.forecast.setup import prepare

DRAWS = 1024


class SheetRequest(Noun):
    """A model, its class, how many draws, and the day that the sheet is dated with."""

    model: Model
    rule: ClassLimits | None = None
    draws: int = DRAWS
    day: str = plain("Day", help="year-month-day; today when empty", default="")


class SheetResult(Answered):
    """Everything that stands on the sheet."""

    invented: bool
    day: str
    draws: int
    class_title: str
    class_edition: str
    class_note: str
    fitted: tuple[tuple[str, str], ...] = plain("Fitted", help="role and name of the main parts")
    mass: MassAnswer | None
    power: PowerAnswer | None
    launch: LaunchAnswer | None
    glide: tuple[NamedFigure, ...]
    controls: ControlsResult
    drawing: DrawingGeometry | None
    steps: tuple[PlanStep, ...]
    missing: tuple[Missing, ...]
    sources: tuple[str, ...]


def run(request: SheetRequest) -> SheetResult:
    """Gather the figures of every job for one page.

    Raises OutsideModelError when no model covers a part of the power train, InputError for a day that is
    none.
    """
    day_of(request.day, "day")
    model, rule = request.model, request.rule
    correction = correction_of(model)
    found = forecast(prepare(model, rule, request.draws, correction))
    findings = judge(found)
    controls = controls_of_forecast(ControlsRequest(model=model, rule=rule, draws=request.draws), found)
    plan = plan_of_sight(PlanRequest(model=model, rule=rule, draws=request.draws), Sight(found, controls))
    return SheetResult(
        model=model.name,
        invented=model.invented,
        day=request.day or date.today().isoformat(),
        draws=request.draws,
        class_title=rule.title if rule else "",
        class_edition=rule.edition if rule else "",
        class_note=rule.note if rule else "",
        fitted=_fitted(model),
        findings=findings,
        mass=mass_answer(found),
        power=power_answer(found, findings, correction.evidence),
        launch=launch_answer(found),
        glide=glide_figures(found.prediction),
        controls=controls,
        drawing=drawing_of(found),
        steps=plan.steps,
        missing=missing_values(found.setup.missing),
        sources=tuple(dict.fromkeys([*([rule.source] if rule and rule.source else []), *plan.sources])),
    )


def _fitted(model: Model) -> tuple[tuple[str, str], ...]:
    rows = []
    for title, kind in (("Motor", Motor), ("Propeller", Propeller), ("Pack", Pack)):
        part = model.first(kind)
        if part is not None:
            rows.append((title, part.name))
    return tuple(rows)
