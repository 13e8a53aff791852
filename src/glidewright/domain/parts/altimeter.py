"""Altimeter or limiter: records height, and may stop the motor by time and height."""

from typing import ClassVar

from glidewright.base.fields import plain, quantity
from glidewright.base.figure import Given

from .part import Part


class Altimeter(Part):
    """A barometric logger; as a limiter it sits between receiver and controller and stops the motor."""

    kind: ClassVar[str] = "altimeter"
    kind_title: ClassVar[str] = "Altimeter or limiter"

    stops_motor: bool = plain("Stops the motor", help="true when it is wired as a limiter", default=False)
    cut_height_m: Given | None = quantity(
        "Set height",
        key="cut_height_m",
        shown="m",
        help="indicated height at which it stops the motor",
        spread="exact",
        above=0,
        at_most=1000,
    )
    cut_time_s: Given | None = quantity(
        "Set motor run",
        key="cut_time_s",
        shown="s",
        help="motor run after which it stops the motor",
        spread="exact",
        above=0,
        at_most=600,
    )
    height_error_m: Given | None = quantity(
        "Height error",
        key="height_error_m",
        shown="m",
        help="half width within which 8 of 10 readings lie",
        spread="exact",
        at_least=0,
        at_most=20,
    )
    current_A: Given | None = quantity(
        "Current",
        key="current_mA",
        shown="mA",
        help="supply current",
        spread="servo_current",
        at_least=0,
        at_most=500,
    )
