"""What ``glide`` answers with."""

from glidewright.base.fields import Noun, plain
from glidewright.base.figure import Figure
from glidewright.decisions.drawing_geometry import DrawingGeometry
from glidewright.decisions.gliding.handling_nouns import HandlingAnswer
from glidewright.decisions.nouns import Answered, Missing, NamedFigure, Series


class WindRow(Noun):
    """Speed to fly against one head wind, and how far a metre of height goes over the ground."""

    headwind_m_s: float
    airspeed: Figure
    ground_glide_ratio: Figure


class BallastRow(Noun):
    """The glide with more mass at the centre of gravity."""

    added_mass_kg: float
    mass: Figure
    sink_least: Figure
    speed_sink_least: Figure
    glide_ratio_best: Figure
    speed_glide_best: Figure
    stall_speed: Figure


class BankRow(Noun):
    """Circling at one bank angle, at the lift that sinks least; in a thermal at the one that climbs best.

    penalty: least sink over that of straight flight; climb: in the stated thermal.
    """

    bank_rad: float
    sink_least: Figure
    penalty: Figure
    airspeed: Figure
    radius: Figure
    climb: Figure


class ThermalAnswer(Noun):
    """Circling in one thermal, at the best bank of every draw."""

    core_radius_m: float
    strength_m_s: float
    because: str
    climb: Figure
    sink: Figure = plain("Sink", help="of the model through the air that it circles in")
    bank: Figure
    airspeed: Figure
    radius: Figure
    time_per_100_m: Figure


class DragRow(Noun):
    """One cause of drag at three airspeeds: drag coefficients of the nominal model, on the wing area."""

    cause: str
    coefficients: tuple[float, ...]


class DragAnswer(Noun):
    """Which parts make the drag: without spread, at the centre of every input."""

    airspeeds_m_s: tuple[float, ...]
    titles: tuple[str, ...]
    rows: tuple[DragRow, ...]


class BrakeRow(Noun):
    """The glide with the brake at one opening, at the airspeed of its answer.

    drag: coefficient of the whole model; lift_lost: coefficient, at the attitude with the brake closed.
    """

    title: str
    opening_rad: float
    drag: Figure
    lift_lost: Figure
    stall_speed: Figure
    sink: Figure
    glide_ratio: Figure


class BrakeAnswer(Noun):
    """The brake at the approach speed; over_stall: that speed over the stall with the brake full."""

    airspeed_m_s: float
    over_stall: float
    blade_span_m: float = plain("Span of the blades", help="of both together")
    blade_chord_m: float
    rows: tuple[BrakeRow, ...]
    notes: tuple[str, ...]


class PolarAnswer(Noun):
    """Straight flight against airspeed; elevator is missing where no shape tells it.

    airspeeds_m_s: the axis of every series; elevator_edge_chord_m: from hinge to trailing edge, at the root.
    """

    airspeeds_m_s: tuple[float, ...]
    over_airspeed: tuple[Series, ...]
    elevator: Series | None
    elevator_edge: Series | None = plain("Elevator edge", help="the same at the trailing edge, SI metres")
    elevator_edge_chord_m: float | None


class GlideResult(Answered):
    """Everything that ``glide`` answers."""

    invented: bool
    draws: int
    source: str = plain("Source", help="where the polar comes from, in words")
    figures: tuple[NamedFigure, ...]
    polar: PolarAnswer
    winds: tuple[WindRow, ...]
    ballast: tuple[BallastRow, ...]
    banks: tuple[BankRow, ...]
    thermal: ThermalAnswer
    drag: DragAnswer | None
    brake: BrakeAnswer | None
    why_no_brake: str
    handling: HandlingAnswer | None
    why_no_handling: str
    drawing: DrawingGeometry | None
    rests_on: tuple[str, ...] = plain("Rests on", help="what the numbers rest on, in sentences")
    missing: tuple[Missing, ...]
    measure_next: tuple[str, ...]
    sources: tuple[str, ...]
