import math

import numpy as np
import pytest

from glidewright.models.launch import layout as ll
from glidewright.models.launch.example import example_inputs
from glidewright.models.launch.flights import (
    launch_outputs,
    launch_trace,
    repeated_launches,
)

LOSSES = slice(ll.END_STATE + ll.COPPER_J, ll.END_STATE + ll.CHEMICAL_J)
TRACE = {name: place for place, name in enumerate(ll.TRACE_FIELDS)}


def fly(**changes: object) -> ll.Array:
    row: ll.Array = launch_outputs(example_inputs(**changes))[0]  # type: ignore[arg-type]
    return row


@pytest.mark.parametrize(
    "changes",
    [
        {},
        {"cut_height_m": 90.0},
        {"wind_speed_m_s": 8.0, "wind_exponent": 0.3},
        {"motor_start_s": -1.0, "full_duty": 0.7},
        {"steepest_climb_rad": 0.3, "climb_speed_m_s": 13.0},
        {"throw_speed_m_s": 4.0, "climb_speed_m_s": 6.0},
    ],
)
def test_energy_balance_closes(changes: dict[str, float]) -> None:
    end = fly(**changes)
    account = {name: end[ll.END_STATE + place] for place, name in enumerate(ll.STATE_FIELDS)}
    spent = end[LOSSES].sum() + account["shaft_J"]
    assert account["chemical_J"] == pytest.approx(spent, rel=1e-6)
    work = end[ll.POTENTIAL_J] + end[ll.KINETIC_J] + account["drag_J"] - account["wind_J"]
    assert account["thrust_J"] == pytest.approx(work, rel=1e-3)


def test_motor_stops_at_the_height_and_not_a_hair_beyond() -> None:
    end = fly(cut_height_m=90.0)
    assert end[ll.CUT_REASON] == ll.CUT_BY_HEIGHT
    assert 90.0 <= end[ll.HEIGHT_AT_CUT] < 90.0 + 1e-7


def test_motor_stops_by_time_from_motor_start_or_from_release() -> None:
    started = fly(run_limit_s=20.0, motor_start_s=1.5)
    released = fly(run_limit_s=20.0, motor_start_s=1.5, run_from_release=1.0)
    assert (started[ll.CUT_TIME], started[ll.MOTOR_RUN]) == (21.5, 20.0)
    assert (released[ll.CUT_TIME], released[ll.MOTOR_RUN]) == (20.0, 18.5)
    assert started[ll.CUT_REASON] == released[ll.CUT_REASON] == ll.CUT_BY_TIME


def test_the_earlier_of_time_and_height_stops_the_motor() -> None:
    assert fly(cut_height_m=90.0, run_limit_s=5.0)[ll.CUT_REASON] == ll.CUT_BY_TIME
    assert fly(cut_height_m=30.0, run_limit_s=29.0)[ll.CUT_REASON] == ll.CUT_BY_HEIGHT


def test_low_voltage_stops_the_motor_where_the_volts_reach_the_limit() -> None:
    inputs = example_inputs(controller_low_voltage_cut_V=7.2, lead_resistance_ohm=0.0)
    end = launch_outputs(inputs)[0]
    assert end[ll.CUT_REASON] == ll.CUT_BY_LOW_VOLTAGE
    assert end[ll.LOWEST_PACK_VOLTAGE] == pytest.approx(7.2, abs=1e-7)
    assert end[ll.LOWEST_CELL_VOLTAGE] == pytest.approx(3.6, abs=1e-7)


def test_a_cell_is_one_of_a_whole_number_also_when_makes_of_cells_shift_the_volts() -> None:
    shifted = example_inputs(pack_cells_in_series=2.0 * (1.0 + 0.03 / 3.8))
    end = launch_outputs(shifted)[0]
    assert end[ll.LOWEST_CELL_VOLTAGE] == pytest.approx(end[ll.LOWEST_PACK_VOLTAGE] / 2.0, abs=1e-12)


def test_an_empty_pack_stops_the_motor() -> None:
    end = fly(controller_low_voltage_cut_V=0.0, charge_As=1800.0)
    assert end[ll.CUT_REASON] == ll.CUT_BY_EMPTY_PACK
    assert end[ll.END_CHARGE] == pytest.approx(1980.0, abs=3.0)  # the servos go on in the glide


def test_a_pack_below_the_low_voltage_cut_never_starts_the_motor() -> None:
    end = fly(controller_low_voltage_cut_V=9.0)
    assert (end[ll.CUT_REASON], end[ll.MOTOR_RUN]) == (ll.CUT_BY_LOW_VOLTAGE, 0.0)


