"""Launch kernel against ``scipy.integrate.solve_ivp`` on the same equations in plain Python.

The solver (DOP853 of E. Hairer, S. P. Norsett and G. Wanner) works at a tolerance of 1e-9 and has its own
event location; the operating point inside is scipy's ``brentq``.
"""

from functools import partial

import numpy as np
import pytest
from outside import held_all
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from glidewright.models.launch import layout as ll
from glidewright.models.launch.example import example_inputs
from glidewright.models.launch.flights import launch_outputs
from glidewright.models.launch.plain import PlainLaunch, plain_launch

ROOT = partial(brentq, xtol=1e-11, rtol=1e-12)
SOLVE = partial(solve_ivp, method="DOP853", rtol=1e-9, atol=1e-9)
HEIGHTS = ("height_at_cut_m", "highest_in_window_m", "height_at_window_end_m", "top_height_m")
OTHERS = ("charge_used_As", "cut_time_s", "end_chemical_J", "end_thrust_J")

CASES = {
    "time": {},
    "height": {"run_limit_s": float("inf"), "cut_height_m": 90.0},
    "low voltage": {"controller_low_voltage_cut_V": 7.3, "charge_As": 300.0},
    "in the hand": {"motor_start_s": -0.8, "steepest_climb_rad": 0.4, "full_duty": 0.8},
    "slow throw": {"throw_speed_m_s": 5.0, "climb_speed_m_s": 7.0, "motor_start_s": 0.6},
    "strong wind": {"wind_speed_m_s": 8.0, "wind_exponent": 0.25, "climb_speed_m_s": 12.0},
    "short window": {"window_s": 0.4, "run_limit_s": 12.0, "run_from_release": 1.0},
    "isothermal air": {"lapse_rate_K_m": 0.0, "run_limit_s": 12.0},
}

SOURCE = "scipy.integrate.solve_ivp, DOP853 at 1e-9, with scipy.optimize.brentq inside"
# studies/launch_steps.py: the worst of 60 other launches at the usual step and at one of 1e-6 m; every number
# is ten thousand times nearer there, so what is left at the usual step is the step's. Energies: the charge's
# 0.029 As at 12.6 V, and the heights' 0.038 m at the weight and the drag of the model, less than 10 N.
USUAL = "worst of 60 other launches at the usual step of the kernel, studies/launch_steps.py"
FINE = "worst of 60 other launches at steps 10 000 times finer, studies/launch_steps.py"
KINDS = (
    ("heights", HEIGHTS, 0.038, "m"),
    ("charge", ("charge_used_As",), 0.029, "As"),
    ("motor stop", ("cut_time_s",), 0.0095, "s"),
    ("energies", ("end_chemical_J", "end_thrust_J"), 0.37, "J"),
    ("temperatures", ("end_motor_temperature_K", "end_pack_temperature_K"), 0.0014, "K"),
)


@pytest.mark.parametrize("case", CASES)
def test_heights_charge_time_energies_and_temperatures(case: str) -> None:
    inputs = example_inputs(**CASES[case])
    watch = case == "low voltage"
    outside = plain_launch(PlainLaunch.of(inputs, root=ROOT), SOLVE, watch_voltage=watch)
    kernel = dict(zip(ll.OUTPUT_FIELDS, launch_outputs(inputs)[0], strict=True))
    for what, names, allowed, unit in KINDS:
        mine, theirs = ([run[name] for name in names] for run in (kernel, outside))
        held_all(f"{what}, case {case}", mine, theirs, abs=allowed, unit=unit, source=SOURCE, because=USUAL)
    fine = dict(zip(ll.OUTPUT_FIELDS, launch_outputs(inputs, tolerance_m=1e-6)[0], strict=True))
    for what, names, allowed, unit in (
        ("heights", HEIGHTS, 1.3e-5, "m"),
        ("charge", ("charge_used_As",), 7.9e-5, "As"),
    ):
        mine, theirs = ([run[name] for name in names] for run in (fine, outside))
        held_all(
            f"{what} at fine steps, case {case}",
            mine,
            theirs,
            abs=allowed,
            unit=unit,
            source=SOURCE,
            because=FINE,
        )
    # all else of the state, of many units: an equation that differs by a thousandth would show itself
    names = tuple(name for name in outside if name.startswith("end_"))
    apart = [abs(fine[name] - outside[name]) / (1.0 + abs(outside[name])) for name in names]
    assert max(apart) < 1e-3, names[int(np.argmax(apart))]
