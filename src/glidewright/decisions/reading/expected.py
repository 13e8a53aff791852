"""What a log was expected to show before it was read, and what speaks against its being of this model."""

from collections.abc import Sequence

import numpy as np

from glidewright.base.errors import GlidewrightError
from glidewright.base.figure import Figure
from glidewright.base.units import unit
from glidewright.base.wording import exact_text
from glidewright.calibration.flown import COLUMN, OBSERVABLES
from glidewright.calibration.posterior import Posterior
from glidewright.calibration.predicted import predicted
from glidewright.calibration.season import Season, season_of
from glidewright.decisions.reading.nouns import ExpectedRow
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.flight_reading import FlightReading
from glidewright.domain.logbook import Flight, SetUp
from glidewright.domain.model import Model
from glidewright.domain.parts import Pack

LEAST_CELL_V, MOST_CELL_V = 2.8, 4.45
"""No resting lithium polymer cell is outside of these; common practice, high-voltage cells included."""
_ENOUGH, _FEW_INSIDE = 4, 0.35
_EXPECTED = (
    "height_at_stop_m",
    "zoom_m",
    "mean_current_A",
    "mean_voltage_V",
    "lowest_voltage_V",
    "motor_revs_per_s",
    "climb_airspeed_m_s",
    "sink_m_s",
)


def expected_of(
    model: Model,
    rule: ClassLimits | None,
    flight: Flight,
    before: tuple[Flight, ...],
    posterior: Posterior,
) -> tuple[tuple[ExpectedRow, ...], str]:
    """What was expected of a flight before its log was read, from everything that taught before it."""
    same_day = tuple(one for one in before if one.date and one.date == flight.date)
    try:
        season = season_of(model, rule, (*same_day, flight))
    except GlidewrightError as refused:
        return (), "; ".join(str(problem) for problem in refused.problems)
    places = season.of_flight(flight)
    if not places:
        return (), "the log shows neither a launch nor a glide in still-looking air"
    return tuple(row for place in places for row in expected_rows(season, place, posterior)), ""


def expected_rows(season: Season, place: int, posterior: Posterior) -> tuple[ExpectedRow, ...]:
    """One row for each number that the log of a launch shows and the models can tell."""
    one = season.flown[place]
    draws = predicted(season, place, posterior)
    rows = []
    for name in _EXPECTED:
        column = COLUMN[name]
        if column not in one.observed:
            continue
        observable = OBSERVABLES[name]
        because = "everything that taught before this flight, what is new in every launch, air and meter"
        si = unit(observable.shown).si
        figure = Figure.of_draws(draws[:, column], si, observable.shown, "typical", because)
        at = int(np.flatnonzero(one.observed == column)[0])
        value = float(np.exp(one.read[at]) if observable.is_log else one.read[at])
        is_inside = figure.low is not None and figure.high is not None and figure.low <= value <= figure.high
        read = Figure.exact(value, si, observable.shown, "measured", "in the log")
        is_glide = name == "sink_m_s" or one.launch is None
        rows.append(
            ExpectedRow(
                launch=0 if is_glide or one.launch is None else one.launch.number,
                name=name,
                title=observable.title,
                expected=figure,
                read=read,
                is_inside=is_inside,
            )
        )
    return tuple(rows)


def doubt_of(model: Model, set_up: SetUp, reading: FlightReading, expected: Sequence[ExpectedRow]) -> str:
    """What speaks against this being a log of this model, in a sentence; empty when nothing does."""
    named = set_up.pack
    pack = model.from_drawer(named) if named else model.first(Pack)
    rested = [one.resting_voltage.value for one in reading.launches if one.resting_voltage.value is not None]
    if isinstance(pack, Pack) and rested:
        cell = float(np.median(rested)) / pack.cells
        if not LEAST_CELL_V <= cell <= MOST_CELL_V:
            volts = exact_text(round(float(np.median(rested)), 1), "V")
            return (
                f"the pack rests at {volts}, but {pack.id} has {pack.cells} cells: is it the log of another "
                "model, or flew another pack (--pack)?"
            )
    inside = sum(row.is_inside for row in expected)
    if len(expected) >= _ENOUGH and inside < _FEW_INSIDE * len(expected):
        return (
            f"only {inside} of {len(expected)} numbers are as expected: is it the log of another model, or "
            "did another propeller or pack fly (--propeller, --pack)?"
        )
    return ""
