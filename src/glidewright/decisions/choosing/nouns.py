"""What ``choose`` is asked and what it answers with."""

from datetime import date

from pydantic import Field

from glidewright.base.fields import Noun, plain
from glidewright.base.figure import Figure
from glidewright.decisions.choosing.builds import Build
from glidewright.decisions.nouns import Answered, NamedFigure
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.model import Model
from glidewright.domain.parts import Part

DRAWS = 128
SIMULATED = 100


class ChooseRequest(Noun):
    """A model with its drawer, its class, further parts, and what the flyer wants."""

    model: Model
    rule: ClassLimits | None = None
    parts: tuple[Part, ...] = plain("Parts", help="of further files, beside those of the drawer", default=())
    catalogue: tuple[Part, ...] = plain(
        "Catalogue", help="parts that are not to be bought, asked only what one of them would add", default=()
    )
    goals: tuple[str, ...] = plain(
        "Goals", help="what builds are compared by, the usual when empty", default=()
    )
    needs: tuple[str, ...] = plain("Needs", help="what every build must reach, as height>=100", default=())
    buy: int | None = Field(
        title="Buy", description="most different parts to buy; any number when None", ge=0, default=None
    )
    today: date | None = plain(
        "Today", help="the day of the question; needed where a date is stated", default=None
    )
    by: date | None = plain("By", help="every part must be there on this day", default=None)
    chance: float | None = Field(
        title="Chance",
        description="that every limit must be kept with; that of each limit when None",
        ge=0.5,
        le=1.0,
        default=None,
    )
    draws: int = DRAWS
    simulated: int = Field(
        title="Simulated",
        description="most builds that are flown with spread and kept",
        ge=1,
        default=SIMULATED,
    )


class Purchase(Noun):
    """A part that must be bought for a build."""

    part: str
    name: str
    pieces: int
    cost: Figure
    ready: Figure = plain("Ready", help="time until it is there")


class Choice(Noun):
    """One build with what it gives and what it takes.

    values: every goal's quantity, the number at the middle of every input, its range over the draws.
    """

    build: Build
    parts: tuple[str, ...] = plain("Parts", help="motor, controller, pack, propeller, servos, in words")
    does: tuple[str, ...] = plain("Does", help="what changes against the model as it is, in words")
    values: tuple[NamedFigure, ...]
    purchases: tuple[Purchase, ...]
    margin_by: str = plain("Margin by", help="the limit that has the least margin")
    chance_balance: float | None = plain("Chance of balance", help="to lie inside its range")
    least_chance: float | None = plain("Least chance", help="of all limits that the build decides")
    least_chance_of: str = plain("Least chance of", help="name of that limit")
    not_stated: tuple[str, ...] = plain("Not stated", help="limits that nobody states, so nobody judges")
    equals: int = plain("Equals", help="other builds that give the same on every goal", default=0)

    def value(self, name: str) -> Figure:
        """The figure of one goal."""
        return next(one.figure for one in self.values if one.name == name)


class BrokenLimit(Noun):
    """How many sets of parts a limit takes out, each counted at the first limit that it breaks."""

    limit: str
    allowed: str = plain("Allowed", help="the bound, in words")
    sets: int = plain("Sets", help="of parts that broke it first")


class PartRecord(Noun):
    """What became of the sets that hold a part."""

    role: str = plain("Role", help="motor, controller, pack and so on")
    part: str
    name: str
    on_hand: bool
    sets: int = plain("Sets", help="that hold it")
    kept: int = plain("Kept", help="sets that broke no limit")
    broke: tuple[BrokenLimit, ...] = plain("Broke", help="limits, the most frequent first")


class LeftOut(Noun):
    """A part that could not be counted with, and why."""

    part: str
    because: str


class OneMore(Noun):
    """What one more purchase would add; parts: everything that must be bought for it."""

    parts: tuple[str, ...]
    name: str
    cost: Figure
    ready: Figure = plain("Ready", help="time until it is there")
    gains: tuple[str, ...] = plain("Gains", help="against the best without it, in words")
    choice: Choice = plain("Choice", help="the build that it makes possible")


class ChooseResult(Answered):
    """Everything that ``choose`` answers.

    choices: what nothing beats, the recommended one first; sets: combinations of parts; combinations: with
    every place of motor and pack; open_sets: sets that nothing beats either but that were not simulated.
    """

    invented: bool
    currency: str
    class_title: str
    class_note: str
    draws: int
    goals: tuple[str, ...] = plain("Goals", help="by name")
    goal_titles: tuple[str, ...]
    needs: tuple[str, ...] = plain("Needs", help="bounds that must be reached, as they were asked for")
    ready_by: str = plain("Ready by", help="day by which all parts must be there; empty for any")
    choices: tuple[Choice, ...]
    why: str = plain("Why", help="why the first one is recommended")
    now: Choice | None = plain("Now", help="the model as it is, for comparison")
    now_breaks: tuple[str, ...] = plain("Now breaks", help="limits that the model as it is breaks")
    on_hand: Choice | None = plain("On hand", help="the best with nothing bought")
    combinations: int
    sets: int
    kept_sets: int = plain("Kept sets", help="those that break no limit at the middle of every input")
    simulated: int = plain("Simulated", help="builds that were flown with spread")
    failed: int = plain("Failed", help="those of them that do not keep a limit with the chance wanted")
    open_sets: int
    broken: tuple[BrokenLimit, ...] = plain("Broken", help="limits by the sets that they took out")
    doubtful: tuple[BrokenLimit, ...] = plain("Doubtful", help="limits that took out simulated builds")
    records: tuple[PartRecord, ...] = plain("Records", help="what became of every part")
    left_out: tuple[LeftOut, ...] = plain("Left out", help="parts that could not be counted with")
    one_more: tuple[OneMore, ...] = plain("One more", help="what one more purchase would add")
    is_partial: bool = plain("Partial", help="true when it was stopped before its end")
    stopped_in: str = plain("Stopped in", help="what it was at then")
    how: tuple[str, ...] = plain("How", help="it was searched, in sentences")
    remarks: tuple[str, ...]
