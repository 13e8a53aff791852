"""Launch kernel against ``scipy.integrate.solve_ivp`` on the same equations in plain Python.

The solver (DOP853 of E. Hairer, S. P. Norsett and G. Wanner) works at a tolerance of 1e-9 and has its own
event location; the operating point inside is scipy's ``brentq``.
"""

from functools import partial

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

SOLVER = {
    "source": "scipy.integrate.solve_ivp, DOP853 at 1e-9, with scipy.optimize.brentq inside",
    "because": "steps of the kernel at its usual tolerance: 0.1 m of 100, less than an altimeter tells",
    "rel": 1e-3,
}


@pytest.mark.parametrize("case", CASES)
def test_height_and_charge_within_a_thousandth(case: str) -> None:
    inputs = example_inputs(**CASES[case])
    watch = case == "low voltage"
    outside = plain_launch(PlainLaunch.of(inputs, root=ROOT), SOLVE, watch_voltage=watch)
    kernel = dict(zip(ll.OUTPUT_FIELDS, launch_outputs(inputs)[0], strict=True))
    for what, names, unit in (("heights", HEIGHTS, "m"), ("charge, time and energies", OTHERS, "")):
        mine, theirs = ([run[name] for name in names] for run in (kernel, outside))
        held_all(f"{what}, case {case}", mine, theirs, unit=unit, **SOLVER)
    fine = dict(zip(ll.OUTPUT_FIELDS, launch_outputs(inputs, tolerance_m=1e-6)[0], strict=True))
    names = (*HEIGHTS, *OTHERS[:2], *(n for n in outside if n.startswith("end_")))
    held_all(
        f"all results at fine steps, case {case}",
        [fine[name] for name in names],
        [outside[name] for name in names],
        rel=1e-5,
        abs=2e-3,
        source=SOLVER["source"],
        because="nearer than needed, so that an equation that differs a little shows itself",
    )
