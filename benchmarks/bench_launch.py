"""A 30 s launch in the compiled kernel against ``scipy.integrate.solve_ivp`` on the same equations.

Run as ``python benchmarks/bench_launch.py``. The reference is solve_ivp at a tolerance of 1e-10. On both
sides those settings count as equally accurate whose height and charge are within 0.1 % of the reference, and
each side is timed at the fastest of them; the kernel also as the program runs it, which is finer. The ratio
is taken against the method that scipy uses unless told otherwise and against the fastest one. Both sides
count the same accounts of energy; the operating point inside solve_ivp is found by scipy's ``brentq``.
"""

import time
from collections.abc import Sequence
from functools import partial

import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from glidewright.models.launch.example import example_inputs
from glidewright.models.launch.flights import TOLERANCE_m, launch_outputs
from glidewright.models.launch.layout import CHARGE_USED, HIGHEST_IN_WINDOW
from glidewright.models.launch.plain import PlainLaunch, plain_launch
from measure import Measured, finish

DRAWS, ROUNDS, ONE_CORE_DRAWS = 4096, 7, 31
ALLOWED = 1e-3
KERNEL_TOLERANCES_M = (TOLERANCE_m, 0.03, 0.1)
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


def flown(draws: int, tolerance_m: float) -> tuple[float, np.ndarray]:
    """Seconds of so many launches in the kernel, the best of some rounds, and height and charge of one."""
    inputs = example_inputs(mass_kg=np.linspace(0.59, 0.60, draws))
    launch_outputs(inputs.rows(0, 1))  # compiled or loaded from the cache
    best = np.inf
    for _ in range(ROUNDS):
        start = time.perf_counter()
        found = launch_outputs(inputs, tolerance_m=tolerance_m)
        best = min(best, time.perf_counter() - start)
    return best, found[0, [HIGHEST_IN_WINDOW, CHARGE_USED]]


def main() -> dict[str, float]:
    """Measure both sides, print and return times and ratios."""
    _, reference = solved("DOP853", 1e-10, 1e-10)
    result: dict[str, float] = {}
    kernel: dict[str, list[float]] = {"all cores": [], "one core": []}
    for tolerance in KERNEL_TOLERANCES_M:
        batch_s, found = flown(DRAWS, tolerance)
        # fewer draws than two shares stay in one thread
        one_core_s = min(flown(ONE_CORE_DRAWS, tolerance)[0] for _ in range(3)) / ONE_CORE_DRAWS
        off = np.abs(found / reference - 1.0)
        if tolerance == TOLERANCE_m:
            result |= {"one_core_s": one_core_s, "batch_s": batch_s}
            result |= {"height_error": float(off[0]), "charge_error": float(off[1])}
            print(f"{DRAWS} draws, all cores, as the program runs it: {batch_s:.3f} s")
        if np.all(off < ALLOWED):
            kernel["all cores"].append(batch_s / DRAWS)
            kernel["one core"].append(one_core_s)
        print(
            f"kernel at {tolerance:5.2f} m {one_core_s * 1e3:9.4f} ms on one core, "
            f"{batch_s / DRAWS * 1e3:.4f} ms with all, error {off[0]:.1e} {off[1]:.1e}"
        )
    equal = {}
    for method, tolerance in METHODS:
        seconds, found = solved(method, tolerance, 1e-6 if tolerance == 1e-3 else tolerance * 1e-2)
        off = np.abs(found / reference - 1.0)
        if np.all(off < ALLOWED):
            equal[method, tolerance] = seconds
        print(
            f"solve_ivp {method:6s} {tolerance:6.0e} {seconds * 1e3:9.1f} ms, error {off[0]:.1e} {off[1]:.1e}"
        )
    for name, seconds in (("usual", equal["RK45", 1e-3]), ("fastest", min(equal.values()))):
        for cores, times in kernel.items():
            result[f"ratio to the {name} solve_ivp, {cores}"] = seconds / min(times)
            result[f"{name} solve_ivp"], result[cores] = seconds, min(times)
            print(f"ratio to the {name:8s} solve_ivp, {cores:9s} {seconds / min(times):7.0f}")
    return result


def measured() -> Sequence[Measured]:
    """The figures of the report."""
    found = main()
    both = f"height and charge of both within {ALLOWED:.1%} of the reference"
    names = {
        "usual": "solve_ivp, the method it takes by itself",
        "fastest": "the fastest method of solve_ivp",
    }
    rows = [
        Measured(
            f"a 30 s launch, {cores}",
            found[cores] * 1e3,
            "ms",
            found[f"{name} solve_ivp"] * 1e3,
            told,
            1000.0 if cores == "all cores" else None,
            "ratio",
            note=both,
        )
        for name, told in names.items()
        for cores in ("all cores", "one core")
    ]
    error = f"as the program runs it: error of height {found['height_error']:.0e}"
    return [*rows, Measured(f"{DRAWS} launches, all cores", found["batch_s"], "s", note=error)]


if __name__ == "__main__":
    finish(measured)
