"""``controls`` as a decision: the demo against the trade, models that lack something, bad linkages."""

import math
from pathlib import Path
from typing import Any

import pytest

from glidewright.base.errors import InputError
from glidewright.base.figure import Figure, Given
from glidewright.data import packaged
from glidewright.decisions import controls
from glidewright.decisions.steering.nouns import BrakeUse, ControlsResult, LinkageAnswer
from glidewright.domain.control import Build, Control, Steering
from glidewright.domain.model import Model
from glidewright.domain.parts import Servo
from glidewright.store.reading import read_model

DRAWS = 64


def answer(model: Model, **changes: Any) -> ControlsResult:
    return controls.run(controls.ControlsRequest(model=model.model_copy(update=changes), draws=DRAWS))


def measured(value: float) -> Given:
    return Given(value=value, grade="measured")


def number(figure: Figure) -> float:
    assert figure.value is not None
    return figure.value


@pytest.fixture(scope="module")
def model() -> Model:
    return read_model(Path(str(packaged("demo", "hill-demo"))))


@pytest.fixture(scope="module")
def result(model: Model) -> ControlsResult:
    return answer(model)


@pytest.fixture(scope="module")
def brake(result: ControlsResult) -> BrakeUse:
    assert result.brake is not None
    return result.brake


def linkage(result: ControlsResult, label: str) -> LinkageAnswer:
    return next(one for one in result.linkages if one.label == label)


# ------------------------------------------------------------------ linkages and servos


def test_a_linkage_reaches_both_ways_what_arm_and_horn_say(result: ControlsResult) -> None:
    """Arm 8, horn 13 mm, 42 degrees: near arcsin(8 sin 42 / 13) = 24.3 degrees with a long rod."""
    found = linkage(result, "elevator")
    assert [end.way for end in found.ways] == ["up", "down"]
    wanted = math.degrees(math.asin(8.0 * math.sin(math.radians(42.0)) / 13.0))
    for end in found.ways:
        assert math.degrees(number(end.deflection)) == pytest.approx(wanted, abs=0.3)
    assert found.curve.value[0] < 0.0 < found.curve.value[-1]
    assert found.curve.value[10] == pytest.approx(0.0, abs=1e-9)


def test_one_millimetre_and_one_tooth_at_the_surface(result: ControlsResult) -> None:
    """1 mm on a horn of 13 mm is 4.41 degrees, one tooth of 15 turns 24 degrees x 8 / 13."""
    found = linkage(result, "elevator")
    assert math.degrees(number(found.per_mm)) == pytest.approx(math.degrees(1.0 / 13.0), rel=0.01)
    assert math.degrees(number(found.per_tooth)) == pytest.approx(24.0 * 8.0 / 13.0, rel=0.01)
    assert number(found.off_square) == pytest.approx(0.008 * math.sin(math.radians(12.0)), rel=0.01)
    assert math.degrees(number(found.per_step)) == pytest.approx(84.0 / 1024.0 * 8.0 / 13.0, rel=0.02)


def test_finer_splines_make_the_rod_less_critical(model: Model) -> None:
    """Common practice: coarse splines on small servos make the length of the pushrod critical."""
    fine = {"splines": 25}
    items = tuple(
        item.model_copy(update={"part": item.part.model_copy(update=fine)})
        if isinstance(item.part, Servo)
        else item
        for item in model.items
    )
    coarse, finer = (linkage(answer(model, items=some), "elevator") for some in (model.items, items))
    assert number(finer.off_square) < 0.65 * number(coarse.off_square)
    assert number(finer.per_tooth) == pytest.approx(0.6 * number(coarse.per_tooth), rel=0.01)


def test_the_rod_is_as_long_as_from_servo_to_hinge(result: ControlsResult) -> None:
    """Hinge of the tail at 740 + 0.65 x 108 = 810 mm, servo at -65 mm."""
    rod = linkage(result, "elevator").rod
    assert number(rod.needed) == pytest.approx(0.8752, abs=0.002)
    assert number(rod.stated) == pytest.approx(0.874, abs=0.001)
    assert number(rod.exact) == pytest.approx(0.013 * math.radians(0.5), rel=0.01)
    assert linkage(result, "rudder").rod.stated.value is None


