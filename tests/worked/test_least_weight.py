"""The lightest arrangement against brute force and against another solver."""

import itertools

import numpy as np
import pytest
from outside import held
from scipy.optimize import LinearConstraint, linprog, milp

from glidewright.models.mass.least_weight import (
    BallastPlace,
    Option,
    Slot,
    Target,
    Worth,
    lightest,
    nearest_miss,
)

STATICS = {"source": "statics by hand", "because": "rounding of the solver", "abs": 1e-9}


def random_case(seed: int, slots: int, options: int) -> tuple[list[Slot], list[BallastPlace], Target]:
    rng = np.random.default_rng(seed)
    made = []
    for i in range(slots):
        choices = []
        for j in range(options):
            low = rng.uniform(-0.25, 0.3)
            wide = rng.choice([0.0, rng.uniform(0.0, 0.08)])
            choices.append(
                Option(
                    f"{i}.{j}", rng.uniform(0.005, 0.12), low, low + wide, 0.0, rng.uniform(0, 30), 600.0 * j
                )
            )
        made.append(Slot(str(i), tuple(choices)))
    ballast = [BallastPlace("nose", -0.3, 0.1), BallastPlace("tail", 0.8, 0.1)]
    front = rng.uniform(0.0, 0.09)
    return made, ballast, Target(front, front + 0.01)


def brute_force(slots: list[Slot], ballast: list[BallastPlace], target: Target, worth: Worth) -> float:
    """Every combination; slides and ballast of each by scipy.optimize.linprog."""
    best = np.inf
    for combo in itertools.product(*(slot.options for slot in slots)):
        mass = np.array([o.mass_kg for o in combo] + [1.0] * len(ballast))
        widths = [(0.0, o.x_high_m - o.x_low_m) for o in combo] + [(0.0, p.most_kg) for p in ballast]
        rows, limits = [], []
        for edge, sign in ((target.front_m, -1.0), (target.rear_m, 1.0)):
            fixed = sum(o.mass_kg * (o.x_low_m - edge) for o in combo)
            row = [o.mass_kg for o in combo] + [p.x_m - edge for p in ballast]
            rows.append(sign * np.array(row))
            limits.append(-sign * fixed)
        cost = np.zeros(mass.size)
        cost[len(combo) :] = 1.0
        found = linprog(cost, A_ub=np.array(rows), b_ub=limits, bounds=widths)
        if found.status == 0:
            rank = found.fun + sum(
                o.mass_kg + worth.cost_kg * o.cost + worth.hour_kg * o.work_s / 3600.0 for o in combo
            )
            best = min(best, rank)
    return best


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize(
    "worth", [Worth(), Worth(cost_kg=0.0005, hour_kg=0.005)], ids=["mass", "mass, cost, work"]
)
def test_the_best_is_what_brute_force_finds(seed: int, worth: Worth) -> None:
    slots, ballast, target = random_case(seed, slots=4, options=3)
    found = lightest(slots, ballast, target, worth)
    assert found is not None
    expected = brute_force(slots, ballast, target, worth)
    assert found.miss_m == 0.0
    counts = "mass, cost and work" if worth.hour_kg else "mass"
    held(
        f"best of 81 combinations by {counts}, invented case {seed}",
        found.rank_kg,
        expected,
        abs=1e-7,
        unit="kg",
        source="every combination by scipy.optimize.linprog",
        because="tolerance of the solvers, a ten-thousandth of a gram",
    )


def test_nothing_that_fits_names_the_nearest_miss() -> None:
    slots = [Slot("rest", (Option("rest", 0.6, 0.05, 0.05),))]
    places, target = [BallastPlace("tail", 0.8, 0.005)], Target(0.07, 0.08)
    assert lightest(slots, places, target) is None
    found = nearest_miss(slots, places, target, Worth())
    # By hand: (0.6 * 0.05 + 0.005 * 0.8) / 0.605 = 0.05620 m, 13.8 mm short of the range.
    missing = 0.07 - 0.034 / 0.605
    held("way short of the range when nothing fits", found.miss_m, missing, unit="m", **STATICS)


def test_a_side_moment_is_taken_out_by_a_tip_weight() -> None:
    # By hand: 6 g m of side moment against 0.9 m of arm asks for 6.67 g at the light tip.
    slots = [Slot("wing", (Option("wing", 0.3, 0.075, 0.075, y_m=0.02),))]
    tips = [BallastPlace("left tip", 0.075, 0.05, y_m=-0.9), BallastPlace("right tip", 0.075, 0.05, y_m=0.9)]
    found = lightest(slots, tips, Target(0.07, 0.08, side_kg_m=0.0))
    assert found is not None
    held("weight at a wing tip", found.ballast_kg[0], 0.006 / 0.9, unit="kg", **STATICS)
    assert found.ballast_kg[1] == pytest.approx(0.0, abs=1e-12)


def test_minimum_ballast_of_a_single_weight_by_hand() -> None:
    # Statics: w = M (x_front - x) / (x_tail - x_front) = 0.6 * 0.005 / 0.736 = 4.08 g.
    slots = [Slot("rest", (Option("rest", 0.6, 0.059, 0.059),))]
    found = lightest(slots, [BallastPlace("tail", 0.8, 0.1)], Target(0.064, 0.079))
    assert found is not None
    least = 0.6 * 0.005 / (0.8 - 0.064)
    held("least ballast of one weight", found.ballast_kg[0], least, unit="kg", **STATICS)


def test_thirty_items_of_five_options_agree_with_another_solver() -> None:
    slots, ballast, target = random_case(9, slots=30, options=5)
    found = lightest(slots, ballast, target)
    assert found is not None
    # Outside reference: scipy.optimize.milp on a programme written here, without slides (taken at both ends).
    n = 30 * 5
    mass = np.array([o.mass_kg for s in slots for o in s.options])
    low = np.array([o.x_low_m for s in slots for o in s.options])
    wide = np.array([o.x_high_m - o.x_low_m for s in slots for o in s.options])
    cost = np.concatenate([mass, np.zeros(n), np.ones(2)])
    one_each = np.zeros((30, 2 * n + 2))
    for i in range(30):
        one_each[i, 5 * i : 5 * i + 5] = 1.0
    slide = np.hstack([-np.diag(wide), np.eye(n), np.zeros((n, 2))])
    front = np.concatenate([mass * (low - target.front_m), mass, [p.x_m - target.front_m for p in ballast]])
    rear = np.concatenate([mass * (low - target.rear_m), mass, [p.x_m - target.rear_m for p in ballast]])
    upper = np.concatenate([np.ones(n), wide, [p.most_kg for p in ballast]])
    reference = milp(
        cost,
        constraints=[
            LinearConstraint(one_each, 1, 1),
            LinearConstraint(slide, -np.inf, 0),
            LinearConstraint(front[None], 0, np.inf),
            LinearConstraint(rear[None], -np.inf, 0),
        ],
        integrality=np.concatenate([np.ones(n), np.zeros(n + 2)]),
        bounds=(np.zeros(2 * n + 2), upper),
        options={"mip_rel_gap": 0.0},
    )
    held(
        "best of thirty items with five options each",
        found.rank_kg,
        reference.fun,
        abs=1e-6,
        unit="kg",
        source="scipy.optimize.milp on a programme of its own",
        because="tolerance of the solvers, a thousandth of a gram",
    )
