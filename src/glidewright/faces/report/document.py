"""The nouns of a report: a document of sections of blocks, the same for terminal and page.

A document holds figures as they are (SI, with spread); every renderer turns them into the same words
through ``base.wording``. Blocks say what is shown and what of it is a detail, never how it looks: the short
text leaves details out, the page folds them.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from glidewright.base.figure import Figure
from glidewright.decisions.drawing_geometry import DrawingGeometry
from glidewright.rules.finding import Finding

Cell = Figure | str | int | float | None
Tone = Literal["plain", "good", "warning", "alarm"]
BarMark = Literal["plain", "last", "beyond", "warning", "alarm"]


@dataclass(frozen=True)
class Answer:
    """The answer to one question of the flyer: a word, a sentence, and the figure behind it."""

    question: str
    word: str
    text: str
    tone: Tone = "plain"
    figure: Figure | None = None


@dataclass(frozen=True)
class Answers:
    """The answers at the top of a report, in the order in which they are asked."""

    answers: tuple[Answer, ...]
    title: str = ""


@dataclass(frozen=True)
class Row:
    """One figure (or word) under its label, with a remark; why it is so wide it says itself."""

    label: str
    value: Figure | str
    remark: str = ""


@dataclass(frozen=True)
class Rows:
    """Figures under their labels."""

    rows: tuple[Row, ...]
    title: str = ""


@dataclass(frozen=True)
class Column:
    """A column of a table; ``unit`` is the symbol in which its figures and floats are shown."""

    title: str
    unit: str = ""
    is_number: bool = True


@dataclass(frozen=True)
class Table:
    """Cells in rows and columns: figures and floats in SI, whole numbers as counts, text, or nothing known.

    The first column names its row.
    """

    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]
    title: str = ""
    note: str = ""

    def __post_init__(self) -> None:
        for row in self.rows:
            if len(row) != len(self.columns):
                raise ValueError(
                    f"a row of {self.title or 'a table'} has {len(row)} cells for {len(self.columns)} columns"
                )


@dataclass(frozen=True)
class FindingsBlock:
    """What the rules found, one line a limit."""

    findings: tuple[Finding, ...]
    title: str = ""


@dataclass(frozen=True)
class Step:
    """One thing to do, its effects, and on what terms it is to be had."""

    text: str
    effects: tuple[str, ...] = ()
    terms: str = ""


@dataclass(frozen=True)
class Steps:
    """Things in their order: changes to make, tests to do."""

    items: tuple[Step, ...]
    title: str = ""
    is_ordered: bool = True

    @classmethod
    def of(cls, texts: Sequence[str], title: str = "", is_ordered: bool = True) -> "Steps":
        """Steps of one sentence each."""
        return cls(tuple(map(Step, texts)), title, is_ordered)


@dataclass(frozen=True)
class Note:
    """A sentence or two that stand apart; a caution has the tone ``warning``."""

    text: str
    title: str = ""
    tone: Tone = "plain"


@dataclass(frozen=True)
class Axis:
    """What an axis of a chart shows, and the unit it is read in; span: its ends in SI where they are held."""

    title: str
    unit: str
    span: tuple[float, float] | None = None


@dataclass(frozen=True)
class Line:
    """A median line with its 10 to 90 % band, SI; without low and high it is a line alone."""

    name: str
    x: tuple[float, ...]
    value: tuple[float, ...]
    low: tuple[float, ...] = ()
    high: tuple[float, ...] = ()

    @classmethod
    def of(
        cls,
        name: str,
        x: Sequence[float],
        value: Sequence[float],
        low: Sequence[float] = (),
        high: Sequence[float] = (),
    ) -> "Line":
        """The line from any sequences of floats (arrays too)."""
        return cls(name, *(tuple(float(number) for number in row) for row in (x, value, low, high)))


@dataclass(frozen=True)
class RuleLine:
    """A level that matters on a panel: a limit, a cut height; SI."""

    value: float
    label: str


@dataclass(frozen=True)
class Span:
    """A stretch of the horizontal axis that is shaded and named: a motor run, lift; SI."""

    start: float
    end: float
    label: str


@dataclass(frozen=True)
class Panel:
    """One vertical axis of a line chart with its lines, levels and shaded stretches."""

    y: Axis
    lines: tuple[Line, ...]
    rules: tuple[RuleLine, ...] = ()
    spans: tuple[Span, ...] = ()


@dataclass(frozen=True)
class LineChart:
    """Panels over one shared horizontal axis.

    sentence: what the picture shows, in words; table: its numbers, None where a table beside it has them.
    """

    key: str
    title: str
    sentence: str
    x: Axis
    panels: tuple[Panel, ...]
    table: Table | None


@dataclass(frozen=True)
class Bar:
    """One bar with the whisker of its figure; ``note`` is written beside it."""

    label: str
    figure: Figure
    mark: BarMark = "plain"
    note: str = ""


@dataclass(frozen=True)
class BarChart:
    """Bars with whiskers: upright for a sequence, lying for named things; else as a line chart."""

    key: str
    title: str
    sentence: str
    y: Axis
    bars: tuple[Bar, ...]
    table: Table | None
    x_title: str = ""
    is_upright: bool = False
    rules: tuple[RuleLine, ...] = ()
    largest: float | None = None


@dataclass(frozen=True)
class Dot:
    """One thing in a plane of two figures, with the whiskers of both; ``label`` is written beside it."""

    label: str
    x: Figure
    y: Figure
    mark: BarMark = "plain"


@dataclass(frozen=True)
class ScatterChart:
    """Things by two figures; else as a line chart."""

    key: str
    title: str
    sentence: str
    x: Axis
    y: Axis
    dots: tuple[Dot, ...]
    table: Table | None


@dataclass(frozen=True)
class Drawing:
    """The model to scale; sentence: what the picture shows, in words."""

    key: str
    title: str
    sentence: str
    drawing: DrawingGeometry


Chart = LineChart | BarChart | ScatterChart
Plain = Answers | Rows | Table | FindingsBlock | Steps | Note | Chart | Drawing


@dataclass(frozen=True)
class Details:
    """Blocks that a first reading can do without."""

    title: str
    blocks: tuple[Plain, ...]


Block = Plain | Details


@dataclass(frozen=True)
class Section:
    """One part of a report under its heading; ``key`` is its anchor.

    is_detail: the short text leaves it out; is_last: in a text it stands at the end, where it is seen.
    """

    key: str
    title: str
    lead: str = ""
    blocks: tuple[Block, ...] = ()
    is_detail: bool = False
    is_last: bool = False


@dataclass(frozen=True)
class Caution:
    """What to mind: in a line, and the rest of it."""

    short: str
    more: str = ""

    @property
    def text(self) -> str:
        """The whole caution."""
        return f"{self.short} {self.more}".rstrip()


@dataclass(frozen=True)
class Document:
    """A whole report; ``verdict`` is the one line to remember."""

    title: str
    subtitle: str = ""
    model: str = ""
    verdict: Note | None = None
    cautions: tuple[Caution, ...] = ()
    sections: tuple[Section, ...] = ()