def test_a_nine_gram_servo_is_enough_and_a_strong_one_more_than_enough(model: Model) -> None:
    """Common practice: any cheap 9 g servo does for such a model, 2.3 kg cm is more than enough."""
    strong = Servo(id="strong", torque_Nm=measured(2.3 * 0.0980665), mass_kg=measured(0.012), splines=25)
    found = answer(model, drawer=(*model.drawer, strong))
    for one in found.linkages:
        choices = {choice.part: choice for choice in one.choices}
        assert (choices["s9"].chance or 0.0) > 0.9, one.label
        assert number(choices["strong"].margin) > 3.0, one.label


def test_the_lightest_servo_that_suits_comes_first(result: ControlsResult) -> None:
    for one in result.linkages:
        enough = [choice for choice in one.choices if (choice.chance or 0.0) >= 0.9]
        masses = [number(choice.mass) for choice in enough]
        assert one.choices[: len(enough)] == tuple(enough)
        assert masses == sorted(masses)


def test_loads_grow_with_the_square_of_the_speed(result: ControlsResult) -> None:
    loads = {row.title: row for row in linkage(result, "elevator").loads}
    slow, fast = loads["approach"], loads["launch"]
    ratio = (number(fast.airspeed) / number(slow.airspeed)) ** 2
    assert number(fast.hinge_moment) / number(slow.hinge_moment) == pytest.approx(ratio, rel=0.1)
    for row in loads.values():
        assert number(row.torque) < number(row.hinge_moment)  # the arm is shorter than the horn


def test_the_supply_carries_held_servos_and_less_than_blocked_ones(result: ControlsResult) -> None:
    supply = result.supply
    assert supply is not None
    assert number(supply.quiet) < number(supply.held) < number(supply.blocked)
    assert number(supply.limit) == pytest.approx(3.0)


def test_play_adds_up_from_its_parts(result: ControlsResult) -> None:
    found = linkage(result, "elevator")
    parts = [number(part.figure) for part in found.play_parts]
    assert number(found.play) == pytest.approx(math.hypot(*parts), rel=0.05)
    assert number(found.play_worst) == pytest.approx(sum(parts), rel=0.05)


# ------------------------------------------------------------------ throws, trims, brake


def test_throws_are_those_of_the_trade(result: ControlsResult) -> None:
    """From memory of the trade: elevator 8 to 12 mm, rudder 25 to 35 degrees, each way."""
    throws = {(throw.control, throw.way): throw for throw in result.throws}
    assert 0.006 < number(throws["elevator", "up"].edge) < 0.014
    assert number(throws["elevator", "down"].edge) <= number(throws["elevator", "up"].edge)
    assert 20.0 < math.degrees(number(throws["rudder", "left"].deflection)) <= 35.0
    for throw in result.throws:
        assert 0.6 <= throw.first <= 1.0
        assert number(throw.first_edge) == pytest.approx(throw.first * number(throw.edge), rel=0.05)
        assert 0.0 < number(throw.first_travel) < number(throw.travel)


def test_up_elevator_covers_every_need_with_a_reserve(result: ControlsResult) -> None:
    up = next(throw for throw in result.throws if throw.way == "up")
    most = max(number(need.deflection) for need in up.needs)
    assert number(up.deflection) == pytest.approx(1.25 * most, rel=0.05)


def test_exponential_keeps_full_stick(result: ControlsResult) -> None:
    for curve in result.curves:
        assert curve.travel[-1] == pytest.approx(1.0)
        assert 0.2 <= number(curve.share) <= 0.4
        assert all(travel <= stick + 1e-12 for travel, stick in zip(curve.travel, curve.stick, strict=True))


