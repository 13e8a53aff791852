"""What money of elsewhere is worth, in words."""

import pytest

from glidewright.base.errors import InputError
from glidewright.faces.cli.rates import read_rates


def test_each_currency_once_with_a_number_above_0() -> None:
    assert read_rates(["USD=0.92", " GBP = 1.2"]) == {"USD": 0.92, "GBP": 1.2}
    assert read_rates(None) == {}


@pytest.mark.parametrize("text", ["USD", "USD=x", "=2", "USD=0", "USD=-1", "USD=inf", "USD=nan"])
def test_other_words_are_one_sentence(text: str) -> None:
    with pytest.raises(InputError, match=f"--rate: must be written as CURRENCY=NUMBER, .*'{text}' came"):
        read_rates([text])


def test_a_currency_that_comes_twice_is_refused() -> None:
    with pytest.raises(InputError, match="USD came twice; leave one"):
        read_rates(["USD=1", "USD=2"])
