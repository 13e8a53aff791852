"""Tail nouns: a horizontal tail or V-tail, and fins of one or two pieces."""

from typing import ClassVar

from glidewright.base.fields import Noun, plain, quantity
from glidewright.base.figure import Given

from .geometry_left_out import ALIGNED, LEVEL, MIDDLE, STRAIGHT
from .geometry_section import Datum


class Tail(Noun):
    """The horizontal tail or V-tail, whole span."""

    table: ClassVar[str] = "tail"

    span_m: Given = quantity(
        "Tail span",
        key="span_mm",
        shown="mm",
        help="tip to tip, projected flat",
        spread="size",
        above=0,
        at_most=3000,
        usual=(250, 700),
        required=True,
    )
    root_chord_m: Given = quantity(
        "Middle chord",
        key="root_chord_mm",
        shown="mm",
        help="with the elevator",
        spread="size",
        above=0,
        at_most=1000,
        usual=(50, 200),
        required=True,
    )
    tip_chord_m: Given = quantity(
        "Outer chord",
        key="tip_chord_mm",
        shown="mm",
        help="with the elevator",
        spread="size",
        above=0,
        at_most=1000,
        usual=(30, 200),
        required=True,
    )
    sweep_m: Given = quantity(
        "Sweep",
        key="sweep_mm",
        shown="mm",
        help="how far the leading edge lies further aft at the tip than in the middle",
        spread="station",
        at_least=-1000,
        at_most=1000,
        default=STRAIGHT,
    )
    x_m: Given = quantity(
        "Leading edge x",
        key="x_mm",
        shown="mm",
        help="in the middle, from the datum, aft",
        spread="station",
        at_least=-3000,
        at_most=3000,
        required=True,
    )
    z_m: Given = quantity(
        "Leading edge z",
        key="z_mm",
        shown="mm",
        help="in the middle, above the datum",
        spread="station",
        at_least=-1000,
        at_most=1000,
        default=LEVEL,
    )
    dihedral_rad: Given = quantity(
        "Dihedral",
        key="dihedral_deg",
        shown="°",
        help="of each half against the horizontal; that of a V-tail",
        spread="angle",
        at_least=-80,
        at_most=80,
        default=ALIGNED,
    )
    incidence_rad: Given = quantity(
        "Tail incidence",
        key="incidence_deg",
        shown="°",
        help="section against the datum line of the body, nose up positive; see incidence_from",
        spread="angle",
        at_least=-15,
        at_most=15,
        usual=(-3, 3),
        default=ALIGNED,
    )
    incidence_from: Datum = plain(
        "Incidence measured from", help="usual, chord or file, as for the wing", default="usual"
    )
    elevator_share: Given = quantity(
        "Elevator chord",
        key="elevator_percent",
        shown="%",
        help="share of the chord that moves; 100 for an all-moving tail",
        spread="size",
        above=0,
        at_most=100,
        usual=(20, 60),
        default=Given(value=0.35, grade="typical", because="left out; 30 to 40 % is common"),
    )
    section: str = plain("Section", help="of the tail", default="")
    v_tail: bool = plain(
        "V-tail",
        help="true when it replaces fin and rudder; the dihedral then has to be given",
        default=False,
    )
    ahead: bool = plain("Ahead of the wing", help="true for a canard", default=False)


class Fin(Noun):
    """One piece of the fin: above or below the boom, one of a pair, or the only one."""

    table: ClassVar[str] = "fin"

    name: str = plain("Name", help="what the flyer calls it", default="")
    height_m: Given = quantity(
        "Fin height",
        key="height_mm",
        shown="mm",
        help="from its root to its tip",
        spread="size",
        above=0,
        at_most=1500,
        usual=(30, 400),
        required=True,
    )
    root_chord_m: Given = quantity(
        "Root chord",
        key="root_chord_mm",
        shown="mm",
        help="with the rudder",
        spread="size",
        above=0,
        at_most=1000,
        usual=(60, 300),
        required=True,
    )
    tip_chord_m: Given = quantity(
        "Tip chord",
        key="tip_chord_mm",
        shown="mm",
        help="with the rudder",
        spread="size",
        above=0,
        at_most=1000,
        usual=(30, 250),
        required=True,
    )
    sweep_m: Given = quantity(
        "Sweep",
        key="sweep_mm",
        shown="mm",
        help="how far the leading edge lies further aft at the tip than at the root",
        spread="station",
        at_least=-1000,
        at_most=1000,
        default=STRAIGHT,
    )
    x_m: Given = quantity(
        "Leading edge x",
        key="x_mm",
        shown="mm",
        help="at its root, from the datum, aft",
        spread="station",
        at_least=-3000,
        at_most=3000,
        required=True,
    )
    y_m: Given = quantity(
        "Root y",
        key="y_mm",
        shown="mm",
        help="to the right; not zero for one of a pair",
        spread="station",
        at_least=-2000,
        at_most=2000,
        default=MIDDLE,
    )
    z_m: Given = quantity(
        "Root z",
        key="z_mm",
        shown="mm",
        help="above the datum",
        spread="station",
        at_least=-1000,
        at_most=1000,
        default=LEVEL,
    )
    rudder_share: Given = quantity(
        "Rudder chord",
        key="rudder_percent",
        shown="%",
        help="share of the chord that moves; 0 for a piece without rudder",
        spread="size",
        at_least=0,
        at_most=100,
        usual=(30, 70),
        default=Given(
            value=0.45, grade="typical", because="left out; 40 to 50 % is common with rudder models"
        ),
    )
    section: str = plain("Section", help="of the fin", default="")
    below: bool = plain("Below", help="true when its tip points down", default=False)
