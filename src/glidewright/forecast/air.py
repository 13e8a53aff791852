"""The air of a field: what it states, and the standard atmosphere where it states nothing."""

from glidewright.domain.field import Field
from glidewright.models.air.atmosphere import FieldAir, field_air


def air_of(field: Field) -> FieldAir:
    """Pressure, temperature, density and viscosity at the ground, every input at its middle."""
    temperature = field.temperature_K.value if field.temperature_K else None
    pressure = field.pressure_Pa.value if field.pressure_Pa else None
    return field_air(field.elevation_m.value, temperature, pressure)
