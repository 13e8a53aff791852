"""Operating points of the compiled kernel against a loop with scipy's root finder over the same points.

Run as ``python benchmarks/bench_operating_point.py``. Both sides solve the same equations to the same root;
the loop brackets it and calls ``scipy.optimize.brentq`` on the plain Python twin.
"""

import time
from collections.abc import Sequence
from functools import partial

import numpy as np
from scipy.optimize import brentq

from glidewright.models.power.example import example_cells, example_curves, example_power
from glidewright.models.power.kernel import operating_points
from glidewright.models.power.layout import CONDITION_FIELDS, POWER_FIELDS, REVS_PER_S
from glidewright.models.power.plain import plain_curves, plain_operating_point
from measure import Measured, finish

SPEEDS = np.linspace(0.0, 20.0, 41)
LOOP_DRAWS, KERNEL_DRAWS, ROUNDS = 4, 2048, 5


def main() -> dict[str, float]:
    """Measure both sides, print and return times a point and their ratio."""
    rng = np.random.default_rng(1)
    spread = {name: rng.uniform(0.9, 1.1, KERNEL_DRAWS) for name in ("resistance", "kv", "power")}
    power = example_power(
        motor_resistance_ohm=0.08 * spread["resistance"],
        motor_kv_rad_per_Vs=106.8 * spread["kv"],
        propeller_power_factor=spread["power"],
    )
    curves, cells = example_curves(), example_cells()
    kernel = partial(operating_points, curves=curves, tables=cells, airspeed_m_s=SPEEDS, density_kg_m3=1.2)
    kernel(power[:1])  # compiled or loaded from the cache
    best = np.inf
    for _ in range(ROUNDS):
        start = time.perf_counter()
        found = kernel(power)
        best = min(best, time.perf_counter() - start)
    kernel_s = best / (KERNEL_DRAWS * SPEEDS.size)

    root = partial(brentq, xtol=1e-10, rtol=1e-10)
    standard = dict(zip(CONDITION_FIELDS, (0.0, 1.2, 1.0, 1.0, 0.0, 293.15, 298.15), strict=True))
    names = [dict(zip(POWER_FIELDS, map(float, row), strict=True)) for row in power[:LOOP_DRAWS]]
    by_node = plain_curves(curves[0])
    start = time.perf_counter()
    plain = np.array(
        [
            [
                plain_operating_point(
                    draw, by_node, cells[0], standard | {"airspeed_m_s": float(v)}, root=root
                )["revs_per_s"]
                for v in SPEEDS
            ]
            for draw in names
        ]
    )
    loop_s = (time.perf_counter() - start) / plain.size
    worst = float(np.max(np.abs(plain / found[:LOOP_DRAWS, :, REVS_PER_S] - 1.0)))
    result = {
        "kernel_s": kernel_s,
        "loop_s": loop_s,
        "ratio": loop_s / kernel_s,
        "worst_difference": worst,
    }
    print(f"kernel, all cores        {kernel_s * 1e6:10.3f} us a point")
    print(f"loop with scipy's brentq {loop_s * 1e6:10.3f} us a point")
    print(f"ratio                    {result['ratio']:10.0f}")
    print(f"worst difference in revs {worst:10.1e}")
    return result


def measured() -> Sequence[Measured]:
    """The figures of the report."""
    found = main()
    note = f"revolutions of both differ by {found['worst_difference']:.0e} at most"
    of = "loop with scipy's brentq"
    return [
        Measured(
            "an operating point",
            found["kernel_s"] * 1e6,
            "µs",
            found["loop_s"] * 1e6,
            of,
            100.0,
            "ratio",
            note=note,
        )
    ]


if __name__ == "__main__":
    finish(measured)
