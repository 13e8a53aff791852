"""Given and found numbers: always finite, always ordered, never silently made up."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra import numpy as hnp
from pydantic import ValidationError
from scipy.stats import norm

from glidewright.base.figure import GRADES, Figure, Given, Grade, worst_grade

finite = st.floats(-1e12, 1e12)
ORDER: list[Grade] = ["measured", "quoted", "typical", "guessed"]


@pytest.mark.parametrize("number", [math.nan, math.inf, -math.inf])
@pytest.mark.parametrize("field", ["value", "low"])
def test_what_is_not_finite_is_refused(number: float, field: str) -> None:
    fields = {"value": 1.0, "low": 0.0, "high": 2.0} | {field: number}
    with pytest.raises(ValidationError, match="must be a finite number"):
        Given(**fields)  # type: ignore[arg-type]


@given(st.tuples(finite, finite, finite))
def test_low_value_and_high_are_in_order_or_refused(three: tuple[float, float, float]) -> None:
    low, value, high = three
    if low <= value <= high:
        assert Given(value=value, low=low, high=high).low == low
    else:
        with pytest.raises(ValidationError, match="must satisfy low <= value <= high"):
            Given(value=value, low=low, high=high)


def test_low_and_high_come_together() -> None:
    with pytest.raises(ValidationError, match="low and high must be stated together"):
        Given(value=1.0, low=0.5)


def test_a_given_number_cannot_be_changed_or_extended() -> None:
    number = Given(value=1.0)
    with pytest.raises(ValidationError):
        number.value = 2.0  # type: ignore[misc]
    with pytest.raises(ValidationError):
        Given(value=1.0, spread=3.0)  # type: ignore[call-arg]


@given(st.lists(st.sampled_from(ORDER), min_size=1))
def test_the_worst_grade_is_the_least_trustworthy(grades: list[Grade]) -> None:
    worst = worst_grade(grades)
    assert worst in grades
    assert all(ORDER.index(grade) <= ORDER.index(worst) for grade in grades)


def test_no_grade_at_all_is_a_guess() -> None:
    assert worst_grade([]) == "guessed"
    assert list(GRADES) == ORDER


def test_an_unknown_figure_has_no_numbers_but_a_reason() -> None:
    figure = Figure.unknown("kg", "g", "not weighed")
    assert (figure.value, figure.low, figure.high, figure.because) == (None, None, None, "not weighed")


def test_an_exact_figure_has_no_spread() -> None:
    figure = Figure.exact(2.0, "m", "m", "measured", "tape")
    assert figure.low == figure.value == figure.high == 2.0


@given(hnp.arrays(np.float64, st.integers(1, 60), elements=finite))
def test_a_figure_of_draws_is_ordered_and_inside_them(draws: np.ndarray) -> None:
    figure = Figure.of_draws(draws, "m", "m", "typical", "")
    assert figure.value is not None
    assert figure.low is not None
    assert figure.high is not None
    # interpolation between two draws may round once past them
    slack = 1e-9 * max(1.0, float(np.abs(draws).max()))
    assert draws.min() - slack <= figure.low <= figure.value + slack
    assert figure.value <= figure.high + slack <= draws.max() + 2 * slack


def test_draws_that_are_not_finite_do_not_count() -> None:
    draws = np.array([1.0, np.nan, 3.0, np.inf, 2.0])
    assert Figure.of_draws(draws, "m", "m", "typical", "").value == 2.0


def test_no_finite_draw_gives_an_unknown_figure() -> None:
    figure = Figure.of_draws(np.array([np.nan]), "m", "m", "typical", "the motor never turns")
    assert (figure.value, figure.because) == (None, "the motor never turns")
    assert Figure.of_draws(np.array([]), "m", "m", "typical", "").because == "no draw gave a number"


def test_percentiles_of_a_normal_law_are_those_of_scipy() -> None:
    probabilities = (np.arange(200_001) + 0.5) / 200_001
    figure = Figure.of_draws(norm.ppf(probabilities), "1", "", "typical", "")
    assert (figure.low, figure.value, figure.high) == pytest.approx(norm.ppf([0.1, 0.5, 0.9]), abs=1e-4)
