"""Bench reading: volts, amps, speed and thrust, any subset, with what was on the bench."""

from typing import ClassVar

from glidewright.base.fields import Noun, plain, quantity
from glidewright.base.figure import Given

from .day import DayIfKnown, day_if_known
from .meters import loaded_volts, pack_amps, propeller_speed


class BenchReading(Noun):
    """One steady reading at rest.

    Parts that are not named are the fitted ones; ``propeller = "none"`` is a bare shaft.
    """

    table: ClassVar[str] = "bench"

    voltage_V: Given | None = loaded_volts("at the controller's input, under load")
    current_A: Given | None = pack_amps()
    revs_per_s: Given | None = propeller_speed("Speed", "of the propeller")
    thrust_N: Given | None = quantity(
        "Thrust",
        key="thrust_N",
        shown="N",
        help="pull at rest (100 g is 0.981 N)",
        spread="thrust_scale",
        above=0,
        at_most=500,
    )
    throttle: Given = quantity(
        "Throttle",
        key="throttle_percent",
        shown="%",
        help="100 is full",
        spread="exact",
        above=0,
        at_most=100,
        default=Given(value=1.0, grade="quoted", because="full throttle unless stated"),
    )
    charge: Given | None = quantity(
        "Charge of the pack",
        key="charge_percent",
        shown="%",
        help="before the reading, when known",
        spread="exact",
        above=0,
        at_most=100,
    )
    motor: str = plain("Motor", help="id, when not the fitted one", default="")
    controller: str = plain("Controller", help="id, when not the fitted one", default="")
    pack: str = plain("Pack", help="id, when not the fitted one", default="")
    propeller: str = plain("Propeller", help="id, when not the fitted one, or none", default="")
    date: DayIfKnown = day_if_known()
    note: str = plain("Note", help="meter, temperature of the motor", default="")
