"""Points of one flight: time, landing, start height, motor run.

Time rule of the rudder-elevator-spoiler classes (fmsv-adebar.de, RES rules): so many points a second up
to the target, time beyond it is subtracted from the target. Height deduction by slopes with knees: FAI
Sporting Code 4 F5, 5.5.11.12 e, quoted at eddumas.com.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from glidewright.base.errors import GlidewrightError, InputError
from glidewright.domain.scoring import HeightKnee, LandingStep, Scoring


@dataclass(frozen=True)
class FlightScore:
    """Points of one flight; deductions are positive and already taken off the total."""

    time: float
    landing: float
    bonus: float
    height_deduction: float
    motor_deduction: float
    total: float


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


def place_points(scoring: Scoring, place: int) -> float:
    """Points for a place, 1 for the first; nothing past the end of the list.

    >>> place_points(Scoring(place_points=(9.0, 7.0, 5.0)), 2)
    7.0
    """
    if place < 1:
        raise InputError.at("place", f"must be 1 or more; {place} came; count places from 1")
    return scoring.place_points[place - 1] if place <= len(scoring.place_points) else 0.0


def flight_score(
    scoring: Scoring,
    flight_time_s: float,
    landing_m: float | None,
    start_height_m: float,
    motor_run_s: float = 0.0,
    drive: str = "",
    target_time_s: float | None = None,
    late_s: float = 0.0,
) -> FlightScore:
    """All points of one flight, the total never below zero.

    landing_m: distance from the spot, None when it scores nothing; late_s: seconds past the end of the
    working time at landing; the other arguments as in the functions above.

    >>> knees = (HeightKnee(above_m=0, points_per_m=0.5), HeightKnee(above_m=200, points_per_m=3))
    >>> steps = (LandingStep(within_m=1, points=50),)
    >>> rule = Scoring(target_time_s=600, points_per_s=1, overtime="none", landing=steps, height=knees)
    >>> flight_score(rule, 585.0, 0.8, 120.0).total
    575.0
    """
    if scoring.late_zero_s is not None and late_s > scoring.late_zero_s:
        return FlightScore(0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
    time = time_points(scoring, flight_time_s, target_time_s)
    lost = landing_m is None or (scoring.late_landing_lost and late_s > 0.0)
    landing = 0.0 if lost or landing_m is None else landing_points(scoring.landing, landing_m)
    bonus = height_bonus(scoring, start_height_m)
    taken = height_deduction(scoring.height, start_height_m)
    motor = motor_deduction(scoring, motor_run_s, drive)
    return FlightScore(time, landing, bonus, taken, motor, max(time + landing + bonus - taken - motor, 0.0))


def normalised(points: float, group_best: float, best_points: float) -> float:
    """Share of the group's best in points; zero in a group without points.

    >>> normalised(690.0, 720.0, 1000.0)
    958.33...
    """
    return best_points * points / group_best if group_best > 0.0 else 0.0


def seconds_worth(scoring: Scoring, points: float) -> float:
    """Seconds of flight in s that weigh as much as some points; InputError when time does not count.

    >>> seconds_worth(Scoring(points_per_s=2.0), 100.0)
    50.0
    """
    if not scoring.points_per_s:
        raise _not_stated("points_per_s", "points for a second of flight")
    return points / scoring.points_per_s


def _not_stated(key: str, what: str) -> GlidewrightError:
    return InputError.at(
        f"[score] {key}",
        f"must be given: the class file does not state {what}; "
        "copy the file into classes/ of the model and add it",
    )
