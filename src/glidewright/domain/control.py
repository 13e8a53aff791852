"""Controls: the linkage of each moving surface, how the model is steered, and how true it was built."""

from typing import ClassVar, Literal

from pydantic import Field

from glidewright.base.fields import Noun, plain, quantity
from glidewright.base.figure import Given

SurfaceName = Literal["elevator", "rudder", "spoiler", "v-tail"]
RodMaterial = Literal["carbon", "steel", "glass", "wood", "plastic", "line", ""]
_OVER_HINGE = Given(
    value=0.0, grade="typical", low=-0.001, high=0.001, because="left out, taken as right over the hinge line"
)
_ONE_PLANE = Given(value=0.0, grade="typical", low=0.0, high=0.0, because="left out, taken as in one plane")


class Control(Noun):
    """The linkage of one moving surface, as rigged with the servo in the middle; of a spoiler, closed."""

    table: ClassVar[str] = "control"

    surface: SurfaceName = plain("Surface", help="what it moves")
    name: str = plain("Name", help="what the flyer calls it; the surface when left out", default="")
    servo: str = plain("Servo", help="name of the fitted servo that moves it", default="")
    rod: str = plain("Rod", help="name of the fitted linkage between them", default="")
    arm_m: Given | None = quantity(
        "Servo arm",
        key="arm_mm",
        shown="mm",
        help="from the servo shaft to the hole that is used",
        spread="size",
        above=0,
        at_most=80,
        usual=(5, 20),
    )
    horn_m: Given | None = quantity(
        "Horn",
        key="horn_mm",
        shown="mm",
        help="from the hinge line to the hole that is used, square to the rod",
        spread="size",
        above=0,
        at_most=100,
        usual=(6, 25),
    )
    horn_ahead_m: Given = quantity(
        "Hole ahead of the hinge",
        key="horn_ahead_mm",
        shown="mm",
        help="towards the servo; 0 for a hole right over the hinge line, negative for one behind it",
        spread="build",
        at_least=-100,
        at_most=100,
        default=_OVER_HINGE,
    )
    push_gives: Literal["up", "down", "left", "right", "open", "closed", ""] = plain(
        "A push gives",
        help="where the trailing edge goes when the rod is pushed; left out: down, of a rudder left, of a "
        "spoiler open",
        default="",
    )
    arm_side: Literal["same", "opposite"] = plain(
        "Arm side", help="whether the arm stands on the same side of the rod as the horn", default="same"
    )
    arm_angle_rad: Given | None = quantity(
        "Arm angle",
        key="arm_angle_deg",
        shown="°",
        help="arm off the square to the rod, towards the push, as rigged; left out: square, and of a closed "
        "spoiler square in the middle of its way",
        spread="angle",
        at_least=-80,
        at_most=80,
    )
    skew_rad: Given = quantity(
        "Skew",
        key="skew_deg",
        shown="°",
        help="servo shaft against the hinge line, seen along the rod: 0 in one plane, 90 for one on its side",
        spread="angle",
        at_least=-90,
        at_most=90,
        default=_ONE_PLANE,
    )
    offset_m: Given = quantity(
        "Offset",
        key="offset_mm",
        shown="mm",
        help="how far arm and horn stand beside each other, seen along the model",
        spread="station",
        at_least=-500,
        at_most=500,
        default=_ONE_PLANE,
    )
    rod_length_m: Given | None = quantity(
        "Rod length",
        key="rod_length_mm",
        shown="mm",
        help="from hole to hole",
        spread="size",
        above=0,
        at_most=3000,
    )
    rod_material: RodMaterial = plain(
        "Rod material",
        help="carbon, steel, glass, wood, plastic (a tube or snake) or line (it can only pull)",
        default="",
    )
    rod_inner_m: Given | None = quantity(
        "Bore of the rod",
        key="rod_inner_mm",
        shown="mm",
        help="inner diameter of a tube; leave out for a rod",
        spread="size",
        above=0,
        at_most=20,
    )
    guide_m: Given | None = quantity(
        "Free length",
        key="guide_mm",
        shown="mm",
        help="longest way between two guides of the rod; its whole length when left out",
        spread="station",
        above=0,
        at_most=3000,
    )
    servo_throw_rad: Given | None = quantity(
        "Servo throw",
        key="servo_throw_deg",
        shown="°",
        help="angle of the servo each way at a travel of 100 % in the transmitter",
        spread="angle",
        above=0,
        at_most=120,
        usual=(25, 60),
    )
    stop_rad: Given | None = quantity(
        "Stop",
        key="stop_deg",
        shown="°",
        help="deflection at which the surface itself touches, the smaller of both ways",
        spread="angle",
        above=0,
        at_most=120,
    )
    play_arm_m: Given | None = quantity(
        "Play at the arm",
        key="play_arm_mm",
        shown="mm",
        help="free play along the rod of the joint at the servo arm",
        spread="play",
        at_least=0,
        at_most=5,
    )
    play_horn_m: Given | None = quantity(
        "Play at the horn",
        key="play_horn_mm",
        shown="mm",
        help="free play along the rod of the joint at the horn",
        spread="play",
        at_least=0,
        at_most=5,
    )
    hinge_gap_m: Given | None = quantity(
        "Hinge gap",
        key="hinge_gap_mm",
        shown="mm",
        help="open slit between surface and control; 0 where it is taped",
        spread="play",
        at_least=0,
        at_most=20,
    )

    @property
    def label(self) -> str:
        """What messages and tables call it."""
        return self.name or self.surface

    @property
    def push_way(self) -> str:
        """Where the trailing edge goes when the rod is pushed."""
        usual = {"rudder": "left", "spoiler": "open"}
        return self.push_gives or usual.get(self.surface, "down")

    @property
    def opens_by_push(self) -> bool:
        """Of a spoiler: whether a push opens it."""
        return self.push_way != "closed"


