"""Linkage: pushrod or line from a servo to a surface."""

from typing import ClassVar

from glidewright.base.fields import plain, quantity
from glidewright.base.figure import Given

from .part import Part


class Linkage(Part):
    """A pushrod, tube or pull line with its ends."""

    kind: ClassVar[str] = "linkage"
    kind_title: ClassVar[str] = "Linkage"

    surface: str = plain("Surface", help="rudder, elevator or spoiler", default="")
    rod_diameter_m: Given | None = quantity(
        "Rod diameter",
        key="rod_diameter_mm",
        shown="mm",
        help="outer diameter",
        spread="size",
        above=0,
        at_most=20,
    )
    play_m: Given | None = quantity(
        "Play", key="play_mm", shown="mm", help="free play end to end", spread="size", at_least=0, at_most=10
    )
