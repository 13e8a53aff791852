"""Linkages: the closed form against a general solution of the constraints, and laws of the chain."""

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.optimize import brentq, least_squares

from glidewright.models.control.fourbar import (
    Linkage,
    deflection_for_length,
    length_between_m,
    position,
    servo_angle_rad,
)

Array = NDArray[np.float64]


def turned(vector: Array, axis: Array, angle: float) -> Array:
    """Rodrigues' rotation, written out for the test alone."""
    along = axis * (axis @ vector)
    found: Array = along + (vector - along) * math.cos(angle) + np.cross(axis, vector) * math.sin(angle)
    return found


def mechanism(link: Any) -> tuple[Array, Array, Array, Array, Array, Array]:
    """Shaft, its axis, arm, hinge point, its axis, horn: laid out by hand from the stated measures."""
    hinge, hinge_axis = np.zeros(3), np.array([0.0, 1.0, 0.0])
    horn = np.array([-link.horn_ahead_m, 0.0, link.horn_m])
    along = math.sqrt(link.rod_m**2 - link.offset_m**2)
    hole = horn - np.array([along, link.offset_m, 0.0])
    side = -1.0 if link.opposite else 1.0
    x_axis = np.array([1.0, 0.0, 0.0])
    shaft_axis = turned(np.array([0.0, side, 0.0]), x_axis, link.skew_rad)
    square = turned(np.array([0.0, 0.0, side]), x_axis, link.skew_rad)
    arm = link.arm_m * turned(square, shaft_axis, link.arm_angle_rad)
    return hole - arm, shaft_axis, arm, hinge, hinge_axis, horn


def by_scipy(link: Linkage, servo: float) -> float:
    """Deflection from neutral by following the length constraint in small steps with a root finder."""
    shaft, shaft_axis, arm, hinge, hinge_axis, horn = mechanism(link)
    found = 0.0
    for share in np.linspace(0.0, 1.0, 41)[1:]:
        hole = shaft + turned(arm, shaft_axis, share * servo)

        def miss(angle: float, hole: Array = hole) -> float:
            end = hinge + turned(horn, hinge_axis, angle)
            return float(np.linalg.norm(end - hole) - float(np.asarray(link.rod_m)))

        found = float(brentq(miss, found - 0.12, found + 0.12, xtol=1e-14))
    return found


CASES = (
    Linkage(arm_m=0.008, horn_m=0.012, rod_m=0.70),
    Linkage(arm_m=0.010, horn_m=0.010, rod_m=0.05, horn_ahead_m=0.002, arm_angle_rad=0.15),
    Linkage(arm_m=0.008, horn_m=0.012, rod_m=0.06, skew_rad=math.pi / 2, offset_m=0.01),
    Linkage(arm_m=0.008, horn_m=0.012, rod_m=0.09, skew_rad=0.6, offset_m=-0.015, horn_ahead_m=-0.002),
    Linkage(arm_m=0.009, horn_m=0.011, rod_m=0.08, opposite=True, arm_angle_rad=-0.1),
)


@pytest.mark.parametrize("link", CASES)
@pytest.mark.parametrize("degrees", [-40.0, -15.0, 20.0, 42.0])
def test_the_closed_form_is_the_general_solution(link: Linkage, degrees: float) -> None:
    servo = math.radians(degrees)
    assert float(position(link, servo).deflection_rad) == pytest.approx(by_scipy(link, servo), abs=1e-9)


