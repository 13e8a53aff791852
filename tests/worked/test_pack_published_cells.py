"""Pack model against two published lithium polymer cells and textbook circuits."""

import math

import numpy as np
from outside import held, held_all, within
from scipy.integrate import solve_ivp

from glidewright.models.launch.example import example_inputs
from glidewright.models.launch.flights import launch_outputs, repeated_launches
from glidewright.models.launch.layout import END_CHARGE, GROUND_TEMPERATURE_K, OUTPUT_FIELDS, START_FIELDS
from glidewright.models.power import controller, pack
from glidewright.models.power.layout import POWER_FIELDS
from glidewright.models.power.plain import plain_pack
from glidewright.models.power.typical import typical_motor_heat_capacity

PARTS = ("motor", "pack")
BEHIND = ("top_height_m", "lowest_pack_voltage_V", "end_motor_temperature_K", "end_pack_temperature_K")

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
            0.07446 * pack.charge_factor(soc),
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


def test_a_rest_between_two_launches_against_scipy():
    # what pack and motor begin the second launch with: the slow pair and both temperatures by their equations
    rest_s = 100.0
    inputs = example_inputs(rest_s=rest_s)
    power = dict(zip(POWER_FIELDS, inputs.power[0].tolist(), strict=True))
    first, second = repeated_launches(inputs, 2)[0]
    end = dict(zip(START_FIELDS, first[END_CHARGE : END_CHARGE + 4].tolist(), strict=True))
    state = 1.0 - end["charge_As"] / power["pack_capacity_As"]
    _, quick = plain_pack(power, inputs.tables[0], state, end["pack_temperature_K"])
    amps, air = power["servo_current_A"], inputs.launch[0, GROUND_TEMPERATURE_K]
    slow_ohm = power["pack_slow_resistance_ratio"] * quick

    def rates(_, y):
        cooled = (power[f"{part}_conductance_W_K"] / power[f"{part}_heat_capacity_J_K"] for part in PARTS)
        falls = [-rate * (kelvin - air) for rate, kelvin in zip(cooled, y[2:], strict=True)]
        return [amps, (amps * slow_ohm - y[1]) / power["pack_time_constant_s"], *falls]

    found = solve_ivp(rates, (0.0, rest_s), list(end.values()), rtol=1e-11, atol=1e-12)
    begin = dict(zip(START_FIELDS, found.y[:, -1].tolist(), strict=True))
    alone = launch_outputs(example_inputs(**begin))[0]
    for name in BEHIND:
        place = list(OUTPUT_FIELDS).index(name)
        held(
            f"second launch after a rest, {name.replace('_', ' ')}",
            second[place],
            alone[place],
            rel=1e-8,
            source="scipy.integrate.solve_ivp over the rest",
            because="tolerance of the solver",
        )


def test_motor_warms_by_the_trade_figure():
    # common practice: 25 W of loss in a 50 g motor (0.45 J/(g K)) warm it by about 33 K in 30 s
    held(
        "warming of a 50 g motor by 25 W in 30 s",
        25.0 * 30.0 / typical_motor_heat_capacity(0.050).value,
        33.3,
        abs=0.1,
        unit="K",
        source="common practice: about 33 K, 0.45 J/(g K)",
        because="the last digit of 750 J / 22.5 J/K by hand",
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
