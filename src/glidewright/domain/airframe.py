"""Airframe: the measures that limits, balance and the assumed polar need."""

from typing import ClassVar

from glidewright.base.fields import Noun, plain, quantity
from glidewright.base.figure import Given

from .geometry import Geometry

WORKED_OUT = "worked out from the panels"
"""Why a measure has its value where the folder leaves it out."""


class Airframe(Noun):
    """Wing measures, controls, allowed balance range and, where stated, polar and shape.

    Where the shape is stated, measures that the folder leaves out have been worked out from it.
    """

    table: ClassVar[str] = "airframe"

    span_m: Given = quantity(
        "Span",
        key="span_m",
        shown="m",
        help="tip to tip, projected flat; may be left out when panels are given",
        spread="size",
        above=0,
        at_most=8,
        usual=(1.0, 4.0),
        required=True,
    )
    wing_area_m2: Given = quantity(
        "Wing area",
        key="wing_area_dm2",
        shown="dm²",
        help="projected, with the part inside the body; may be left out when panels are given",
        spread="area",
        above=0,
        at_most=500,
        usual=(15, 90),
        required=True,
    )
    tail_area_m2: Given | None = quantity(
        "Horizontal tail area",
        key="tail_area_dm2",
        shown="dm²",
        help="projected",
        spread="area",
        above=0,
        at_most=200,
    )
    mean_chord_m: Given | None = quantity(
        "Mean aerodynamic chord",
        key="mean_chord_mm",
        shown="mm",
        help="reference length of the balance range",
        spread="size",
        above=0,
        at_most=1000,
        usual=(100, 300),
    )
    chord_front_x_m: Given | None = quantity(
        "Front of the mean chord",
        key="chord_front_x_mm",
        shown="mm",
        help="x of its leading edge from the datum",
        spread="size",
        at_least=-3000,
        at_most=3000,
    )
    balance_front_x_m: Given | None = quantity(
        "Balance range, front",
        key="balance_front_x_mm",
        shown="mm",
        help="foremost allowed centre of gravity",
        spread="exact",
        at_least=-3000,
        at_most=3000,
    )
    balance_rear_x_m: Given | None = quantity(
        "Balance range, rear",
        key="balance_rear_x_mm",
        shown="mm",
        help="rearmost allowed centre of gravity",
        spread="exact",
        at_least=-3000,
        at_most=3000,
    )
    balance_source: str = plain("Source of the balance range", help="plan, designer, own flights", default="")
    controls: tuple[str, ...] = plain(
        "Controls",
        help="moving surfaces, for example rudder, elevator, spoiler",
        default=(),
    )
    structure: str = plain(
        "Structure", help="wood, composite or mixed: what the class text asks about", default=""
    )
    drag_zero: Given | None = quantity(
        "Drag coefficient at the bottom of the polar",
        key="drag_zero",
        shown="",
        help="of the whole model, on wing area",
        spread="drag",
        above=0,
        at_most=0.3,
        usual=(0.012, 0.045),
    )
    span_efficiency: Given | None = quantity(
        "Span efficiency",
        key="span_efficiency",
        shown="",
        help="induced drag and growth of section drag with lift",
        spread="span_efficiency",
        above=0,
        at_most=1.1,
        usual=(0.5, 1.0),
    )
    lift_least_drag: Given | None = quantity(
        "Lift coefficient of least drag",
        key="lift_least_drag",
        shown="",
        help="where the quadratic polar has its bottom",
        spread="lift",
        at_least=-0.5,
        at_most=1.0,
    )
    lift_ceiling: Given | None = quantity(
        "Highest lift coefficient",
        key="lift_ceiling",
        shown="",
        help="before the stall",
        spread="lift",
        above=0,
        at_most=2.5,
        usual=(0.9, 1.4),
    )
    geometry: Geometry | None = plain(
        "Shape", help="panels, tail, fins, body, spoilers and bays, in tables of their own", default=None
    )
