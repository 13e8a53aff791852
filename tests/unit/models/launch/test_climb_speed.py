import numpy as np
import pytest
from steady_climb import best_steady_climb, steady_climb_m_s

from glidewright.models.launch import layout as ll
from glidewright.models.launch.climb_speed import best_climb_speed_m_s, stalling_speed_m_s
from glidewright.models.launch.example import example_inputs
from glidewright.models.launch.flights import launch_outputs, launch_trace


@pytest.mark.parametrize("changes", [{}, {"wind_speed_m_s": 0.0, "run_limit_s": 12.0}, {"mass_kg": 0.9}])
def test_no_other_speed_gives_more_height(changes: dict[str, float]) -> None:
    best = best_climb_speed_m_s(example_inputs(**changes))
    speeds = np.append(np.arange(5.5, 17.0, 0.25), best)
    found = launch_outputs(example_inputs(climb_speed_m_s=speeds, **changes), tolerance_m=1e-3)
    height = found[:, ll.HIGHEST_IN_WINDOW]
    assert height[-1] >= height.max() - 0.02


def test_no_other_speed_brings_it_sooner_to_the_cut() -> None:
    changes = {"cut_height_m": 90.0}
    best = best_climb_speed_m_s(example_inputs(**changes))
    speeds = np.append(np.arange(5.5, 17.0, 0.25), best)
    found = launch_outputs(example_inputs(climb_speed_m_s=speeds, **changes), tolerance_m=1e-3)
    assert found[-1, ll.CUT_TIME] <= found[:, ll.CUT_TIME].min() + 0.005


def test_stalling_speed_by_hand() -> None:
    # V = sqrt(2 x 0.59 x 9.80665 / (1.2 x 0.36 x 1.1)) = sqrt(11.5718 / 0.4752) = 4.9347 m/s
    assert stalling_speed_m_s(example_inputs())[0] == pytest.approx(4.9347, abs=1e-4)


def test_steady_climb_is_where_the_launch_settles() -> None:
    """In air of one density, from a pack that hardly changes, a launch climbs steadily after a while."""
    steady = {"wind_speed_m_s": 0.0, "lapse_rate_K_m": 9.80665 / 287.05287, "pack_capacity_As": 1e7}
    steady |= {"motor_heat_capacity_J_K": 1e7, "pack_heat_capacity_J_K": 1e7, "pack_time_constant_s": 1e7}
    inputs = example_inputs(climb_speed_m_s=10.0, steepest_climb_rad=1.2, **steady)
    rows, _ = launch_trace(inputs, duration_s=29.0, tolerance_m=1e-5)
    climb = (rows[0, -1, 1] - rows[0, -21, 1]) / 5.0
    assert steady_climb_m_s(inputs, 10.0)[0, 0] == pytest.approx(climb, rel=1e-3)


def test_best_steady_climb_is_the_top_of_its_curve() -> None:
    inputs = example_inputs(mass_kg=[0.5, 0.7])
    speed, climb = best_steady_climb(inputs)
    curve = steady_climb_m_s(inputs, np.linspace(5.0, 17.0, 400))
    np.testing.assert_allclose(climb, np.nanmax(curve, axis=1), rtol=1e-3)
    assert np.all((speed > 5.0) & (speed < 17.0))


def test_no_steady_climb_below_the_stalling_speed() -> None:
    assert np.isnan(steady_climb_m_s(example_inputs(steepest_climb_rad=0.05), 4.0)).all()
