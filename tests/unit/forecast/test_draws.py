"""Draws and inputs: reproducible, evenly spread, exact at the stated percentiles."""

import numpy as np
import pytest

from glidewright.base.figure import Given
from glidewright.forecast.draws import column, ordered, standard_draws
from glidewright.forecast.spread import Input, from_given


def test_the_same_name_has_the_same_draws_in_another_model() -> None:
    one = standard_draws(["motor.kv", "mass:pod"], 256)
    two = standard_draws(["motor.kv", "pack.resistance", "mass:pod"], 256)
    assert np.array_equal(one["motor.kv"], two["motor.kv"])


def test_columns_are_standard_normal_and_unrelated() -> None:
    table = np.stack([column(i, 4096) for i in (0, 5, 40, 95, 96, 130, 250)])
    np.testing.assert_allclose(table.mean(axis=1), 0, atol=2e-3)
    np.testing.assert_allclose(table.std(axis=1), 1, atol=5e-3)
    related = np.corrcoef(table) - np.eye(len(table))
    # 4096 independent draws correlate by chance within 1/sqrt(4096) = 0.016; 3.5 times that is the bound.
    assert np.abs(related).max() < 3.5 / np.sqrt(4096)


def test_later_columns_are_all_different() -> None:
    heads = {column(i, 4096)[:6].tobytes() for i in range(400)}
    assert len(heads) == 400


def test_order_puts_fixed_names_first() -> None:
    names = ordered(["x:pod", "motor.kv"])
    assert names[0] == "motor.kv"
    assert names[-1] == "x:pod"


@pytest.mark.parametrize("count", [0, 5000])
def test_a_count_that_is_not_there_is_refused(count: int) -> None:
    with pytest.raises(ValueError, match="draws must be"):
        standard_draws(["motor.kv"], count)


def test_own_band_is_met_at_both_ends() -> None:
    given = Given(value=0.1, low=0.08, high=0.16, grade="typical")
    found = from_given("motor.resistance", "R", given, "motor_resistance").draws(column(0, 4096))
    low, mid, high = np.quantile(found, (0.1, 0.5, 0.9))
    assert (low, mid, high) == pytest.approx((0.08, 0.1, 0.16), rel=5e-3)


def test_default_band_follows_the_grade() -> None:
    measured = from_given("m", "mass", Given(value=0.05, grade="measured"), "mass")
    guessed = from_given("m", "mass", Given(value=0.05, grade="guessed"), "mass")
    assert guessed.high - guessed.low > 10 * (measured.high - measured.low)


def test_zero_wind_stays_zero() -> None:
    calm = from_given("field.headwind", "wind", Given(value=0.0, grade="guessed"), "wind")
    assert isinstance(calm, Input)
    assert calm.draws(column(3, 64)).tolist() == [0.0] * 64
