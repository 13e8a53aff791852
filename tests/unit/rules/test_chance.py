from statistics import NormalDist

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from glidewright.base.figure import Figure
from glidewright.rules.chance import chance_of_figure, chance_within
from glidewright.rules.finding import verdict

NUMBERS = st.floats(min_value=-1e3, max_value=1e3)
DRAWS = st.lists(NUMBERS, min_size=1, max_size=30).map(np.array)


def test_the_chance_is_the_share_of_draws() -> None:
    draws = np.array([1.0, 2.0, 3.0, 4.0])
    assert chance_within(draws, None, 3.0) == 0.75
    assert chance_within(draws, 2.0, None) == 0.75
    assert chance_within(draws, 2.0, 3.0) == 0.5


def test_the_tolerance_widens_both_bounds() -> None:
    draws = np.array([0.9, 2.1])
    assert chance_within(draws, 1.0, 2.0) == 0.0
    assert chance_within(draws, 1.0, 2.0, tolerance=0.15) == 1.0


def test_a_number_on_the_bound_keeps_it_after_unit_conversion() -> None:
    assert chance_within(np.array([0.1 + 0.2]), None, 0.3) == 1.0


def test_a_draw_without_number_does_not_keep() -> None:
    assert chance_within(np.array([1.0, np.nan]), None, 2.0) == 0.5
    assert chance_within(np.array([np.nan]), None, 2.0) is None


def test_kept_anyway_counts_whatever_the_number() -> None:
    kept = np.array([True, False])
    assert chance_within(np.array([99.0, 99.0]), None, 2.0, kept_anyway=kept) == 0.5


@given(DRAWS, NUMBERS, st.floats(0, 10))
def test_more_tolerance_never_lowers_the_chance(draws: np.ndarray, bound: float, tolerance: float) -> None:
    strict = chance_within(draws, None, bound, 0.0)
    loose = chance_within(draws, None, bound, tolerance)
    assert strict is not None
    assert loose is not None
    assert 0.0 <= strict <= loose <= 1.0


@given(DRAWS, NUMBERS)
def test_at_least_and_at_most_share_the_draws(draws: np.ndarray, bound: float) -> None:
    low, high = chance_within(draws, bound, None), chance_within(draws, None, bound)
    assert low is not None
    assert high is not None
    assert low + high >= 1.0


def test_the_verdict_turns_at_one_half_and_at_the_chance_needed() -> None:
    assert verdict(0.9, 0.9) == (True, "kept")
    assert verdict(0.89, 0.9) == (None, "doubtful")
    assert verdict(0.5, 0.9) == (None, "doubtful")
    assert verdict(0.49, 0.9) == (False, "broken")
    assert verdict(None, 0.9) == (None, "unknown")


def height(value: float, low: float, high: float) -> Figure:
    return Figure(value=value, low=low, high=high, unit="m", shown="m", grade="measured", because="")


def test_the_chance_of_a_figure_is_that_of_the_normal_distribution() -> None:
    # half width 1 holds 8 of 10: sigma 1 / 1.2816
    sigma = 1.0 / NormalDist().inv_cdf(0.9)
    even = height(119.0, 118.0, 120.0)
    assert chance_of_figure(even, None, 120.0) == pytest.approx(0.9)
    assert chance_of_figure(even, None, 119.0) == pytest.approx(0.5)
    assert chance_of_figure(even, 119.0, None) == pytest.approx(0.5)
    assert chance_of_figure(even, None, 119.0, 2.0) == pytest.approx(NormalDist(0, sigma).cdf(2.0))
    assert chance_of_figure(even, 118.0, 120.0) == pytest.approx(0.8)
    assert chance_of_figure(height(119.0, 118.0, 125.0), None, 125.0) == pytest.approx(0.9)
    assert chance_of_figure(Figure.unknown("m", "m", "no"), None, 1.0) is None


def test_a_figure_without_a_band_keeps_the_bound_that_it_stands_on() -> None:
    exact = height(120.0, 120.0, 120.0)
    assert chance_of_figure(exact, None, 120.0) == 1.0
    assert chance_of_figure(exact, 120.0, None) == 1.0
    assert chance_of_figure(exact, 120.0, 120.0) == 1.0
    assert chance_of_figure(exact, None, 119.9) == 0.0
    assert chance_of_figure(exact, 120.1, None) == 0.0
