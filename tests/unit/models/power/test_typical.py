"""Laws of the typical estimators, and what every entry of their tables must say."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from glidewright.data import coefficients
from glidewright.models.power import typical

ALL = (
    typical.typical_motor_resistance(100.0, 0.05),
    typical.typical_motor_resistance(100.0, 0.05, 0.028),
    typical.typical_no_load_current(100.0, 0.05),
    typical.typical_apparent_resistance(0.1),
    typical.typical_motor_heat_capacity(0.05),
    typical.typical_motor_conductance(0.05),
    typical.typical_motor_conductance(0.05, 0.028, 0.028, running=False),
    typical.typical_controller_resistance(20.0),
    typical.typical_pack_resistance(1980.0, 2),
    typical.typical_pack_resistance(1980.0, 2, 45.0),
    typical.typical_pack_heat_capacity(0.035),
    typical.typical_pack_conductance(0.035),
    typical.typical_servo_current(working=True),
    typical.typical_receiver_current(),
    typical.typical_propeller_mass(0.28, folding=True),
    typical.typical_propeller_mass(0.25, folding=False),
)


@pytest.mark.parametrize("found", ALL)
def test_every_estimate_is_a_band_with_reason_source_and_reading(found):
    assert 0.0 < found.low < found.value < found.high
    assert 1.05 < found.high / found.low < 200.0
    assert found.because
    assert found.source
    assert found.reading
    assert found.grade == "typical"


@given(kv=st.floats(40.0, 300.0), grams=st.floats(20.0, 170.0), more=st.floats(1.02, 2.0))
def test_resistance_falls_with_turns_and_size(kv, grams, more):
    base = typical.typical_motor_resistance(kv, grams / 1000.0).value
    # the same motor wound with fewer turns keeps R Kv^2
    assert typical.typical_motor_resistance(kv * more, grams / 1000.0).value == pytest.approx(base / more**2)
    assert typical.typical_motor_resistance(kv, grams * more / 1000.0).value < base


@given(ampere_seconds=st.floats(800.0, 12000.0), cells=st.integers(1, 6), rating=st.floats(15.0, 100.0))
def test_pack_resistance_goes_with_cells_and_against_capacity_and_label(ampere_seconds, cells, rating):
    base = typical.typical_pack_resistance(ampere_seconds, cells, rating).value
    assert typical.typical_pack_resistance(ampere_seconds, cells + 1, rating).value > base
    assert typical.typical_pack_resistance(1.2 * ampere_seconds, cells, rating).value < base
    assert typical.typical_pack_resistance(ampere_seconds, cells, 1.2 * rating).value < base


def test_a_smaller_voltage_needs_less_idle_current():
    high = typical.typical_no_load_current(100.0, 0.05, 10.0).value
    assert typical.typical_no_load_current(100.0, 0.05, 7.4).value < high


@pytest.mark.parametrize("bad", [0.0, -1.0, math.nan, math.inf])
def test_numbers_that_cannot_be_are_refused(bad):
    with pytest.raises(ValueError, match="mass_kg must be a finite number above zero"):
        typical.typical_motor_resistance(100.0, bad)


@pytest.mark.parametrize("name", ["air", "motor", "controller", "pack", "typical"])
def test_every_entry_of_the_table_says_what_it_is(name):
    for key, entry in coefficients(name).items():
        wanted = {"value", "unit", "low", "high", "valid", "source", "where", "method", "study"}
        assert set(entry) == wanted, key
        assert entry["source"], key
        if isinstance(entry["value"], list):
            rows = zip(entry["low"], entry["value"], entry["high"], strict=True)
            assert all(low <= value <= high for low, value, high in rows), key
        else:
            assert entry["low"] <= entry["value"] <= entry["high"], key
