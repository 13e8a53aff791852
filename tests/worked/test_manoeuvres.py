"""Manoeuvres of the test plan against an integrator of the equations of motion and statics by hand."""

import math

import numpy as np
import pytest
from outside import held, held_all
from scipy.integrate import solve_ivp

from glidewright.models.aero.manoeuvres import dive, hand_glide, pull_out_height_m, stall_height_m
from glidewright.models.air.atmosphere import GRAVITY_m_s2


@pytest.mark.parametrize(
    ("speed", "degrees", "load"), [(10.0, 30.0, 2.0), (14.0, 45.0, 3.5), (6.5, 60.0, 1.96)]
)
def test_the_way_out_of_a_dive_is_that_of_the_integrated_path(
    speed: float, degrees: float, load: float
) -> None:
    """scipy's solve_ivp on V dpath/dt = -g (n - cos path), dh/dt = V sin path, until the path is level."""

    def moves(_: float, state: np.ndarray) -> list[float]:
        return [-GRAVITY_m_s2 * (load - math.cos(state[0])) / speed, speed * math.sin(state[0])]

    def is_level(_: float, state: np.ndarray) -> float:
        return float(state[0])

    is_level.terminal = True  # type: ignore[attr-defined]
    flown = solve_ivp(
        moves, (0.0, 60.0), [math.radians(degrees), 0.0], events=is_level, rtol=1e-10, atol=1e-12
    )
    found = pull_out_height_m(np.array([speed]), math.radians(degrees), np.array([load]))[0]
    held(
        f"height of a pull-out at {load:g} g, {degrees:g} degrees down at {speed:g} m/s",
        found,
        flown.y[1, -1],
        rel=1e-7,
        unit="m",
        source="scipy.integrate.solve_ivp on the equations of motion",
        because="tolerance of the solver",
    )


def test_a_dive_without_drag_turns_height_into_speed() -> None:
    """Energy by hand: V^2 - V0^2 = 2 g h."""
    speed, lost = dive(np.array([7.0]), math.radians(30.0), 3.0)
    held(
        "speed squared that a dive of 3 s without drag gains",
        speed[0] ** 2 - 7.0**2,
        2.0 * GRAVITY_m_s2 * lost[0],
        rel=1e-12,
        unit="m2/s2",
        source="energy by hand, 2 g h",
        because="rounding",
    )


def test_a_hand_glide_is_height_times_glide_ratio() -> None:
    """Statics: without wind, distance by height is the glide ratio, lift by drag."""
    speed, sink = np.array([6.0, 8.0]), np.array([0.4, 0.7])
    far, time = hand_glide(1.8, speed, sink, np.zeros(2))
    ratio = np.sqrt(speed**2 - sink**2) / sink
    statics = {"source": "statics by hand", "because": "rounding", "rel": 1e-12}
    held_all("way of a hand glide over its height", far / 1.8, ratio, **statics)
    against, same = hand_glide(1.8, speed, sink, np.array([2.0, 2.0]))
    held_all("way lost against 2 m/s", far - against, 2.0 * time, unit="m", **statics)
    np.testing.assert_array_equal(time, same)


def test_a_full_stall_takes_its_fall_and_its_way_out() -> None:
    """By hand: 1.5 times 5 m/s, 2.868 m of fall; n = 2.25, 90 degrees down: V^2/g ln(2.25/1.25)."""
    fall = 7.5**2 / (2.0 * 9.80665)
    out = 7.5**2 / 9.80665 * math.log(2.25 / 1.25)
    found = stall_height_m(np.array([5.0]), 1.5, 0.5 * math.pi)
    held(
        "height of a full stall at 5 m/s",
        found[0],
        fall + out,
        rel=1e-12,
        unit="m",
        source="free fall and the closed form of a pull-out, by hand",
        because="rounding",
    )


def test_what_cannot_be_flown_is_refused() -> None:
    one = np.array([1.0])
    with pytest.raises(ValueError, match="load_factor"):
        pull_out_height_m(one, 0.5, one)
    with pytest.raises(ValueError, match="speed_share"):
        stall_height_m(one, 1.0, 0.5)
    with pytest.raises(ValueError, match="sink_m_s"):
        hand_glide(1.8, one, one, one)