def test_a_large_brake_needs_elevator_and_height(result: ControlsResult, brake: BrakeUse) -> None:
    """Common practice: a large brake needs elevator with it and height to test it."""
    full = brake.steps[-1]
    assert number(full.ratio) < 7.0  # steeper than full-size rules ask for
    assert number(full.ratio) < 0.5 * number(brake.steps[0].ratio)
    assert brake.nose_down > 0.5
    assert number(full.compensation) < 0.0  # up
    assert 0.05 < abs(number(full.travel)) < 0.30
    assert brake.test_height_m >= 50.0
    assert number(brake.stall_open) > number(brake.stall_closed)
    assert any("up" in step for step in brake.test)
    mix = next(mix for mix in result.mixes if mix.source == "brake")
    assert "up at full brake" in mix.value


def test_the_brake_steepens_step_by_step(brake: BrakeUse) -> None:
    ratios = [number(step.ratio) for step in brake.steps]
    sinks = [number(step.sink) for step in brake.steps]
    assert ratios == sorted(ratios, reverse=True)
    assert sinks == sorted(sinks)
    for step in brake.steps:
        # straight glide in closed form: ten metres of height go ten times the ratio
        assert number(step.reach) == pytest.approx(10.0 * number(step.ratio), rel=0.02)
        slope = math.atan(1.0 / number(step.ratio))
        assert number(step.slope) == pytest.approx(slope, rel=0.02)
        assert number(step.sink) == pytest.approx(number(brake.approach_speed) * math.sin(slope), rel=0.02)


def test_the_curve_passes_through_the_steps(brake: BrakeUse) -> None:
    assert brake.curve.shown == "%"
    assert brake.curve.value[0] == pytest.approx(0.0, abs=1e-9)
    assert brake.curve.value[-1] == pytest.approx(number(brake.steps[-1].travel), rel=1e-6)
    assert brake.curve.low[-1] < brake.curve.value[-1] < brake.curve.high[-1]


def test_without_a_linkage_of_the_elevator_the_curve_is_in_degrees(model: Model) -> None:
    left = tuple(one for one in model.controls if one.surface != "elevator")
    found = answer(model, controls=left)
    assert found.brake is not None
    assert found.brake.curve.shown == "°"
    assert found.brake.steps[-1].travel.value is None
    up = next(throw for throw in found.throws if throw.way == "up")
    assert up.travel.value is None
    assert up.chance is None


def test_the_copy_of_the_rudder_is_on_where_it_is_asked_for(model: Model, result: ControlsResult) -> None:
    assert any("off" in mix.value for mix in result.mixes if mix.target == "rudder")
    on = answer(model, steering=Steering(rudder_on_both_sticks=True))
    assert any("on, as the folder asks" in mix.value for mix in on.mixes if mix.target == "rudder")


# ------------------------------------------------------------------ build


def test_what_was_measured_asks_for_its_share_of_trim(result: ControlsResult) -> None:
    checks = {check.name: check for check in result.build.checks}
    fin, tip = checks["fin_turn"], checks["wing_tip"]
    for check, millimetres in ((fin, 0.5), (tip, 2.0)):
        assert number(check.trim_found) == pytest.approx(millimetres * number(check.trim), rel=0.25)
    asked = sum(number(check.trim_found) for check in (fin, tip, checks["tail_tilt"]))
    assert number(result.build.rudder_sum) == pytest.approx(asked, abs=2e-3)
    assert result.build.elevator_sum.value is None
    assert checks["wing_root"].found.value is None


def test_angles_are_told_from_the_datum_and_as_chord_lines(result: ControlsResult) -> None:
    """AG35 lies 1.56 degrees between flat bottom and chord line; 206 mm at 2 degrees are 7.2 mm."""
    root = result.build.angles[0]
    assert math.degrees(number(root.angle)) == pytest.approx(2.0)
    assert math.degrees(number(root.chord_line)) == pytest.approx(3.56, abs=0.005)
    assert number(root.height) == pytest.approx(0.0072, abs=0.0001)
    assert [math.degrees(number(one.figure)) for one in result.build.decalage] == pytest.approx(
        [2.0, 3.56], abs=0.01
    )


