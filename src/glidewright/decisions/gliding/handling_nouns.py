"""What is answered about stability and handling."""

from glidewright.base.fields import Noun, plain
from glidewright.base.figure import Figure
from glidewright.decisions.nouns import NamedFigure


class MarginRow(Noun):
    """One static margin: where the centre of gravity would be, and how the model then feels."""

    title: str
    static_margin: float
    centre_x: Figure
    feels: str


class Measure(Noun):
    """A measure of the trade with its usual range."""

    name: str
    title: str
    figure: Figure
    usual: str


class ModeRow(Noun):
    """One natural motion at one airspeed; what does not apply is not known.

    root_real_per_s, root_imaginary_per_s: of the nominal model; share: of the draws that have this motion.
    """

    name: str
    root_real_per_s: float
    root_imaginary_per_s: float
    damping_ratio: Figure
    period: Figure
    time_to_half: Figure
    time_to_double: Figure
    share: float


class ModesAt(Noun):
    """The motions at one airspeed."""

    title: str
    airspeed_m_s: float
    longitudinal: tuple[ModeRow, ...]
    lateral: tuple[ModeRow, ...]


class TurnRow(Noun):
    """Answer to rudder alone, moved at once to the stated deflection, at one airspeed."""

    title: str
    airspeed_m_s: float
    roll_rate: Figure
    bank_after: Figure


class TurnAnswer(Noun):
    """How the model enters a turn by rudder and dihedral."""

    rudder_rad: float
    time_s: float
    edge_m: float = plain("Edge", help="the stated deflection at the trailing edge, metres")
    rows: tuple[TurnRow, ...]


class FaultRow(Noun):
    """What one building fault of one degree asks of the controls, at the airspeed of least sink.

    control: elevator or rudder, empty where none can help; angle, edge: deflection that holds the model
    straight, trailing edge down or right positive; tendency: what it does with the controls at rest.
    """

    title: str
    size_m: float | None = plain("Size", help="the fault at an edge, metres: what to look for with a ruler")
    control: str
    angle: Figure
    edge: Figure
    tendency: str


class HandlingAnswer(Noun):
    """Stability and handling of a model whose shape is stated."""

    airspeed_m_s: float
    neutral_point_x: Figure
    static_margin: Figure
    centre_x: Figure
    feels_now: str
    margins: tuple[MarginRow, ...]
    measures: tuple[Measure, ...]
    modes: tuple[ModesAt, ...]
    turn: TurnAnswer | None
    faults: tuple[FaultRow, ...]
    slopes: tuple[NamedFigure, ...] = plain("Slopes", help="main derivatives, for those who compare")
    notes: tuple[str, ...]
