import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from glidewright.logs.track import means, quick_length


def without_small_factors(number: int) -> int:
    for factor in (2, 3, 5):
        while number % factor == 0:
            number //= factor
    return number


@given(st.integers(1, 20_000))
def test_the_next_quick_length_is_found(least: int) -> None:
    expected = next(size for size in range(least, 2 * least + 1) if without_small_factors(size) == 1)
    assert quick_length(least) == expected


@pytest.mark.parametrize("size", [36_001, 40_009])  # the second is a prime
def test_a_long_mean_by_transform_is_the_plain_one(size: int) -> None:
    """The width is such that the plain sum would be slow; it is taken here nevertheless."""
    values = np.cumsum(np.random.default_rng(2).normal(size=size))
    half = 100
    assert (2 * half + 1) * size > 2_000_000
    plain = np.convolve(values, np.full(2 * half + 1, 1.0 / (2 * half + 1)), mode="valid")
    assert means(values, half)[half:-half] == pytest.approx(plain, abs=1e-9)
