"""Circles, speed to fly, answer to rudder: against closed forms, trade figures and scipy."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray
from outside import held, held_all
from scipy.integrate import solve_ivp
from scipy.optimize import minimize_scalar

from glidewright.models.aero.circling import (
    best_in_rows,
    circling,
    speed_to_fly,
    thermal_lift_m_s,
    usable_lift,
)
from glidewright.models.aero.glide import glide_at
from glidewright.models.aero.modes import Body, SideSlopes, lateral_matrix
from glidewright.models.aero.polar import with_tables
from glidewright.models.aero.shape import Reference
from glidewright.models.aero.steering import (
    body_yaw_volume_m3,
    edge_travel_m,
    forcing,
    response,
    steady_roll_rad_s,
)

Array = NDArray[np.float64]
G = 9.80665
ROW = with_tables(np.array([[0.02, 0.04, 0.0, 1.2, -0.5, 0.0, 0.0, 0.0, 0.0]]))
LOADING, DENSITY = np.array([15.3]), np.array([1.225])


# Penalties of the trade for a bank, cos^-1.5: 20 deg 1.10, 30 deg 1.24, 40 deg 1.49 (common practice).
@pytest.mark.parametrize(("bank_deg", "penalty"), [(20.0, 1.10), (30.0, 1.24), (40.0, 1.49)])
def test_bank_penalty(bank_deg: float, penalty: float) -> None:
    lift = np.array([[0.5, 0.8]])
    _, straight, _ = circling(ROW, lift, 0.0, LOADING, DENSITY, G)
    _, banked, _ = circling(ROW, lift, math.radians(bank_deg), LOADING, DENSITY, G)
    held_all(
        f"sink at {bank_deg:g} degrees of bank over that in straight flight",
        (banked / straight)[0],
        [penalty] * 2,
        abs=0.005,
        source="common practice: penalties of the trade, cos^-1.5",
        because="half of the last printed digit",
    )


def test_radius_of_a_thermal_circle() -> None:
    # Trade figure: about 10 m at 30 degrees for a model that flies straight at 7 m/s.
    lift = 2.0 * LOADING[:, None] / (DENSITY[:, None] * 7.0**2)
    speed, _, radius = circling(ROW, lift, math.radians(30.0), LOADING, DENSITY, G)
    assert speed[0, 0] == pytest.approx(7.0 / math.sqrt(math.cos(math.radians(30.0))))
    held(
        "radius at 30 degrees of bank, 7 m/s in straight flight",
        radius[0, 0],
        10.0,
        abs=0.1,
        unit="m",
        source="common practice: about 10 m",
        because="the figure of the trade has no decimal",
    )


def test_least_sink_in_a_circle_keeps_the_lift_of_straight_flight() -> None:
    # Closed form of the parabola: least sink at CL = sqrt(3 CD0 / k) (Anderson, Introduction to Flight, 6.7);
    # 1.22 here, more than may be used: the end of the usable lift. With k = 0.08 it is 0.866.
    row = with_tables(np.array([[0.02, 0.08, 0.0, 1.2, -0.5, 0.0, 0.0, 0.0, 0.0]]))
    lift = usable_lift(row, LOADING, DENSITY, 400)
    for bank in (0.0, 0.6):
        _, sink, _ = circling(row, lift, bank, LOADING, DENSITY, G)
        _, at = best_in_rows(-sink, lift)
        held(
            f"lift coefficient of least sink, bank {bank:g} rad",
            at[0],
            math.sqrt(3.0 * 0.02 / 0.08),
            abs=0.5 * float(lift[0, 1] - lift[0, 0]),
            source="Anderson, Introduction to Flight, 6.7: sqrt(3 CD0 / k)",
            because="half a step of the 400 lift coefficients tried",
        )
    assert lift[0, -1] == pytest.approx(0.9 * 1.2)


@pytest.mark.parametrize("wind", [0.0, 3.0, 6.0])
def test_speed_to_fly_against_a_search_by_scipy(wind: float) -> None:
    lift = usable_lift(ROW, LOADING, DENSITY, 800)
    speed, sink, _ = glide_at(ROW, lift, LOADING, DENSITY)
    found, ratio = speed_to_fly(speed, sink, wind)

    def lost(v: float) -> float:
        cl = 2.0 * LOADING[0] / (DENSITY[0] * v * v)
        return float(-(v - wind) / (v * (0.02 + 0.04 * cl * cl) / cl))

    best = minimize_scalar(lost, bounds=(5.0, 14.0), method="bounded")
    search = "scipy.optimize.minimize_scalar on the closed form"
    fly = f"speed to fly against {wind:g} m/s"
    # the best may lie half a step of the lift coefficient off
    half_step = 0.5 * float(lift[0, 1] - lift[0, 0])
    off = 0.5 * half_step / (2.0 * LOADING[0] / (DENSITY[0] * best.x**2))
    at = {"source": search, "because": "half a step of the 800 lift coefficients tried"}
    held(fly, found[0], best.x, rel=off, unit="m/s", **at)
    curve = max(lost(best.x * (1.0 + side * off)) - best.fun for side in (-1.0, 1.0))
    at["because"] = "the curve over half a step of the 800 lift coefficients tried"
    held(f"way over ground a metre, {wind:g} m/s", ratio[0], -best.fun, abs=curve, **at)
    if wind == 0.0:  # closed form: CL = sqrt(CD0 / k), ratio 1 / (2 sqrt(CD0 k))
        at["source"] = "Anderson, Introduction to Flight, 6.9: 1 / (2 sqrt(CD0 k))"
        held("best glide ratio", ratio[0], 0.5 / math.sqrt(0.02 * 0.04), abs=curve, **at)


@given(st.floats(0.0, 5.0), st.floats(0.1, 5.0))
def test_more_wind_asks_for_more_speed_and_gives_less_way(wind: float, more: float) -> None:
    lift = usable_lift(ROW, LOADING, DENSITY, 200)
    speed, sink, _ = glide_at(ROW, lift, LOADING, DENSITY)
    slow, far = speed_to_fly(speed, sink, wind)
    fast, near = speed_to_fly(speed, sink, wind + more)
    assert fast[0] >= slow[0]
    assert near[0] < far[0]


@given(st.floats(0.0, 40.0), st.floats(5.0, 40.0), st.floats(0.1, 5.0))
def test_upward_air_is_most_in_the_middle_and_none_outside(
    radius: float, core: float, strength: float
) -> None:
    lift = float(thermal_lift_m_s(radius, core, strength))
    assert 0.0 <= lift <= strength
    assert (lift > 0.0) == (radius < core) or math.isclose(radius, core, rel_tol=1e-6)


SLOPES = SideSlopes(-0.2, -0.15, 0.024, -0.58, -0.08, 0.23, -0.046, 0.0, 0.1)
BODY = Body(0.6, 0.066, 0.038, 0.1, 0.002, 6.0, 1.2, G)
REFERENCE = Reference(0.36, 2.0, 0.18)


def test_answer_to_rudder_against_scipy() -> None:
    matrix = lateral_matrix(SLOPES, BODY, REFERENCE)
    push = forcing(-0.028, 0.0004, 0.011, BODY, REFERENCE)
    solved = solve_ivp(lambda _, x: matrix @ x + push, (0.0, 2.0), np.zeros(4), rtol=1e-10, atol=1e-12)
    held_all(
        "answer to rudder after 2 s",
        response(matrix, push, 2.0),
        solved.y[:, -1],
        rel=1e-7,
        abs=1e-9,
        source="scipy.integrate.solve_ivp on the same linear equations",
        because="tolerance of the solver",
    )


def test_forcing_is_force_over_mass_and_moment_over_inertia() -> None:
    # Newton and Euler by hand, no product of inertia: v' = q S C / m, p' = q S b C / Ix, r' = q S b C / Iz.
    body = Body(0.6, 0.066, 0.038, 0.1, 0.0, 6.0, 1.2, G)
    force = 0.5 * 1.2 * 36.0 * 0.36
    expected = [force * -0.028 / 0.6, force * 2.0 * 0.0004 / 0.066, force * 2.0 * 0.011 / 0.1, 0.0]
    held_all(
        "accelerations of a rudder",
        forcing(-0.028, 0.0004, 0.011, body, REFERENCE),
        expected,
        rel=1e-6,
        abs=1e-12,
        source="Newton and Euler by hand: force over mass, moment over inertia",
        because="rounding",
    )


def test_steady_roll_of_a_pure_rolling_moment() -> None:
    # One degree of freedom: p b / 2V = -Cl / Clp (Etkin and Reid, section 3.9), all other slopes zero but
    # those that keep v and r at rest.
    alone = SideSlopes(-0.2, 0.0, 0.024, -0.58, 0.0, 0.0, -0.046)
    body = Body(0.6, 0.066, 0.038, 0.1, 0.0, 6.0, 1.2, G)
    roll = steady_roll_rad_s(lateral_matrix(alone, body, REFERENCE), forcing(0.0, 0.01, 0.0, body, REFERENCE))
    held(
        "steady roll p b / 2V of a pure rolling moment",
        roll * 2.0 / (2.0 * 6.0),
        0.01 / 0.58,
        rel=1e-6,
        source="Etkin and Reid, section 3.9: -Cl / Clp",
        because="rounding",
    )


def test_body_in_yaw_is_twice_its_volume() -> None:
    # Munk, NACA report 184: the moment of a slender body of revolution is twice its volume; here an
    # ellipsoid, 4/3 pi a b^2.
    x = np.linspace(-0.5, 0.5, 4001)
    height = 2.0 * 0.04 * np.sqrt(1.0 - (x / 0.5) ** 2)
    held(
        "moment of an ellipsoid in yaw over pressure and angle",
        body_yaw_volume_m3(x, height),
        2.0 * 4.0 / 3.0 * math.pi * 0.5 * 0.04**2,
        rel=1e-5,
        unit="m3",
        source="Munk, NACA report 184: twice the volume",
        because="4000 slices",
    )


def test_way_of_an_edge_is_the_chord_of_its_arc() -> None:
    # Law of cosines: way^2 = 2 c^2 (1 - cos angle).
    for angle in (0.1, -0.3, 1.0):
        expected = math.copysign(math.sqrt(2.0 * 0.05**2 * (1.0 - math.cos(angle))), angle)
        held(
            f"way of an edge 50 mm behind the hinge, {angle:g} rad",
            float(edge_travel_m(angle, 0.05)),
            expected,
            rel=1e-6,
            unit="m",
            source="law of cosines",
            because="rounding",
        )
