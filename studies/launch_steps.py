"""How far the launch kernel is from an outside solver, over many launches and by the size of its steps.

    python studies/launch_steps.py [CASES]      measure, print, keep in docs/studies/

Launches are drawn over the whole range of light electric gliders (mass, drive, wind, throw, hot and cold
packs, what stops the motor). Every one is flown by the kernel at several tolerances of a step, and by
``scipy.integrate.solve_ivp`` (DOP853 at 1e-9) on the same equations in plain Python with its own event
location. What is compared: heights, charge, time, and the temperatures of motor and pack.
"""

import sys
from collections.abc import Mapping
from functools import partial
from typing import Any

import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

import stored
from glidewright.models.launch import layout as ll
from glidewright.models.launch.example import example_inputs
from glidewright.models.launch.flights import TOLERANCE_m, launch_outputs
from glidewright.models.launch.plain import PlainLaunch, plain_launch

CASES, SEED = 60, 31
TOLERANCES_m = (1.0, 0.3, 0.1, 0.03, 0.01, 1e-3, 1e-4, 1e-6)
COMPARED: Mapping[str, tuple[str, ...]] = {
    "heights, m": ("height_at_cut_m", "highest_in_window_m", "height_at_window_end_m", "top_height_m"),
    "charge, As": ("charge_used_As",),
    "motor stop, s": ("cut_time_s",),
    "temperatures, K": ("end_motor_temperature_K", "end_pack_temperature_K"),
}
_ROOT = partial(brentq, xtol=1e-11, rtol=1e-12)
_SOLVE = partial(solve_ivp, method="DOP853", rtol=1e-9, atol=1e-9)


def case(random: np.random.Generator) -> dict[str, float]:
    """One launch, its inputs by the names of the kernel."""
    found = {
        "mass_kg": random.uniform(0.35, 1.2),
        "run_limit_s": random.uniform(4.0, 30.0),
        "throw_speed_m_s": random.uniform(5.0, 11.0),
        "climb_speed_m_s": random.uniform(7.0, 14.0),
        "wind_speed_m_s": random.uniform(0.0, 8.0),
        "motor_start_s": random.uniform(-0.5, 0.6),
        "full_duty": random.uniform(0.6, 1.0),
        "charge_As": random.uniform(0.0, 900.0),
    }
    if random.random() < 0.4:
        found |= {"run_limit_s": float("inf"), "cut_height_m": random.uniform(50.0, 200.0)}
    return found


def differences(given: Mapping[str, float]) -> dict[str, list[float]]:
    """Largest difference from the solver by kind, for every tolerance."""
    inputs = example_inputs(**given)
    outside = plain_launch(PlainLaunch.of(inputs, root=_ROOT), _SOLVE)
    found: dict[str, list[float]] = {kind: [] for kind in COMPARED}
    for tolerance in TOLERANCES_m:
        mine = dict(zip(ll.OUTPUT_FIELDS, launch_outputs(inputs, tolerance_m=tolerance)[0], strict=True))
        for kind, names in COMPARED.items():
            found[kind].append(max(abs(float(mine[name]) - outside[name]) for name in names))
    return found


def main() -> None:
    """Measure, print, keep."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else CASES
    random = np.random.Generator(np.random.PCG64(SEED))
    cases = [differences(case(random)) for _ in range(count)]
    usual = TOLERANCES_m.index(min(TOLERANCES_m, key=lambda one: abs(one - TOLERANCE_m)))
    by_kind: dict[str, Any] = {}
    for kind in COMPARED:
        rows = np.array([one[kind] for one in cases])
        by_kind[kind] = {
            "worst": [float(f"{one:.3g}") for one in rows.max(axis=0)],
            "median": [float(f"{one:.3g}") for one in np.median(rows, axis=0)],
            "cases": sorted(float(f"{one:.3g}") for one in rows[:, usual]),
        }
        print(f"{kind}: worst", by_kind[kind]["worst"])
    found = {
        "cases": count,
        "tolerances_m": TOLERANCES_m,
        "usual_m": TOLERANCES_m[usual],
        "by_kind": by_kind,
    }
    stored.keep("launch_steps", "python studies/launch_steps.py", found, seed=SEED)


if __name__ == "__main__":
    main()
