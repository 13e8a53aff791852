"""Body nouns: pod and boom, the spoilers in the wing, and bays where things may lie."""

import math
from typing import ClassVar, Literal

from glidewright.base.fields import Noun, plain, quantity
from glidewright.base.figure import Given

from .geometry_left_out import LEVEL, MIDDLE


class Body(Noun):
    """A pod, of full size between two stations, and the boom that it runs out into."""

    table: ClassVar[str] = "body"

    nose_x_m: Given = quantity(
        "Nose x",
        key="nose_x_mm",
        shown="mm",
        help="front of the body without spinner, from the datum, aft",
        spread="station",
        at_least=-3000,
        at_most=3000,
        required=True,
    )
    nose_diameter_m: Given = quantity(
        "Nose diameter",
        key="nose_diameter_mm",
        shown="mm",
        help="of the body behind the spinner",
        spread="size",
        at_least=0,
        at_most=500,
        default=Given(value=0.035, grade="typical", because="left out; a small spinner"),
    )
    full_from_x_m: Given = quantity(
        "Full size from x",
        key="full_from_x_mm",
        shown="mm",
        help="where the pod has reached its width and height",
        spread="station",
        at_least=-3000,
        at_most=3000,
        required=True,
    )
    full_to_x_m: Given = quantity(
        "Full size to x",
        key="full_to_x_mm",
        shown="mm",
        help="where the pod begins to run out",
        spread="station",
        at_least=-3000,
        at_most=3000,
        required=True,
    )
    pod_end_x_m: Given = quantity(
        "End of the pod x",
        key="pod_end_x_mm",
        shown="mm",
        help="where only the boom is left",
        spread="station",
        at_least=-3000,
        at_most=3000,
        required=True,
    )
    end_x_m: Given = quantity(
        "End of the body x",
        key="end_x_mm",
        shown="mm",
        help="rear end of the boom",
        spread="station",
        at_least=-3000,
        at_most=3000,
        required=True,
    )
    width_m: Given = quantity(
        "Body width",
        key="width_mm",
        shown="mm",
        help="of the pod where it is widest, outside",
        spread="size",
        above=0,
        at_most=500,
        usual=(25, 90),
        required=True,
    )
    height_m: Given = quantity(
        "Body height",
        key="height_mm",
        shown="mm",
        help="of the pod where it is highest, outside",
        spread="size",
        above=0,
        at_most=500,
        usual=(30, 120),
        required=True,
    )
    z_m: Given = quantity(
        "Pod middle z",
        key="z_mm",
        shown="mm",
        help="middle of the pod, above the datum",
        spread="station",
        at_least=-1000,
        at_most=1000,
        default=LEVEL,
    )
    boom_diameter_m: Given = quantity(
        "Boom diameter",
        key="boom_diameter_mm",
        shown="mm",
        help="at the pod",
        spread="size",
        above=0,
        at_most=200,
        usual=(6, 30),
        required=True,
    )
    boom_end_diameter_m: Given | None = quantity(
        "Boom diameter at the tail",
        key="boom_end_diameter_mm",
        shown="mm",
        help="as at the pod when left out",
        spread="size",
        above=0,
        at_most=200,
    )
    boom_z_m: Given | None = quantity(
        "Boom middle z",
        key="boom_z_mm",
        shown="mm",
        help="above the datum; that of the pod when left out",
        spread="station",
        at_least=-1000,
        at_most=1000,
    )
    cross_section: Literal["oval", "rounded", "box"] = plain(
        "Cross-section of the pod", help="oval, box with well rounded edges, or box", default="rounded"
    )
    wetted_area_m2: Given | None = quantity(
        "Wetted area",
        key="wetted_area_dm2",
        shown="dm²",
        help="outer surface of pod and boom; from the measures above when left out",
        spread="area",
        above=0,
        at_most=200,
    )


class Spoiler(Noun):
    """The spoiler bay of the right wing, which is mirrored to the left."""

    table: ClassVar[str] = "spoiler"

    from_y_m: Given = quantity(
        "Inner end y",
        key="from_y_mm",
        shown="mm",
        help="from the middle of the model, outwards",
        spread="station",
        at_least=0,
        at_most=4000,
        required=True,
    )
    to_y_m: Given = quantity(
        "Outer end y",
        key="to_y_mm",
        shown="mm",
        help="from the middle of the model, outwards",
        spread="station",
        at_least=0,
        at_most=4000,
        required=True,
    )
    chord_m: Given = quantity(
        "Blade chord",
        key="chord_mm",
        shown="mm",
        help="of the blade along the flow when closed",
        spread="size",
        above=0,
        at_most=300,
        usual=(10, 60),
        required=True,
    )
    setback_m: Given = quantity(
        "Setback",
        key="setback_mm",
        shown="mm",
        help="from the rear edge of the closed blade to the trailing edge of the wing, least along the blade",
        spread="station",
        at_least=0,
        at_most=1000,
        required=True,
    )
    opening_rad: Given = quantity(
        "Opening",
        key="opening_deg",
        shown="°",
        help="largest angle of the blade",
        spread="angle",
        above=0,
        at_most=120,
        default=Given(
            value=math.radians(80.0), grade="typical", because="left out; 60 to 90 degrees are common"
        ),
    )


class Bay(Noun):
    """A place where parts may lie, and be moved: from a station to a station, with its clear size."""

    table: ClassVar[str] = "bay"

    name: str = plain("Name", help="of the bay")
    from_x_m: Given = quantity(
        "Front end x",
        key="from_x_mm",
        shown="mm",
        help="from the datum, aft",
        spread="station",
        at_least=-3000,
        at_most=3000,
        required=True,
    )
    to_x_m: Given = quantity(
        "Rear end x",
        key="to_x_mm",
        shown="mm",
        help="from the datum, aft",
        spread="station",
        at_least=-3000,
        at_most=3000,
        required=True,
    )
    width_m: Given = quantity(
        "Clear width",
        key="width_mm",
        shown="mm",
        help="inside",
        spread="size",
        above=0,
        at_most=500,
        required=True,
    )
    height_m: Given = quantity(
        "Clear height",
        key="height_mm",
        shown="mm",
        help="inside",
        spread="size",
        above=0,
        at_most=500,
        required=True,
    )
    y_m: Given = quantity(
        "Middle y",
        key="y_mm",
        shown="mm",
        help="to the right wing",
        spread="station",
        at_least=-3000,
        at_most=3000,
        default=MIDDLE,
    )
    z_m: Given | None = quantity(
        "Middle z",
        key="z_mm",
        shown="mm",
        help="above the datum; the middle of the body there, in the wing its root, when left out",
        spread="station",
        at_least=-1000,
        at_most=1000,
    )
    place: Literal["body", "wing"] = plain("Lies in", help="body, or wing for a servo well", default="body")
    takes: tuple[str, ...] = plain(
        "Takes",
        help="kinds of parts that may lie there, for example pack, controller, receiver",
        default=("pack",),
    )
