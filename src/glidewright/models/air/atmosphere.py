"""Standard atmosphere in geopotential height, and the air of one field on one day.

Sources: ISO 2533:1975 and U.S. Standard Atmosphere 1976 (NASA TM X-74335), equations (23), (33a), (42),
(50) and (51). Below 3000 m a geopotential metre is a metre within 0.05 %. Dry air. Every function but
``field_air`` takes numbers or numpy arrays, uses nothing but arithmetic and may be compiled as it is.
"""

from dataclasses import dataclass
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from glidewright.data import coefficients, standard_air
from glidewright.data.standard_air import (
    BAROMETRIC_EXPONENT,
    ISA_LAPSE_K_m,
    isa_pressure_Pa,
    isa_temperature_K,
)

_TABLE = coefficients("air")
GRAVITY_m_s2 = standard_air.GRAVITY_m_s2
GAS_CONSTANT_J_kg_K = standard_air.GAS_CONSTANT_J_kg_K
HEAT_RATIO: float = _TABLE["heat_ratio"]["value"]
SUTHERLAND_BETA: float = _TABLE["sutherland_beta"]["value"]
SUTHERLAND_TEMPERATURE_K: float = _TABLE["sutherland_temperature"]["value"]

ELEVATION_RANGE_m = (-500.0, 5000.0)
TEMPERATURE_RANGE_K = (223.15, 333.15)
PRESSURE_RANGE_Pa = (50_000.0, 110_000.0)

N = TypeVar("N", float, NDArray[np.float64])


@dataclass(frozen=True)
class FieldAir:
    """Air at the ground of one field: what the models need to know of the day."""

    elevation_m: float
    temperature_K: float
    pressure_Pa: float
    density_kg_m3: float
    viscosity_Pa_s: float
    sound_speed_m_s: float


def isa_density_kg_m3(height_m: N) -> N:
    """Density in kg/m3 of the standard atmosphere at a geopotential height in m; US 1976 equation (42).

    Valid for -1000 to 11000 m.

    >>> round(isa_density_kg_m3(1000.0), 5)
    1.11164
    """
    return density_kg_m3(isa_temperature_K(height_m), isa_pressure_Pa(height_m))


def density_kg_m3(temperature_K: N, pressure_Pa: N) -> N:
    """Density in kg/m3 of dry air by the gas law; US 1976 equation (42).

    Saturated air at 30 °C is 1.7 % lighter than this.

    >>> round(density_kg_m3(288.15, 101325.0), 4)
    1.225
    """
    return pressure_Pa / (GAS_CONSTANT_J_kg_K * temperature_K)


def viscosity_Pa_s(temperature_K: N) -> N:
    """Dynamic viscosity in Pa s by Sutherland's law, 100 to 1900 K; US 1976 equation (51).

    >>> f"{viscosity_Pa_s(288.15):.4e}"
    '1.7894e-05'
    """
    viscosity: N = SUTHERLAND_BETA * temperature_K**1.5 / (temperature_K + SUTHERLAND_TEMPERATURE_K)
    return viscosity


def sound_speed_m_s(temperature_K: N) -> N:
    """Speed of sound in m/s; US 1976 equation (50).

    >>> round(sound_speed_m_s(288.15), 2)
    340.29
    """
    speed: N = (HEAT_RATIO * GAS_CONSTANT_J_kg_K * temperature_K) ** 0.5
    return speed


def pressure_above_field_Pa(height_m: N, temperature_K: float, pressure_Pa: float) -> N:
    """Pressure in Pa at a height in m above a field with this temperature and pressure.

    Hydrostatic with the standard lapse of 6.5 K/km from the field's own temperature: US 1976 equation
    (33a) with the field as base of the layer. Valid for -500 to 3000 m above the field.

    >>> round(pressure_above_field_Pa(100.0, 288.15, 101325.0), 1)
    100129.4
    """
    ratio = 1.0 - ISA_LAPSE_K_m * height_m / temperature_K
    pressure: N = pressure_Pa * ratio**BAROMETRIC_EXPONENT
    return pressure


def density_ratio_above_field(height_m: N, temperature_K: float, lapse_K_m: float = ISA_LAPSE_K_m) -> N:
    """Density at a height in m above a field, as a share of the field's own; lapse 6.5 K/km unless given.

    ``(1 - L h / T)^(g0/(R L) - 1)``: US 1976 equations (33a) and (42) with the field as base of the layer.
    lapse_K_m: not 0.

    >>> round(1.225 * density_ratio_above_field(1000.0, 288.15), 5)
    1.11164
    """
    exponent = GRAVITY_m_s2 / (GAS_CONSTANT_J_kg_K * lapse_K_m) - 1.0
    ratio: N = (1.0 - lapse_K_m * height_m / temperature_K) ** exponent
    return ratio


def pressure_per_metre_Pa_m(density_kg_m3: N) -> N:
    """Fall of pressure in Pa with each metre of height, ``rho g0``; US 1976 equation (25).

    >>> round(pressure_per_metre_Pa_m(1.225), 2)
    12.01
    """
    return density_kg_m3 * GRAVITY_m_s2


def field_air(
    elevation_m: float = 0.0, temperature_K: float | None = None, pressure_Pa: float | None = None
) -> FieldAir:
    """Air at a field; what was not measured is taken from the standard atmosphere at its elevation.

    ``elevation_m`` -500 to 5000, ``temperature_K`` 223.15 to 333.15, ``pressure_Pa`` (as read at the
    field, not reduced to sea level) 50000 to 110000. Raises ``ValueError`` outside these ranges.

    >>> warm = field_air(elevation_m=500.0, temperature_K=303.15)
    >>> round(warm.density_kg_m3, 4), round(warm.pressure_Pa)
    (1.097, 95461)
    """
    _within("elevation_m", elevation_m, ELEVATION_RANGE_m)
    kelvin = isa_temperature_K(elevation_m) if temperature_K is None else temperature_K
    pascal = isa_pressure_Pa(elevation_m) if pressure_Pa is None else pressure_Pa
    _within("temperature_K", kelvin, TEMPERATURE_RANGE_K)
    _within("pressure_Pa", pascal, PRESSURE_RANGE_Pa)
    return FieldAir(
        elevation_m=elevation_m,
        temperature_K=kelvin,
        pressure_Pa=pascal,
        density_kg_m3=density_kg_m3(kelvin, pascal),
        viscosity_Pa_s=viscosity_Pa_s(kelvin),
        sound_speed_m_s=sound_speed_m_s(kelvin),
    )


def _within(name: str, value: float, span: tuple[float, float]) -> None:
    # written so that NaN fails as well
    if not span[0] <= value <= span[1]:
        raise ValueError(f"{name} must lie between {span[0]:g} and {span[1]:g}, but is {value:g}")
