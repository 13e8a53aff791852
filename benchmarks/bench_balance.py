"""Balance options of 30 items with 5 alternatives each, against other ways to the same answer.

Run as ``python benchmarks/bench_balance.py``. Three sides in one run: the best six ways in order as the
program finds them; the optimum alone by ``scipy.optimize.milp`` on a programme written here; and plain
enumeration, timed on the first combinations (vectorised) and extrapolated to all. The optimum must agree.
"""

import time
from collections.abc import Sequence
from itertools import islice

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import LinearConstraint, milp

from glidewright.decisions.balancing.search import ranked
from glidewright.decisions.balancing.slots import Choice, Way
from glidewright.models.mass.least_weight import BallastPlace, Option, Target, Worth
from measure import Measured, finish

ITEMS, OPTIONS, TOLD = 30, 5, 6
ENUMERATED_SLOTS = 8
CASES = 5
BALLAST = (BallastPlace("nose", -0.3, 0.1, 0.0, 900.0), BallastPlace("tail", 0.8, 0.1, 0.0, 900.0))
WORTH = Worth(cost_kg=0.0002, hour_kg=0.002)
TARGET = Target(0.068, 0.075)
Array = NDArray[np.float64]


def case(seed: int, items: int = ITEMS) -> list[Choice]:
    """Items of 5 to 60 g; every other way weighs, lies, costs and works differently, some slide."""
    rng = np.random.default_rng(seed)
    made = []
    for item in range(items):
        mass, x = rng.uniform(0.005, 0.06), rng.uniform(-0.25, 0.30)
        ways = []
        for number in range(OPTIONS):
            is_now = number == 0
            low = x if is_now else x + rng.uniform(-0.05, 0.05)
            width = 0.0 if is_now or rng.random() < 0.5 else rng.uniform(0.01, 0.08)
            own = mass if is_now else mass * rng.uniform(0.8, 1.3)
            cost, work = (0.0, 0.0) if is_now else (rng.uniform(0, 30), rng.uniform(300, 6000))
            changes = frozenset[str]() if is_now else frozenset({f"{item} {number}"})
            ways.append(Way(Option(f"{item} {number}", own, low, low + width, 0.0, cost, work, changes), ()))
        made.append(Choice(str(item), tuple(ways)))
    return made


def by_milp(choices: list[Choice]) -> float:
    """The least rank by scipy's solver."""
    options = [way.option for choice in choices for way in choice.ways]
    n, k = len(options), len(BALLAST)
    mass = np.array([o.mass_kg for o in options])
    low = np.array([o.x_low_m for o in options])
    width = np.array([o.x_high_m for o in options]) - low
    fixed = np.array([WORTH.cost_kg * o.cost + WORTH.hour_kg * o.work_s / 3600.0 for o in options])
    used = np.array([WORTH.hour_kg * place.work_s / 3600.0 for place in BALLAST])
    most = np.array([place.most_kg for place in BALLAST])
    cost = np.concatenate([mass + fixed, np.zeros(n), np.ones(k), used])
    one_each = np.zeros((ITEMS, 2 * n + 2 * k))
    for item in range(ITEMS):
        one_each[item, OPTIONS * item : OPTIONS * (item + 1)] = 1.0
    slide = np.hstack([-np.diag(width), np.eye(n), np.zeros((n, 2 * k))])
    weight = np.hstack([np.zeros((k, 2 * n)), np.eye(k), -np.diag(most)])
    edges = [
        np.concatenate([mass * (low - edge), mass, [place.x_m - edge for place in BALLAST], np.zeros(k)])
        for edge in (TARGET.front_m, TARGET.rear_m)
    ]
    found = milp(
        cost,
        constraints=[
            LinearConstraint(one_each, 1, 1),
            LinearConstraint(np.vstack([slide, weight]), -np.inf, 0),
            LinearConstraint(edges[0][None], 0, np.inf),
            LinearConstraint(edges[1][None], -np.inf, 0),
        ],
        integrality=np.concatenate([np.ones(n), np.zeros(n + k), np.ones(k)]),
        bounds=(np.zeros(cost.size), np.concatenate([np.ones(n), width, most, np.ones(k)])),
        options={"mip_rel_gap": 0.0},
    )
    return float(found.fun)


