"""Controller: current rating, losses and the supply of receiver and servos."""

from typing import ClassVar, Literal

from glidewright.base.fields import plain, quantity
from glidewright.base.figure import Given

from .part import Part


class Controller(Part):
    """A brushless speed controller."""

    kind: ClassVar[str] = "controller"
    kind_title: ClassVar[str] = "Controller"

    max_current_A: Given | None = quantity(
        "Continuous current",
        key="max_current_A",
        shown="A",
        help="current that it carries all the time",
        spread="exact",
        above=0,
        at_most=500,
    )
    burst_current_A: Given | None = quantity(
        "Burst current",
        key="burst_current_A",
        shown="A",
        help="current for a few seconds",
        spread="exact",
        above=0,
        at_most=800,
    )
    cells_least: int | None = plain("Fewest cells", help="fewest cells in series", default=None)
    cells_most: int | None = plain("Most cells", help="most cells in series", default=None)
    resistance_ohm: Given | None = quantity(
        "On-resistance",
        key="resistance_mohm",
        shown="mΩ",
        help="both switches in the path, with leads",
        spread="controller_resistance",
        above=0,
        at_most=500,
    )
    servo_supply: Literal["linear", "switching", "none"] = plain(
        "Servo supply",
        help="regulator for receiver and servos: linear, switching or none",
        default="switching",
    )
    servo_supply_current_A: Given | None = quantity(
        "Servo supply current",
        key="servo_supply_current_A",
        shown="A",
        help="continuous current of that regulator",
        spread="exact",
        above=0,
        at_most=50,
    )
    servo_supply_voltage_V: Given | None = quantity(
        "Servo supply voltage",
        key="servo_supply_voltage_V",
        shown="V",
        help="its voltage",
        spread="exact",
        above=0,
        at_most=15,
    )
    low_voltage_cut_V: Given | None = quantity(
        "Low-voltage cut",
        key="low_voltage_cut_per_cell_V",
        shown="V",
        help="volts per cell under load at which it stops the motor",
        spread="exact",
        at_least=2,
        at_most=4,
    )
    soft_start_s: Given | None = quantity(
        "Soft start",
        key="soft_start_s",
        shown="s",
        help="time from stop to full",
        spread="soft_start",
        at_least=0,
        at_most=10,
    )
    brake: bool | None = plain(
        "Brake", help="true when it stops the propeller so that it folds", default=None
    )