def test_a_motor_that_cannot_turn_ends_on_the_ground() -> None:
    end = fly(full_duty=0.003)
    assert end[ll.CUT_REASON] == ll.CUT_BY_GROUND
    assert end[ll.GROUND_CONTACT] == 1.0
    assert end[ll.DRIVE_STATUS] == 1.0
    assert end[ll.END_STATE + ll.HEIGHT] == pytest.approx(0.0, abs=1e-7)


def test_counted_heights_stand_in_their_order() -> None:
    end = fly(window_s=10.0)
    assert end[ll.HEIGHT_AT_CUT] < end[ll.HIGHEST_IN_WINDOW] == end[ll.TOP_HEIGHT]
    assert end[ll.HEIGHT_AT_WINDOW_END] < end[ll.HIGHEST_IN_WINDOW]
    assert end[ll.ZOOM_GAIN] == pytest.approx(end[ll.TOP_HEIGHT] - end[ll.HEIGHT_AT_CUT])


def test_a_window_shorter_than_the_zoom_does_not_count_its_top() -> None:
    none, short, full = (fly(window_s=w) for w in (0.0, 0.3, 10.0))
    assert none[ll.HIGHEST_IN_WINDOW] == pytest.approx(none[ll.HEIGHT_AT_CUT])
    assert none[ll.HIGHEST_IN_WINDOW] < short[ll.HIGHEST_IN_WINDOW] < full[ll.HIGHEST_IN_WINDOW]
    assert none[ll.TOP_HEIGHT] == pytest.approx(full[ll.TOP_HEIGHT], rel=1e-4)


def test_wind_adds_to_the_speed_of_the_hand() -> None:
    inputs = example_inputs(
        throw_angle_rad=0.0, wind_speed_m_s=3.0, wind_exponent=0.0, throw_speed_m_s=8.0, run_limit_s=0.0
    )
    trace, _ = launch_trace(inputs, duration_s=0.0)
    assert trace[0, 0, TRACE["airspeed_m_s"]] == pytest.approx(11.0)


def test_a_motor_started_in_the_hand_is_at_full_power_at_release() -> None:
    early, _ = launch_trace(example_inputs(motor_start_s=-2.0), duration_s=0.0)
    late, _ = launch_trace(example_inputs(motor_start_s=0.5), duration_s=0.0)
    assert early[0, 0, TRACE["thrust_N"]] > 4.0
    assert late[0, 0, TRACE["thrust_N"]] == 0.0
    assert early[0, 0, TRACE["charge_As"]] > 15.0


def test_trace_rows_are_those_of_shorter_launches() -> None:
    rows, outputs = launch_trace(example_inputs(), duration_s=60.0)
    assert rows.shape == (1, 241, len(ll.TRACE_FIELDS))
    np.testing.assert_allclose(rows[0, :, 0], 0.25 * np.arange(241))
    for cut in (5.0, 17.0):
        inputs = example_inputs(motor_start_s=0.0)
        end = launch_outputs(inputs.with_launch(run_limit_s=cut), tolerance_m=1e-4)[0]
        at, _ = launch_trace(inputs, duration_s=cut, tolerance_m=1e-4)
        assert at[0, -1, TRACE["height_m"]] == pytest.approx(end[ll.HEIGHT_AT_CUT], rel=1e-5)
        used = at[0, -1, TRACE["charge_As"]] / cut
        assert used == pytest.approx(end[ll.MEAN_PACK_CURRENT], rel=1e-5)
    highest = np.max(rows[0, :, TRACE["height_m"]])
    assert highest == pytest.approx(outputs[0, ll.TOP_HEIGHT], rel=1e-3)


def test_asking_for_a_trace_changes_no_output() -> None:
    _, traced = launch_trace(example_inputs(), duration_s=60.0)
    np.testing.assert_allclose(traced[0], fly(), rtol=1e-6, atol=1e-9)


def test_trace_goes_on_in_the_glide_and_ends_at_the_ground() -> None:
    rows, _ = launch_trace(example_inputs(run_limit_s=3.0), duration_s=120.0)
    height = rows[0, :, TRACE["height_m"]]
    assert height[-1] != height[-1]  # NaN after ground contact
    assert np.nanmin(height) >= 0.0
    assert np.isfinite(height[: int(13.0 / 0.25)]).all()


def test_best_climb_is_the_best_five_seconds_of_the_trace() -> None:
    rows, outputs = launch_trace(example_inputs(), duration_s=30.0)
    height = rows[0, :, TRACE["height_m"]]
    assert outputs[0, ll.BEST_CLIMB] == pytest.approx(np.max(height[20:] - height[:-20]) / 5.0)


def test_best_climb_of_a_run_too_short_for_it_is_unknown() -> None:
    assert math.isnan(fly(run_limit_s=3.0)[ll.BEST_CLIMB])


