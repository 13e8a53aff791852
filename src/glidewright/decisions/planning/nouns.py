"""What ``plan`` answers with: steps in small safe order, each with the numbers of this model."""

from typing import Literal

from glidewright.base.fields import Noun, plain
from glidewright.base.figure import Figure
from glidewright.decisions.nouns import Answered, NamedFigure
from glidewright.domain.outcome import Went

Place = Literal["workshop", "field", "air"]
State = Literal["done", "next", "open", "went badly", "waits"]


class Recorded(NamedFigure):
    """A number that a step asks to write down, with what is expected of it; ``key`` as in the file."""

    key: str


class Came(Noun):
    """A number that was written down, and how it stands to what was expected."""

    title: str
    value: Figure
    says: str = plain("Says", help="how it stands to what was expected")


class Done(Noun):
    """What came out of a step, the last time it was done."""

    went: Went
    date: str
    note: str
    numbers: tuple[Came, ...]
    times: int = plain("Times", help="how often the step was done")


class PlanStep(Noun):
    """One step: what to do, what to expect of this model, what to write down, what to do if it fails."""

    key: str = plain("Key", help="as it is named on the command line")
    title: str
    place: Place
    state: State
    do: tuple[str, ...] = plain("Do", help="in sentences")
    numbers: tuple[NamedFigure, ...] = plain("Numbers", help="of this model, that make the step concrete")
    record: tuple[Recorded, ...] = plain("Record", help="numbers to write down, with what is expected")
    if_it_fails: tuple[str, ...] = plain("If it fails", help="what to do, in sentences")
    caution: str = ""
    goes_to: str = plain("Goes to", help="what the outcome teaches, in words", default="")
    done: Done | None = plain("Done", help="what came of it the last time", default=None)
    waits_for: str = plain("Waits for", help="title of the earlier step that went badly", default="")


class PlanResult(Answered):
    """Everything that ``plan`` answers."""

    invented: bool
    draws: int
    steps: tuple[PlanStep, ...]
    unknown: tuple[str, ...] = plain("Unknown", help="what this model cannot yet say, in sentences")
    sources: tuple[str, ...]
