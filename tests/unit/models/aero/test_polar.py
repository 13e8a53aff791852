"""The polar row: kernel and numpy agree with scipy, and so does a launch that flies on tables."""

from functools import partial

import numba
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from scipy.interpolate import RegularGridInterpolator

from glidewright.models.aero.polar import (
    LIFT_NODES,
    SPEED_NODES,
    drag_coefficient,
    drag_coefficients,
    highest_lift_coefficient,
    lift_ceilings,
    speed_place,
    stalling_speed_m_s,
    with_tables,
)
from glidewright.models.launch.example import example_inputs
from glidewright.models.launch.flights import launch_outputs
from glidewright.models.launch.layout import CHARGE_USED, HIGHEST_IN_WINDOW, polar_matrix
from glidewright.models.launch.plain import PlainLaunch, plain_launch

LIFTS = -0.5 + 0.075 * np.arange(LIFT_NODES)
SPEEDS = 4.0 + 2.0 * np.arange(SPEED_NODES)
DRAG = 0.004 * (LIFTS - 0.7) ** 2 + 0.03 / np.sqrt(SPEEDS)[:, None] + 0.002 * np.sin(7.0 * LIFTS)
CEILING = -0.3 / SPEEDS


def tabled() -> np.ndarray:
    fields = polar_matrix(
        least_drag_coefficient=0.008,
        drag_rise=0.03,
        least_drag_lift_coefficient=0.1,
        highest_lift_coefficient=1.2,
        lowest_lift_coefficient=-0.4,
        table_lift_first=LIFTS[0],
        table_lift_step=0.075,
        table_speed_first_m_s=SPEEDS[0],
        table_speed_step_m_s=2.0,
    )
    return with_tables(fields, CEILING[None], DRAG[None])


_place, _drag, _ceiling = (
    part.dispatcher  # type: ignore[attr-defined]
    for part in (speed_place, drag_coefficient, highest_lift_coefficient)
)


@numba.njit  # without the cache of the program's own kernels: a test file is no module to load it from
def _in_kernel(polar: np.ndarray, lift: float, speed: float) -> tuple[float, float]:
    node, share = _place(polar, speed)
    return _drag(polar, lift, node, share), _ceiling(polar, node, share)


@given(st.floats(-0.4, 1.0), st.floats(1.0, 40.0))
@settings(deadline=None)  # the first call compiles
def test_kernel_numpy_and_scipy_look_up_the_same(lift: float, speed: float) -> None:
    rows = tabled()
    drag, ceiling = _in_kernel(rows[0], lift, speed)
    held = (float(np.clip(speed, SPEEDS[0], SPEEDS[-1])), lift)
    outside = RegularGridInterpolator((SPEEDS, LIFTS), DRAG)(held).item()
    assert drag == pytest.approx(0.008 + 0.03 * (lift - 0.1) ** 2 + outside, abs=1e-13)
    assert drag_coefficients(rows, np.array([[lift]]), np.array([[speed]]))[0, 0] == pytest.approx(drag)
    assert ceiling == pytest.approx(1.2 + np.interp(speed, SPEEDS, CEILING), abs=1e-13)
    assert lift_ceilings(rows, np.array([[speed]]))[0, 0] == pytest.approx(ceiling)


def test_the_stalling_speed_carries_the_weight_at_its_own_ceiling() -> None:
    rows, loading, density = tabled(), np.array([16.0]), np.array([1.2])
    speed = stalling_speed_m_s(rows, loading, density)
    carried = 0.5 * density * speed**2 * lift_ceilings(rows, speed[:, None])[:, 0]
    assert carried == pytest.approx(loading, rel=1e-9)


def test_empty_tables_change_nothing() -> None:
    known = example_inputs()
    with_zeros = known._replace(polar=known.polar.copy())
    with_zeros.polar[0, 5:9] = -0.5, 0.075, 4.0, 2.0
    assert np.array_equal(launch_outputs(known), launch_outputs(with_zeros), equal_nan=True)


def test_a_launch_on_tables_is_that_of_solve_ivp() -> None:
    inputs = example_inputs()._replace(polar=tabled())
    solve = partial(solve_ivp, method="RK45", rtol=1e-5, atol=1e-7)
    found = plain_launch(PlainLaunch.of(inputs), solve, watch_voltage=False)
    flown = launch_outputs(inputs)[0]
    assert flown[HIGHEST_IN_WINDOW] == pytest.approx(found["highest_in_window_m"], rel=1e-3)
    assert flown[CHARGE_USED] == pytest.approx(found["charge_used_As"], rel=1e-3)
