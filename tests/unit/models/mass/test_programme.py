"""The mixed integer programme: proved, silent, and honest about what has no answer."""

import numpy as np
import pytest
from scipy.optimize import LinearConstraint, milp

from glidewright.models.mass.least_weight import BallastPlace, Option, Slot, Target, Worth, lightest
from glidewright.models.mass.programme import Programme, solve


@pytest.mark.parametrize("seed", range(8))
def test_the_optimum_is_that_of_another_solver(seed: int) -> None:
    rng = np.random.default_rng(seed)
    cost, rows, limits = rng.uniform(-1, 1, 12), rng.uniform(-1, 1, (5, 12)), rng.uniform(1, 3, 5)
    whole = rng.random(12) < 0.5
    programme = Programme()
    columns = [programme.column(c, 0.0, 3.0, is_whole=bool(w)) for c, w in zip(cost, whole, strict=True)]
    for row, limit in zip(rows, limits, strict=True):
        programme.row(dict(zip(columns, map(float, row), strict=True)), -np.inf, float(limit))
    found = solve(programme)
    assert found is not None
    reference = milp(
        cost, constraints=LinearConstraint(rows, -np.inf, limits), integrality=whole, bounds=(0, 3)
    )
    assert float(cost @ found) == pytest.approx(reference.fun, abs=1e-7)


def test_what_cannot_be_has_no_values(capfd: pytest.CaptureFixture[str]) -> None:
    programme = Programme()
    programme.row({programme.column(1.0, 0.0, 1.0, is_whole=True): 1.0}, 2.0, np.inf)
    assert solve(programme) is None
    assert capfd.readouterr() == ("", "")


def test_a_programme_without_an_end_is_no_answer() -> None:
    programme = Programme()
    programme.column(-1.0, 0.0, np.inf)
    with pytest.raises(RuntimeError, match="proved answer"):
        solve(programme)


def test_marks_that_are_ruled_out_force_another_way() -> None:
    pack = Slot(
        "pack",
        (Option("now", 0.05, -0.16, -0.16), Option("back", 0.05, -0.05, -0.05, marks=frozenset({"back"}))),
    )
    rest, tail = Slot("rest", (Option("rest", 0.55, 0.085, 0.085),)), BallastPlace("tail", 0.8, 0.1)
    target = Target(0.07, 0.08)
    best = lightest([pack, rest], [tail], target, Worth(), ())
    assert best is not None and best.chosen == (1, 0)
    other = lightest([pack, rest], [tail], target, Worth(), [frozenset({"back"})])
    assert other is not None and other.chosen == (0, 0)
    # by hand: (0.07 * 0.6 - 0.55 * 0.085 + 0.05 * 0.16) / (0.8 - 0.07)
    assert other.ballast_kg[0] == pytest.approx((0.042 - 0.04675 + 0.008) / 0.73, abs=1e-9)
    assert lightest([pack, rest], [tail], target, Worth(), [frozenset({"back"}), frozenset({"tail"})]) is None
