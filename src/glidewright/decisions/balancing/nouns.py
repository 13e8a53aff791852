"""What ``balance`` answers with."""

from typing import Literal

from glidewright.base.fields import Noun, plain
from glidewright.base.figure import Figure
from glidewright.decisions.nouns import NamedFigure
from glidewright.rules.finding import Finding


class AllowedRange(Noun):
    """Where the centre of gravity may lie, and who says so; unknown while nobody does."""

    front: Figure
    rear: Figure
    source: str = plain("Source", help="the designer, or the static margins that it was worked out from")


class LeftOutItem(Noun):
    """A fitted item that cannot be counted in yet, and what it must be for the balance to come right."""

    name: str
    lacks: str = plain("Lacks", help="mass, place, or both")
    needs: str = plain("Needs", help="which mass at its place, or which place for its mass, in words")


class KnownPart(Noun):
    """Balance of the items whose mass and place are known, counted alone."""

    items: int = plain("Items", help="with mass and place")
    fitted: int = plain("Fitted", help="items altogether")
    mass: Figure
    centre_x: Figure
    left_out: tuple[LeftOutItem, ...] = plain("Left out", help="items that cannot be counted in yet")
    still_to_come: tuple[str, ...] = plain(
        "Still to come", help="what mass at the ends would bring the known part into the range, in words"
    )


class ForecastStep(Noun):
    """The forecast after one more weighing; the first step is the plan."""

    date: str
    after: str = plain("After", help="which weighing, in words")
    mass: Figure
    centre_x: Figure
    chance: float | None = plain("Chance", help="to be inside the range")
    taught: str = plain("Taught", help="what the weighing said against what was expected")


class Alternative(Noun):
    """One way into the range, with what it costs; masses against the model as it is."""

    does: tuple[str, ...] = plain("Does", help="what to do, in words; empty for nothing")
    added_mass_kg: float = plain("Added mass", help="of the whole model, negative for lighter")
    ballast_kg: float = plain("Ballast", help="all that is in the model then")
    cost: float = plain("Cost", help="price with postage of what must be bought, in the model's currency")
    work_s: float = plain("Work", help="time that it takes")
    rank_kg: float = plain("Rank", help="added mass plus the worth of cost and work; the least is best")
    centre_x: Figure = plain("Centre of gravity", help="of the known part, where something is left out")
    chance: float | None = plain("Chance", help="to be inside; nothing where something is left out")
    miss_m: float = plain("Miss", help="from the median to the range; 0 when inside")
    height_before_m: float | None = plain("Height before", help="launch height of the model as it is")
    height_after_m: float | None = plain("Height after", help="launch height with it")
    remarks: tuple[str, ...]


class Search(Noun):
    """The alternatives in order, how they were searched, and what was not offered."""

    alternatives: tuple[Alternative, ...]
    ballast_alone: Alternative | None = plain(
        "Ballast alone", help="for comparison: nothing moved or fitted, ballast alone"
    )
    nearest_miss: Alternative | None = plain("Nearest miss", help="when nothing reaches the range")
    left_out: tuple[str, ...] = plain(
        "Left out", help="items without mass or place; the ways are those of the known part alone"
    )
    combinations: int = plain("Combinations", help="of all options, without places and ballast")
    how: tuple[str, ...] = plain("How", help="aim, worth and proof, in sentences")
    not_offered: tuple[str, ...] = plain("Not offered", help="parts that would break what is kept now")


class StationRow(Noun):
    """What one gram more at a station does, and the mass there that moves the balance by a millimetre."""

    name: str
    kind: Literal["item", "end", "bay", "tip"]
    x_m: float = plain("Station", help="from the datum, aft positive")
    moves_by_m: float = plain("Moves by", help="of the centre of gravity for one gram, aft positive")
    mass_for_mm_kg: float | None = plain("Mass for 1 mm", help="nothing when it lies at the balance point")


class Lateral(Noun):
    """Left against right."""

    centre_y: Figure
    side_moment: Figure
    difference: Figure = plain("Difference", help="mass right of the middle less mass left of it")
    tip_y_m: float | None = plain("Tip", help="where a tip weight would lie, from the middle")
    tip_weight: Figure = plain("Tip weight", help="at the light tip; negative for the left one")
    text: str = plain("Text", help="what to do, in a sentence")


class Stability(Noun):
    """Neutral point and static margin, unknown while the airframe has no shape."""

    neutral_point_x: Figure
    static_margin: Figure


class BalanceResult(Noun):
    """Everything that ``balance`` answers."""

    model: str
    invented: bool
    currency: str
    draws: int
    chance_wanted: float = plain("Chance wanted", help="to be inside the range")
    mass: Figure
    centre: tuple[NamedFigure, ...]
    allowed: AllowedRange
    chance_as_is: float | None = plain("Chance as it is", help="to be inside the range")
    chance_by_pack_bay: float | None = plain(
        "Chance by the pack alone", help="share of draws that some place of the pack in its bay brings inside"
    )
    known: KnownPart
    stability: Stability
    record: tuple[ForecastStep, ...] = plain("Record", help="the plan, and the forecast after each weighing")
    search: Search | None
    why_no_search: str
    stations: tuple[StationRow, ...] = plain("Stations", help="what a gram does where")
    lateral: Lateral | None
    findings: tuple[Finding, ...]
    measure_next: tuple[str, ...]
    sources: tuple[str, ...]
