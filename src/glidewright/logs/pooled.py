"""Sink in still air from many flights: medians of flights, whose air differed.

One flight cannot tell the sink of the model from slow motion of the air. Over many flights at different
times this motion averages out, as far as it was up as often as down; robust statistics keep the odd flight
from deciding. Where all flights were in the same kind of air, its motion stays in the result.
"""

from collections.abc import Sequence

import numpy as np

from glidewright.base.figure import Figure
from glidewright.domain.flight_reading import FlightReading, GlideSegment, PooledSink

from .figures import P80, error_of, found, known
from .practice import practice

_MAD = 1.4826
_MEDIAN_EFFICIENCY = 1.2533  # standard error of a median over that of a mean, normal distribution
_FEWEST_FLIGHTS = 3


def pool_sink(
    readings: Sequence[FlightReading], lowest_m_s: float = 0.0, highest_m_s: float = np.inf
) -> PooledSink:
    """Sink of a model in still-looking air, in true metres, from readings of its flights.

    lowest_m_s, highest_m_s: only stretches whose recorded airspeed lies between; a stretch without airspeed
    enters where no bound is set. Each flight gives the median of its stretches, the pool the median of the
    flights.
    """
    is_open = lowest_m_s <= 0.0 and not np.isfinite(highest_m_s)
    values: list[float] = []
    errors: list[float] = []
    scales: list[float] = []
    segments = 0
    for reading in readings:
        chosen = [
            one for one in reading.glides if one.is_still and _fits(one, lowest_m_s, highest_m_s, is_open)
        ]
        if not chosen:
            continue
        scale = known(reading.scale)
        sinks = np.array([known(one.sink) for one in chosen]) * scale
        values.append(float(np.median(sinks)))
        own = [error_of(one.sink) * scale for one in chosen]
        errors.append(float(np.mean(own) / np.sqrt(len(own))))
        scales.append(error_of(reading.scale) / scale)
        segments += len(chosen)
    return _pooled(np.array(values), np.array(errors), np.array(scales), segments)


def _fits(one: GlideSegment, lowest: float, highest: float, is_open: bool) -> bool:
    own = known(one.airspeed)
    return is_open if not np.isfinite(own) else lowest <= own <= highest


def _pooled(values: np.ndarray, errors: np.ndarray, scales: np.ndarray, segments: int) -> PooledSink:
    count = values.size
    if count == 0:
        nothing = Figure.unknown("m/s", "m/s", "no flight has a still-looking stretch")
        return PooledSink(
            sink=nothing,
            between_flights=nothing,
            segments=0,
            flights=0,
            statement="No flight has a still-looking stretch: fly straight legs in calm air.",
        )
    value = float(np.median(values))
    air = practice("air_motion") / P80
    if count >= _FEWEST_FLIGHTS:
        spread = _MAD * float(np.median(np.abs(values - value)))
        own = max(spread, air / np.sqrt(2.0))  # a few flights can agree by chance
        error = _MEDIAN_EFFICIENCY * own / np.sqrt(count)
        between = found(
            spread,
            spread / np.sqrt(2.0 * (count - 1)),
            "m/s",
            "m/s",
            "median deviation of the flights' medians",
        )
    else:
        error = float(np.hypot(air, np.mean(errors))) / np.sqrt(count)
        between = Figure.unknown("m/s", "m/s", "fewer than three flights do not show how they differ")
    scale_error = value * float(np.mean(scales))
    sink = found(
        value,
        float(np.hypot(error, scale_error)),
        "m/s",
        "m/s",
        f"{segments} still-looking stretches of {count} flights; air motion, then the scale",
    )
    return PooledSink(
        sink=sink, between_flights=between, segments=segments, flights=count, statement=_statement(count)
    )


def _statement(count: int) -> str:
    if count < _FEWEST_FLIGHTS:
        return (
            "Too few flights to tell the sink of the model from the motion of the air; "
            "fly more, on other days and at other hours."
        )
    return (
        f"The air of {count} flights averages out as far as it rose as often as it sank; flights all made in "
        "the same kind of air keep its motion in the result."
    )
