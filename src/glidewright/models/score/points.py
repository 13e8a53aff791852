"""Points for what counts in a flight: time, landing, start height, motor run.

Time rule of the rudder-elevator-spoiler classes (fmsv-adebar.de, RES rules): so many points a second up
to the target, time beyond it is subtracted from the target. Height deduction by slopes with knees: FAI
Sporting Code 4 F5, 5.5.11.12 e, quoted at eddumas.com.
"""

import math
from collections.abc import Sequence

from glidewright.base.errors import GlidewrightError, InputError
from glidewright.domain.scoring import HeightKnee, LandingStep, Scoring


def rounded_s(rounding: str, time_s: float) -> float:
    """Flight time in s by the rounding rule of the class: none, down or nearest.

    >>> rounded_s("down", 359.9), rounded_s("nearest", 359.5), rounded_s("none", 359.9)
    (359.0, 360.0, 359.9)
    """
    if rounding == "down":
        return float(math.floor(time_s))
    if rounding == "nearest":
        return float(math.floor(time_s + 0.5))
    return time_s


def time_points(scoring: Scoring, flight_time_s: float, target_time_s: float | None = None) -> float:
    """Time points of a flight; never below zero.

    target_time_s: replaces the target of the class, and must be given where the class leaves it open.
    Raises InputError when points a second, target or overtime rule are needed and not stated.

    >>> scoring = Scoring(target_time_s=360.0, points_per_s=2.0, overtime="subtract")
    >>> [time_points(scoring, t) for t in (355.0, 360.0, 365.0)]
    [710.0, 720.0, 710.0]
    """
    if scoring.points_per_s is None:
        raise _not_stated("points_per_s", "points for a second of flight")
    target_s = scoring.target_time_s if target_time_s is None else target_time_s
    if target_s is None:
        options = ", ".join(f"{option:g} s" for option in scoring.target_options_s)
        raise _not_stated("target_time_s", "a target time" + (f" (found: {options})" if options else ""))
    time_s = rounded_s(scoring.rounding, max(flight_time_s, 0.0))
    over_s = max(time_s - target_s, 0.0)
    if over_s > 0.0 and scoring.overtime == "not_stated":
        raise _not_stated("overtime", "what time past the target does")
    counted_s = min(time_s, target_s) - (over_s if scoring.overtime == "subtract" else 0.0)
    return scoring.points_per_s * max(counted_s, 0.0)


def landing_points(table: Sequence[LandingStep], distance_m: float) -> float:
    """Points for a landing at this distance in m from the spot; nothing beyond the last step.

    >>> landing_points([LandingStep(within_m=1, points=50), LandingStep(within_m=2, points=45)], 1.2)
    45.0
    """
    return next((step.points for step in table if distance_m <= step.within_m), 0.0)


def height_deduction(knees: Sequence[HeightKnee], start_height_m: float) -> float:
    """Points taken off for a start height in m: each slope holds from its knee to the next one.

    >>> knees = [HeightKnee(above_m=0, points_per_m=0.5), HeightKnee(above_m=200, points_per_m=3)]
    >>> [height_deduction(knees, h) for h in (180.0, 200.0, 201.0, 215.0)]
    [90.0, 100.0, 103.0, 145.0]
    """
    ends_m = [*(knee.above_m for knee in knees[1:]), math.inf]
    return sum(
        knee.points_per_m * max(min(start_height_m, end_m) - knee.above_m, 0.0)
        for knee, end_m in zip(knees, ends_m, strict=False)
    )


def height_bonus(scoring: Scoring, start_height_m: float) -> float:
    """Bonus for a start height in m below the nominal one.

    >>> height_bonus(Scoring(nominal_height_m=60, bonus_per_m=1), 55.0)
    5.0
    """
    if scoring.nominal_height_m is None:
        return 0.0
    return scoring.bonus_per_m * max(scoring.nominal_height_m - start_height_m, 0.0)


def motor_deduction(scoring: Scoring, motor_run_s: float, drive: str = "") -> float:
    """Points taken off for motor seconds, times the factor of the drive; InputError for an unknown drive.

    >>> from glidewright.domain.scoring import DriveHandicap
    >>> brushless = DriveHandicap(name="brushless", factor=0.95)
    >>> motor_deduction(Scoring(motor_points_per_s=1, drives=(brushless,)), 40.0, "brushless")
    38.0
    """
    factors = {handicap.name: handicap.factor for handicap in scoring.drives}
    if factors and drive not in factors and scoring.motor_points_per_s:
        raise InputError.at(
            "drive", f"must be one of {', '.join(factors)}; {drive or 'nothing'} came; name the drive"
        )
    return scoring.motor_points_per_s * motor_run_s * factors.get(drive, 1.0)


def _not_stated(key: str, what: str) -> GlidewrightError:
    return InputError.at(
        f"[score] {key}",
        f"must be given: the class file does not state {what}; "
        "copy the file into classes/ of the model and add it",
    )
