"""Laws of the air model and its doors."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from glidewright.base.compiled import compiled
from glidewright.data.standard_air import isa_pressure_Pa, pressure_height_m
from glidewright.models.air.atmosphere import density_ratio_above_field, field_air

ELEVATIONS = st.floats(-500.0, 5000.0)
TEMPERATURES = st.floats(240.0, 325.0)


@given(height=st.floats(-1000.0, 11000.0))
def test_pressure_height_undoes_pressure(height):
    assert pressure_height_m(isa_pressure_Pa(height)) == pytest.approx(height, abs=1e-6)


@given(elevation=ELEVATIONS, temperature=TEMPERATURES, warmer=st.floats(0.1, 8.0))
def test_warmer_air_is_thinner_and_carries_sound_faster(elevation, temperature, warmer):
    cold = field_air(elevation, temperature)
    warm = field_air(elevation, temperature + warmer)
    assert warm.density_kg_m3 < cold.density_kg_m3
    assert warm.sound_speed_m_s > cold.sound_speed_m_s
    assert warm.viscosity_Pa_s > cold.viscosity_Pa_s


@given(elevation=st.floats(-500.0, 4900.0), higher=st.floats(1.0, 100.0))
def test_a_higher_field_has_thinner_air(elevation, higher):
    assert field_air(elevation + higher).density_kg_m3 < field_air(elevation).density_kg_m3


def test_a_measured_pressure_is_taken_as_it_is():
    found = field_air(elevation_m=300.0, temperature_K=293.15, pressure_Pa=98000.0)
    assert found.pressure_Pa == 98000.0
    # by hand: 98000 / (287.05287 * 293.15)
    assert found.density_kg_m3 == pytest.approx(1.16460, abs=1e-5)


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        ({"elevation_m": 9000.0}, "elevation_m must lie between -500 and 5000, but is 9000"),
        ({"temperature_K": 20.0}, "temperature_K must lie between 223.15 and 333.15, but is 20"),
        ({"pressure_Pa": 1013.0}, "pressure_Pa must lie between 50000 and 110000, but is 1013"),
        ({"elevation_m": float("nan")}, "elevation_m must lie between -500 and 5000, but is nan"),
    ],
)
def test_air_outside_the_earth_near_ground_is_refused(arguments, sentence):
    with pytest.raises(ValueError, match=sentence):
        field_air(**arguments)


def test_the_density_ratio_may_be_compiled_as_it_is():
    kernel = compiled(density_ratio_above_field)
    assert kernel(120.0, 295.0) == pytest.approx(density_ratio_above_field(120.0, 295.0), rel=1e-14)
