"""A 30 s launch in the compiled kernel against ``scipy.integrate.solve_ivp`` on the same equations.

Run as ``python benchmarks/bench_launch.py``. The reference is solve_ivp at a tolerance of 1e-10. Of its
methods and tolerances those count as equally accurate whose height and charge are within 0.1 % of the
reference, as the kernel's are; the ratio is taken against the method that scipy uses unless told otherwise
and against the fastest one. Both sides count the same accounts of energy; the operating point inside
solve_ivp is found by scipy's ``brentq``.
"""

import time
from functools import partial

import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from glidewright.models.launch.example import example_inputs
from glidewright.models.launch.flights import launch_outputs
from glidewright.models.launch.layout import CHARGE_USED, HIGHEST_IN_WINDOW
from glidewright.models.launch.plain import PlainLaunch, plain_launch

DRAWS, ROUNDS, ONE_CORE_DRAWS = 4096, 7, 31
ALLOWED = 1e-3
METHODS = [("RK45", tolerance) for tolerance in (1e-2, 1e-3, 1e-4, 1e-6)]
METHODS += [("RK23", tolerance) for tolerance in (1e-2, 1e-3, 1e-4)]
METHODS += [("LSODA", tolerance) for tolerance in (1e-2, 1e-3, 1e-4)]
METHODS += [("DOP853", tolerance) for tolerance in (1e-2, 1e-3, 1e-6)]


def solved(method: str, rtol: float, atol: float) -> tuple[float, np.ndarray]:
    """Seconds of a launch with solve_ivp, the best of three, and its height and charge."""
    flight = PlainLaunch.of(example_inputs(), root=partial(brentq, xtol=1e-10, rtol=1e-10))
    solve = partial(solve_ivp, method=method, rtol=rtol, atol=atol)
    best = np.inf
    for _ in range(3):
        start = time.perf_counter()
        found = plain_launch(flight, solve, watch_voltage=False)
        best = min(best, time.perf_counter() - start)
    return best, np.array([found["highest_in_window_m"], found["charge_used_As"]])


def flown(draws: int) -> tuple[float, np.ndarray]:
    """Seconds of so many launches in the kernel, the best of some rounds, and height and charge of one."""
    inputs = example_inputs(mass_kg=np.linspace(0.59, 0.60, draws))
    launch_outputs(inputs.rows(0, 1))  # compiled or loaded from the cache
    best = np.inf
    for _ in range(ROUNDS):
        start = time.perf_counter()
        found = launch_outputs(inputs)
        best = min(best, time.perf_counter() - start)
    return best, found[0, [HIGHEST_IN_WINDOW, CHARGE_USED]]


def main() -> dict[str, float]:
    """Measure both sides, print and return times and ratios."""
    _, reference = solved("DOP853", 1e-10, 1e-10)
    batch_s, kernel = flown(DRAWS)
    # fewer draws than two shares stay in one thread
    one_core_s = min(flown(ONE_CORE_DRAWS)[0] for _ in range(3)) / ONE_CORE_DRAWS
    error = np.abs(kernel / reference - 1.0)
    print(
        f"kernel                  {one_core_s * 1e3:9.4f} ms on one core, error {error[0]:.1e} {error[1]:.1e}"
    )
    print(f"{DRAWS} draws, all cores  {batch_s:9.3f} s, {batch_s / DRAWS * 1e3:.4f} ms a launch")
    equal = {}
    for method, tolerance in METHODS:
        seconds, found = solved(method, tolerance, 1e-6 if tolerance == 1e-3 else tolerance * 1e-2)
        off = np.abs(found / reference - 1.0)
        if np.all(off < ALLOWED):
            equal[method, tolerance] = seconds
        print(
            f"solve_ivp {method:6s} {tolerance:6.0e} {seconds * 1e3:9.1f} ms, error {off[0]:.1e} {off[1]:.1e}"
        )
    usual, fastest = equal["RK45", 1e-3], min(equal.values())
    result = {
        "one_core_s": one_core_s,
        "batch_s": batch_s,
        "height_error": float(error[0]),
        "charge_error": float(error[1]),
        "ratio_usual": usual / (batch_s / DRAWS),
        "ratio_usual_one_core": usual / one_core_s,
        "ratio_fastest": fastest / (batch_s / DRAWS),
        "ratio_fastest_one_core": fastest / one_core_s,
    }
    for name in ("usual", "fastest"):
        all_cores, one = result[f"ratio_{name}"], result[f"ratio_{name}_one_core"]
        print(f"ratio to the {name:8s} solve_ivp  {all_cores:7.0f} with all cores, {one:7.0f} on one core")
    return result


if __name__ == "__main__":
    main()