def enumerate_some(choices: list[Choice]) -> int:
    """Rank every combination of the first items, the others as they are; returns how many there were."""
    mass, low, high, extra = np.zeros(1), np.zeros(1), np.zeros(1), np.zeros(1)
    for number, choice in enumerate(choices):
        options = [way.option for way in choice.ways[: None if number < ENUMERATED_SLOTS else 1]]
        own: Array = np.array([o.mass_kg for o in options])
        mass = np.add.outer(mass, own).ravel()
        low = np.add.outer(low, own * [o.x_low_m for o in options]).ravel()
        high = np.add.outer(high, own * [o.x_high_m for o in options]).ravel()
        more = [WORTH.cost_kg * o.cost + WORTH.hour_kg * o.work_s / 3600.0 for o in options]
        extra = np.add.outer(extra, np.array(more)).ravel()
    at_tail = np.maximum(TARGET.front_m * mass - high, 0.0) / (BALLAST[1].x_m - TARGET.front_m)
    at_nose = np.maximum(low - TARGET.rear_m * mass, 0.0) / (TARGET.rear_m - BALLAST[0].x_m)
    int(np.argmin(mass + extra + at_tail + at_nose))
    return mass.size


def main() -> dict[str, float]:
    """Measure all sides, print and return times and ratios."""
    list(islice(ranked(case(0), None, BALLAST, TARGET, WORTH), 1))  # the solver is loaded
    ours, best_alone, theirs, worst = [], [], [], 0.0
    for seed in range(1, CASES + 1):
        choices = case(seed)
        start = time.perf_counter()
        first = next(ranked(choices, None, BALLAST, TARGET, WORTH))
        best_alone.append(time.perf_counter() - start)
        start = time.perf_counter()
        told = list(islice(ranked(choices, None, BALLAST, TARGET, WORTH), TOLD))
        ours.append(time.perf_counter() - start)
        assert len(told) == TOLD
        start = time.perf_counter()
        other = by_milp(choices)
        theirs.append(time.perf_counter() - start)
        worst = max(worst, abs(other - first.arrangement.rank_kg))
    start = time.perf_counter()
    count = enumerate_some(case(1))
    every_s = (time.perf_counter() - start) / count * float(OPTIONS) ** ITEMS
    result = {
        "best_s": max(best_alone),
        "six_s": max(ours),
        "milp_s": max(theirs),
        "ratio_to_milp": float(np.median(theirs) / np.median(best_alone)),
        "enumeration_s": every_s,
        "ratio_to_enumeration": every_s / max(ours),
        "worst_difference_kg": worst,
    }
    print(f"{ITEMS} items, {OPTIONS} ways each, slowest of {CASES} cases")
    print(f"the best way           {result['best_s']:12.3f} s")
    print(f"the best {TOLD} in order    {result['six_s']:12.3f} s   (wanted: below 1 s)")
    ratio = f"{result['ratio_to_milp']:.2f} times ours, medians"
    print(f"scipy's milp, the best {result['milp_s']:12.3f} s   {ratio}")
    print(f"plain enumeration      {every_s:12.1e} s   extrapolated from {count} combinations")
    print(f"ratio to enumeration   {result['ratio_to_enumeration']:12.1e}")
    print(f"worst difference       {worst:12.1e} kg")
    return result


def measured() -> Sequence[Measured]:
    """The figures of the report."""
    found = main()
    size = f"{ITEMS} items, {OPTIONS} ways each, slowest of {CASES} cases"
    agree = f"{size}; the best differ by {found['worst_difference_kg']:.0e} kg"
    every = "plain enumeration, extrapolated"
    return [
        Measured(
            "the best way to balance",
            found["best_s"],
            "s",
            found["milp_s"],
            "scipy's milp, best way",
            note=agree,
        ),
        Measured(
            f"the best {TOLD} ways in order",
            found["six_s"],
            "s",
            found["enumeration_s"],
            every,
            1.0,
            note=size,
        ),
    ]


if __name__ == "__main__":
    finish(measured)
