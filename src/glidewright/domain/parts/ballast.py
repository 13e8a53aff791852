"""Ballast."""

from typing import ClassVar

from glidewright.base.fields import quantity
from glidewright.base.figure import Given

from .part import Part


class Ballast(Part):
    """Dead weight for balance or for wind."""

    kind: ClassVar[str] = "ballast"
    kind_title: ClassVar[str] = "Ballast"

    density_kg_m3: Given | None = quantity(
        "Density",
        key="density_kg_per_m3",
        shown="kg/m³",
        help="lead is about 11340",
        spread="exact",
        above=0,
        at_most=22600,
    )
