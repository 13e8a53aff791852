"""What ``compare`` asks and answers."""

from typing import Literal

from pydantic import Field

from glidewright.base.fields import Noun, plain
from glidewright.base.figure import Figure
from glidewright.decisions.nouns import Answered, Series
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.model import Model
from glidewright.rules.finding import Finding

FEWEST, MOST = 2, 6
DRAWS = 1024
HEADWIND_M_S = 6.0
Wanted = Literal["more", "less", "neither"]


class Entrant(Noun):
    """One of the models to be compared; base: the model that it is a variant of; rule: its class, or none."""

    model: Model
    base: Model | None = None
    rule: ClassLimits | None = None


class CompareRequest(Noun):
    """Two to six models or variants, the wind to fly against, and what foreign money is worth.

    rates: by currency, how much of the first model's currency one unit of it is.
    """

    entrants: tuple[Entrant, ...] = Field(min_length=1)
    headwind_m_s: float = HEADWIND_M_S
    rates: dict[str, float] = Field(default_factory=dict)
    is_without_class: bool = False
    draws: int = DRAWS


class Compared(Noun):
    """One of the models as it was judged."""

    letter: str
    name: str
    invented: bool
    class_title: str
    class_edition: str
    class_note: str
    findings: tuple[Finding, ...]
    sink: Series | None = plain("Sink", help="over airspeed, where the mass is known")
    airspeeds_m_s: tuple[float, ...] = plain("Airspeeds", help="axis of the sink")


class Difference(Noun):
    """How much more one model has than the first, draw by draw.

    chance_more, chance_less: share of the draws with more or less than counts as alike, none where no draw
    tells; better: letter of the better one,
    empty where neither is wanted or they are alike; sure: the share of the draws in which it is better, none
    where nothing was drawn.
    """

    of: str
    against: str
    figure: Figure
    share: Figure = plain("Share", help="of the median of the first")
    chance_more: float | None
    chance_less: float | None
    better: str
    sure: float | None


class Line(Noun):
    """One figure of every model side by side.

    wanted: what is better; alike: differences up to this, SI, count as none; figures: one a model; words: in
    place of figures; differences: against the first model; best: letters of the best, of several that are the
    same all of them; sure: the share of the draws in which no other is better, none where nothing was drawn.
    """

    name: str
    title: str
    group: str
    wanted: Wanted
    alike: float = 0.0
    shown: str
    figures: tuple[Figure, ...] = ()
    words: tuple[str, ...] = ()
    differences: tuple[Difference, ...] = ()
    best: tuple[str, ...] = ()
    sure: float | None = None
    remark: str = ""


class InputRow(Noun):
    """One input that is not the same in all models: its key, and what each states, a dash for nothing."""

    key: str
    values: tuple[str, ...]


class CompareResult(Answered):
    """Everything that ``compare`` answers; the findings are those of all models, named with their letter."""

    currency: str
    draws: int
    headwind_m_s: float
    models: tuple[Compared, ...]
    lines: tuple[Line, ...]
    inputs: tuple[InputRow, ...] = plain("Inputs", help="what actually differs in the inputs, nothing else")
    drawn_apart: tuple[str, ...] = plain(
        "Drawn apart", help="inputs of which each model has draws of its own; all others are the same draws"
    )
    remarks: tuple[str, ...]
    sources: tuple[str, ...]
