import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from glidewright.models.aero.section_outline import in_chord_frame, outline


def naca(thickness, camber=0.0, peak=0.4, count=80):
    """Outline by the equations of NACA Report 460 (1933), ordinates laid off upright."""
    x = 0.5 * (1.0 - np.cos(np.linspace(0.0, np.pi, count)))
    power = np.sqrt(x), x, x**2, x**3, x**4
    half = 5 * thickness * np.dot([0.2969, -0.126, -0.3516, 0.2843, -0.1015], power)
    front = camber / peak**2 * (2 * peak * x - x**2)
    rear = camber / (1 - peak) ** 2 * (1 - 2 * peak + 2 * peak * x - x**2)
    middle = np.where(x < peak, front, rear)
    return np.concatenate([np.c_[x, middle + half][::-1], np.c_[x, middle - half][1:]])


@pytest.mark.parametrize(("thickness", "camber"), [(0.06, 0.0), (0.09, 0.02), (0.12, 0.04)])
def test_thickness_and_camber_of_four_digit_sections(thickness, camber):
    # the designation states both: NACA Report 460, section "airfoil numbers"
    shape = outline(naca(thickness, camber))
    assert shape.thickness == pytest.approx(thickness, rel=0.01)
    assert shape.camber == pytest.approx(camber, abs=0.0006)


def test_a_symmetric_section_has_the_chord_line_as_datum_even_with_straight_sides():
    x = np.linspace(0.0, 1.0, 41)
    half = np.where(x < 0.3, 0.04 * np.sqrt(x / 0.3), 0.04 * (1 - x) / 0.7)
    assert outline(np.concatenate([np.c_[x, half][::-1], np.c_[x, -half][1:]])).flat_tilt_rad == 0.0


@given(st.floats(-0.2, 0.2), st.floats(0.01, 500.0), st.floats(-50.0, 50.0))
def test_turning_scaling_and_shifting_a_drawing_change_nothing(angle, size, shift):
    points = naca(0.09, 0.02)
    turn = np.array([[math.cos(angle), -math.sin(angle)], [math.sin(angle), math.cos(angle)]])
    moved = size * points @ turn.T + shift
    first, second = outline(points), outline(moved)
    np.testing.assert_allclose(second.points, first.points, atol=1e-9)
    assert second.turned_rad - first.turned_rad == pytest.approx(-angle, abs=1e-9)
    assert second.thickness == pytest.approx(first.thickness)


def test_a_flat_bottom_tilts_the_chord_line_nose_up():
    # lower side on the board from 15 % on, nose 3 % above it: arctan(0.03) = 1.718 degrees
    x = 0.5 * (1.0 - np.cos(np.linspace(0.0, np.pi, 60)))
    lower = np.where(x < 0.15, 0.03 * (1.0 - x / 0.15) ** 2, 0.0)
    upper = 0.03 * (1 - x) + 0.36 * np.sqrt(x) * (1 - x) * 0.6
    shape = outline(np.concatenate([np.c_[x, upper][::-1], np.c_[x, lower][1:]]))
    assert math.degrees(shape.flat_tilt_rad) == pytest.approx(1.718, abs=0.02)
    assert shape.turned_rad == pytest.approx(shape.flat_tilt_rad, abs=1e-3)


def test_chord_frame_puts_nose_and_edge_in_their_places():
    turned, angle = in_chord_frame(np.array([[3.0, 1.0], [2.0, 1.6], [1.0, 1.5], [2.0, 1.0], [3.0, 1.0]]))
    np.testing.assert_allclose(turned[[0, 2, 4]], [[1, 0], [0, 0], [1, 0]], atol=1e-12)
    assert math.degrees(angle) == pytest.approx(math.degrees(math.atan2(0.5, 2.0)))
