"""The controls: linkages, throws, mixes and trims, the brake, and checks of the build."""

from glidewright.base.fields import Noun
from glidewright.calibration.learned import correction_of
from glidewright.decisions.missing_values import missing_values
from glidewright.decisions.steering.brake import brake_use
from glidewright.decisions.steering.build import build_answer
from glidewright.decisions.steering.desk import desk_of
from glidewright.decisions.steering.findings import findings
from glidewright.decisions.steering.flight import Flown, flown_of
from glidewright.decisions.steering.linkage import linkage_answer
from glidewright.decisions.steering.nouns import BrakeUse, ControlsResult
from glidewright.decisions.steering.servos import supply_answer
from glidewright.decisions.steering.throws import elevator_rig, mixes, stick_curves, throws, trims
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.control import Control
from glidewright.domain.model import Model
from glidewright.forecast.predict import Forecast, forecast
from glidewright.forecast.setup import prepare

DRAWS = 1024
_NO_CONTROLS = (
    f"model.toml states no [[{Control.table}]]; glidewright new writes an example; without it deflections, "
    "torque and travel are not known"
)
NOTES = (
    "Throws are counted from the surface in line with its fixed part; real flaps are taken as weaker than "
    "thin ones.",
    "Travel is told in per cent of the stated travel, the servo angle at 100 % in the transmitter. Set "
    "throws with a ruler at the trailing edge: a transmitter may count otherwise.",
    "Exponential: travel = (1 - e) stick + e stick cubed. Transmitters differ in the curve; compare the "
    "slope in the middle.",
)


class ControlsRequest(Noun):
    """A model, its class (for the climb speed), and how many draws."""

    model: Model
    rule: ClassLimits | None = None
    draws: int = DRAWS


def run(request: ControlsRequest) -> ControlsResult:
    """Answer for the controls; what cannot be known says why.

    Raises InputError for a linkage that cannot move, binds, has its horn behind the hinge or asks for more
    than its servo has.
    """
    setup = prepare(request.model, request.rule, request.draws, correction_of(request.model))
    return of_forecast(request, forecast(setup, with_trace=False, with_many=False))


def of_forecast(request: ControlsRequest, found: Forecast) -> ControlsResult:
    """The same from a forecast of the model that is there already; raises as ``run`` does."""
    model = request.model
    desk = desk_of(found)
    flown = flown_of(desk)
    linkages = tuple(linkage_answer(desk, rig) for rig in desk.rigs)
    supply = supply_answer(desk)
    brake = flown if isinstance(flown, str) else brake_use(flown, elevator_rig(flown))
    known_brake = brake if isinstance(brake, BrakeUse) else None
    thrown = () if isinstance(flown, str) else throws(flown, known_brake)
    on_both = model.steering.rudder_on_both_sticks
    return ControlsResult(
        model=model.name,
        invented=model.invented,
        draws=request.draws,
        linkages=linkages,
        supply=supply,
        throws=thrown,
        curves=() if isinstance(flown, str) else stick_curves(flown, thrown),
        mixes=mixes(flown if isinstance(flown, Flown) else None, known_brake, thrown, on_both),
        trim=() if isinstance(flown, str) else trims(flown),
        brake=known_brake,
        build=build_answer(desk, flown),
        why_no_linkages="" if linkages else _NO_CONTROLS,
        why_no_throws=flown if isinstance(flown, str) else "",
        why_no_brake=brake if isinstance(brake, str) else "",
        notes=NOTES,
        missing=missing_values(desk.missing),
        findings=findings(desk, linkages, thrown, supply),
    )
