"""Pack model against two published lithium polymer cells and textbook circuits."""

import math

import numpy as np
from outside import held, held_all, within
from scipy.integrate import solve_ivp

from glidewright.models.power import controller, pack, thermal

# W. Ai et al., J. Electrochem. Soc. 167 (2020) 013512: quasi open-circuit voltage at 0.1C of an LCO/graphite
# pouch cell; charge in per cent, volts.
CELL = (
    (95, 4.1128), (90, 4.0647), (80, 3.9779), (70, 3.9058), (60, 3.8314), (50, 3.7896), (40, 3.7629),
    (30, 3.7391), (20, 3.7019), (15, 3.6763), (10, 3.6401),
)  # fmt: skip


def test_open_circuit_voltage_of_the_measured_cell():
    percent, volts = np.array(CELL).T
    cell = {
        "source": "Ai et al., J. Electrochem. Soc. 167 (2020) 013512, quasi open circuit",
        "because": "drawn through these readings; each one left out is met within this, studies/packs.py",
        "unit": "V",
    }
    one, three = ([pack.open_circuit_voltage_V(p / 100.0, cells) for p in percent] for cells in (1, 3))
    held_all("open-circuit voltage of a cell, 10 to 95 % charge", one, volts, abs=0.0061, **cell)
    held_all("open-circuit voltage of three cells, 10 to 95 % charge", three, 3 * volts, abs=0.0183, **cell)


def test_another_published_cell_lies_within_three_sigma():
    # M. Chen and G. A. Rincon-Mora, IEEE Trans. Energy Conversion 21(2), 2006, equation (2)
    apart = []
    for percent in range(10, 96, 5):
        soc = percent / 100.0
        other = -1.031 * math.exp(-35 * soc) + 3.685 + 0.2156 * soc - 0.1178 * soc**2 + 0.3201 * soc**3
        apart.append(pack.open_circuit_voltage_V(soc, 1) - other)
    within(
        "another cell, furthest apart from 10 to 95 % charge",
        max(map(abs, apart)),
        0.0,
        3 * math.sqrt(2) * pack.CELL_VOLTAGE_SIGMA_V,
        unit="V",
        source="Chen and Rincon-Mora, IEEE Trans. Energy Conversion 21(2), 2006, equation (2)",
        because="three sigma of the packaged spread; two single cells differ by root two of it",
    )


def test_resistance_towards_empty_follows_the_published_cell():
    # the same paper, equation (3): 0.1562 exp(-24.37 soc) + 0.07446 ohm; by hand 0.12063 at 5 %
    for soc, ohm in ((0.05, 0.12063), (0.10, 0.08812), (0.50, 0.07446)):
        held(
            f"resistance of a cell at {soc:.0%} charge",
            pack.pack_resistance_ohm(0.07446, soc, 295.15),
            ohm,
            rel=1e-3,
            unit="ohm",
            source="Chen and Rincon-Mora 2006, equation (3), by hand",
            because="four figures of the printed constants",
        )


def test_cold_resistance_is_that_of_20_kilojoule_per_mole():
    # Arrhenius by hand: exp(20000 / 8.314 (1/273.15 - 1/295.15)) = 1.928
    held(
        "resistance of a pack at 0 °C over that at 22 °C",
        pack.temperature_factor(273.15),
        1.928,
        rel=0.01,
        source="Arrhenius by hand, 20 kJ/mol",
        because="2400 K is 20 kJ/mol in two figures",
    )


def test_slow_pair_and_heat_balance_against_scipy():
    amps, ohm, ratio, tau = 12.0, 0.04, 0.6, 30.0
    exact = solve_ivp(
        lambda _, y: [(amps * ohm * ratio - y[0]) / tau, amps**2 * ohm + y[0] ** 2 / (ratio * ohm)],
        (0.0, 25.0), [0.05, 0.0], rtol=1e-10, atol=1e-12,
    )  # fmt: skip
    scipy = "scipy.integrate.solve_ivp"
    slow = pack.slow_voltage_V(0.05, amps, ohm, 25.0, ratio, tau)
    because = "tolerance of the solver"
    held("slow voltage after 25 s", slow, exact.y[0, -1], rel=1e-8, unit="V", source=scipy, because=because)
    mean_heat = np.mean(
        [pack.pack_heat_W(amps, ohm, pack.slow_voltage_V(0.05, amps, ohm, t, ratio, tau), ratio)
         for t in np.linspace(0.0, 25.0, 5001)]
    )  # fmt: skip
    because = "mean of 5001 steps"
    held("heat of 25 s", mean_heat * 25.0, exact.y[1, -1], rel=1e-4, unit="J", source=scipy, because=because)


def test_motor_warms_by_the_trade_figure():
    # common practice: 25 W of loss in a 50 g motor (0.45 J/(g K)) warm it by about 33 K in 30 s
    held(
        "warming of a 50 g motor by 25 W in 30 s",
        thermal.node_temperature_K(293.15, 293.15, 25.0, 22.5, 1e-9, 30.0) - 293.15,
        33.3,
        abs=0.1,
        unit="K",
        source="common practice: about 33 K, 0.45 J/(g K)",
        because="the last digit of 750 J / 22.5 J/K by hand",
    )


def test_cooling_of_a_node_against_scipy():
    exact = solve_ivp(lambda _, y: [(8.0 - 0.2 * (y[0] - 290.0)) / 20.0], (0.0, 60.0), [310.0], rtol=1e-10)
    held(
        "temperature of a cooling node after 60 s",
        thermal.node_temperature_K(310.0, 290.0, 8.0, 20.0, 0.2, 60.0),
        exact.y[0, -1],
        abs=1e-5,
        unit="K",
        source="scipy.integrate.solve_ivp",
        because="tolerance of the solver",
    )


def test_ideal_step_down_converter():
    # Erickson and Maksimovic, Fundamentals of Power Electronics, chapter 2: an ideal converter at duty d
    # gives d times the volts and takes d times the amps
    ideal = {
        "source": "Erickson and Maksimovic, Fundamentals of Power Electronics, chapter 2",
        "because": "rounding",
        "rel": 1e-6,
    }
    held("volts behind an ideal controller", controller.terminal_voltage_V(0.6, 10.0, 5.0, 0.0), 6.0, **ideal)
    held("amps before an ideal controller", controller.pack_current_A(0.6, 5.0, 0.0, 0.0), 3.0, **ideal)
