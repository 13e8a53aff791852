"""The options that no other beats, against brute force and a published library."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pymoo.util.nds.non_dominated_sorting import NonDominatedSorting

from glidewright.decisions.fairness.front import Row, beaten_by


def brute_force(rows: list[Row]) -> set[int]:
    """A row stands when no other is at most as large everywhere and smaller somewhere."""
    standing = set()
    for place, row in enumerate(rows):
        worse = False
        for other in rows:
            if max(a - b for a, b in zip(other, row, strict=True)) <= 0.0 and other != row:
                worse = True
        if not worse:
            standing.add(place)
    return standing


@given(st.lists(st.tuples(*[st.integers(0, 5).map(float)] * 3), min_size=1, max_size=14))
def test_standing_rows_are_those_of_brute_force(rows: list[Row]) -> None:
    found = {place for place, by in enumerate(beaten_by(rows)) if not by}
    assert found == brute_force(rows)


@pytest.mark.parametrize("seed", range(5))
def test_standing_rows_are_those_of_a_library(seed: int) -> None:
    # pymoo, fast non-dominated sort of Deb et al. 2002: its first front
    rows = np.random.default_rng(seed).integers(0, 8, (40, 3)).astype(float)
    found = [place for place, by in enumerate(beaten_by([tuple(row) for row in rows])) if not by]
    front = NonDominatedSorting().do(rows, only_non_dominated_front=True)
    assert sorted(front.tolist()) == found


def test_equal_rows_do_not_beat_each_other() -> None:
    assert beaten_by([(1.0, 1.0), (1.0, 1.0)]) == [[], []]


def test_an_unknown_cost_counts_as_the_highest() -> None:
    assert beaten_by([(1.0, float("inf"), 0.0), (1.0, 50.0, 0.0)]) == [[1], []]
