"""True metres for an indicated metre: the temperature of the day over that of the instrument's scale.

An altimeter turns pressure into height by the standard atmosphere. With the same lapse in both, true height
over indicated height is ``T / T_scale`` (ISO 2533:1975, the barometric formula of a layer of constant lapse),
T at the ground and T_scale the standard temperature at the height that the instrument takes for the ground.
"""

from typing import NamedTuple

import numpy as np

from glidewright.base.figure import Figure
from glidewright.data.standard_air import ISA_TEMPERATURE_0_K, isa_temperature_K, pressure_height_m
from glidewright.domain.flight_record import FlightRecord

from .figures import P80, found
from .practice import practice

_STATED_K = 2.0  # half width of a temperature that somebody read
_GROUND_s = 30.0
_USUAL_ELEVATION_K = 2.5  # half width: fields up to 800 m, when nobody stated the pressure


class Temperature(NamedTuple):
    """Temperature of the air, the half width that holds 8 of 10, and where it comes from."""

    value_K: float
    half_K: float
    because: str


def height_scale(
    record: FlightRecord, temperature_K: float | None = None, ground_pressure_Pa: float | None = None
) -> Figure:
    """True metres for an indicated metre.

    temperature_K: of the air at the field, as read; ground_pressure_Pa: at the field, not at sea level.
    Without them the record's own channels are used, and without these a band of flying weather.
    """
    if record.height_from == "gnss_height_m":
        return found(1.0, 0.0, "1", "", "heights of satellites have no temperature in them")
    air = _temperature(record, temperature_K)
    scale_K, half_K = _scale_temperature(record, ground_pressure_Pa)
    value = air.value_K / scale_K
    error = value * float(np.hypot(air.half_K / air.value_K, half_K / scale_K)) / P80
    return found(value, error, "1", "", air.because)


def _temperature(record: FlightRecord, stated_K: float | None) -> Temperature:
    if stated_K is not None:
        return Temperature(stated_K, _STATED_K, "temperature of the air as stated")
    own = record.channel("temperature_K")
    if own is not None:
        early = own[record.time_s < _GROUND_s]
        early = early[np.isfinite(early)]
        if early.size:
            return Temperature(
                float(np.median(early)),
                practice("sensor_temperature"),
                "temperature of the sensor on board at the begin, which sun and electronics warm",
            )
    return Temperature(
        ISA_TEMPERATURE_0_K,
        practice("widest_temperature"),
        "nobody stated the temperature of the air; state it to narrow this",
    )


def _scale_temperature(record: FlightRecord, ground_pressure_Pa: float | None) -> tuple[float, float]:
    """Temperature of the scale, and half its band: devices zero in two ways, which differ on high fields."""
    pressure = record.channel("pressure_Pa")
    if ground_pressure_Pa is None and pressure is not None:
        ground_pressure_Pa = float(np.nanmax(pressure))
    if ground_pressure_Pa is None:
        return ISA_TEMPERATURE_0_K - _USUAL_ELEVATION_K, _USUAL_ELEVATION_K
    at_field = isa_temperature_K(pressure_height_m(ground_pressure_Pa))
    if record.height_from == "pressure_Pa":
        return at_field, 0.0
    return 0.5 * (at_field + ISA_TEMPERATURE_0_K), 0.5 * abs(ISA_TEMPERATURE_0_K - at_field)
