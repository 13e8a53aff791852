"""What must hold for every power train, whatever its numbers."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from glidewright.models.power import layout as pl
from glidewright.models.power.example import example_cells, example_curves, example_power
from glidewright.models.power.kernel import operating_points

CURVES, CELLS = example_curves(), example_cells()
SPEEDS = np.linspace(0.0, 14.0, 8)
TOLERANCE = 1.0 + 1e-8


def points(power: pl.Array, **conditions: float) -> pl.Array:
    known = {"density_kg_m3": 1.2} | conditions
    return operating_points(power, CURVES, CELLS, airspeed_m_s=SPEEDS, **known)


@pytest.mark.parametrize(
    "name",
    ["motor_resistance_ohm", "controller_resistance_ohm", "pack_resistance_ohm", "lead_resistance_ohm"],
)
@settings(max_examples=30, deadline=None)
@given(start=st.floats(0.001, 0.1), more=st.floats(1.0, 3.0))
def test_more_resistance_never_gives_more_revolutions(name: str, start: float, more: float) -> None:
    less, much = points(example_power(**{name: [start, start * more]}))
    assert np.all(much[:, pl.REVS_PER_S] <= less[:, pl.REVS_PER_S] * TOLERANCE)


@settings(max_examples=40, deadline=None)
@given(st.floats(0.1, 1.0), st.floats(0.1, 1.0))
def test_more_duty_never_gives_fewer_revolutions(one: float, other: float) -> None:
    low, high = sorted((one, other))
    power = example_power()
    slow, fast = points(power, duty=low)[0], points(power, duty=high)[0]
    assert np.all(slow[:, pl.REVS_PER_S] <= fast[:, pl.REVS_PER_S] * TOLERANCE)


@settings(max_examples=40, deadline=None)
@given(st.floats(0.6, 1.4), st.floats(1.0, 1.5))
def test_denser_air_never_lets_the_propeller_turn_faster(density: float, more: float) -> None:
    thin = points(example_power(), density_kg_m3=density)[0, :6]  # where the propeller is driven
    dense = points(example_power(), density_kg_m3=density * more)[0, :6]
    assert np.all(dense[:, pl.REVS_PER_S] <= thin[:, pl.REVS_PER_S] * TOLERANCE)


@settings(max_examples=40, deadline=None)
@given(st.floats(0.5, 1.3), st.floats(0.6, 1.6))
def test_density_acts_as_a_factor_on_both_coefficients(density: float, factor: float) -> None:
    scaled = example_power(propeller_thrust_factor=factor, propeller_power_factor=factor)
    np.testing.assert_allclose(
        points(example_power(), density_kg_m3=density * factor)[0], points(scaled, density_kg_m3=density)[0]
    )


@settings(max_examples=40, deadline=None)
@given(st.floats(0.15, 0.35), st.floats(1.0, 1.5))
def test_a_larger_propeller_never_turns_faster_at_rest(diameter: float, more: float) -> None:
    small, large = points(example_power(propeller_diameter_m=[diameter, diameter * more]))[:, 0]
    assert large[pl.REVS_PER_S] <= small[pl.REVS_PER_S] * TOLERANCE


@settings(max_examples=40, deadline=None)
@given(st.floats(0.05, 3.0), st.floats(0.0, 1.0), st.floats(0.2, 1.0))
def test_without_propeller_the_motor_takes_its_no_load_current(
    no_load: float, share: float, duty: float
) -> None:
    train = example_power(
        motor_no_load_current_A=no_load, motor_no_load_linear_share=share, propeller_power_factor=1e-12
    )
    point = points(train, duty=duty)[0, 0]
    w = 2.0 * math.pi * point[pl.REVS_PER_S]
    assert point[pl.MOTOR_CURRENT_A] == pytest.approx(no_load * (1.0 - share + share * w / 800.0), rel=1e-6)
    assert point[pl.SHAFT_POWER_W] == pytest.approx(0.0, abs=1e-6)
    # and turns at Kv times the volts left behind its winding
    back = point[pl.MOTOR_VOLTAGE_V] - point[pl.MOTOR_CURRENT_A] * 0.080
    assert w == pytest.approx(1020.0 * 2.0 * math.pi / 60.0 * back, rel=1e-9)


@settings(max_examples=40, deadline=None)
@given(st.floats(0.3, 1.0), st.floats(0.0, 30.0))
def test_no_more_thrust_power_than_shaft_power_where_the_curves_allow_none(
    duty: float, airspeed: float
) -> None:
    point = operating_points(
        example_power(), CURVES, CELLS, airspeed_m_s=airspeed, density_kg_m3=1.2, duty=duty
    )[0, 0]
    assert point[pl.PROPELLER_EFFICIENCY] <= 1.0
