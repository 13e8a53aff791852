"""Steps in the air, each a little further than the one before."""

import math
from collections.abc import Iterator

import numpy as np

from glidewright.base.wording import exact_text, median_text, plain_text
from glidewright.data import coefficient
from glidewright.decisions.nouns import NamedFigure
from glidewright.decisions.planning.nouns import PlanStep
from glidewright.decisions.planning.sight import Sight, asked, height_to_keep_m, practice, practised
from glidewright.decisions.steering.nouns import BrakeUse
from glidewright.domain.airframe import Airframe
from glidewright.models.aero.manoeuvres import hand_glide

_SHARES = (0.1, 0.25, 0.5)


def air_steps(sight: Sight) -> Iterator[PlanStep]:
    """Steps in their order; ``state`` is set later."""
    yield _hand_glide(sight)
    yield _first_flight(sight)
    yield _trim(sight)
    yield _stall(sight)
    if _has_spoiler(sight.model.airframe):
        yield _brake(sight)
    yield _dive(sight)
    yield _timed(sight)
    yield _full_launch(sight)
    yield _charge(sight)


def _has_spoiler(airframe: Airframe) -> bool:
    """What the list of controls says; where there is none, what the shape says."""
    if airframe.controls:
        return "spoiler" in airframe.controls
    return airframe.geometry is not None and airframe.geometry.spoiler is not None


def _hand_glide(sight: Sight) -> PlanStep:
    speed, sink = sight.draws("speed_sink_least_m_s"), sight.draws("sink_least_m_s")
    height = sight.model.launch.throw_height_m.value
    far = time = still = None
    if speed is not None and sink is not None:
        far, time = hand_glide(height, speed, sink, sight.found.setup["field.headwind"])
        still, _ = hand_glide(height, speed, sink, np.zeros_like(speed))
    why = sight.found.prediction.why_unknown("sink_least_m_s")
    distance = sight.of(
        "distance", f"Distance from {plain_text(height, 'm')}, wind of the field", "m", far, why
    )
    return PlanStep(
        key="hand_glide",
        title="Hand glide over long grass",
        place="field",
        state="open",
        do=(
            "Wind straight on the nose, nose on the horizon, a firm level push at the trim speed; not "
            "upwards. Motor locked.",
            "Aim a few metres short of the full distance the first time: push a little slower than the "
            "trim speed.",
        ),
        numbers=(
            sight.named("speed_sink_least_m_s", "Trim speed", "m/s"),
            distance,
            sight.of("still", "The same without wind", "m", still, why),
            sight.of("time", "Time in the air", "s", time, why),
            sight.named("elevator_trim_rad", "Elevator for it, down positive", "°"),
        ),
        record=(asked("distance_m", "Distance", distance),),
        if_it_fails=(
            "It dives or swoops up: trim a millimetre of elevator and try again; more than two tries that "
            "way, and the balance is wrong: go back to it.",
            "It turns: look for a twist and for unequal sides, then trim the rudder.",
        ),
        caution="Nobody in front within three times the distance; throw away from people.",
        goes_to="a first look at glide ratio and trim; one throw says little, three in a row more",
    )


def _first_flight(sight: Sight) -> PlanStep:
    launch, orders = sight.launch, sight.found.orders
    numbers = [sight.named("speed_sink_least_m_s", "Trim speed after the climb", "m/s")]
    run = None if orders is None else practice("first_motor_run_share") * orders.motor_run_s
    heights = [] if run is None else _heights(sight, run)
    if launch is not None:
        numbers.append(NamedFigure(name="climb_speed", title="Climb airspeed", figure=launch.climb_speed))
        numbers += heights
        numbers.append(sight.named("motor_temperature_K", "Motor case after a full launch", "°C"))
    seconds = "half of the usual motor run" if run is None else f"{exact_text(run, 's')} of motor"
    return PlanStep(
        key="first_flight",
        title="First powered flight, half a motor run",
        place="air",
        state="open",
        do=(
            "A helper throws, the pilot has both hands on the sticks; into the wind, wings level, nose "
            "slightly up, motor after the release.",
            f"Stop after {seconds}, ease the nose down to the trim speed, and only trim.",
            "Land long and straight ahead without brake. Then feel motor, controller and pack.",
        ),
        numbers=tuple(numbers),
        record=(
            asked("height_m", "Height at motor stop", heights[-1] if heights else None),
            asked("temperature_K", "Motor case after landing"),
        ),
        if_it_fails=(
            "It pulls up or dives with power: less power and down thrust before any elevator mix.",
            f"Too hot to hold: no second run; below {_hottest()} is what practice keeps to.",
        ),
        caution="Height and place are limited by the law of the country and the rules of the site; "
        "keep people out from under the climb.",
    )


