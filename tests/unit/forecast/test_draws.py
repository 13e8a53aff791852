"""Draws and inputs: reproducible, evenly spread, exact at the stated percentiles."""

from statistics import NormalDist

import numpy as np
import pytest

from glidewright.base.figure import Given
from glidewright.forecast.draws import FIXED_ORDER, column, standard_draws
from glidewright.forecast.spread import Input, from_given


def test_the_same_name_has_the_same_draws_in_another_model() -> None:
    one = standard_draws(["motor.kv", "mass:pod"], 256)
    two = standard_draws(["motor.kv", "pack.resistance", "mass:pod"], 256)
    assert np.array_equal(one["motor.kv"], two["motor.kv"])


NAMES = ("motor.kv", "pack.capacity", "launch.motor_run", "mass:pod", "mass:boom", "x:pod", "y:fin")


def test_columns_are_standard_normal_and_unrelated() -> None:
    table = np.stack([column(name, 4096) for name in NAMES])
    np.testing.assert_allclose(table.mean(axis=1), 0, atol=2e-3)
    np.testing.assert_allclose(table.std(axis=1), 1, atol=5e-3)
    related = np.corrcoef(table) - np.eye(len(table))
    # 4096 independent draws correlate by chance within 1/sqrt(4096) = 0.016; 3.5 times that is the bound.
    assert np.abs(related).max() < 3.5 / np.sqrt(4096)


@pytest.mark.parametrize("count", [64, 256, 1024])
def test_every_power_of_two_of_draws_is_evenly_spread(count: int) -> None:
    # One draw in each of `count` equal shares of the probability, by the definition of a Sobol sequence.
    for name in NAMES:
        probability = [NormalDist().cdf(z) for z in column(name, count)]
        assert sorted(int(p * count) for p in probability) == list(range(count))


def test_every_name_has_draws_of_its_own() -> None:
    heads = {column(f"mass:item {i}", 4096)[:6].tobytes() for i in range(400)}
    heads |= {column(name, 4096)[:6].tobytes() for name in FIXED_ORDER}
    assert len(heads) == 400 + len(FIXED_ORDER)


@pytest.mark.parametrize("count", [0, 5000])
def test_a_count_that_is_not_there_is_refused(count: int) -> None:
    with pytest.raises(ValueError, match="draws must be"):
        standard_draws(["motor.kv"], count)


def test_own_band_is_met_at_both_ends() -> None:
    given = Given(value=0.1, low=0.08, high=0.16, grade="typical")
    found = from_given("motor.resistance", "R", given, "motor_resistance").draws(column("motor.kv", 4096))
    low, mid, high = np.quantile(found, (0.1, 0.5, 0.9))
    assert (low, mid, high) == pytest.approx((0.08, 0.1, 0.16), rel=5e-3)


def test_default_band_follows_the_grade() -> None:
    measured = from_given("m", "mass", Given(value=0.05, grade="measured"), "mass")
    guessed = from_given("m", "mass", Given(value=0.05, grade="guessed"), "mass")
    assert guessed.high - guessed.low > 10 * (measured.high - measured.low)


def test_zero_wind_stays_zero() -> None:
    calm = from_given("field.headwind", "wind", Given(value=0.0, grade="guessed"), "wind")
    assert isinstance(calm, Input)
    assert calm.draws(column("field.headwind", 64)).tolist() == [0.0] * 64
