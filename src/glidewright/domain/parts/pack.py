"""Pack: cells, capacity, resistance and what the label promises."""

from typing import ClassVar

from pydantic import Field

from glidewright.base.fields import plain, quantity
from glidewright.base.figure import Given

from .part import Part


class Pack(Part):
    """A lithium polymer pack; capacity in ampere seconds inside, mAh in files."""

    kind: ClassVar[str] = "pack"
    kind_title: ClassVar[str] = "Pack"

    cells: int = Field(title="Cells in series", description="at least one", ge=1, le=14)
    parallel: int = Field(
        title="Cells in parallel",
        description="at least one; capacity and resistance are those of the whole pack, whatever stands here",
        ge=1,
        le=8,
        default=1,
    )
    capacity_As: Given = quantity(
        "Capacity",
        key="capacity_mAh",
        shown="mAh",
        help="label or measured charge from full to empty",
        spread="capacity",
        above=0,
        at_most=50000,
        usual=(200, 3000),
        required=True,
    )
    c_rating: Given | None = quantity(
        "C rating",
        key="c_rating",
        shown="",
        help="label: continuous current in multiples of capacity per hour",
        spread="exact",
        above=0,
        at_most=300,
        usual=(15, 100),
    )
    resistance_ohm: Given | None = quantity(
        "Resistance",
        key="resistance_mohm",
        shown="mΩ",
        help="whole pack with leads, near 22 °C, half full",
        spread="pack_resistance",
        above=0,
        at_most=2000,
    )
    max_current_A: Given | None = quantity(
        "Current limit",
        key="max_current_A",
        shown="A",
        help="highest current you allow; else from the C rating",
        spread="exact",
        above=0,
        at_most=1000,
    )
    limit_temperature_K: Given | None = quantity(
        "Temperature limit",
        key="limit_temperature_C",
        shown="°C",
        help="highest pack temperature",
        spread="exact",
        at_least=30,
        at_most=100,
        usual=(45, 65),
    )
    connector: str = plain("Connector", help="plug on the discharge lead", default="")
