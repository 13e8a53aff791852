"""Height of a mistake: against energy, a circle, and a general integrator."""

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from glidewright.models.aero.upset import Upset, recovery

Array = NDArray[np.float64]
GRAVITY = 9.80665
ONE = np.ones(1)
DIVE = Upset(
    speed_m_s=11.0 * ONE,
    path_rad=np.radians(-40.0) * ONE,
    left_alone_s=0.7 * ONE,
    closing_s=0.3 * ONE,
    free_lift=0.2 * ONE,
    pulled_lift=0.9 * ONE,
    brake_drag=0.06 * ONE,
    loading_N_m2=14.0 * ONE,
    density_kg_m3=1.2 * ONE,
)


def parabola(lift: Array, speed: Array) -> Array:  # noqa: ARG001 - the shape of a drag law
    found: Array = 0.02 + 0.04 * lift**2
    return found


def nothing(lift: Array, speed: Array) -> Array:  # noqa: ARG001 - the shape of a drag law
    found: Array = 0.0 * lift
    return found


def by_scipy(upset: Upset) -> float:
    """The same equations written out for an adaptive integrator, phase by phase."""
    fields = {name: float(value[0]) for name, value in vars(upset).items()}

    def rates(time: float, state: Array) -> list[float]:
        speed, path, _ = state
        since = time - fields["left_alone_s"]
        lift = fields["free_lift"] if since < 0.0 else fields["pulled_lift"]
        left = 1.0 - min(max(since / fields["closing_s"], 0.0), 1.0)
        force = 0.5 * fields["density_kg_m3"] * speed**2 / fields["loading_N_m2"]
        drag = 0.02 + 0.04 * lift**2 + left * fields["brake_drag"]
        return [
            -GRAVITY * (math.sin(path) + force * drag),
            GRAVITY * (force * lift - math.cos(path)) / speed,
            speed * math.sin(path),
        ]

    edges = (0.0, fields["left_alone_s"], fields["left_alone_s"] + fields["closing_s"], 10.0)
    state, lowest = np.array([fields["speed_m_s"], fields["path_rad"], 0.0]), 0.0
    for start, end in pairwise(edges):
        inner = (start + 1e-12, end - 1e-12)
        run = solve_ivp(rates, inner, state, rtol=1e-9, atol=1e-10, dense_output=True)
        times = np.linspace(*inner, 4001)
        path, height = run.sol(times)[1:]
        level = np.flatnonzero((path >= 0.0) & (times >= fields["left_alone_s"]))
        until = level[0] + 1 if level.size else times.size
        lowest = min(lowest, float(height[:until].min()))
        if level.size:
            break
        state = run.y[:, -1]
    return -lowest


@pytest.mark.parametrize("degrees", [-5.0, -40.0, -70.0])
def test_it_is_what_a_general_integrator_finds(degrees: float) -> None:
    upset = replace(DIVE, path_rad=np.radians(degrees) * ONE)
    found = recovery(upset, parabola, GRAVITY)
    assert float(found.height_lost_m[0]) == pytest.approx(by_scipy(upset), abs=0.05)


def test_without_drag_energy_is_kept() -> None:
    found = recovery(replace(DIVE, brake_drag=0.0 * ONE), nothing, GRAVITY)
    energy = 11.0**2 + 2.0 * GRAVITY * float(found.height_lost_m[0])
    assert float(found.fastest_m_s[0]) == pytest.approx(math.sqrt(energy), rel=2e-3)


def test_a_strong_pull_from_a_fast_dive_is_a_circle() -> None:
    """With weight negligible beside lift: radius m / (rho S CL / 2), height r (1 - cos path)."""
    upset = replace(
        DIVE, speed_m_s=30.0 * ONE, left_alone_s=0.0 * ONE, closing_s=0.0 * ONE, brake_drag=0.0 * ONE
    )
    radius = 2.0 * 14.0 / (GRAVITY * 1.2 * 0.9)
    wanted = radius * (1.0 - math.cos(math.radians(40.0)))
    assert float(recovery(upset, nothing, GRAVITY).height_lost_m[0]) == pytest.approx(wanted, rel=0.06)


def test_a_later_reaction_costs_more_and_an_open_brake_slows() -> None:
    times = np.array([0.3, 0.8, 1.5])
    late = Upset(**{name: np.full(3, float(value[0])) for name, value in vars(DIVE).items()})
    late = replace(late, left_alone_s=times)
    found = recovery(late, parabola, GRAVITY)
    assert np.all(np.diff(found.height_lost_m) > 0.0)
    free = recovery(replace(late, brake_drag=np.zeros(3)), parabola, GRAVITY)
    assert np.all(found.fastest_m_s < free.fastest_m_s)


def test_a_model_that_is_never_level_is_no_number() -> None:
    found = recovery(replace(DIVE, pulled_lift=0.0 * ONE), parabola, GRAVITY)
    assert np.isnan(found.height_lost_m[0])
