"""Pack model against two published lithium polymer cells and textbook circuits."""

import math

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from glidewright.models.power import controller, pack, thermal

# W. Ai et al., J. Electrochem. Soc. 167 (2020) 013512: quasi open-circuit voltage at 0.1C of an LCO/graphite
# pouch cell; charge in per cent, volts.
CELL = (
    (95, 4.1128), (90, 4.0647), (80, 3.9779), (70, 3.9058), (60, 3.8314), (50, 3.7896), (40, 3.7629),
    (30, 3.7391), (20, 3.7019), (15, 3.6763), (10, 3.6401),
)  # fmt: skip


@pytest.mark.parametrize(("percent", "volts"), CELL)
def test_open_circuit_voltage_of_the_measured_cell_within_30_millivolt(percent, volts):
    assert pack.open_circuit_voltage_V(percent / 100.0, 1) == pytest.approx(volts, abs=0.030)
    assert pack.open_circuit_voltage_V(percent / 100.0, 3) == pytest.approx(3 * volts, abs=0.090)


def test_another_published_cell_lies_within_three_sigma():
    # M. Chen and G. A. Rincon-Mora, IEEE Trans. Energy Conversion 21(2), 2006, equation (2)
    for percent in range(10, 96, 5):
        soc = percent / 100.0
        other = -1.031 * math.exp(-35 * soc) + 3.685 + 0.2156 * soc - 0.1178 * soc**2 + 0.3201 * soc**3
        # two single cells differ by root two of the sigma of one
        assert abs(pack.open_circuit_voltage_V(soc, 1) - other) < 3 * math.sqrt(2) * pack.CELL_VOLTAGE_SIGMA_V


def test_resistance_towards_empty_follows_the_published_cell():
    # the same paper, equation (3): 0.1562 exp(-24.37 soc) + 0.07446 ohm; by hand 0.12063 at 5 %
    for soc, ohm in ((0.05, 0.12063), (0.10, 0.08812), (0.50, 0.07446)):
        assert pack.pack_resistance_ohm(0.07446, soc, 295.15) == pytest.approx(ohm, rel=1e-3)


def test_cold_resistance_is_that_of_20_kilojoule_per_mole():
    # Arrhenius by hand: exp(20000 / 8.314 (1/273.15 - 1/295.15)) = 1.928
    assert pack.temperature_factor(273.15) == pytest.approx(1.928, rel=0.01)


def test_slow_pair_and_heat_balance_against_scipy():
    amps, ohm, ratio, tau = 12.0, 0.04, 0.6, 30.0
    exact = solve_ivp(
        lambda _, y: [(amps * ohm * ratio - y[0]) / tau, amps**2 * ohm + y[0] ** 2 / (ratio * ohm)],
        (0.0, 25.0), [0.05, 0.0], rtol=1e-10, atol=1e-12,
    )  # fmt: skip
    assert pack.slow_voltage_V(0.05, amps, ohm, 25.0, ratio, tau) == pytest.approx(exact.y[0, -1], rel=1e-8)
    mean_heat = np.mean(
        [pack.pack_heat_W(amps, ohm, pack.slow_voltage_V(0.05, amps, ohm, t, ratio, tau), ratio)
         for t in np.linspace(0.0, 25.0, 5001)]
    )  # fmt: skip
    assert mean_heat * 25.0 == pytest.approx(exact.y[1, -1], rel=1e-4)


def test_motor_warms_by_the_trade_figure():
    # common practice: 25 W of loss in a 50 g motor (0.45 J/(g K)) warm it by about 33 K in 30 s
    assert thermal.node_temperature_K(293.15, 293.15, 25.0, 22.5, 1e-9, 30.0) - 293.15 == pytest.approx(
        33.3, abs=0.1
    )


def test_cooling_of_a_node_against_scipy():
    exact = solve_ivp(lambda _, y: [(8.0 - 0.2 * (y[0] - 290.0)) / 20.0], (0.0, 60.0), [310.0], rtol=1e-10)
    assert thermal.node_temperature_K(310.0, 290.0, 8.0, 20.0, 0.2, 60.0) == pytest.approx(
        exact.y[0, -1], abs=1e-5
    )


def test_ideal_step_down_converter():
    # Erickson and Maksimovic, Fundamentals of Power Electronics, chapter 2: an ideal converter at duty d
    # gives d times the volts and takes d times the amps
    assert controller.terminal_voltage_V(0.6, 10.0, 5.0, 0.0) == pytest.approx(6.0)
    assert controller.pack_current_A(0.6, 5.0, 0.0, 0.0) == pytest.approx(3.0)
