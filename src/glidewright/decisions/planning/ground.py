"""Steps before the model flies: the workshop, and the field with the model on the ground."""

from collections.abc import Iterator

import numpy as np

from glidewright.base.figure import Figure
from glidewright.base.wording import exact_text, number_text, plain_text
from glidewright.decisions.judgement import judge
from glidewright.decisions.mass_answer import balance_range
from glidewright.decisions.nouns import NamedFigure
from glidewright.decisions.planning.nouns import PlanStep
from glidewright.decisions.planning.sight import Sight, asked, practice, practised
from glidewright.models.power import layout as pl

_ARM = "Propeller off, or the model held fast with everybody behind the propeller's disc."


def ground_steps(sight: Sight) -> Iterator[PlanStep]:
    """Steps in their order; ``state`` is set later."""
    yield _weigh(sight)
    yield _balance(sight)
    yield _sides(sight)
    yield _true()
    yield _controls(sight)
    yield _power(sight)
    yield _failsafe()
    yield _range(sight)


def _weigh(sight: Sight) -> PlanStep:
    mass = sight.named("mass_kg", "Mass ready to fly", "g")
    return PlanStep(
        key="weigh",
        title="Weigh the model ready to fly",
        place="workshop",
        state="open",
        do=(
            "Everything in it that flies: pack, ballast, propeller, tape.",
            "A scale that reads single grams; read it three times.",
        ),
        numbers=(mass, sight.named("wing_loading_kg_m2", "Wing loading", "g/dm²")),
        record=(asked("mass_kg", "Mass", mass),),
        if_it_fails=(
            "Outside the expected band: weigh the groups one by one; glidewright balance shows which "
            "one differs from its plan.",
        ),
        goes_to="a weighing of the whole model: it narrows mass, balance and everything after them",
    )


def _balance(sight: Sight) -> PlanStep:
    front, rear, _, source = balance_range(sight.found)
    place = sight.named("cg_x_m", "Forecast balance point", "mm")
    numbers = [place]
    if front.value is not None and rear.value is not None:
        numbers += [
            NamedFigure(name="range_front", title="Foremost allowed", figure=front),
            NamedFigure(name="range_rear", title="Rearmost allowed", figure=rear),
        ]
    neutral, chord = sight.draws("neutral_point_x_m"), sight.model.airframe.mean_chord_m
    if neutral is not None and chord is not None:
        first = neutral - practice("first_static_margin") * chord.value
        numbers.append(sight.of("first_point", "Good for the first flights", "mm", first))
    return PlanStep(
        key="balance",
        title="Find the balance point",
        place="workshop",
        state="open",
        do=(
            "Level, on two blades or two scales, everything aboard; repeat and take the middle.",
            f"The range is that of {source}. For the first flights stay in its front half, never behind it.",
        ),
        numbers=tuple(numbers),
        record=(
            asked("x_m", "Balance point, aft of the datum", place),
            asked("mass_kg", "Mass on the scale"),
        ),
        if_it_fails=(
            "Outside the range: glidewright balance finds the least dead weight that brings it in.",
        ),
        goes_to="a weighing with its balance point, when the mass is written down with it",
    )


def _sides(sight: Sight) -> PlanStep:
    return PlanStep(
        key="sides",
        title="Compare left and right",
        place="workshop",
        state="open",
        do=(
            "Hold the model at nose and tail on its middle line: the wing must stay level.",
            f"From what is weighed: {sight.side_words or 'nothing is known of the sides yet'}.",
        ),
        numbers=(),
        record=(),
        if_it_fails=("Put the weight into the light tip, as far out as it goes, and tape it in.",),
    )


def _true() -> PlanStep:
    play = plain_text(practice("surface_play_rad"), "°")
    return PlanStep(
        key="true",
        title="See that everything is true",
        place="workshop",
        state="open",
        do=(
            "From behind, at three metres: the trailing edges of both wings show the same twist; the tail is "
            "level with the wing, the fin upright.",
            "Both wing tips are equally far from the end of the boom.",
            f"Surfaces move freely to both ends, without a gap at the hinge, with less than {play} of play.",
        ),
        numbers=(),
        record=(),
        if_it_fails=(
            "glidewright glide --all says what one degree of each fault asks of the rudder and the elevator; "
            "iron out a twist rather than trim it away.",
        ),
    )


def _controls(sight: Sight) -> PlanStep:
    names = ", ".join(sight.model.airframe.controls) or "every control"
    return PlanStep(
        key="controls",
        title="Each control the right way round",
        place="workshop",
        state="open",
        do=(
            f"Standing behind the model, move one stick at a time: {names}.",
            "Stick back: the elevator's trailing edge goes up. Stick right: the rudder's goes right. "
            "Brake: both blades rise at the same time and by the same amount.",
            "Set the travels with a ruler at the trailing edge; those of the first flights first.",
        ),
        numbers=tuple(_throws(sight)),
        record=(),
        if_it_fails=("Do not go on: a reversed control is the surest way to lose a model.",),
        caution=_ARM,
    )


