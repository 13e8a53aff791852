"""Units: exact factors by definition, and there and back again."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from glidewright.base.units import BY_SUFFIX, BY_SYMBOL, Unit, unit, unit_of_key

# By definition (the international inch of 1959, the degree Celsius, the ampere hour and so on).
DEFINED = [
    ("in", 1.0, 0.0254),
    ("min", 1.0, 60.0),
    ("h", 1.0, 3600.0),
    ("days", 1.0, 86400.0),
    ("°", 180.0, math.pi),
    ("°C", 0.0, 273.15),
    ("°C", 15.0, 288.15),
    ("mAh", 1.0, 3.6),
    ("Wh", 1.0, 3600.0),
    ("hPa", 1013.25, 101325.0),
    ("dm²", 36.0, 0.36),
    ("g/dm²", 16.0, 1.6),
    ("g·m²", 1.0, 0.001),
    ("g·cm", 100.0, 0.001),
    ("mΩ", 183.0, 0.183),
    ("N·cm", 1.0, 0.01),
    ("rpm", 5967.0, 99.45),
    ("rpm/V", 60.0, 2.0 * math.pi),
    ("s/60°", 1.0, 3.0 / math.pi),
    ("%", 20.0, 0.2),
]
units = st.sampled_from(list(BY_SYMBOL.values()))
numbers = st.floats(-1e9, 1e9, allow_subnormal=False)


@pytest.mark.parametrize(("symbol", "number", "value"), DEFINED)
def test_definitions(symbol: str, number: float, value: float) -> None:
    assert unit(symbol).to_si(number) == pytest.approx(value, rel=1e-15)


def test_symbols_and_suffixes_are_unique() -> None:
    suffixes = [one.suffix for one in BY_SYMBOL.values() if one.suffix]
    assert len(set(suffixes)) == len(suffixes) == len(BY_SUFFIX)


@given(units, numbers)
def test_there_and_back(one: Unit, number: float) -> None:
    # near an offset of 273.15 the steps of a float are 6e-14 wide
    assert one.from_si(one.to_si(number)) == pytest.approx(number, rel=1e-14, abs=1e-12)


@given(units, numbers, numbers)
def test_order_is_kept(one: Unit, a: float, b: float) -> None:
    assert (a <= b) <= (one.to_si(a) <= one.to_si(b))


@pytest.mark.parametrize(
    ("key", "symbol"),
    [
        ("mass_g", "g"),
        ("span_m", "m"),
        ("kv_rpm_per_V", "rpm/V"),
        ("voltage_V", "V"),
        ("speed_s_per_60deg", "s/60°"),
        ("headwind_m_per_s", "m/s"),
        ("wing_area_dm2", "dm²"),
        ("density_kg_per_m3", "kg/m³"),
        ("lowest_cell_V", "V"),
    ],
)
def test_a_key_ends_in_its_unit_and_the_longest_suffix_wins(key: str, symbol: str) -> None:
    found = unit_of_key(key)
    assert found is not None
    assert found.symbol == symbol


@pytest.mark.parametrize("key", ["cells", "name", "g", "price", "masskg", "c_rating"])
def test_a_key_without_unit_has_none(key: str) -> None:
    assert unit_of_key(key) is None