def test_every_panel_has_its_warp(model: Model, result: ControlsResult) -> None:
    geometry = model.airframe.geometry
    assert geometry is not None
    names = [check.name for check in result.build.checks]
    assert {"right_panel_1", "wing_tip"} <= set(names)
    assert len([name for name in names if name.startswith("right_panel")]) == len(geometry.panels) - 1


def test_a_warp_further_in_asks_for_more(result: ControlsResult) -> None:
    """One degree of the tip, of a panel with all beyond it, of the whole right wing: more area each time."""
    checks = {check.name: check for check in result.build.checks}
    degrees = [
        number(checks[name].trim) * (checks[name].size_m or 0.0)
        for name in ("wing_tip", "right_panel_1", "wing_root")
    ]
    assert 0.0 < degrees[0] < degrees[1] < degrees[2]


def test_an_elevator_fault_is_summed_too(model: Model) -> None:
    found = answer(model, build=Build(tail_incidence_m=measured(0.001)))
    assert number(found.build.elevator_sum) < 0.0  # nose-up tail asks for up elevator
    assert found.build.rudder_sum.value is None


def test_the_weighings_end_with_the_whole_model_and_two_people(result: ControlsResult) -> None:
    budget = result.build.budget
    assert budget is not None
    assert "whole model" in budget.steps[-1].what
    assert "second person" in budget.steps[-1].who
    for step in budget.steps:
        assert number(step.limit) >= number(step.expected)
    assert number(budget.total) == pytest.approx(
        sum(number(group.figure) for group in budget.groups), rel=0.01
    )


# ------------------------------------------------------------------ what is missing


def test_without_any_control_throws_and_build_are_still_known(model: Model) -> None:
    found = answer(model, controls=())
    assert found.linkages == ()
    assert "[[control]]" in found.why_no_linkages
    assert found.throws
    assert found.build.checks
    assert {finding.name for finding in found.findings} == set()


def test_without_a_shape_linkages_are_still_known(model: Model) -> None:
    bare = model.airframe.model_copy(update={"geometry": None})
    found = answer(model, airframe=bare)
    assert "[[panel]]" in found.why_no_throws
    assert found.throws == ()
    assert found.brake is None
    assert found.build.checks == ()
    elevator = linkage(found, "elevator")
    assert elevator.ways[0].deflection.value is not None
    assert elevator.ways[0].edge.value is None
    assert elevator.loads[-1].margin.value is None


def test_without_a_spoiler_the_rest_is_known(model: Model) -> None:
    geometry = model.airframe.geometry
    assert geometry is not None
    plain = model.airframe.model_copy(update={"geometry": geometry.model_copy(update={"spoiler": None})})
    left = tuple(one for one in model.controls if one.surface != "spoiler")
    found = answer(model, airframe=plain, controls=left)
    assert found.brake is None
    assert "[spoiler]" in found.why_no_brake
    assert [need.title for need in found.throws[0].needs] == [
        "hold it just above the stall",
        "flare at the approach speed",
    ]


def test_without_a_mass_the_linkages_are_still_known(model: Model) -> None:
    items = tuple(
        item.model_copy(update={"part": item.part.model_copy(update={"mass_kg": None})})
        if item.name == "boom"
        else item
        for item in model.items
    )
    found = answer(model, items=items)
    assert "mass" in found.why_no_throws
    assert linkage(found, "rudder").ways[0].deflection.value is not None
    assert found.build.budget is None


def test_a_control_that_names_its_surface_alone_stands_on_usual_values(model: Model) -> None:
    found = answer(model, controls=(Control(surface="elevator"),), steering=Steering())
    one = linkage(found, "elevator")
    low, high = one.ways[0].deflection.low, one.ways[0].deflection.high
    assert low is not None
    assert high is not None
    assert high > 1.4 * low
    keys = {missing.key for missing in found.missing}
    assert {"arm_mm", "horn_mm", "servo_throw_deg", "play_arm_mm", "dive_speed_m_per_s", "steps"} <= keys
    assert all(missing.stand_in is not None for missing in found.missing)
    assert one.per_tooth.value is None
    assert one.loads[-1].margin.value is None
    assert one.rod.buckles_at.value is None


