"""Laws of the altimeter that was zeroed on the ground."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from glidewright.models.air.atmosphere import field_air
from glidewright.models.air.indicated import indicated_height_m, true_height_m

ZEROINGS = st.sampled_from(["difference", "reference"])


@given(
    height=st.floats(0.0, 1000.0),
    elevation=st.floats(-300.0, 3000.0),
    temperature=st.floats(250.0, 320.0),
    zeroing=ZEROINGS,
)
def test_true_height_undoes_the_indication_through_the_full_formula(height, elevation, temperature, zeroing):
    ground = field_air(elevation, temperature)
    shown = indicated_height_m(height, temperature, ground.pressure_Pa, zeroing)
    assert true_height_m(shown, temperature, ground.pressure_Pa, zeroing) == pytest.approx(height, abs=1e-6)


@given(elevation=st.floats(0.0, 3000.0), height=st.floats(1.0, 500.0))
def test_on_a_standard_day_the_difference_is_exact_and_the_reference_shows_more(elevation, height):
    ground = field_air(elevation)
    shown = indicated_height_m(height, ground.temperature_K, ground.pressure_Pa, "difference")
    assert shown == pytest.approx(height, abs=1e-6)
    other = indicated_height_m(height, ground.temperature_K, ground.pressure_Pa, "reference")
    assert other >= shown - 1e-6


@given(temperature=st.floats(250.0, 319.0), warmer=st.floats(0.5, 10.0))
def test_a_warm_day_hides_height(temperature, warmer):
    assert indicated_height_m(100.0, temperature + warmer) < indicated_height_m(100.0, temperature)
