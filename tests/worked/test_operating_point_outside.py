"""Operating point of the kernel against root finders and numbers from outside.

Roots: ``scipy.optimize.brentq`` on the whole set of circuit and propeller equations, written out here.
Numbers: the measured static thrust and power of an 11x6 folding propeller at 5967 rpm in air of 1.225 kg/m3,
8.38 N and 82.5 W (UIUC Propeller Data Site, vol. 2, J. B. Brandt, R. W. Deters, G. K. Ananda, M. S. Selig,
University of Illinois), and a motor worked by hand after M. Drela, "First-Order DC Electric Motor Model",
MIT 2007, equations (1) to (4).
"""

import math

import numpy as np
import pytest
from outside import held
from scipy.optimize import brentq

from glidewright.models.power import layout as pl
from glidewright.models.power.example import example_cells, example_curves, example_power
from glidewright.models.power.kernel import operating_points

CURVES, CELLS = example_curves(), example_cells()


@pytest.mark.parametrize("airspeed", [0.0, 3.0, 8.0, 12.0, 18.0, 26.0])
@pytest.mark.parametrize("duty", [0.25, 0.6, 1.0])
def test_operating_point_is_the_root_that_scipy_finds(airspeed: float, duty: float) -> None:
    kv, diameter, density = 1020.0 * 2.0 * math.pi / 60.0, 0.279, 1.17
    pack_volts = 2.0 * (3.3 + 0.9 * 0.75 - 0.3 * math.exp(-20.0 * 0.75)) - 0.12
    quick = 0.045 * (1.0 + 0.8 * math.exp(-8.0 * 0.75)) * math.exp(1500.0 * (1.0 / 305.0 - 1.0 / 298.15))
    winding = 0.080 * (1.0 + 0.00393 * (330.0 - 293.15))

    def unbalanced_Nm(n: float) -> float:
        ratio = airspeed / (n * diameter)
        if ratio <= 1.2:
            cp = 0.042 + 0.02 * ratio - 0.09 * ratio**2
        else:  # straight on with the last rise of the nodes
            end, before = (0.042 + 0.02 * j - 0.09 * j**2 for j in (1.2, 1.15))
            cp = end + (ratio - 1.2) * (end - before) / 0.05
        cp += 0.002 * math.log(min(max(n, 40.0), 180.0) / 100.0)
        w = 2.0 * math.pi * n

        def volts_left(current: float) -> float:
            drawn = current * (duty + 0.05 * duty * (1.0 - duty)) + 0.2
            supply = pack_volts - (quick + 0.006) * drawn
            return duty * supply - (0.012 + winding) * current - w / kv

        current = brentq(volts_left, -500.0, 500.0, xtol=1e-13, rtol=1e-14)
        no_load = 0.9 * (0.5 + 0.5 * w / 800.0)
        return float((current - no_load) / kv - cp * density * n**2 * diameter**5 / (2.0 * math.pi))

    n = brentq(unbalanced_Nm, 1e-3, 500.0, xtol=1e-13, rtol=1e-14)
    point = operating_points(
        example_power(),
        CURVES,
        CELLS,
        airspeed_m_s=airspeed,
        density_kg_m3=density,
        duty=duty,
        charge_state=0.75,
        slow_voltage_V=0.12,
        motor_temperature_K=330.0,
        pack_temperature_K=305.0,
    )[0, 0]
    # 1e-4 for the exact parabola against cubics through its nodes near the one-sided ends; else 1e-8
    held(
        f"revolutions at {airspeed:g} m/s and duty {duty:g}",
        point[pl.REVS_PER_S],
        n,
        rel=1e-4 if airspeed == 0.0 else 2e-4,
        unit="1/s",
        source="scipy.optimize.brentq on the circuit and propeller equations",
        because="an exact parabola against cubics through its nodes, one-sided at the ends",
    )


def test_measured_propeller_on_a_motor_worked_by_hand() -> None:
    """The propeller takes 82.5 W at 5967 rpm. A motor of 1000 rpm/V, 0.1 ohm and 1 A without load then needs

    torque  Q = 82.5 / (2 pi 99.45) = 0.13203 N m
    current I = Q Kv + I0 = 0.13203 x 104.720 + 1 = 14.826 A            Drela (1), (5)
    volts   v = 5967 / 1000 + 14.826 x 0.1 = 7.4496 V                   Drela (4)
    input   v I = 110.45 W, efficiency 82.5 / 110.45 = 74.7 %
    """
    n, diameter = 5967.0 / 60.0, 11.0 * 0.0254
    ct = 8.38 / (1.225 * n**2 * diameter**4)
    cp = 82.5 / (1.225 * n**3 * diameter**5)
    flat, none = np.ones(5), np.zeros(5)
    train = example_power(
        motor_kv_rad_per_Vs=1000.0 * 2.0 * math.pi / 60.0,
        motor_resistance_ohm=0.1,
        motor_no_load_current_A=1.0,
        motor_no_load_linear_share=0.0,
        controller_resistance_ohm=0.0,
        servo_current_A=0.0,
        pack_cells_in_series=1.0,
        pack_resistance_ohm=0.0,
        lead_resistance_ohm=0.0,
        propeller_diameter_m=diameter,
    )
    point = operating_points(
        train,
        pl.curve_table(ct * flat, none, cp * flat, none)[None],
        pl.cell_table(7.4496 * flat, flat)[None],
        airspeed_m_s=0.0,
        density_kg_m3=1.225,
    )[0, 0]
    uiuc = {
        "source": "UIUC Propeller Data Site, volume 2, folding 11x6 at rest",
        "because": "digits of the print; the propeller is given, so the motor must meet it",
    }
    drela = {
        "source": "Drela, First-Order DC Electric Motor Model, equations (1) to (5), by hand",
        "because": "digits worked by hand",
    }
    held("revolutions", point[pl.REVS_PER_S] * 60.0, 5967.0, abs=0.2, unit="rpm", **uiuc)
    held("thrust", point[pl.THRUST_N], 8.38, abs=0.001, unit="N", **uiuc)
    held("shaft power", point[pl.SHAFT_POWER_W], 82.5, abs=0.01, unit="W", **uiuc)
    held("torque", point[pl.TORQUE_NM], 0.13203, abs=1e-5, unit="N m", **drela)
    held("motor current", point[pl.MOTOR_CURRENT_A], 14.826, abs=0.001, unit="A", **drela)
    held("power from the pack", point[pl.CHEMICAL_POWER_W], 110.45, abs=0.02, unit="W", **drela)
