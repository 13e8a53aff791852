"""Servo."""

from typing import ClassVar

from pydantic import Field

from glidewright.base.fields import quantity
from glidewright.base.figure import Given

from .part import Part


class Servo(Part):
    """A servo; torque in N m, speed in s/rad inside."""

    kind: ClassVar[str] = "servo"
    kind_title: ClassVar[str] = "Servo"

    torque_Nm: Given | None = quantity(
        "Torque",
        key="torque_Ncm",
        shown="N·cm",
        help="at the supply voltage (1 kg cm is 9.81 N cm)",
        spread="servo_torque",
        above=0,
        at_most=5000,
    )
    speed_s_per_rad: Given | None = quantity(
        "Speed",
        key="speed_s_per_60deg",
        shown="s/60°",
        help="time for 60 degrees",
        spread="servo_speed",
        above=0,
        at_most=5,
    )
    travel_rad: Given | None = quantity(
        "Travel", key="travel_deg", shown="°", help="from end to end", spread="exact", above=0, at_most=360
    )
    splines: int | None = Field(title="Splines", description="teeth on the shaft", ge=1, le=80, default=None)
    idle_current_A: Given | None = quantity(
        "Idle current",
        key="idle_current_mA",
        shown="mA",
        help="powered, at rest",
        spread="servo_current",
        at_least=0,
        at_most=2000,
    )
    working_current_A: Given | None = quantity(
        "Working current",
        key="working_current_mA",
        shown="mA",
        help="mean while flying",
        spread="servo_current",
        at_least=0,
        at_most=5000,
    )
    stall_current_A: Given | None = quantity(
        "Stall current",
        key="stall_current_mA",
        shown="mA",
        help="blocked, at the supply voltage",
        spread="servo_current",
        above=0,
        at_most=20000,
    )
    gear_play_rad: Given | None = quantity(
        "Play of the gears",
        key="gear_play_deg",
        shown="°",
        help="at the arm, from end to end, powered",
        spread="play",
        at_least=0,
        at_most=20,
    )
    dead_band_s: Given | None = quantity(
        "Dead band",
        key="dead_band_us",
        shown="µs",
        help="change of the pulse that moves nothing",
        spread="play",
        at_least=0,
        at_most=100,
    )
