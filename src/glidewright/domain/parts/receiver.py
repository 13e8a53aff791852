"""Receiver."""

from typing import ClassVar

from pydantic import Field

from glidewright.base.fields import quantity
from glidewright.base.figure import Given

from .part import Part


class Receiver(Part):
    """A radio receiver."""

    kind: ClassVar[str] = "receiver"
    kind_title: ClassVar[str] = "Receiver"

    channels: int | None = Field(title="Channels", description="outputs", ge=1, le=32, default=None)
    current_A: Given | None = quantity(
        "Current",
        key="current_mA",
        shown="mA",
        help="supply current",
        spread="servo_current",
        at_least=0,
        at_most=2000,
    )