def _heights(sight: Sight, run_s: float) -> list[NamedFigure]:
    """Height after parts of the run, and at its end; none where the launch cannot be computed."""
    launch, trace = sight.launch, sight.found.trace
    if launch is None or trace is None:
        return []
    moments = [run_s * share / _SHARES[-1] for share in _SHARES]
    times = np.asarray(launch.times_s)
    found = []
    for moment in moments:
        place = int(np.argmin(np.abs(times - moment)))
        title = f"Height after {exact_text(moment, 's')} of motor"
        found.append(sight.of(f"height_{moment:g}", title, "m", trace[:, place, 1]))
    return found


def _hottest() -> str:
    return plain_text(coefficient("practice_limits", "motor_case_temperature"), "°C")


def _trim(sight: Sight) -> PlanStep:
    elevator = sight.named("elevator_trim_rad", "Elevator, down positive", "°")
    return PlanStep(
        key="trim",
        title="Trim the glide at height",
        place="air",
        state="open",
        do=(
            "At height, hands off between corrections: first the rudder until it flies straight, then the "
            "elevator until it flies the trim speed.",
            "Slower until it feels soft, then two clicks faster: that is least sink. Faster for best glide.",
        ),
        numbers=(
            sight.named("speed_sink_least_m_s", "Airspeed of least sink", "m/s"),
            sight.named("speed_glide_best_m_s", "Airspeed of best glide", "m/s"),
            sight.named("sink_least_m_s", "Least sink", "m/s"),
            elevator,
        ),
        record=(asked("edge_m", "Elevator where it ended up, at its trailing edge"),),
        if_it_fails=(
            "Far from the forecast elevator: wing and tail are not at the angles drawn, or the balance is "
            "off; measure both before more trim.",
        ),
    )


def _stall(sight: Sight) -> PlanStep:
    lost = sight.stall_height
    keep = _keep(lost)
    return PlanStep(
        key="stall",
        title="Stall, straight, at height",
        place="air",
        state="open",
        do=(
            f"Not below {exact_text(keep, 'm')}: slow down gently until a wing or the nose drops, let go, "
            "let it gather speed, then level out softly.",
            "Note which way it drops; then the same in a gentle turn.",
        ),
        numbers=(
            sight.named("stall_speed_m_s", "Stalling speed", "m/s"),
            sight.of("stall_height", "Height that a full stall takes at the most", "m", lost),
        ),
        record=(asked("height_m", "Height lost", _stall_figure(sight)),),
        if_it_fails=(
            "A wing drops sharply: look for a twist at that tip; until it is mended, fly turns faster and "
            "land with speed in hand.",
        ),
        caution="Away from people and from the edge of the field: a model that drops a wing turns.",
    )


def _stall_figure(sight: Sight) -> NamedFigure:
    return sight.of("stall_height", "Height lost", "m", sight.stall_height)


def _keep(lost: np.ndarray | None) -> float:
    """Height to keep for a manoeuvre that takes so much at the most; the least of practice where unknown."""
    return height_to_keep_m(0.0 if lost is None else float(np.quantile(lost, 0.9)))


def _brake(sight: Sight) -> PlanStep:
    use = None if sight.controls is None else sight.controls.brake
    keep = max(_keep(sight.stall_height), 0.0 if use is None else use.test_height_m)
    held = (
        None
        if use is None
        else NamedFigure(name="compensation", title="Elevator at full brake", figure=use.steps[-1].edge)
    )
    return PlanStep(
        key="brake",
        title="Brake at a safe height",
        place="air",
        state="open",
        do=(
            f"Above {exact_text(keep, 'm')}, straight, at approach speed: a quarter of the brake, two "
            "seconds, in again; then half, then full.",
            "Nose goes up or down: add elevator with the brake against it until it stays; at half and at "
            "full travel, it is rarely a straight line.",
            "Last, stall once with full brake: learn how much sooner it comes.",
        ),
        numbers=tuple(_brake_numbers(sight, use, held)),
        record=(asked("edge_m", "Elevator that holds the nose", held),),
        if_it_fails=(
            "It pitches hard: brake in first, then level; never correct near the ground by snapping the "
            "brake in.",
        ),
        caution="A brake near the ground without its elevator is the usual way to break a nose.",
    )


def _brake_numbers(sight: Sight, use: BrakeUse | None, held: NamedFigure | None) -> Iterator[NamedFigure]:
    if use is None or held is None:
        yield sight.named("stall_speed_m_s", "Stalling speed without brake", "m/s")
        return
    yield NamedFigure(name="approach", title="Approach speed", figure=use.approach_speed)
    yield NamedFigure(name="stall_open", title="Stalling speed with full brake", figure=use.stall_open)
    yield held
    for place, one in enumerate(use.mistakes):
        words = f"{one.title[0].lower()}{one.title[1:]}"
        yield NamedFigure(name=f"mistake_{place}", title=f"Height lost: {words}", figure=one.height)


