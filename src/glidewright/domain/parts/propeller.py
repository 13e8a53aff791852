"""Propeller with its yoke and spinner."""

from typing import ClassVar

from pydantic import Field

from glidewright.base.fields import plain, quantity
from glidewright.base.figure import Given

from .part import Part


class Propeller(Part):
    """Blades, the yoke (middle part) that carries them, the spinner; marked size in inches in files."""

    kind: ClassVar[str] = "propeller"
    kind_title: ClassVar[str] = "Propeller"

    diameter_m: Given = quantity(
        "Marked diameter",
        key="diameter_in",
        shown="in",
        help="as marked on the blade",
        spread="exact",
        above=0,
        at_most=40,
        required=True,
    )
    pitch_m: Given = quantity(
        "Marked pitch",
        key="pitch_in",
        shown="in",
        help="as marked on the blade",
        spread="exact",
        above=0,
        at_most=40,
        required=True,
    )
    blades: int = Field(title="Blades", description="two unless stated", ge=1, le=6, default=2)
    folding: bool = plain("Folding", help="true when the blades lie back after the motor stops", default=True)
    family: str | None = plain(
        "Measured family", help="blade family of the measured set, when it is one of them", default=None
    )
    yoke_m: Given | None = quantity(
        "Yoke width",
        key="yoke_mm",
        shown="mm",
        help="between the two blade pivots",
        spread="size",
        at_least=0,
        at_most=120,
    )
    yoke_assumed_m: Given | None = quantity(
        "Yoke width of the mark",
        key="yoke_assumed_mm",
        shown="mm",
        help="yoke width that the marked size assumes",
        spread="size",
        at_least=0,
        at_most=120,
    )
    spinner_diameter_m: Given | None = quantity(
        "Spinner diameter",
        key="spinner_mm",
        shown="mm",
        help="outer diameter",
        spread="size",
        above=0,
        at_most=120,
    )
    max_revs_per_s: Given | None = quantity(
        "Speed limit",
        key="max_rpm",
        shown="rpm",
        help="highest speed that the maker allows",
        spread="exact",
        above=0,
        at_most=60000,
    )
