"""The compiled search for the best climb airspeed against the plain one over a grid."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from steady_climb import best_steady_climb, steady_climb_m_s

from glidewright.models.launch.climb_speed import stalling_speed_m_s
from glidewright.models.launch.example import example_inputs
from glidewright.models.launch.steady_speed import steady_speeds_m_s


@given(
    st.floats(0.35, 1.2),
    st.floats(70.0, 170.0),
    st.floats(0.03, 0.2),
    st.floats(0.4, 1.4),
)
def test_it_finds_the_fastest_climb_of_the_plain_search(
    mass_kg: float, kv: float, resistance: float, steepest: float
) -> None:
    inputs = example_inputs(
        mass_kg=mass_kg,
        motor_kv_rad_per_Vs=kv,
        motor_resistance_ohm=resistance,
        steepest_climb_rad=steepest,
    )
    speed, climb = steady_speeds_m_s(inputs)
    _, plain = best_steady_climb(inputs)
    assert climb[0] == pytest.approx(plain[0], abs=2e-3)
    at_it = steady_climb_m_s(inputs, speed[:, None])
    assert climb[0] == pytest.approx(at_it[0, 0], abs=1e-6)


def test_rows_know_nothing_of_each_other() -> None:
    masses = np.linspace(0.4, 0.9, 40)
    together = steady_speeds_m_s(example_inputs(mass_kg=masses))[0]
    alone = [steady_speeds_m_s(example_inputs(mass_kg=mass))[0][0] for mass in masses[::13]]
    assert together[::13].tolist() == alone


def test_a_weak_drive_gets_the_speed_of_least_sink() -> None:
    inputs = example_inputs(mass_kg=2.5, motor_resistance_ohm=2.0)
    speed, climb = steady_speeds_m_s(inputs)
    stall = stalling_speed_m_s(inputs)
    assert climb[0] < 0.0
    assert 1.02 * stall[0] <= speed[0] <= 3.5 * stall[0]
    assert climb[0] == pytest.approx(best_steady_climb(inputs)[1][0], abs=2e-3)
