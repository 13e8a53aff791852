"""Class limits: what a rule text allows, limit by limit, with definition, tolerance, source and edition."""

from typing import Literal

from pydantic import Field

from glidewright.base.fields import Noun, plain

from .scoring import Scoring

HeightCount = Literal["highest", "at_cut", "at_window_end"]
CHECK_NOTE = "check the current rules of your body"


class Limit(Noun):
    """One limit on one measure, in SI; ``unit`` is the SI unit, ``shown`` the one in the file."""

    measure: str = plain("Measure", help="what is limited: the name of a measure")
    at_least: float | None = plain("At least", help="lowest allowed value, SI", default=None)
    at_most: float | None = plain("At most", help="highest allowed value, SI", default=None)
    unit: str = plain("SI unit", help="of the two bounds", default="1")
    shown: str = plain("Unit shown", help="symbol of the unit in the file", default="")
    tolerance: float = plain(
        "Tolerance", help="how far the check may read over before it counts, SI", default=0.0
    )
    window_s: float | None = Field(
        title="Window",
        description="averaging or look-back time, where the definition has one",
        gt=0,
        strict=True,
        allow_inf_nan=False,
        default=None,
    )
    allowed: tuple[str, ...] = plain(
        "Allowed", help="allowed words, for measures that are no number", default=()
    )
    definition: str = plain("Definition", help="how the rule text defines it", default="")
    source: str = plain("Source", help="rule text, page, year", default="")
    consequence: str = plain("Consequence", help="what breaking it costs", default="")
    chance_needed: float = Field(
        title="Chance needed",
        description="chance of keeping it below which it is doubtful",
        ge=0.5,
        le=1.0,
        strict=True,
        allow_inf_nan=False,
        default=0.9,
    )
    stop_keeps: bool = plain(
        "A stop keeps it",
        help="for launch height and motor run: a motor stop by the limiter counts as keeping it",
        default=True,
    )


class HeightRule(Noun):
    """How the class counts launch height."""

    count: HeightCount = plain("Counted", help="which height counts", default="highest")
    window_s: float = Field(
        title="Window",
        description="seconds after motor stop that still count",
        ge=0,
        strict=True,
        allow_inf_nan=False,
        default=10.0,
    )
    definition: str = plain("Definition", help="in words", default="")


class ClassLimits(Noun):
    """A class as a file states it."""

    id: str = plain("Name in files", help="file name without ending")
    title: str = plain("Title", help="name of the class")
    edition: str = plain("Edition", help="year or issue of the text", default="")
    source: str = plain("Source", help="where the text was read", default="")
    invented: bool = plain("Invented", help="true for a class that no body has", default=False)
    note: str = plain("Note", help="caution shown with every finding", default=CHECK_NOTE)
    open_points: tuple[str, ...] = plain(
        "Open points", help="what sources disagree on or do not state", default=()
    )
    motor_run_s: float | None = Field(
        title="Motor run",
        description="longest motor run; none when free",
        gt=0,
        strict=True,
        allow_inf_nan=False,
        default=None,
    )
    motor_run_from: Literal["motor_start", "release"] = plain(
        "Counted from", help="start of the motor run", default="motor_start"
    )
    cut_height_m: float | None = Field(
        title="Cut height",
        description="indicated height at which the limiter stops the motor",
        gt=0,
        strict=True,
        allow_inf_nan=False,
        default=None,
    )
    height: HeightRule = plain("Launch height", help="how it is counted", default=HeightRule())
    limits: tuple[Limit, ...] = plain("Limits", help="all limits of the class", default=())
    score: Scoring | None = plain("Scoring", help="points; none when no source states them", default=None)
