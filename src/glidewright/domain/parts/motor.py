"""Motor: three constants, its limits and its can."""

from typing import ClassVar

from glidewright.base.fields import plain, quantity
from glidewright.base.figure import Given

from .part import Part


class Motor(Part):
    """A brushless motor, direct or geared; Kv in rad/s per volt inside, rpm/V in files."""

    kind: ClassVar[str] = "motor"
    kind_title: ClassVar[str] = "Motor"

    kv_rad_per_Vs: Given | None = quantity(
        "Kv",
        key="kv_rpm_per_V",
        shown="rpm/V",
        help="unloaded speed per volt, at the motor shaft before any gear",
        spread="kv",
        above=0,
        at_most=20000,
        usual=(300, 5000),
    )
    resistance_ohm: Given | None = quantity(
        "Winding resistance",
        key="resistance_mohm",
        shown="mΩ",
        help="terminal to terminal at 20 °C, with leads",
        spread="motor_resistance",
        above=0,
        at_most=5000,
        usual=(10, 500),
    )
    no_load_current_A: Given | None = quantity(
        "No-load current",
        key="no_load_current_A",
        shown="A",
        help="current without a propeller",
        spread="no_load_current",
        above=0,
        at_most=20,
        usual=(0.1, 3),
    )
    no_load_voltage_V: Given | None = quantity(
        "No-load voltage",
        key="no_load_voltage_V",
        shown="V",
        help="voltage at which the no-load current was read",
        spread="exact",
        above=0,
        at_most=60,
    )
    max_current_A: Given | None = quantity(
        "Current limit",
        key="max_current_A",
        shown="A",
        help="highest current for the time the seller states",
        spread="exact",
        above=0,
        at_most=500,
        usual=(5, 80),
    )
    max_current_time_s: Given | None = quantity(
        "Current limit lasts",
        key="max_current_s",
        shown="s",
        help="time for which the current limit holds",
        spread="exact",
        above=0,
        at_most=3600,
    )
    max_power_W: Given | None = quantity(
        "Power limit",
        key="max_power_W",
        shown="W",
        help="highest electric power in",
        spread="exact",
        above=0,
        at_most=10000,
    )
    max_voltage_V: Given | None = quantity(
        "Voltage limit",
        key="max_voltage_V",
        shown="V",
        help="highest voltage",
        spread="exact",
        above=0,
        at_most=100,
    )
    limit_temperature_K: Given | None = quantity(
        "Case temperature limit",
        key="limit_temperature_C",
        shown="°C",
        help="highest case temperature",
        spread="exact",
        at_least=30,
        at_most=200,
        usual=(60, 120),
    )
    can_diameter_m: Given | None = quantity(
        "Can diameter",
        key="can_diameter_mm",
        shown="mm",
        help="outer diameter",
        spread="size",
        above=0,
        at_most=100,
    )
    can_length_m: Given | None = quantity(
        "Can length",
        key="can_length_mm",
        shown="mm",
        help="length of the can without shaft",
        spread="size",
        above=0,
        at_most=150,
    )
    shaft_diameter_m: Given | None = quantity(
        "Shaft diameter",
        key="shaft_mm",
        shown="mm",
        help="propeller shaft",
        spread="size",
        above=0,
        at_most=20,
    )
    gear_ratio: Given | None = quantity(
        "Gear ratio",
        key="gear_ratio",
        shown="",
        help="motor turns per propeller turn; leave out for direct drive",
        spread="exact",
        at_least=1,
        at_most=10,
    )
    outrunner: bool = plain("Outrunner", help="true when the can turns", default=True)
