"""What an altimeter that was zeroed on the ground shows, and how high the model really is.

Such devices turn pressure into height by the standard atmosphere and never learn the temperature of the
day. Two ways to zero are in use and agree at sea level: ``"difference"`` subtracts the pressure height of
the ground, ``"reference"`` puts the ground pressure in place of 101325 Pa. Sources: ISO 2533:1975 and
U.S. Standard Atmosphere 1976, equation (33a) solved for the height.
"""

from typing import Literal

from glidewright.data.standard_air import (
    ISA_TEMPERATURE_0_K,
    ISA_PRESSURE_0_Pa,
    isa_temperature_K,
    pressure_height_m,
)
from glidewright.models.air.atmosphere import N, pressure_above_field_Pa

Zeroing = Literal["difference", "reference"]


def indicated_height_m(
    height_m: N,
    temperature_K: float,
    ground_pressure_Pa: float = ISA_PRESSURE_0_Pa,
    zeroing: Zeroing = "difference",
) -> N:
    """Height in m that the altimeter shows at a true height in m above the ground.

    ``temperature_K`` and ``ground_pressure_Pa`` are those of the air at the ground; above it the
    temperature falls by 6.5 K/km. Valid for -500 to 3000 m above the ground.

    >>> round(indicated_height_m(94.685, 303.15), 1)
    90.0
    """
    pressure_Pa = pressure_above_field_Pa(height_m, temperature_K, ground_pressure_Pa)
    if zeroing == "reference":
        return pressure_height_m(pressure_Pa * (ISA_PRESSURE_0_Pa / ground_pressure_Pa))
    return pressure_height_m(pressure_Pa) - pressure_height_m(ground_pressure_Pa)


def true_height_m(
    indicated_m: N,
    temperature_K: float,
    ground_pressure_Pa: float = ISA_PRESSURE_0_Pa,
    zeroing: Zeroing = "difference",
) -> N:
    """Height in m above the ground at which the altimeter shows ``indicated_m``.

    Exact inverse of ``indicated_height_m``: with the same lapse in both atmospheres the barometric
    formula, US 1976 equation (33a), leaves ``true = indicated * T / T_scale``, T at the ground and T_scale
    the standard temperature that the device takes for the ground. All in m, K and Pa; -500 to 3000 m.

    >>> round(true_height_m(90.0, 303.15), 1)
    94.7
    """
    return indicated_m * (temperature_K / scale_temperature_K(ground_pressure_Pa, zeroing))


def scale_temperature_K(ground_pressure_Pa: float, zeroing: Zeroing) -> float:
    """Temperature in K that the altimeter takes for the ground: its scale is right at this one only.

    US 1976 equation (23) at the pressure height of the ground, or at sea level; 30 to 110 kPa, not checked.

    >>> round(scale_temperature_K(89874.6, "difference"), 2), scale_temperature_K(89874.6, "reference")
    (281.65, 288.15)
    """
    if zeroing == "reference":
        return ISA_TEMPERATURE_0_K
    return isa_temperature_K(pressure_height_m(ground_pressure_Pa))
