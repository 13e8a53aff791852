"""Standard atmosphere against its printed table, and altimeter heights against the trade's worked cases."""

import math

import numpy as np
import pytest
from outside import held, held_all

from glidewright.data import standard_air
from glidewright.models.air import atmosphere, indicated

# ISO 2533:1975 table 5 and U.S. Standard Atmosphere 1976 (NASA TM X-74335) table I, geopotential rows:
# height m, temperature K, pressure Pa, density kg/m3, speed of sound m/s, viscosity Pa s.
ROWS = (
    (0, 288.150, 101325.0, 1.22500, 340.294, 1.7894e-05),
    (100, 287.500, 100129.4, 1.21328, 339.910, 1.7862e-05),
    (200, 286.850, 98945.3, 1.20165, 339.525, 1.7831e-05),
    (300, 286.200, 97772.6, 1.19011, 339.141, 1.7800e-05),
    (500, 284.900, 95460.8, 1.16727, 338.369, 1.7737e-05),
    (1000, 281.650, 89874.6, 1.11164, 336.434, 1.7578e-05),
    (1500, 278.400, 84556.0, 1.05807, 334.487, 1.7419e-05),
    (2000, 275.150, 79495.2, 1.00649, 332.529, 1.7260e-05),
    (2500, 271.900, 74682.5, 0.95686, 330.559, 1.7099e-05),
    (3000, 268.650, 70108.5, 0.90912, 328.578, 1.6937e-05),
)
TABLE = {
    "source": "ISO 2533:1975 table 5, the same as U.S. Standard Atmosphere 1976 table I",
    "because": "the digits of the print, five or six, and those of the gas constant",
    "rel": 1e-4,
}
LINE = {"source": TABLE["source"], "because": "a straight line: only rounding", "rel": 1e-6, "unit": "K"}


def test_standard_atmosphere_agrees_with_the_table_to_one_in_ten_thousand():
    heights, temperatures, pressures, densities, sounds, viscosities = np.array(ROWS, dtype=float).T
    held_all("temperature", [standard_air.isa_temperature_K(h) for h in heights], temperatures, **LINE)
    pressure = [standard_air.isa_pressure_Pa(h) for h in heights]
    held_all("pressure", pressure, pressures, unit="Pa", **TABLE)
    density = [atmosphere.isa_density_kg_m3(h) for h in heights]
    held_all("density", density, densities, unit="kg/m3", **TABLE)
    sound = [atmosphere.sound_speed_m_s(t) for t in temperatures]
    held_all("speed of sound", sound, sounds, unit="m/s", **TABLE)
    viscosity = [atmosphere.viscosity_Pa_s(t) for t in temperatures]
    held_all("viscosity", viscosity, viscosities, unit="Pa s", **TABLE)


def test_a_standard_field_meets_the_table_at_any_height_above_it():
    # the same table, read from the 500 m row upwards
    heights, temperatures, pressures, densities, _, _ = np.array(ROWS[4:], dtype=float).T
    ground, above = atmosphere.field_air(elevation_m=500.0), heights - 500.0
    pressure = [
        atmosphere.pressure_above_field_Pa(up, ground.temperature_K, ground.pressure_Pa) for up in above
    ]
    held_all("pressure above a field of 500 m", pressure, pressures, unit="Pa", **TABLE)
    ratio = np.array([atmosphere.density_ratio_above_field(up, ground.temperature_K) for up in above])
    density = ground.density_kg_m3 * ratio
    held_all("density above a field of 500 m", density, densities, unit="kg/m3", **TABLE)
    temperature = ground.temperature_K - 0.0065 * above
    held_all("temperature above a field of 500 m", temperature, temperatures, **LINE)


# Common practice of the trade: an altimeter of the standard scale shows 90 m or 200 m on a day of 0, 30
# and 40 °C at the ground; the true heights follow from the ratio of absolute temperatures.
TRUE_HEIGHTS = (
    (90.0, 273.15, 85.3),
    (90.0, 303.15, 94.7),
    (90.0, 313.15, 97.8),
    (200.0, 273.15, 189.6),
    (200.0, 303.15, 210.4),
    (200.0, 313.15, 217.4),
)


@pytest.mark.parametrize(("shown", "temperature", "true"), TRUE_HEIGHTS)
def test_true_height_behind_an_indicated_one(shown, temperature, true):
    found = indicated.true_height_m(shown, temperature)
    held(
        f"true height behind {shown:g} m at {temperature - 273.15:g} °C",
        found,
        true,
        abs=0.05,
        unit="m",
        source="common practice: shown height times the ratio of absolute temperatures",
        because="half of the last printed digit",
    )
    # the same through the full barometric formula and numerical integration of dp/dh = -rho g
    steps = 2000
    pressure = 101325.0
    for number in range(steps):
        middle = (number + 0.5) * found / steps
        pressure *= math.exp(-9.80665 / (287.05287 * (temperature - 0.0065 * middle)) * found / steps)
    held(
        f"shown height of that pressure, {shown:g} m at {temperature - 273.15:g} °C",
        standard_air.pressure_height_m(pressure),
        shown,
        abs=1e-4,
        unit="m",
        source="dp/dh = -rho g summed up in 2000 steps",
        because="the steps of the sum",
    )


def test_pressure_falls_by_twelve_pascal_a_metre_near_sea_level():
    # common practice: "12.0 Pa/m near sea level"; also the first two rows of the table above
    held(
        "fall of pressure near the ground",
        atmosphere.pressure_per_metre_Pa_m(1.225),
        12.0,
        abs=0.05,
        unit="Pa/m",
        source="common practice: 12.0 Pa a metre near sea level",
        because="half of the last digit of the figure",
    )
    middle = atmosphere.isa_density_kg_m3(50.0)
    fall = (101325.0 - 100129.4) / 100
    found = atmosphere.pressure_per_metre_Pa_m(middle)
    held("fall of pressure from 0 to 100 m", found, fall, unit="Pa/m", **TABLE)


def test_arrays_give_the_same_as_numbers():
    heights = np.array([row[0] for row in ROWS], dtype=float)
    whole = atmosphere.isa_density_kg_m3(heights)
    assert whole.tolist() == pytest.approx(
        [atmosphere.isa_density_kg_m3(float(h)) for h in heights], rel=1e-14
    )
