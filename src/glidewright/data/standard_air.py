"""The standard atmosphere up to 11 km: the height scale that every pressure altimeter has built in.

Sources: ISO 2533:1975 and U.S. Standard Atmosphere 1976 (NASA TM X-74335), equations (23) and (33a), in
geopotential metres. The functions take numbers or numpy arrays and use nothing but arithmetic.
"""

from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from glidewright.data import coefficients

_TABLE = coefficients("air")
ISA_TEMPERATURE_0_K: float = _TABLE["temperature_0"]["value"]
ISA_PRESSURE_0_Pa: float = _TABLE["pressure_0"]["value"]
ISA_LAPSE_K_m: float = _TABLE["lapse"]["value"]
GRAVITY_m_s2: float = _TABLE["gravity_0"]["value"]
GAS_CONSTANT_J_kg_K: float = _TABLE["gas_constant_air"]["value"]
# g0 / (R L), the exponent of the pressure in a layer of constant lapse: 5.2559
BAROMETRIC_EXPONENT: float = GRAVITY_m_s2 / (GAS_CONSTANT_J_kg_K * ISA_LAPSE_K_m)

N = TypeVar("N", float, NDArray[np.float64])


def isa_temperature_K(height_m: N) -> N:
    """Temperature in K of the standard atmosphere at a geopotential height in m; US 1976 equation (23).

    Valid for -1000 to 11000 m.

    >>> isa_temperature_K(1000.0)
    281.65
    """
    return ISA_TEMPERATURE_0_K - ISA_LAPSE_K_m * height_m


def isa_pressure_Pa(height_m: N) -> N:
    """Pressure in Pa of the standard atmosphere at a geopotential height in m; US 1976 equation (33a).

    Valid for -1000 to 11000 m.

    >>> round(isa_pressure_Pa(1000.0), 1)
    89874.6
    """
    ratio = 1.0 - ISA_LAPSE_K_m * height_m / ISA_TEMPERATURE_0_K
    pressure_Pa: N = ISA_PRESSURE_0_Pa * ratio**BAROMETRIC_EXPONENT
    return pressure_Pa


def pressure_height_m(pressure_Pa: N) -> N:
    """Height in m at which the standard has this pressure in Pa; inverse of US 1976 equation (33a).

    Valid for 22632 to 113930 Pa, which is 11000 to -1000 m.

    >>> round(pressure_height_m(89874.6), 1)
    1000.0
    """
    ratio: N = (pressure_Pa / ISA_PRESSURE_0_Pa) ** (1.0 / BAROMETRIC_EXPONENT)
    return (1.0 - ratio) * (ISA_TEMPERATURE_0_K / ISA_LAPSE_K_m)
