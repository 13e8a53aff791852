"""What ``calibrate`` answers with."""

from typing import Literal

from glidewright.base.fields import Noun, plain
from glidewright.base.figure import Figure
from glidewright.decisions.nouns import Answered
from glidewright.decisions.reading.nouns import ExpectedRow


class BeforeAfter(Noun):
    """One main figure without and with what the flights taught."""

    name: str
    title: str
    before: Figure
    after: Figure
    width_left: float | None = plain("Width left", help="of its range, 1 when nothing was learned")


class LearnedRow(Noun):
    """One input that was learned about: its value before and now."""

    name: str
    title: str
    part: str = plain("Part", help="id of the part, or what else it belongs to")
    before: Figure
    after: Figure
    width_left: float = plain("Width left", help="of its range, 1 when nothing was learned")


class HeldBack(Noun):
    """One launch, predicted from the flights before it alone, and what its log showed."""

    title: str
    rows: tuple[ExpectedRow, ...]


class WorthRow(Noun):
    """One reading that could be taken next, and what it is expected to leave of each main figure's range."""

    title: str
    left: tuple[Figure, ...] = plain(
        "Left", help="share of the width, one for each figure named in the result"
    )
    mean_left: float = plain("Mean left", help="of the shares; the least is the best reading")


class ChargeRow(Noun):
    """One charge of a pack."""

    date: str
    put_back: Figure = plain("Put back", help="charge that the charger counted")
    resting_before: Figure = plain("Resting before", help="volts of a cell at rest before it")
    resistance: Figure
    capacity: Figure = plain("Capacity", help="worked out from charge and resting volts")
    note: str


class PackRow(Noun):
    """One pack over its life: charges, launches, and how it fares against its first charges."""

    pack: str
    title: str
    charges: tuple[ChargeRow, ...]
    launches: int
    log_resistance: Figure = plain("Resistance in logs", help="median of its last launches, leads included")
    capacity_share: Figure = plain("Capacity share", help="last charges over first ones")
    resistance_ratio: Figure = plain("Resistance ratio", help="last charges over first ones")
    cautions: tuple[str, ...]
    tone: Literal["plain", "good", "warning"]


class SeasonRow(Noun):
    """One line of the season summary."""

    title: str
    value: str


class CalibrateResult(Answered):
    """Everything that ``calibrate`` answers."""

    invented: bool
    draws: int
    flights: int
    launches: int
    bench_readings: int
    charges: int
    main: tuple[BeforeAfter, ...] = plain("Main", help="figures without and with what was learned")
    learned: tuple[LearnedRow, ...] = plain("Learned", help="inputs that moved or narrowed")
    meters: tuple[LearnedRow, ...] = plain("Meters", help="lasting errors of the meters in the model")
    held_back: tuple[HeldBack, ...] = plain("Held back", help="every launch, predicted from those before it")
    inside: int = plain("Inside", help="readings that lay in the range expected of them")
    expected: int = plain("Expected", help="readings that were expected before they were read")
    still_unknown: tuple[str, ...] = plain("Still unknown", help="in sentences")
    worth_of: tuple[str, ...] = plain("Worth of", help="titles of the figures that readings are ranked by")
    worths: tuple[WorthRow, ...] = plain("Worths", help="readings to take next, the best first")
    packs: tuple[PackRow, ...]
    season: tuple[SeasonRow, ...] = plain("Season", help="all flights in a few lines")
    evidence: tuple[str, ...] = plain("Evidence", help="what taught, in words")
    remarks: tuple[str, ...]
    written: str = plain("Written", help="what became of it, in words")