class Steering(Noun):
    """How the model is steered: speeds that it must stand, the transmitter, and the pilot."""

    table: ClassVar[str] = "steering"

    dive_speed_m_s: Given | None = quantity(
        "Dive speed",
        key="dive_speed_m_per_s",
        shown="m/s",
        help="fastest airspeed that you mean to fly",
        spread="climb_speed",
        above=0,
        at_most=100,
        usual=(12, 30),
    )
    steps: int | None = Field(
        title="Steps",
        description="of the transmitter from end to end of a channel, 1024 or 2048 for example",
        ge=16,
        le=1_000_000,
        default=None,
    )
    reaction_s: Given | None = quantity(
        "Reaction time",
        key="reaction_s",
        shown="s",
        help="from something unexpected to the right move of the stick",
        spread="reaction",
        above=0,
        at_most=10,
    )
    rudder_on_both_sticks: bool = plain(
        "Rudder on both sticks",
        help="true when the rudder is to be copied to the other stick, for launches and for habits",
        default=False,
    )


class Build(Noun):
    """What a ruler found on the finished airframe; the sign says which side, 0 is true."""

    table: ClassVar[str] = "build"

    wing_root_m: Given | None = quantity(
        "Wing root, right against left",
        key="wing_root_mm",
        shown="mm",
        help="how much more the right wing is set nose up, over its root chord",
        spread="build",
        at_least=-50,
        at_most=50,
    )
    wing_tip_m: Given | None = quantity(
        "Wing tip, right against left",
        key="wing_tip_mm",
        shown="mm",
        help="how much more the right tip is twisted nose up, over its chord, beyond what the root has",
        spread="build",
        at_least=-50,
        at_most=50,
    )
    wing_incidence_m: Given | None = quantity(
        "Wing incidence off the drawing",
        key="wing_incidence_mm",
        shown="mm",
        help="how much more nose up than drawn, over the root chord",
        spread="build",
        at_least=-50,
        at_most=50,
    )
    tail_incidence_m: Given | None = quantity(
        "Tail incidence off the drawing",
        key="tail_incidence_mm",
        shown="mm",
        help="how much more nose up than drawn, over the middle chord",
        spread="build",
        at_least=-50,
        at_most=50,
    )
    tail_tilt_m: Given | None = quantity(
        "Tail tilt",
        key="tail_tilt_mm",
        shown="mm",
        help="how far the right tip hangs below, against the wing, over half the tail span",
        spread="build",
        at_least=-100,
        at_most=100,
    )
    fin_turn_m: Given | None = quantity(
        "Fin out of line",
        key="fin_turn_mm",
        shown="mm",
        help="how far its nose stands left of the centre line, over its root chord",
        spread="build",
        at_least=-50,
        at_most=50,
    )
