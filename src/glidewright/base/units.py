"""Units at the doors: SI floats inside, the unit of a file key or of a label outside.

Every unit knows its SI partner: ``SI value = number * factor + offset``. Exact by definition:
inch (0.0254 m), minute, degree, degree Celsius, ampere hour.
"""

import math
from dataclasses import dataclass


@dataclass(frozen=True)
class Unit:
    """One unit: symbol for people, suffix for file keys, SI partner, and decimals that make sense."""

    symbol: str
    suffix: str
    si: str
    factor: float
    offset: float = 0.0
    decimals: int = 1

    def to_si(self, number: float) -> float:
        """The SI value of a number in this unit."""
        return number * self.factor + self.offset

    def from_si(self, value: float) -> float:
        """The number in this unit of an SI value."""
        return (value - self.offset) / self.factor


_RPM = 1.0 / 60.0
_DEG = math.pi / 180.0

_UNITS = (
    Unit("", "", "1", 1.0, decimals=3),
    Unit("%", "percent", "1", 0.01, decimals=0),
    Unit("m", "m", "m", 1.0, decimals=1),
    Unit("cm", "cm", "m", 0.01, decimals=1),
    Unit("mm", "mm", "m", 0.001, decimals=1),
    Unit("in", "in", "m", 0.0254, decimals=1),
    Unit("m²", "m2", "m2", 1.0, decimals=3),
    Unit("dm²", "dm2", "m2", 0.01, decimals=1),
    Unit("kg", "kg", "kg", 1.0, decimals=3),
    Unit("g", "g", "kg", 0.001, decimals=1),
    Unit("g/dm²", "g_per_dm2", "kg/m2", 0.1, decimals=1),
    Unit("kg/m³", "kg_per_m3", "kg/m3", 1.0, decimals=3),
    Unit("g·m²", "g_m2", "kg m2", 0.001, decimals=2),
    Unit("g·cm", "gcm", "kg m", 1e-5, decimals=0),
    Unit("s", "s", "s", 1.0, decimals=1),
    Unit("µs", "us", "s", 1e-6, decimals=1),
    Unit("min", "min", "s", 60.0, decimals=1),
    Unit("h", "hours", "s", 3600.0, decimals=1),
    Unit("days", "days", "s", 86400.0, decimals=0),
    Unit("m/s", "m_per_s", "m/s", 1.0, decimals=1),
    Unit("A", "A", "A", 1.0, decimals=1),
    Unit("mA", "mA", "A", 0.001, decimals=0),
    Unit("V", "V", "V", 1.0, decimals=2),
    Unit("mΩ", "mohm", "ohm", 0.001, decimals=1),
    Unit("Ω", "ohm", "ohm", 1.0, decimals=3),
    Unit("mAh", "mAh", "A s", 3.6, decimals=0),
    Unit("Wh", "Wh", "J", 3600.0, decimals=2),
    Unit("J", "J", "J", 1.0, decimals=0),
    Unit("J/K", "J_per_K", "J/K", 1.0, decimals=1),
    Unit("W/K", "W_per_K", "W/K", 1.0, decimals=3),
    Unit("W", "W", "W", 1.0, decimals=1),
    Unit("N", "N", "N", 1.0, decimals=2),
    Unit("N·cm", "Ncm", "N m", 0.01, decimals=1),
    Unit("Pa", "Pa", "Pa", 1.0, decimals=0),
    Unit("hPa", "hPa", "Pa", 100.0, decimals=1),
    Unit("K", "K", "K", 1.0, decimals=1),
    Unit("°C", "C", "K", 1.0, 273.15, decimals=0),
    Unit("°", "deg", "rad", _DEG, decimals=1),
    Unit("rad", "rad", "rad", 1.0, decimals=4),
    Unit("°/s", "deg_per_s", "rad/s", _DEG, decimals=1),
    Unit("rpm", "rpm", "1/s", _RPM, decimals=0),
    Unit("Hz", "Hz", "1/s", 1.0, decimals=1),
    Unit("rpm/V", "rpm_per_V", "rad/s/V", 2.0 * math.pi / 60.0, decimals=0),
    Unit("s/60°", "s_per_60deg", "s/rad", 3.0 / math.pi, decimals=2),
    Unit("money", "", "money", 1.0, decimals=2),
)

BY_SUFFIX: dict[str, Unit] = {unit.suffix: unit for unit in _UNITS if unit.suffix}
BY_SYMBOL: dict[str, Unit] = {unit.symbol: unit for unit in _UNITS}


def unit(symbol: str) -> Unit:
    """The unit with this symbol.

    >>> unit("mAh").to_si(550)
    1980.0
    >>> round(unit("°C").from_si(293.15), 6)
    20.0
    """
    return BY_SYMBOL[symbol]


def unit_of_key(key: str) -> Unit | None:
    """The unit that a file key ends in, the longest suffix that fits, or nothing.

    >>> unit_of_key("kv_rpm_per_V").symbol
    'rpm/V'
    >>> unit_of_key("cells") is None
    True
    """
    fits = [suffix for suffix in BY_SUFFIX if key.endswith("_" + suffix)]
    return BY_SUFFIX[max(fits, key=len)] if fits else None
