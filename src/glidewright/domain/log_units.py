"""Units in which logs write their channels: the words, and the way to SI.

A value in a log times the factor plus the offset is the value in SI. Conversions are those of the SI
Brochure and of NIST Special Publication 811 (2008), appendix B.8; 1 inHg and 1 mmHg are those at 0 °C.
"""

import math
from collections.abc import Mapping

from glidewright.domain.flight_record import CHANNELS

Conversion = tuple[float, float]

_TURN = 2.0 * math.pi
_FAHRENHEIT = (5.0 / 9.0, 459.67 * 5.0 / 9.0)
_BY_SI: Mapping[str, Mapping[str, Conversion]] = {
    "m": {
        "m": (1.0, 0.0),
        "ft": (0.3048, 0.0),
        "cm": (0.01, 0.0),
        "dm": (0.1, 0.0),
        "km": (1000.0, 0.0),
    },
    "Pa": {
        "Pa": (1.0, 0.0),
        "hPa": (100.0, 0.0),
        "kPa": (1000.0, 0.0),
        "bar": (1e5, 0.0),
        "inHg": (3386.389, 0.0),
        "mmHg": (133.3224, 0.0),
        "psi": (6894.757, 0.0),
    },
    "m/s": {
        "m/s": (1.0, 0.0),
        "km/h": (1.0 / 3.6, 0.0),
        "kn": (1852.0 / 3600.0, 0.0),
        "mph": (0.44704, 0.0),
        "ft/s": (0.3048, 0.0),
        "ft/min": (0.3048 / 60.0, 0.0),
        "cm/s": (0.01, 0.0),
    },
    "V": {"V": (1.0, 0.0), "mV": (0.001, 0.0)},
    "A": {"A": (1.0, 0.0), "mA": (0.001, 0.0)},
    "A s": {"mAh": (3.6, 0.0), "Ah": (3600.0, 0.0), "As": (1.0, 0.0)},
    "1/s": {"rpm": (1.0 / 60.0, 0.0), "Hz": (1.0, 0.0), "rad/s": (1.0 / _TURN, 0.0)},
    "1": {"%": (0.01, 0.0), "1": (1.0, 0.0), "µs": (0.001, -1.0), "‰": (0.001, 0.0)},
    "K": {"°C": (1.0, 273.15), "K": (1.0, 0.0), "°F": _FAHRENHEIT},
    "rad": {"°": (math.pi / 180.0, 0.0), "rad": (1.0, 0.0)},
}
_SI_BY_ENDING: tuple[tuple[str, str], ...] = (
    ("_per_s", "1/s"),
    ("_m_s", "m/s"),
    ("_Pa", "Pa"),
    ("_As", "A s"),
    ("_m", "m"),
    ("_V", "V"),
    ("_A", "A"),
    ("_K", "K"),
    ("_rad", "rad"),
)

TIME = "time_s"
"""Name of the channel that holds the clock in a channel map."""
CLOCKS: Mapping[str, str] = {
    "s": "seconds",
    "ms": "milliseconds",
    "µs": "microseconds",
    "min": "minutes",
    "h:m:s": "hours, minutes and seconds, with or without a date before them",
    "m:s": "minutes and seconds",
    "unix s": "seconds since the begin of 1970, UTC",
    "unix ms": "milliseconds since the begin of 1970, UTC",
}


def units_of(channel: str) -> Mapping[str, Conversion]:
    """Every unit word that a channel may be written in, with factor and offset to SI.

    >>> units_of("height_m")["ft"]
    (0.3048, 0.0)
    """
    return _BY_SI[_si_of(channel)]


def _si_of(channel: str) -> str:
    if channel not in CHANNELS:
        raise KeyError(channel)
    return next((si for ending, si in _SI_BY_ENDING if channel.endswith(ending)), "1")


def unit_words(channel: str) -> tuple[str, ...]:
    """The words for messages and forms: units of a channel, or the kinds of a clock.

    >>> unit_words("voltage_V")
    ('V', 'mV')
    """
    return tuple(CLOCKS) if channel == TIME else tuple(units_of(channel))
