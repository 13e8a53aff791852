"""Hinge moments, rods, servos, play and sticks: laws and limits."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from glidewright.models.control.hinge import (
    HingeSlopes,
    all_moving_moment_Nm,
    blade_moment_Nm,
    flap_hinge_slopes,
    flap_moment_Nm,
    strip_m3,
)
from glidewright.models.control.play import play_parts_rad, root_sum, worst_sum
from glidewright.models.control.rod import buckling_force_N, second_moment_m4, stretch_m, warmth_growth_m
from glidewright.models.control.servo import holding_current_A, stall_current_A, torque_at_servo_Nm
from glidewright.models.control.stick import share_of_travel, softened, softening_for


@given(st.floats(0.05, 0.95))
def test_a_plain_flap_is_always_blown_back(share: float) -> None:
    slopes = flap_hinge_slopes(share)
    assert slopes.alpha < 0.0
    assert slopes.deflection < slopes.alpha


def test_a_flap_of_the_whole_chord_feels_the_moment_about_its_front_edge() -> None:
    """Plane plate: lift 2 pi a quarter chord behind the front edge; the flap turns all of it."""
    slopes = flap_hinge_slopes(1.0 - 1e-9)
    assert slopes.alpha == pytest.approx(-2.0 * math.pi / 4.0, rel=1e-3)
    assert slopes.deflection == pytest.approx(slopes.alpha, rel=1e-3)


def test_the_strip_of_a_taper_is_the_integral_of_the_square() -> None:
    y = np.linspace(0.0, 0.2, 20001)
    chord = 0.06 + (0.03 - 0.06) * y / 0.2
    assert strip_m3(0.06, 0.03, 0.2) == pytest.approx(np.trapezoid(chord**2, y), rel=1e-8)


def test_moments_grow_with_the_pressure_and_broadcast() -> None:
    slopes = HingeSlopes(-0.5, -0.9)
    one = flap_moment_Nm(1e-3, slopes, [0.1, 0.2], 0.02, np.array([[100.0], [200.0]]), 0.6)
    assert one.shape == (2, 2)
    assert one[1] == pytest.approx(2.0 * one[0])
    assert np.all(one < 0.0)


def test_an_all_moving_surface_pivoted_at_its_quarter_is_light() -> None:
    assert float(all_moving_moment_Nm(0.04, 4.0, 0.0, 0.3, 200.0)) == 0.0
    assert float(blade_moment_Nm(0.6, 0.02, 1.2, 0.0)) == 0.0


@given(st.floats(0.3e-3, 3e-3), st.floats(0.05, 1.0))
def test_a_guide_in_the_middle_makes_a_rod_four_times_as_strong(diameter: float, length: float) -> None:
    second = second_moment_m4(diameter)
    whole, half = (float(buckling_force_N(100e9, second, part)) for part in (length, 0.5 * length))
    assert half == pytest.approx(4.0 * whole)


def test_a_tube_is_a_rod_less_its_bore() -> None:
    assert float(second_moment_m4(0.003, 0.002)) == pytest.approx(
        float(second_moment_m4(0.003)) - float(second_moment_m4(0.002))
    )
    assert float(stretch_m(1.0, 1.0, 1e9, 0.003, 0.002)) > float(stretch_m(1.0, 1.0, 1e9, 0.003))
    assert float(warmth_growth_m(1.0, 1e-5, -10.0)) == pytest.approx(-1e-4)


def test_virtual_work_through_the_linkage() -> None:
    """Power in is power out: torque x servo speed = moment x surface speed, without friction."""
    assert float(torque_at_servo_Nm(-0.04, 0.6)) == pytest.approx(0.024)
    assert float(torque_at_servo_Nm(0.04, 0.6, 0.25)) == pytest.approx(0.030)


def test_current_of_a_servo() -> None:
    stall = float(stall_current_A(0.2, 0.105, 5.0, 0.6))
    assert 0.4 < stall < 1.0  # what 9 g servos are seen to draw when blocked; common practice
    assert float(holding_current_A(0.4, 0.2, stall, 0.01)) == pytest.approx(stall + 0.01)
    assert float(holding_current_A(0.0, 0.2, stall, 0.01)) == pytest.approx(0.01)


@given(st.floats(0.0, 2.0), st.floats(0.004, 0.03), st.floats(0.0, 0.02), st.floats(0.0, 5e-4))
def test_likely_play_is_between_the_largest_part_and_the_sum(
    ratio: float, lever: float, gear: float, joint: float
) -> None:
    parts = play_parts_rad(ratio, lever, gear, joint, joint)
    assert float(parts.max()) - 1e-12 <= float(root_sum(parts)) <= float(worst_sum(parts)) + 1e-12


@given(st.floats(-1.0, 1.0), st.floats(0.0, 0.9))
def test_exponential_is_odd_rises_and_keeps_full_stick(stick: float, share: float) -> None:
    assert float(softened(-stick, share)) == pytest.approx(-float(softened(stick, share)))
    assert float(softened(1.0, share)) == pytest.approx(1.0)
    assert float(softened(stick + 1e-3, share)) > float(softened(stick, share))


def test_the_slope_in_the_middle_is_the_wanted_one() -> None:
    share = float(softening_for(1.6, 1.0, 0.0, 0.6))
    assert 1.6 * float(softened(1e-6, share)) / 1e-6 == pytest.approx(1.0, rel=1e-6)
    assert float(share_of_travel(-0.3, 0.6)) == pytest.approx(-0.5)
