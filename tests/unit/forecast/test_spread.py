"""Draws stand for the number that was given: its low, value and high come back, whatever the shape."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import norm

from glidewright.base.figure import Given, Grade
from glidewright.data import coefficients
from glidewright.forecast.spread import Z90, Input, Kind, from_band, from_given

SCORES = norm.ppf((np.arange(4001) + 0.5) / 4001)


def entry(low: float, value: float, high: float, kind: Kind = "factor") -> Input:
    return Input("x", "x", value, low, high, "typical", kind, "")


def test_the_score_of_the_band_is_that_of_the_normal_law() -> None:
    assert norm.ppf(0.9) == pytest.approx(Z90, rel=1e-15)  # scipy


@settings(max_examples=50, deadline=None)
@given(st.floats(0.1, 10), st.floats(1.05, 5), st.floats(1.05, 5))
def test_quantiles_of_the_draws_are_low_value_and_high(value: float, down: float, up: float) -> None:
    for kind in ("factor", "offset"):
        one = entry(value / down, value, value * up, kind)
        ends = one.draws(np.array([-Z90, 0.0, Z90]))
        assert ends == pytest.approx([one.low, one.value, one.high], rel=1e-9)


@settings(max_examples=50, deadline=None)
@given(st.floats(0.1, 10), st.floats(1.0, 5), st.floats(1.001, 5))
def test_draws_rise_with_the_score(value: float, down: float, up: float) -> None:
    for kind in ("factor", "offset"):
        assert np.all(np.diff(entry(value / down, value, value * up, kind).draws(SCORES)) >= 0)


def test_equal_sides_give_the_normal_law_on_the_line_and_in_the_logarithm() -> None:
    # Outside reference: scipy.stats, normal of sigma half / Z90, log-normal of sigma ln(f) / Z90.
    line = entry(8.0, 10.0, 12.0, "offset").draws(SCORES)
    assert np.quantile(line, 0.025) == pytest.approx(norm(10.0, 2.0 / Z90).ppf(0.025), rel=1e-3)
    factor = entry(5.0, 10.0, 20.0).draws(SCORES)
    expected = math.exp(norm(math.log(10.0), math.log(2.0) / Z90).ppf(0.975))
    assert np.quantile(factor, 0.975) == pytest.approx(expected, rel=5e-3)


def test_an_exact_number_has_no_spread() -> None:
    one = from_given("x", "x", Given(value=3.0, grade="guessed"), "exact")
    assert one.is_exact
    assert set(one.draws(SCORES).tolist()) == {3.0}


@pytest.mark.parametrize("row", ["mass", "station", "kv", "motor_resistance", "wind", "timer"])
def test_a_worse_grade_is_never_narrower(row: str) -> None:
    grades: tuple[Grade, ...] = ("measured", "quoted", "typical", "guessed")
    entries = [from_given("x", "x", Given(value=2.0, grade=grade), row) for grade in grades]
    widths = [one.high - one.low for one in entries]
    assert widths == sorted(widths)
    assert widths[0] < widths[-1]


def test_a_band_of_ones_own_wins_over_that_of_the_grade() -> None:
    stated = Given(value=2.0, low=1.9, high=2.5, grade="guessed", because="two scales")
    one = from_given("x", "x", stated, "mass")
    assert (one.low, one.high, one.because) == (1.9, 2.5, "two scales")


def test_the_reason_of_a_grade_is_told() -> None:
    one = from_given("x", "x", Given(value=2.0, grade="typical"), "mass")
    assert coefficients("grades")["mass"]["because"] in one.because


@pytest.mark.parametrize("value", [0.0, 0.05])
def test_a_positive_quantity_whose_band_starts_at_zero_is_never_negative(value: float) -> None:
    one = from_band("x", "x", Given(value=value, low=0.0, high=0.1, grade="guessed"), "factor")
    draws = one.draws(SCORES)
    assert draws.min() == pytest.approx(1e-3 * value)
    assert one.draws(np.array([Z90])) == pytest.approx([0.1])
    assert np.median(draws) == pytest.approx(max(value, 0.0), abs=1e-12)


def test_a_band_with_one_side_of_no_width_stays_within_reason() -> None:
    # the last of 4001 draws lies at 3.66; a log-normal of the wide side alone ends at 2 ** (3.66 / Z90) = 7.2
    draws = entry(1.0, 1.0, 2.0).draws(SCORES)
    assert draws.max() == pytest.approx(2.0 ** (SCORES.max() / Z90), rel=1e-6)
    assert draws.min() == pytest.approx(1.0, rel=0.01)


def test_what_may_be_negative_is_drawn_on_both_sides_of_zero() -> None:
    one = from_band("x", "x", Given(value=0.0, low=-1.0, high=1.0, grade="typical"), "offset")
    assert one.draws(SCORES).min() < -2.0