@pytest.mark.parametrize("share", [0.05, 1.0])
def test_tiny_and_all_moving_elevators_are_told_without_nonsense(model: Model, share: float) -> None:
    geometry = model.airframe.geometry
    assert geometry is not None
    assert geometry.tail is not None
    tail = geometry.tail.model_copy(update={"elevator_share": measured(share)})
    airframe = model.airframe.model_copy(update={"geometry": geometry.model_copy(update={"tail": tail})})
    found = answer(model, airframe=airframe)
    assert found.brake is not None
    assert not any("nan" in step for step in found.brake.test)
    up = next(throw for throw in found.throws if throw.way == "up")
    # a tiny flap must turn further than its linkage can, a whole surface hardly turns
    assert ((up.chance or 0.0) < 0.5) is (share < 0.5)


def test_a_v_tail_shares_its_halves(model: Model) -> None:
    geometry = model.airframe.geometry
    assert geometry is not None
    assert geometry.tail is not None
    tail = geometry.tail.model_copy(
        update={"v_tail": True, "dihedral_rad": measured(math.radians(35.0)), "span_m": measured(0.5)}
    )
    vee = geometry.model_copy(update={"tail": tail, "fins": ()})
    airframe = model.airframe.model_copy(update={"geometry": vee})
    half = model.controls[0].model_copy(update={"surface": "v-tail", "name": "right half"})
    found = answer(model, airframe=airframe, controls=(half,), build=Build())
    assert {throw.control for throw in found.throws} == {"elevator", "rudder"}
    assert all(throw.travel.value is not None for throw in found.throws)
    assert linkage(found, "right half").loads[-1].margin.value is not None
    assert any("V-tail" in mix.title for mix in found.mixes)


# ------------------------------------------------------------------ linkages that cannot be


def refused(model: Model, **changes: Any) -> str:
    first = model.controls[0].model_copy(update=changes)
    with pytest.raises(InputError) as error:
        answer(model, controls=(first, *model.controls[1:]))
    assert len(error.value.problems) == 1, str(error.value)
    return str(error.value)


def test_a_horn_behind_the_hinge(model: Model) -> None:
    assert "over the hinge line; it lies 6.0 mm behind it" in refused(model, horn_ahead_m=measured(-0.006))


def test_a_hole_a_little_behind_is_told_as_asymmetry_alone(model: Model) -> None:
    first = model.controls[0].model_copy(update={"horn_ahead_m": measured(-0.002)})
    found = answer(model, controls=(first, *model.controls[1:]))
    assert number(linkage(found, "elevator").asymmetry) > 0.05


def test_more_travel_than_the_servo_has(model: Model) -> None:
    said = refused(model, servo_throw_rad=measured(math.radians(55.0)))
    assert "servo_throw_deg: must be at most 45.0° each way" in said
    assert "55.0° came" in said


def test_a_linkage_that_cannot_move(model: Model) -> None:
    said = refused(model, arm_angle_rad=measured(math.radians(80.0)), horn_m=measured(0.05))
    assert "where rod and arm lie in line" in said
    in_line = {"horn_m": measured(0.0005), "horn_ahead_m": measured(0.013)}
    assert "in line as rigged, so that nothing can move" in refused(model, **in_line)


def test_a_linkage_that_binds_on_its_way(model: Model) -> None:
    said = refused(model, arm_m=measured(0.020))
    assert "must let the linkage move over the whole travel, 42.0° of the servo; it binds at" in said


def test_an_offset_longer_than_the_rod(model: Model) -> None:
    said = refused(model, offset_m=measured(0.4), rod_length_m=measured(0.3))
    assert "offset_mm: must be less than the rod is long" in said
