"""The set that nothing beats, against the definition and a published library."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray
from pymoo.util.nds.non_dominated_sorting import NonDominatedSorting

from glidewright.decisions.nondominated import Front, beats

Array = NDArray[np.float64]


def by_definition(values: Array) -> set[tuple[float, ...]]:
    """Rows that no other row beats; equal ones do not beat each other."""
    return {tuple(row) for row in values if not any(beats(other, row) for other in values)}


def rows_of(values: Array, front: Front) -> set[tuple[float, ...]]:
    return {tuple(values[place]) for place in front.members}


SMALL = st.integers(1, 5).flatmap(
    lambda goals: st.lists(
        st.lists(st.integers(0, 4), min_size=goals, max_size=goals), min_size=0, max_size=30
    ).map(lambda rows: np.array(rows, dtype=np.float64).reshape(-1, goals))
)


@given(SMALL)
def test_it_is_the_set_of_the_definition(values: Array) -> None:
    assert rows_of(values, Front(values)) == by_definition(values)


@pytest.mark.parametrize("goals", [2, 3, 5, 7])
@pytest.mark.parametrize("seed", range(5))
def test_it_agrees_with_a_published_library(goals: int, seed: int) -> None:
    rng = np.random.default_rng(1000 * goals + seed)
    values = np.round(rng.normal(size=(1500, goals)), 1 if seed % 2 else 6)  # with ties, and without
    theirs = NonDominatedSorting().do(values, only_non_dominated_front=True)
    assert rows_of(values, Front(values)) == {tuple(values[place]) for place in theirs}


@given(SMALL, st.data())
def test_a_front_keeps_one_of_equals_and_brings_back_what_only_the_gone_had_beaten(
    values: Array, data: st.DataObject
) -> None:
    alive = list(range(values.shape[0]))
    front = Front(values)
    while alive:
        wanted = by_definition(values[alive])
        found = front.members
        assert [tuple(values[i]) for i in found] == sorted(wanted)
        first = {row: min(i for i in alive if tuple(values[i]) == row) for row in wanted}
        assert set(found) == set(first.values())
        equal = {row: sum(tuple(values[i]) == row for i in alive) - 1 for row in wanted}
        assert [front.equals_of(i) for i in found] == [equal[tuple(values[i])] for i in found]
        gone = data.draw(st.lists(st.sampled_from(found), min_size=1, unique=True))
        front.without(gone)
        alive = [i for i in alive if i not in gone]
    assert front.members == []


def test_of_equal_options_the_first_of_the_order_stands_for_all() -> None:
    values = np.array([[1.0, 1.0], [1.0, 1.0], [0.0, 2.0]])
    assert Front(values, np.array([1, 0, 2])).members == [2, 1]


def test_many_options_are_sorted_in_blocks() -> None:
    rng = np.random.default_rng(7)
    values = rng.random((5000, 4))
    front = Front(values)
    theirs = NonDominatedSorting().do(values, only_non_dominated_front=True)
    assert sorted(front.members) == sorted(theirs.tolist())
    assert len(front.members) > 100
