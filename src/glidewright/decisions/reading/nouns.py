"""What ``read`` answers with."""

from typing import Literal

from glidewright.base.fields import Noun, plain
from glidewright.base.figure import Figure
from glidewright.decisions.nouns import Answered, NamedFigure, Series
from glidewright.domain.flight_reading import LandingReading, LaunchReading, LiftReading, Phase


class ChannelRow(Noun):
    """One column of a log and what it is read as."""

    place: int = plain("Place", help="of the column, from 1")
    header: str
    channel: str = plain("Channel", help="in words")
    unit: str
    because: str


class ChannelsAnswer(Noun):
    """How a log without stated channels is read: shown once, and kept when a person has accepted it."""

    rows: tuple[ChannelRow, ...]
    questions: tuple[str, ...]
    is_accepted: bool


class ExpectedRow(Noun):
    """One number of a launch: what was expected before the log was read, and what the log shows."""

    launch: int = plain("Launch", help="number in the flight; 0 for the glide")
    name: str
    title: str
    expected: Figure
    read: Figure
    is_inside: bool = plain("Inside", help="whether the reading lies in the expected range")


class LoggedFlight(Noun):
    """One flight of a log: what happened, held against what was expected."""

    title: str
    part: int = plain("Part", help="number of the flight in the file, from 1")
    date: str
    is_new: bool | None = plain("New", help="entered now; false: was in already; none: not entered")
    phases: tuple[Phase, ...]
    launches: tuple[LaunchReading, ...]
    lifts: tuple[LiftReading, ...]
    landing: LandingReading | None
    figures: tuple[NamedFigure, ...] = plain("Figures", help="of the whole flight")
    times_s: tuple[float, ...]
    curves: tuple[Series, ...] = plain("Curves", help="height, amps, volts over the time")
    expected: tuple[ExpectedRow, ...] = plain(
        "Expected", help="numbers of each launch before the log was read, and what it shows"
    )
    why_not_expected: str = plain("Why not expected", help="empty where something was expected")
    doubt: str = plain("Doubt", help="what speaks against this being a log of the model; empty for nothing")
    statements: tuple[str, ...] = plain("Statements", help="what was repaired or left out, in sentences")


class DayLaunch(Noun):
    """One launch of a day: how it went, and what it left in the pack."""

    title: str
    pack: str
    number: int = plain("Number", help="on this charge, from 1")
    counted_height: Figure
    mean_climb: Figure
    climb_share: float | None = plain("Climb share", help="of the first launch on this charge")
    charge: Figure
    lowest_cell: Figure
    charge_left: Figure


class ScoreRow(Noun):
    """Points of one flight by the formula of the class, as far as it is stated."""

    title: str
    flight_time: Figure
    start_height: Figure
    landing_m: float | None
    time: Figure
    landing: Figure
    height: Figure = plain("Height", help="bonus less deductions for start height and motor run")
    total: Figure


class DayAnswer(Noun):
    """All launches of one day, what the pack of the last one still gives, and the score sheet."""

    date: str
    launches: tuple[DayLaunch, ...]
    trend: Figure = plain("Trend", help="m a launch, of the counted height on the last charge")
    trend_words: str
    next_launch: tuple[NamedFigure, ...] = plain("Next launch", help="what it would give")
    launches_left: Figure
    bound_by: str = plain("Bound by", help="what ends the launches of this charge, in words")
    advice: str
    tone: Literal["plain", "good", "warning", "alarm"]
    why_no_next: str = plain("Why no next", help="empty where there is one")
    scores: tuple[ScoreRow, ...]
    score_notes: tuple[str, ...]


class ReadResult(Answered):
    """Everything that ``read`` answers."""

    invented: bool
    class_title: str
    class_note: str
    source_name: str = plain("Source", help="name of the log")
    format: str
    channels: ChannelsAnswer | None
    flights: tuple[LoggedFlight, ...]
    not_from_log: tuple[str, ...] = plain("Not from a log", help="limits of the class that no log shows")
    day: DayAnswer | None = plain("Day", help="all launches of that day, where they are known")
    entered: str = plain("Entered", help="what became of the log, in words")
    next_steps: tuple[str, ...]