def _dive(sight: Sight) -> PlanStep:
    step = practice("balance_step_m")
    end = sight.dive_end
    speed, lost = end if end is not None else (None, None)
    mass = sight.mass_for(step)
    moved = f" It takes {mass}." if mass else ""
    return PlanStep(
        key="dive",
        title="Refine the balance by a dive",
        place="air",
        state="open",
        do=(
            f"Trimmed for least sink, hands off; from {exact_text(_keep(lost), 'm')} or more push to "
            f"{math.degrees(practice('dive_path_rad')):.0f}° nose down across the wind, let go.",
            "It comes out slowly by itself: good. Out at once and up: more margin than needed. Stays or "
            "steepens: take it out by hand at once, the balance is too far aft.",
            f"Move the balance by {exact_text(step, 'mm')} at a time, trim anew, dive again.{moved}",
        ),
        numbers=(
            sight.of("dive_speed", "Highest airspeed, drag left out", "m/s", speed),
            sight.of("dive_height", "Height that it takes with the way out", "m", lost),
            sight.named("static_margin", "Static margin now", "%"),
        ),
        record=(asked("x_m", "Balance point that it ended at"),),
        if_it_fails=(
            "Flutter, a hum or a shake: slow down at once, land, look for play in hinges and rods.",
        ),
        goes_to="evidence on the balance; state the wanted range in the airframe when you have found it",
    )


def _timed(sight: Sight) -> PlanStep:
    sink = sight.draws("sink_least_m_s")
    leg = practice("glide_leg_s")
    lost = None if sink is None else sink * leg
    height = sight.of("leg", f"Height lost in {exact_text(leg, 's')} at least sink", "m", lost)
    return PlanStep(
        key="timed_glide",
        title="Timed glides in still air",
        place="air",
        state="open",
        do=(
            "Early morning or evening, no sun on the field: straight legs of "
            f"{exact_text(leg, 's')}, trim untouched, in both directions.",
            f"At least {practice('timed_glides'):.0f} of them; the middle one counts. One glide cannot "
            "tell sink from moving air.",
        ),
        numbers=(height, sight.named("sink_least_m_s", "Least sink", "m/s")),
        record=(asked("height_m", "Height lost", height), asked("time_s", "In this time")),
        if_it_fails=(
            "Sinks much more than forecast: look at gaps, wires, spoilers that do not close flush.",
        ),
        goes_to="evidence on the drag; a flight log teaches more",
    )


def _full_launch(sight: Sight) -> PlanStep:
    counted = sight.named("height_counted_m", "Launch height as the altimeter reads it", "m")
    stop = sight.launch.stop if sight.launch is not None else "the motor stops by the class or by the pilot"
    return PlanStep(
        key="launch",
        title="Full launch with the altimeter",
        place="air",
        state="open",
        do=(
            f"As in a contest: {stop}.",
            "Climb at the stated airspeed, not as steep as it will go; level out after the stop.",
            "Keep the log of the altimeter: glidewright read takes it in.",
        ),
        numbers=(
            counted,
            sight.named("motor_run_s", "Motor run", "s"),
            sight.named("mean_climb_m_s", "Mean climb", "m/s"),
            sight.named("lowest_cell_V", "Lowest cell voltage", "V"),
        ),
        record=(asked("height_m", "Height read", counted), asked("time_s", "Motor run")),
        if_it_fails=(
            "Much lower than forecast: pack cold or tired, propeller slipping on its shaft, climb too steep.",
        ),
        caution="The ceiling of class, site and law holds for every launch, tests too.",
        goes_to="evidence for the launch; the log itself corrects the model of the model",
    )


def _charge(sight: Sight) -> PlanStep:
    rest = practised("rest_cell", "Resting volts of a cell at which it ends", "rest_cell_voltage_V", "V")
    pause = practised("pause", "Pause between launches", "rest_between_runs_s", "min")
    cells = (
        f", that is {plain_text(sight.cells * practice('rest_cell_voltage_V'), 'V')} of the pack"
        if sight.cells
        else ""
    )
    return PlanStep(
        key="charge",
        title="Launches from one charge",
        place="air",
        state="open",
        do=(
            f"Launch with {median_text(pause.figure)} between; after each, resting volts and the touch of "
            "motor and pack.",
            f"Stop at {median_text(rest.figure)} a cell{cells}, or when the climb turns sluggish.",
            "Write down what the charger puts back: it is the best measure of a launch's charge.",
        ),
        numbers=(
            sight.named("launches", "Useful launches", ""),
            sight.named("charge_per_launch_As", "Charge of one launch", "mAh"),
            sight.named("motor_temperature_last_K", "Motor after the last useful one", "°C"),
            rest,
            pause,
        ),
        record=(asked("temperature_K", "Motor case after the last one"),),
        if_it_fails=("Fewer launches than forecast: measure the pack's resistance; it may be old or cold.",),
        caution="A warm, soft or swollen pack is not charged again: let it cool outside, away from fire.",
    )
