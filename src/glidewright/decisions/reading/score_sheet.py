"""The score sheet of a day: points of every flight by the formula of the class, with their spread."""

from collections.abc import Callable
from datetime import datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from glidewright.base.errors import GlidewrightError
from glidewright.base.figure import Figure
from glidewright.base.wording import exact_text
from glidewright.decisions.reading.nouns import ScoreRow
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.logbook import Flight
from glidewright.domain.scoring import Scoring
from glidewright.forecast.draws import sobol_column
from glidewright.forecast.spread import Z90
from glidewright.models.score.points import (
    height_bonus,
    height_deduction,
    landing_points,
    motor_deduction,
    time_points,
)

Array = NDArray[np.float64]
DRAWS = 256


def score_rows(
    rule: ClassLimits | None, flights: tuple[Flight, ...], target_time_s: float | None, drive: str
) -> tuple[tuple[ScoreRow, ...], tuple[str, ...]]:
    """A row for every flight with a launch, and what the sheet leaves out, each in a sentence once."""
    scoring = rule.score if rule is not None else None
    if scoring is None:
        return (), ()
    notes: list[str] = []
    rows = tuple(
        _row(scoring, flight, place, target_time_s, drive, notes)
        for flight in flights
        for place, launch in enumerate(flight.launches)
        if not launch.is_restart
    )
    if scoring.group_best_points is not None:
        notes.append("points are before the group is normalised: that needs the best of the group")
    if scoring.place_points:
        notes.append("the class scores places in the group as well, which no log knows")
    notes += [_clock_words(scoring), _late_words(scoring)]
    return rows, tuple(dict.fromkeys(note for note in notes if note))


def _row(
    scoring: Scoring, flight: Flight, place: int, target_time_s: float | None, drive: str, notes: list[str]
) -> ScoreRow:
    """One flight of a log; a stated landing is that of its last one."""
    launch, flight_time = flight.launches[place], flight.flight_time(place)
    spot_m = flight.landing_m if launch is flight.launches[-1] else None
    time_s = _draws(flight_time, 0)
    height_m, run_s = _draws(launch.counted_height, 1), _draws(launch.motor_run, 2)
    if time_s is not None and scoring.clock_from == "motor_stop" and run_s is not None:
        time_s = time_s - run_s
    time = _points(notes, lambda: _each(time_s, lambda t: time_points(scoring, t, target_time_s)))
    height = _points(notes, lambda: _height(scoring, height_m, run_s, drive))
    landing = _landing(scoring, spot_m)
    parts = [time, height] + ([landing] if landing is not None else [])
    known = [part for part in parts if part is not None]
    total = None if time is None else np.maximum(np.sum(np.stack(known), axis=0), 0.0)
    if landing is None and scoring.landing:
        notes.append(
            "where no distance from the spot is stated, the landing is not in the points (--landing, for the "
            "last flight of a log)"
        )
    if not scoring.landing:
        notes.append("the class file states no landing table")
    return ScoreRow(
        title=short_title(flight, place),
        flight_time=flight_time,
        start_height=launch.counted_height,
        landing_m=spot_m,
        time=_figure(time, "flight time in the log"),
        landing=_figure(landing, "distance from the spot"),
        height=_figure(height, "start height and motor run in the log"),
        total=_figure(total, "all that is known of the flight"),
    )


def short_title(flight: Flight, place: int) -> str:
    """How a launch is named among those of its day: by its time, UTC, else by its file."""
    number = f", launch {flight.launches[place].number}" if len(flight.launches) > 1 else ""
    start_s = flight.launches[place].motor_start.value
    try:
        begin = datetime.fromisoformat(flight.start_utc)
    except ValueError:
        return f"{flight.source_name}{number}"
    return f"{begin + timedelta(seconds=start_s or 0.0):%H:%M}"


def _draws(figure: Figure, column: int) -> Array | None:
    """Draws of a figure, normal on each side of its value."""
    if figure.value is None or figure.low is None or figure.high is None:
        return None
    z = sobol_column(column, DRAWS)
    side = np.where(z < 0.0, figure.value - figure.low, figure.high - figure.value)
    drawn: Array = figure.value + z / Z90 * side
    return drawn


def _each(draws: Array | None, points: Callable[[float], float]) -> Array | None:
    return None if draws is None else np.array([points(float(number)) for number in draws])


def _height(scoring: Scoring, height_m: Array | None, run_s: Array | None, drive: str) -> Array | None:
    if height_m is None:
        return None
    found = _each(height_m, lambda h: height_bonus(scoring, h) - height_deduction(scoring.height, h))
    assert found is not None  # there are draws
    if scoring.motor_points_per_s:
        if run_s is None:
            return None
        found = found - np.array([motor_deduction(scoring, float(run), drive) for run in run_s])
    return found


def _landing(scoring: Scoring, landing_m: float | None) -> Array | None:
    if landing_m is None or not scoring.landing:
        return None
    return np.full(DRAWS, landing_points(scoring.landing, landing_m))


def _points(notes: list[str], made: Callable[[], Array | None]) -> Array | None:
    """Points, or nothing with the sentence of what the class does not state."""
    try:
        return made()
    except GlidewrightError as refused:
        notes += [problem.message for problem in refused.problems]
        return None


def _figure(draws: Array | None, because: str) -> Figure:
    if draws is None:
        return Figure.unknown("1", "", f"{because}: not known or not stated")
    return Figure.of_draws(draws, "1", "", "measured", because)


def _late_words(scoring: Scoring) -> str:
    """What being late would cost, which no log knows: it does not see when the working time began."""
    costs = []
    if scoring.late_landing_lost:
        costs.append("a landing after the working time has no landing points")
    if scoring.late_zero_s is not None:
        costs.append(f"one more than {exact_text(scoring.late_zero_s, 's')} late makes the flight zero")
    if not costs:
        return ""
    why = "nothing is taken off for being late: no log knows when the working time began"
    return f"{why}; {', '.join(costs)}"


def _clock_words(scoring: Scoring) -> str:
    if scoring.clock_from == "release":
        return "the flight time counts from motor start: a log does not see the release"
    if scoring.clock_from == "not_stated":
        return "the class file does not say when the clock starts: the flight time counts from motor start"
    return ""
