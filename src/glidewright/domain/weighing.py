"""Weighing: what a scale said of one item, of several, or of the whole model, on one to three scales."""

from typing import ClassVar

from pydantic import model_validator

from glidewright.base.fields import Noun, nested, plain, quantity
from glidewright.base.figure import Given

from .day import DayIfKnown, day_if_known
from .meters import balance_point, scale_mass


class Support(Noun):
    """One scale under the model: where it carries it and what it reads, tare taken off."""

    x_m: Given = quantity(
        "Support x",
        key="x_mm",
        shown="mm",
        help="where the blade or knife edge carries, from the datum",
        spread="support_place",
        at_least=-3000,
        at_most=3000,
        required=True,
    )
    y_m: Given | None = quantity(
        "Support y",
        key="y_mm",
        shown="mm",
        help="to the right wing; needed for the centre of gravity across, with three scales",
        spread="support_place",
        at_least=-3000,
        at_most=3000,
    )
    reading_kg: Given = quantity(
        "Reading",
        key="reading_g",
        shown="g",
        help="of this scale, tare taken off; a negative one means that the model tips over",
        spread="scale",
        above=0,
        at_most=20000,
        required=True,
    )


class Weighing(Noun):
    """One weighing; ``of`` names fitted items or groups, ``all`` is the model ready to fly.

    Either one scale (``mass_g``, and where it balanced when that was found), or two or three supports.
    """

    table: ClassVar[str] = "weighing"

    of: tuple[str, ...] = plain("Weighed", help="names of items or groups, or all")
    mass_kg: Given | None = scale_mass("reading of the scale, when there is one")
    x_m: Given | None = balance_point("where it balanced, from the datum")
    support: tuple[Support, ...] = nested(
        "Supports", noun=Support, help="two or three scales under the model, in place of mass_g"
    )
    date: DayIfKnown = day_if_known()
    note: str = plain("Note", help="scale, state of the build", default="")

    @model_validator(mode="after")
    def _one_way(self) -> "Weighing":
        if (self.mass_kg is None) == (not self.support) or len(self.support) not in (0, 2, 3):
            came = f"{len(self.support)} supports and {'a' if self.mass_kg else 'no'} mass_g came"
            raise ValueError(f"must have either mass_g or two or three supports; {came}; keep one way")
        return self