def _throws(sight: Sight) -> Iterator[NamedFigure]:
    """Travel of every control for the first flights, at the trailing edge."""
    known = sight.controls
    if known is None or not known.throws:
        why = "glidewright controls works it out" if known is None else known.why_no_throws
        yield NamedFigure(name="throws", title="Travels", figure=Figure.unknown("m", "mm", why))
        return
    for throw in known.throws:
        title = f"{throw.control.capitalize()} {throw.way}, first flights"
        yield NamedFigure(name=f"{throw.control}_{throw.way}", title=title, figure=throw.first_edge)


def _power(sight: Sight) -> PlanStep:
    points = sight.found.points
    rest = None if points is None else points[:, 0]
    why = sight.found.prediction.why_unknown("static_pack_current_A")
    current = sight.of(
        "current", "Current from the pack", "A", None if rest is None else rest[:, pl.PACK_CURRENT_A], why
    )
    volts = sight.of(
        "volts", "Volts at the pack", "V", None if rest is None else rest[:, pl.PACK_VOLTAGE_V], why
    )
    speed = sight.of(
        "speed", "Speed of the propeller", "rpm", None if rest is None else rest[:, pl.REVS_PER_S], why
    )
    do = [
        f"Model held fast, fresh pack, wattmeter between pack and controller, full throttle for "
        f"{exact_text(practice('static_run_s'), 's')} at the most.",
    ]
    limit = _current_limit(sight)
    if limit:
        do.append(limit)
    return PlanStep(
        key="power",
        title="Measure the power train at rest",
        place="workshop",
        state="open",
        do=tuple(do),
        numbers=(current, volts, speed),
        record=(
            asked("current_A", "Current", current),
            asked("voltage_V", "Volts", volts),
            asked("revs_per_s", "Propeller", speed),
        ),
        if_it_fails=(
            "More current than a limit allows: stop, fit a smaller propeller or fewer cells; glidewright "
            "check says which.",
        ),
        caution="Propellers cut: hold the model behind the wing, nobody in line with the disc, sleeves tied.",
        goes_to="a bench reading: it narrows current, climb, height and launches from one charge",
    )


_CURRENTS = {"motor_current": "motor", "controller_current": "controller", "pack_current": "pack"}


def _current_limit(sight: Sight) -> str:
    """The lowest stated current limit, in a sentence."""
    stated = [
        (one.at_most, _CURRENTS[one.name])
        for one in judge(sight.found)
        if one.name in _CURRENTS and one.at_most is not None
    ]
    if not stated:
        return "No seller states a current limit here: stop when motor or controller get hot to the touch."
    amps, whose = min(stated)
    return f"Stop at once above {exact_text(amps, 'A')}: that is the limit of the {whose}."


def _failsafe() -> PlanStep:
    return PlanStep(
        key="failsafe",
        title="Failsafe: motor off",
        place="field",
        state="open",
        do=(
            "Set the receiver so that the motor stops and the surfaces hold a gentle turn or neutral when "
            "the signal is lost.",
            "Model held fast, motor turning slowly: switch the transmitter off. The motor must stop.",
        ),
        numbers=(),
        record=(),
        if_it_fails=("Do not fly. Many sets hold the last command until failsafe is set by hand.",),
        caution=_ARM,
    )


def _range(sight: Sight) -> PlanStep:
    load = sight.draws("servo_supply_load_A")
    numbers = [practised("range", "Distance on reduced power", "range_check_distance_m", "m")]
    if load is not None and np.all(np.isfinite(load)):
        numbers.append(sight.named("servo_supply_load_A", "Servos and receiver together", "A"))
    return PlanStep(
        key="range",
        title="Range check, motor off and motor running",
        place="field",
        state="open",
        do=(
            f"Transmitter on reduced power; a helper holds the model; walk away "
            f"{number_text(numbers[0].figure)} or as far as the maker of the set says.",
            "All surfaces follow without twitching; the same once more with the motor at half power, and all "
            "servos moving at once.",
            "Switch the reduced power off again before you fly.",
        ),
        numbers=tuple(numbers),
        record=(asked("distance_m", "Distance at which it still followed"),),
        if_it_fails=(
            "Twitching with the motor on: move receiver and aerial away from controller and leads; a servo "
            "supply that breaks down shows here as well.",
        ),
        caution=_ARM,
    )
