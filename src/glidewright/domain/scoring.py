"""Scoring: how a class turns time, landing and start height into points. What no source states is None."""

from typing import Literal

from pydantic import Field

from glidewright.base.fields import Noun, plain


class LandingStep(Noun):
    """One step of a landing table: up to this distance from the spot, that many points."""

    within_m: float = Field(
        title="Within", description="distance, inclusive", gt=0, strict=True, allow_inf_nan=False
    )
    points: float = Field(
        title="Points", description="for a landing so near", strict=True, allow_inf_nan=False
    )


class HeightKnee(Noun):
    """One slope of the height deduction: so many points for each metre above this height."""

    above_m: float = Field(title="Above", description="start height", ge=0, strict=True, allow_inf_nan=False)
    points_per_m: float = Field(
        title="Deduction", description="each metre", ge=0, strict=True, allow_inf_nan=False
    )


class DriveHandicap(Noun):
    """The factor on deducted motor seconds for one kind of drive."""

    name: str = plain("Drive", help="kind of motor")
    factor: float = Field(
        title="Factor", description="on the seconds", ge=0, le=10, strict=True, allow_inf_nan=False
    )


class Scoring(Noun):
    """Points of one flight; a rule that the class does not have, or that no source states, stays empty."""

    target_time_s: float | None = Field(
        title="Target time",
        description="flight time with full time points; none when free, open or not stated",
        gt=0,
        strict=True,
        allow_inf_nan=False,
        default=None,
    )
    target_options_s: tuple[float, ...] = plain(
        "Target times found", help="where the sources disagree; one of them is then an input", default=()
    )
    working_time_s: float | None = Field(
        title="Working time",
        description="window in which the flight is made",
        gt=0,
        strict=True,
        allow_inf_nan=False,
        default=None,
    )
    points_per_s: float | None = Field(
        title="Points for a second",
        description="of flight up to the target; none when time is not what counts",
        ge=0,
        strict=True,
        allow_inf_nan=False,
        default=None,
    )
    overtime: Literal["subtract", "none", "not_stated"] = plain(
        "Overtime",
        help="subtract: seconds past the target count back at the same rate; none: they count nothing",
        default="not_stated",
    )
    rounding: Literal["none", "down", "nearest"] = plain(
        "Rounding", help="of the flight time to whole seconds", default="none"
    )
    clock_from: Literal["motor_start", "release", "motor_stop", "not_stated"] = plain(
        "Clock from", help="start of the flight time", default="not_stated"
    )
    clock_to: Literal["first_touch", "standstill", "not_stated"] = plain(
        "Clock to", help="end of the flight time", default="not_stated"
    )
    landing: tuple[LandingStep, ...] = plain(
        "Landing table", help="nearest step first; beyond the last one nothing", default=()
    )
    landing_source: str = plain("Source of the landing table", help="text, page, year", default="")
    late_landing_lost: bool = plain(
        "Late landing lost",
        help="true when landing after the working time has no landing points",
        default=False,
    )
    late_zero_s: float | None = Field(
        title="Late by",
        description="seconds past the working time after which the flight is zero",
        ge=0,
        strict=True,
        allow_inf_nan=False,
        default=None,
    )
    height: tuple[HeightKnee, ...] = plain(
        "Height deduction", help="slopes, lowest height first; each holds up to the next", default=()
    )
    nominal_height_m: float | None = Field(
        title="Nominal launch height",
        description="start height without bonus",
        gt=0,
        strict=True,
        allow_inf_nan=False,
        default=None,
    )
    bonus_per_m: float = Field(
        title="Bonus",
        description="points for each metre below the nominal height",
        ge=0,
        strict=True,
        allow_inf_nan=False,
        default=0.0,
    )
    motor_points_per_s: float = Field(
        title="Deduction for motor run",
        description="points for each motor second",
        ge=0,
        strict=True,
        allow_inf_nan=False,
        default=0.0,
    )
    drives: tuple[DriveHandicap, ...] = plain(
        "Drive handicap", help="factors on the deducted motor seconds", default=()
    )
    place_points: tuple[float, ...] = plain(
        "Points by place", help="first place first, where only the order of landing counts", default=()
    )
    group_best_points: float | None = Field(
        title="Points of the group's best",
        description="the others get their share of it; none when points are not normalised",
        gt=0,
        strict=True,
        allow_inf_nan=False,
        default=None,
    )
