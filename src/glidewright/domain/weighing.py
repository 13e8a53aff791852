"""Weighing: what a scale said of one item, of several, or of the whole model."""

from typing import ClassVar

from glidewright.base.fields import Noun, plain, quantity
from glidewright.base.figure import Given


class Weighing(Noun):
    """One weighing; ``of`` names fitted items or groups, ``all`` is the model ready to fly."""

    table: ClassVar[str] = "weighing"

    of: tuple[str, ...] = plain("Weighed", help="names of items or groups, or all")
    mass_kg: Given = quantity(
        "Mass",
        key="mass_g",
        shown="g",
        help="reading of the scale",
        spread="scale",
        above=0,
        at_most=20000,
        required=True,
    )
    x_m: Given | None = quantity(
        "Balance point x",
        key="x_mm",
        shown="mm",
        help="where it balanced, from the datum",
        spread="balance_reading",
        at_least=-3000,
        at_most=3000,
    )
    date: str = plain("Date", help="year-month-day", default="")
    note: str = plain("Note", help="scale, state of the build", default="")
