"""Wing nouns: where its root lies, and its panels from root to tip, one side of a mirrored pair."""

from typing import ClassVar, Literal

from glidewright.base.fields import Noun, plain, quantity
from glidewright.base.figure import Given

from .geometry_left_out import ALIGNED, AT_DATUM, STRAIGHT
from .geometry_section import Datum


class Wing(Noun):
    """Where the root of the wing lies, and how it is set on the body."""

    table: ClassVar[str] = "wing"

    x_m: Given = quantity(
        "Root leading edge x",
        key="x_mm",
        shown="mm",
        help="at the middle of the model, from the datum, aft",
        spread="station",
        at_least=-3000,
        at_most=3000,
        default=AT_DATUM,
    )
    z_m: Given = quantity(
        "Root leading edge z",
        key="z_mm",
        shown="mm",
        help="above the datum",
        spread="station",
        at_least=-1000,
        at_most=1000,
        default=AT_DATUM,
    )
    incidence_rad: Given = quantity(
        "Wing incidence",
        key="incidence_deg",
        shown="°",
        help="root section against the datum line of the body, nose up positive; see incidence_from",
        spread="angle",
        at_least=-15,
        at_most=15,
        usual=(-1, 5),
        default=ALIGNED,
    )
    incidence_from: Datum = plain(
        "Incidence measured from",
        help="incidence and twist: usual is the flat bottom, of a section without one the chord line; chord "
        "the chord line; file the x axis of an own coordinate file",
        default="usual",
    )


class Panel(Noun):
    """One flat panel of the right wing; the left one is its mirror image. Panels stand from root to tip."""

    table: ClassVar[str] = "panel"

    name: str = plain("Name", help="what the flyer calls it", default="")
    length_m: Given = quantity(
        "Panel length",
        key="length_mm",
        shown="mm",
        help="along the panel, the first one from the middle of the model",
        spread="size",
        above=0,
        at_most=4000,
        required=True,
    )
    root_chord_m: Given | None = quantity(
        "Inner chord",
        key="root_chord_mm",
        shown="mm",
        help="at its inner end; the outer chord of the panel before when left out",
        spread="size",
        above=0,
        at_most=1000,
        usual=(60, 350),
    )
    tip_chord_m: Given = quantity(
        "Outer chord",
        key="tip_chord_mm",
        shown="mm",
        help="at its outer end",
        spread="size",
        above=0,
        at_most=1000,
        usual=(40, 350),
        required=True,
    )
    sweep_m: Given = quantity(
        "Sweep",
        key="sweep_mm",
        shown="mm",
        help="how far the leading edge lies further aft at the outer end than at the inner one",
        spread="station",
        at_least=-1000,
        at_most=1000,
        default=STRAIGHT,
    )
    dihedral_rad: Given = quantity(
        "Dihedral",
        key="dihedral_deg",
        shown="°",
        help="of the panel against the horizontal, not against the panel before",
        spread="angle",
        at_least=-120,
        at_most=120,
        usual=(-5, 30),
        default=ALIGNED,
    )
    twist_rad: Given = quantity(
        "Twist",
        key="twist_deg",
        shown="°",
        help="of the outer end against the inner one; washout is negative",
        spread="angle",
        at_least=-15,
        at_most=15,
        usual=(-3, 1),
        default=ALIGNED,
    )
    section: str = plain(
        "Section", help="at the inner end; that of the panel before when left out", default=""
    )
    tip_section: str = plain(
        "Outer section", help="at the outer end; the inner one when left out", default=""
    )
    join: Literal["glued", "plugged"] = plain(
        "Join", help="to the panel before, of the first one to the body", default="glued"
    )
    gap_m: Given | None = quantity(
        "Gap at the join",
        key="gap_mm",
        shown="mm",
        help="open slit of a plugged join",
        spread="size",
        at_least=0,
        at_most=20,
    )
