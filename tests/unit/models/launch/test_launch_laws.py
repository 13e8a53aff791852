"""What must hold for every launch. A tight tolerance keeps the error of the steps out of the comparison."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from glidewright.models.launch import layout as ll
from glidewright.models.launch.example import example_inputs
from glidewright.models.launch.flights import launch_outputs

HAIR_m = 0.01


def heights(**changes: object) -> ll.Array:
    found: ll.Array = launch_outputs(example_inputs(**changes), tolerance_m=1e-4)[  # type: ignore[arg-type]
        :, ll.HIGHEST_IN_WINDOW
    ]
    return found


@pytest.mark.parametrize(
    "name",
    ["motor_resistance_ohm", "controller_resistance_ohm", "pack_resistance_ohm", "lead_resistance_ohm"],
)
@settings(max_examples=15, deadline=None)
@given(start=st.floats(0.001, 0.08), more=st.floats(1.0, 2.0), wind=st.floats(0.0, 6.0))
def test_more_resistance_never_gives_more_height(name: str, start: float, more: float, wind: float) -> None:
    less, much = heights(**{name: [start, start * more], "wind_speed_m_s": wind})
    assert much <= less + HAIR_m


@settings(max_examples=25, deadline=None)
@given(mass=st.floats(0.35, 0.8), more=st.floats(1.0, 1.4), speed=st.floats(8.0, 12.0))
def test_a_heavier_model_never_goes_higher(mass: float, more: float, speed: float) -> None:
    light, heavy = heights(mass_kg=[mass, mass * more], climb_speed_m_s=speed)
    assert heavy <= light + HAIR_m


@settings(max_examples=25, deadline=None)
@given(drag=st.floats(0.015, 0.04), more=st.floats(1.0, 2.0))
def test_more_drag_never_gives_more_height(drag: float, more: float) -> None:
    clean, dirty = heights(least_drag_coefficient=[drag, drag * more])
    assert dirty <= clean + HAIR_m


@settings(max_examples=25, deadline=None)
@given(run=st.floats(2.0, 25.0), more=st.floats(0.1, 10.0))
def test_a_longer_motor_run_never_gives_less_height(run: float, more: float) -> None:
    short, long = heights(run_limit_s=[run, run + more])
    assert long >= short - HAIR_m


@settings(max_examples=25, deadline=None)
@given(lower=st.floats(20.0, 120.0), more=st.floats(0.0, 60.0))
def test_a_lower_cut_never_takes_more_charge(lower: float, more: float) -> None:
    inputs = example_inputs(cut_height_m=[lower, lower + more])
    low, high = launch_outputs(inputs, tolerance_m=1e-4)[:, ll.CHARGE_USED]
    assert low <= high * (1.0 + 1e-6)


@settings(max_examples=15, deadline=None)
@given(wind=st.floats(0.0, 8.0))
def test_a_wind_that_does_not_grow_with_height_only_moves_the_model_over_ground(wind: float) -> None:
    """In the frame of the air the launch is the same if the hand gives it the same airspeed."""
    inputs = example_inputs(
        wind_speed_m_s=[0.0, wind],
        wind_exponent=0.0,
        throw_angle_rad=0.0,
        throw_speed_m_s=[12.0, 12.0 - wind],
    )
    still, windy = launch_outputs(inputs, tolerance_m=1e-4)
    assert windy[ll.HIGHEST_IN_WINDOW] == pytest.approx(still[ll.HIGHEST_IN_WINDOW], rel=1e-9)
    drift = still[ll.END_STATE + ll.DISTANCE] - windy[ll.END_STATE + ll.DISTANCE]
    assert drift == pytest.approx(wind * still[ll.END_TIME], abs=1e-6)


@settings(max_examples=15, deadline=None)
@given(wind=st.floats(0.5, 8.0), exponent=st.floats(0.05, 0.35))
def test_a_headwind_that_grows_with_height_never_takes_height(wind: float, exponent: float) -> None:
    """Same airspeed at release; the growing wind does positive work on a climbing model."""
    hand_wind = wind * (1.8 / 10.0) ** exponent
    inputs = example_inputs(
        wind_speed_m_s=[0.0, wind],
        wind_exponent=exponent,
        throw_angle_rad=0.0,
        throw_speed_m_s=[12.0, 12.0 - hand_wind],
    )
    still, growing = launch_outputs(inputs, tolerance_m=1e-4)
    assert growing[ll.HIGHEST_IN_WINDOW] >= still[ll.HIGHEST_IN_WINDOW] - HAIR_m
    assert growing[ll.END_STATE + ll.WIND_J] > 0.0


def test_error_of_the_height_falls_with_the_tolerance() -> None:
    exact = heights()[0]
    errors = []
    for tolerance in (0.1, 0.01, 0.001):
        found = launch_outputs(example_inputs(), tolerance_m=tolerance)[0, ll.HIGHEST_IN_WINDOW]
        errors.append(abs(found - exact))
    assert np.all(np.diff(errors) < 0.0)
    assert errors[1] < 1e-4 * exact
