"""What every part has, whatever its kind."""

from typing import ClassVar, Literal, get_args

from glidewright.base.fields import Noun, plain, quantity
from glidewright.base.figure import Given

Group = Literal["wing", "fuselage", "tail", "radio", "power", "ballast", "other"]
STATION_HELP = "from the datum; x runs aft, y to the right wing, z up"


class Part(Noun):
    """A thing with a mass and a place, on hand or to be bought; money in the model's currency."""

    kind: ClassVar[str] = ""
    kind_title: ClassVar[str] = ""
    groups: ClassVar[tuple[Group, ...]] = get_args(Group)

    id: str = plain("Name in files", help="short, unique in the drawer, no spaces")
    title: str = plain("Title", help="what people call it", default="")
    note: str = plain("Note", help="anything worth knowing", default="")
    source: str = plain("Source", help="where the quoted numbers come from", default="")
    invented: bool = plain("Invented", help="true for demo parts that nobody sells", default=False)

    mass_kg: Given | None = quantity(
        "Mass",
        key="mass_g",
        shown="g",
        help="mass of one, with its leads",
        spread="mass",
        above=0,
        at_most=5000,
    )
    x_m: Given | None = quantity(
        "Station x", key="x_mm", shown="mm", help=STATION_HELP, spread="station", at_least=-3000, at_most=3000
    )
    y_m: Given | None = quantity(
        "Station y", key="y_mm", shown="mm", help=STATION_HELP, spread="station", at_least=-3000, at_most=3000
    )
    z_m: Given | None = quantity(
        "Station z", key="z_mm", shown="mm", help=STATION_HELP, spread="station", at_least=-1000, at_most=1000
    )
    length_m: Given | None = quantity(
        "Length", key="length_mm", shown="mm", help="size along x", spread="size", above=0, at_most=3000
    )
    width_m: Given | None = quantity(
        "Width", key="width_mm", shown="mm", help="size along y", spread="size", above=0, at_most=5000
    )
    height_m: Given | None = quantity(
        "Height", key="height_mm", shown="mm", help="size along z", spread="size", above=0, at_most=1000
    )
    price: Given | None = quantity(
        "Price",
        key="price",
        shown="money",
        help="price of one, in the model's currency",
        spread="price",
        at_least=0,
    )
    postage: Given | None = quantity(
        "Postage",
        key="postage",
        shown="money",
        help="postage of an order with it",
        spread="price",
        at_least=0,
    )
    on_hand: bool = plain("On hand", help="true when it lies in the drawer", default=False)
    lead_time_s: Given | None = quantity(
        "Lead time",
        key="lead_time_days",
        shown="days",
        help="from order to door",
        spread="lead_time",
        at_least=0,
    )

    @property
    def name(self) -> str:
        """The title, or the id when there is none."""
        return self.title or self.id
