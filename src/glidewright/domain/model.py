"""Model: airframe, fitted parts, class, field, plan, weighings and bench readings of one folder."""

from collections.abc import Iterator
from typing import ClassVar, Literal, TypeVar

from glidewright.base.fields import Noun, plain, quantity
from glidewright.base.figure import Given

from .airframe import Airframe
from .bench import BenchReading
from .control import Build, Control, Steering
from .field import Field
from .launch_plan import LaunchPlan
from .learned import Learned
from .outcome import Outcome
from .parts import Part, PlainItem
from .weighing import Weighing

P = TypeVar("P", bound=Part)
Skill = Literal["beginner", "improver", "experienced", "expert"]
GROUP_OF_KIND = {
    "motor": "power",
    "controller": "power",
    "pack": "power",
    "propeller": "power",
    "servo": "radio",
    "receiver": "radio",
    "altimeter": "radio",
    "linkage": "radio",
    "ballast": "ballast",
}


class Fitted(Noun):
    """One part of the drawer in its place; a station here replaces that of the drawer."""

    table: ClassVar[str] = "fitted"

    part: str = plain("Part", help="id of a part in the drawer")
    name: str = plain("Name", help="what it is here; the part's id when left out", default="")
    x_m: Given | None = quantity(
        "Station x",
        key="x_mm",
        shown="mm",
        help="from the datum, aft",
        spread="station",
        at_least=-3000,
        at_most=3000,
    )
    y_m: Given | None = quantity(
        "Station y",
        key="y_mm",
        shown="mm",
        help="to the right wing",
        spread="station",
        at_least=-3000,
        at_most=3000,
    )
    z_m: Given | None = quantity(
        "Station z", key="z_mm", shown="mm", help="up", spread="station", at_least=-1000, at_most=1000
    )


class Item(Noun):
    """Something that flies: a part at its final station, under its name in this model."""

    name: str
    part: Part

    @property
    def group(self) -> str:
        """The row of the mass table that it counts in."""
        if isinstance(self.part, PlainItem):
            return self.part.group
        return GROUP_OF_KIND[self.part.kind]


class Model(Noun):
    """Everything that one model folder says, with its drawer."""

    name: str = plain("Name", help="of the model")
    note: str = plain("Note", help="anything worth knowing", default="")
    invented: bool = plain("Invented", help="true for the demo", default=False)
    class_id: str = plain("Class", help="file name in classes/, without ending; empty for none", default="")
    currency: str = plain("Currency", help="of all prices", default="EUR")
    build_time_s: Given | None = quantity(
        "Hours to build",
        key="build_hours",
        shown="h",
        help="from the parts on the bench to ready to fly",
        spread="build_time",
        at_least=0,
        at_most=5000,
        usual=(1, 300),
    )
    skill: Skill | None = plain("Skill asked", help="of who builds and flies it", default=None)
    airframe: Airframe
    field: Field
    launch: LaunchPlan
    items: tuple[Item, ...] = ()
    weighings: tuple[Weighing, ...] = ()
    bench: tuple[BenchReading, ...] = ()
    outcomes: tuple[Outcome, ...] = ()
    controls: tuple[Control, ...] = ()
    steering: Steering = Steering()
    build: Build = Build()
    drawer: tuple[Part, ...] = ()
    learned: Learned | None = None

    def of_kind(self, kind: type[P]) -> Iterator[tuple[Item, P]]:
        """Fitted items of a kind, in the order of the file."""
        for item in self.items:
            if isinstance(item.part, kind):
                yield item, item.part

    def first(self, kind: type[P]) -> P | None:
        """The first fitted part of a kind, or nothing."""
        return next((part for _, part in self.of_kind(kind)), None)

    def from_drawer(self, part_id: str) -> Part | None:
        """The part of the drawer with this id, or nothing."""
        return next((part for part in self.drawer if part.id == part_id), None)