def test_extremes_hold_the_trace_between_them() -> None:
    rows, outputs = launch_trace(example_inputs(), duration_s=30.0)
    end = outputs[0]
    speed, current = rows[0, :, TRACE["airspeed_m_s"]], rows[0, :, TRACE["pack_current_A"]]
    assert end[ll.LOWEST_AIRSPEED] <= speed.min() + 0.02
    assert end[ll.HIGHEST_AIRSPEED] >= speed.max() - 0.02
    assert end[ll.HIGHEST_PACK_CURRENT] == pytest.approx(current.max(), rel=0.01)
    assert end[ll.HIGHEST_MOTOR_TEMPERATURE] >= rows[0, :, TRACE["motor_temperature_K"]].max() - 0.1


def test_lift_ceiling_is_counted_where_it_binds() -> None:
    slow = fly(climb_speed_m_s=4.0, glide_speed_m_s=4.0, steepest_climb_rad=0.2)
    assert slow[ll.END_STATE + ll.CEILING_S] > 5.0
    assert fly()[ll.END_STATE + ll.CEILING_S] < 0.5


def test_launches_end_with_the_pack_and_get_lower_on_the_way() -> None:
    flown = repeated_launches(example_inputs(run_limit_s=[20.0, 30.0]), 40)
    for draw in flown:
        known = ~np.isnan(draw[:, ll.END_CHARGE])
        assert 0 < known.sum() < 40
        full = draw[draw[:, ll.CUT_REASON] == ll.CUT_BY_TIME, ll.HIGHEST_IN_WINDOW]
        assert len(full) >= 4
        assert np.all(np.diff(full) < 0.0)


def test_draws_do_not_touch_each_other() -> None:
    masses = np.linspace(0.4, 0.8, 97)
    many = launch_outputs(example_inputs(mass_kg=masses))
    np.testing.assert_array_equal(many[60], fly(mass_kg=masses[60]))


@pytest.mark.parametrize("name", ["mass_kg", "motor_resistance_ohm", "drag_rise", "pack_temperature_K"])
def test_a_missing_number_is_refused(name: str) -> None:
    with pytest.raises(ValueError, match="must be finite"):
        fly(**{name: math.nan})


def test_a_missing_limit_is_refused() -> None:
    with pytest.raises(ValueError, match="infinite for no limit"):
        fly(run_limit_s=math.nan)


@pytest.mark.parametrize(
    ("name", "value"),
    [("mass_kg", 0.0), ("pack_capacity_As", -1.0), ("ground_temperature_K", 0.0), ("throw_height_m", 0.0)],
)
def test_a_number_that_must_be_above_zero_is_named(name: str, value: float) -> None:
    with pytest.raises(ValueError, match=f"{name} must be above zero in every draw, got {value}"):
        fly(**{name: value})


def test_a_motor_start_long_before_release_is_refused() -> None:
    with pytest.raises(ValueError, match="motor_start_s must be later"):
        fly(motor_start_s=-1e9)


@pytest.mark.parametrize("name", ["drag_rise", "wing_area_m2", "slow_voltage_V", "propeller_power_factor"])
@pytest.mark.parametrize("value", [1e-9, 1e9])
def test_absurd_numbers_come_to_an_end(name: str, value: float) -> None:
    end = fly(**{name: value})
    assert end.shape == (ll.OUTPUT_SIZE,)


def test_blocks_of_other_lengths_are_refused() -> None:
    with pytest.raises(ValueError, match=r"launch must have 1 or 3 rows of 27 numbers, got \(2, 27\)"):
        example_inputs(mass_kg=[0.5, 0.6], drag_rise=[0.04, 0.05, 0.06])


def test_without_any_limit_the_pack_ends_the_run() -> None:
    end = fly(run_limit_s=math.inf)
    assert end[ll.CUT_REASON] == ll.CUT_BY_LOW_VOLTAGE


def test_a_drive_that_only_holds_its_height_stops_at_the_longest_flight() -> None:
    end = fly(run_limit_s=math.inf, pack_capacity_As=1e6, steepest_climb_rad=0.01)
    assert (end[ll.CUT_REASON], end[ll.CUT_TIME]) == (ll.CUT_BY_LONGEST_FLIGHT, ll.LONGEST_FLIGHT_s)


def test_every_field_has_the_place_of_its_name() -> None:
    assert [getattr(ll, name.upper()) for name in ll.LAUNCH_FIELDS] == list(range(len(ll.LAUNCH_FIELDS)))
    assert len(ll.STATE_FIELDS) == ll.SIZE
    assert len(ll.OUTPUT_FIELDS) == ll.OUTPUT_SIZE
    assert list(ll.OUTPUT_FIELDS)[ll.END_CHARGE] == "end_charge_As"
    assert list(ll.OUTPUT_FIELDS)[ll.KINETIC_J] == "kinetic_J"
    assert list(ll.STATE_FIELDS)[ll.CHARGE : ll.CHARGE + 4] == list(ll.START_FIELDS)
