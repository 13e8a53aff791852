"""What the decisions answer with: nouns shared by check, power and launch."""

from typing import Literal

import numpy as np
from numpy.typing import NDArray

from glidewright.base.fields import Noun, plain
from glidewright.base.figure import Figure, Grade, quantiles
from glidewright.base.units import unit
from glidewright.rules.finding import Finding


class Verdict(Noun):
    """The answer to one question of the flyer: a word, a sentence, and the figure behind it."""

    question: str
    word: str = plain("Word", help="yes, no, doubtful or the like; empty where a figure answers")
    text: str
    tone: Literal["plain", "good", "warning", "alarm"]
    figure: Figure | None = None


class Missing(Noun):
    """A value that nobody stated, what stands in for it, and which reading would narrow it most."""

    part: str = plain("Part", help="id of the part, or airframe")
    value: str = plain("Value", help="what is missing, in words")
    key: str = plain("Key", help="the key to fill in")
    stand_in: Figure | None = plain("Stand-in", help="what is used meanwhile; nothing when there is none")
    because: str = plain("Because", help="where the stand-in comes from")
    narrows: str = plain("Narrows", help="the reading that would narrow it most")


class NamedFigure(Noun):
    """A figure under its label."""

    name: str
    title: str
    figure: Figure


class Series(Noun):
    """A result against an axis: median, 10th and 90th percentile at every step, SI."""

    name: str
    title: str
    unit: str
    shown: str
    value: tuple[float, ...]
    low: tuple[float, ...]
    high: tuple[float, ...]

    @classmethod
    def of_draws(cls, name: str, title: str, shown: str, draws: NDArray[np.float64]) -> "Series":
        """The series of draws, shape (count, steps), in the SI unit of the symbol shown."""
        low, value, high = (tuple(row.tolist()) for row in quantiles(draws))
        return cls(name=name, title=title, unit=unit(shown).si, shown=shown, value=value, low=low, high=high)


class GroupMass(Noun):
    """One row of the mass table."""

    group: str
    items: int = plain("Items", help="how many")
    figure: Figure


class MassAnswer(Noun):
    """Mass, centre of gravity and inertia: planned, and after what the scale said."""

    total: Figure
    planned_total: Figure = plain("Planned", help="before anything was weighed")
    groups: tuple[GroupMass, ...]
    centre: tuple[NamedFigure, ...] = plain("Centre of gravity", help="x, y, z from the datum")
    planned_centre_x: Figure = plain(
        "Planned", help="centre of gravity before anything was weighed, from the datum, aft positive"
    )
    balance_front: Figure = plain("Front", help="foremost allowed centre of gravity")
    balance_rear: Figure = plain("Rear", help="rearmost allowed centre of gravity")
    balance_source: str = plain("Range from", help="who states the allowed range")
    chance_inside: float | None = plain("Chance inside", help="of the centre of gravity to lie in its range")
    position_on_chord: Figure = plain(
        "On the chord", help="centre of gravity behind the front of the mean chord, share of it"
    )
    inertia: tuple[NamedFigure, ...] = plain("Inertia", help="about the centre of gravity, by axis")
    moved: tuple[str, ...] = plain("Moved", help="how far weighings moved the forecast")
    because: str


class PointAnswer(Noun):
    """One operating point: where, and all its figures."""

    title: str
    airspeed: Figure
    figures: tuple[NamedFigure, ...]


class PowerAnswer(Noun):
    """The power train at rest, in the climb, and over a range of airspeeds."""

    motor: str
    controller: str
    pack: str
    propeller: str
    propeller_curve: str = plain("Curve", help="where thrust and power of the propeller come from")
    at_rest: PointAnswer
    in_climb: PointAnswer
    airspeeds_m_s: tuple[float, ...]
    over_airspeed: tuple[Series, ...]
    margins: tuple[Finding, ...] = plain("Margins", help="limits of the parts")
    evidence: tuple[str, ...] = plain("Evidence", help="readings that entered")


class LaunchRow(Noun):
    """One launch of many from one charge."""

    number: int = plain("Number", help="on this charge, from 1")
    height: Figure
    climb: Figure
    motor_run: Figure
    lowest_cell: Figure
    charge_used: Figure
    charge_left: Figure
    motor_temperature: Figure
    pack_temperature: Figure
    useful_chance: float = plain("Useful", help="chance that this launch is still worth flying")


class LaunchAnswer(Noun):
    """The first launch, its trace, and all launches of one charge."""

    counted: str = plain("Counted", help="which height counts, in words")
    stop: str = plain("Stop", help="what stops the motor, in words with chances")
    climb_speed: Figure = plain("Climb speed", help="airspeed that the pilot holds")
    figures: tuple[NamedFigure, ...]
    times_s: tuple[float, ...]
    trace: tuple[Series, ...]
    rows: tuple[LaunchRow, ...] = plain("Launches", help="of one charge, in their order")
    useful_launches: Figure = plain("Useful launches", help="from one charge")
    last_bound_by: str = plain("Bound by", help="what makes the next launch useless, in words")
    air: str = plain("Air", help="of the field, in words")


ChangeKind = Literal["part", "ballast", "place", "setting"]


class Change(Noun):
    """One change worth making: what to do, what it does, and what it costs."""

    title: str
    kind: ChangeKind
    effects: tuple[str, ...] = plain("Effects", help="what it changes, in words")
    score: float = plain("Score", help="how much it helps, only to order changes by")
    cost: Figure | None = None
    ready: str = plain("Ready", help="when it can be had, in words", default="")


class Answered(Noun):
    """What every answer on a model folder holds: whose it is, and the findings that decide how it ends."""

    model: str
    findings: tuple[Finding, ...]


class CheckResult(Answered):
    """Everything that ``check`` answers."""

    invented: bool
    currency: str = plain("Currency", help="of every cost")
    class_title: str
    class_edition: str
    class_note: str
    class_open_points: tuple[str, ...]
    draws: int
    verdicts: tuple[Verdict, ...]
    mass: MassAnswer | None
    power: PowerAnswer | None
    launch: LaunchAnswer | None
    glide: tuple[NamedFigure, ...] = plain("Glide", help="glide and static margin, where known", default=())
    missing: tuple[Missing, ...]
    changes: tuple[Change, ...]
    measure_next: tuple[str, ...] = plain("Measure next", help="readings that would narrow the answers most")
    remarks: tuple[str, ...]
    sources: tuple[str, ...]
    grade: Grade