@pytest.mark.parametrize("link", CASES)
def test_all_constraints_at_once_by_least_squares(link: Linkage) -> None:
    """Places of both holes as six free numbers: on their circles and a rod apart."""
    shaft, shaft_axis, arm, hinge, hinge_axis, horn = mechanism(link)
    servo = math.radians(25.0)
    hole = shaft + turned(arm, shaft_axis, servo)

    def miss(place: Array) -> Array:
        return np.array(
            [
                (place - hinge) @ hinge_axis,
                np.linalg.norm(place - hinge) - np.linalg.norm(horn),
                np.linalg.norm(place - hole) - float(np.asarray(link.rod_m)),
            ]
        )

    start = turned(horn, hinge_axis, 0.3)
    found = least_squares(miss, start, xtol=1e-15, ftol=1e-15, gtol=1e-15)
    assert found.cost < 1e-20
    reached = turned(horn, hinge_axis, float(position(link, servo).deflection_rad))
    assert found.x == pytest.approx(reached, abs=1e-8)


@pytest.mark.parametrize("link", CASES)
def test_ratio_and_levers_are_slopes(link: Linkage) -> None:
    servo, step = np.radians([-30.0, 0.0, 30.0]), 1e-6
    at = position(link, servo)
    before, after = (position(link, servo + move).deflection_rad for move in (-step, step))
    assert at.ratio == pytest.approx((after - before) / (2.0 * step), rel=1e-6)
    longer, shorter = (deflection_for_length(link, change) for change in (1e-7, -1e-7))
    assert float(longer - shorter) / 2e-7 == pytest.approx(1.0 / float(position(link, 0.0).lever_m), rel=1e-5)


@given(
    st.floats(0.006, 0.014),
    st.floats(0.008, 0.02),
    st.floats(0.05, 0.9),
    st.floats(-0.003, 0.003),
    st.floats(-1.5, 1.5),
    st.floats(-0.02, 0.02),
    st.floats(-0.6, 0.6),
)
def test_the_servo_angle_leads_back(
    arm: float, horn: float, rod: float, ahead: float, skew: float, offset: float, servo: float
) -> None:
    link = Linkage(
        arm_m=min(arm, 0.8 * horn), horn_m=horn, rod_m=rod, horn_ahead_m=ahead, skew_rad=skew, offset_m=offset
    )
    at = position(link, servo)
    assert float(servo_angle_rad(link, at.deflection_rad)) == pytest.approx(servo, abs=1e-6)
    assert float(position(link, 0.0).deflection_rad) == pytest.approx(0.0, abs=1e-9)


def test_a_rod_that_cannot_reach_is_no_number() -> None:
    """An arm twice as long as the horn runs out before its end."""
    link = Linkage(arm_m=0.020, horn_m=0.010, rod_m=0.3)
    at = position(link, np.radians([10.0, 60.0]))
    assert np.isfinite(at.deflection_rad).tolist() == [True, False]
    assert np.isnan(at.ratio[1])


def test_it_broadcasts_over_draws_and_angles() -> None:
    arms = np.array([[0.008], [0.010]])
    at = position(Linkage(arm_m=arms, horn_m=0.012, rod_m=0.6), np.radians([-20.0, 0.0, 20.0]))
    assert at.deflection_rad.shape == (2, 3)
    assert np.all(at.deflection_rad[1, 2] > at.deflection_rad[0, 2])


def test_a_hole_ahead_of_the_hinge_moves_more_when_pulled() -> None:
    """The lever grows towards the push and shrinks towards the pull, so the pull gives more."""
    at = position(
        Linkage(arm_m=0.008, horn_m=0.012, rod_m=0.6, horn_ahead_m=0.004), np.radians([-35.0, 35.0])
    )
    assert -at.deflection_rad[0] > at.deflection_rad[1] * 1.05


def test_rod_and_horn_square_is_the_best_angle() -> None:
    at = position(Linkage(arm_m=0.008, horn_m=0.012, rod_m=0.6), 0.0)
    assert math.degrees(float(at.rod_angle_rad)) == pytest.approx(90.0, abs=1e-6)
    assert float(at.lever_m) == pytest.approx(0.012)
    assert float(at.arm_lever_m) == pytest.approx(0.008)


def test_length_between_holes_is_that_of_space() -> None:
    assert float(length_between_m(3.0, 4.0, 12.0)) == pytest.approx(13.0)
