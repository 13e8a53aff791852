"""On the ground or in the air: level stretches, flights between them, and the level of the launch place."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from glidewright.domain.flight_record import FlightRecord, Samples

from .figures import P80
from .practice import practice
from .track import Mask, Track, means, slopes, stretches

_LEVEL_s = 2.5  # half width of the line whose slope says level
_RESIDUAL = 3.0  # times the noise, that a level stretch may scatter
_RESIDUAL_m = 0.25  # and this much for what hands and wind do
_AROUND_s = 40.0  # between leaving the ground and the motor
_HAND_s = 2.0  # before a launch, left out of the baseline
_FEWEST = 5


@dataclass(frozen=True)
class Ground:
    """A stretch on the ground: its places on the track, its level and the standard deviation of that."""

    first: int
    last: int
    level_m: float
    error_m: float


@dataclass(frozen=True)
class Airborne:
    """A stretch between two on the ground, or cut off by the begin or end of the record."""

    first: int
    last: int
    before: Ground | None
    behind: Ground | None


def airborne(record: FlightRecord, track: Track) -> tuple[list[Ground], list[Airborne]]:
    """The stretches on the ground and those in the air, in order."""
    grounds: list[Ground] = []
    spans: list[_Span] = []
    begin = 0  # of what is not yet known to be ground or flight
    for first, last in _level_stretches(record, track):
        before = grounds[-1] if grounds else None
        if _is_flight(track, begin, first, before):
            ground = _ground(track, first, last)
            if not _is_landing(track, ground, before):
                continue
            spans.append(_Span(begin, first - 1, len(grounds) - 1, len(grounds)))
            grounds.append(ground)
        elif before is not None:
            grounds[-1] = _ground(track, before.first, last)
        else:
            grounds.append(_ground(track, 0, last))
        begin = last + 1
    if _is_flight(track, begin, track.time_s.size, grounds[-1] if grounds else None):
        spans.append(_Span(begin, track.time_s.size - 1, len(grounds) - 1, len(grounds)))
    elif grounds:
        grounds[-1] = _ground(track, grounds[-1].first, track.time_s.size - 1)
    return grounds, [_resolved(span, grounds) for span in spans]


class _Span(NamedTuple):
    """A flight by its places, with the numbers of the ground before and behind it."""

    first: int
    last: int
    before: int
    behind: int


def _resolved(span: _Span, grounds: Sequence[Ground]) -> Airborne:
    before = grounds[span.before] if span.before >= 0 else None
    behind = grounds[span.behind] if span.behind < len(grounds) else None
    return Airborne(span.first, span.last, before, behind)


def without_false_landings(
    grounds: list[Ground], flights: list[Airborne], starts_s: Sequence[float], track: Track
) -> tuple[list[Ground], list[Airborne]]:
    """A flight that begins without a motor where others begin with one goes on from the one before."""
    if not starts_s:
        return grounds, flights
    kept: list[Airborne] = []
    false: list[Ground] = []
    for flight in flights:
        begin_s = float(track.time_s[flight.first])
        has_start = any(-_AROUND_s < start_s - begin_s < _AROUND_s for start_s in starts_s)
        if kept and not has_start and flight.before is not None and kept[-1].behind is flight.before:
            kept[-1] = Airborne(kept[-1].first, flight.last, kept[-1].before, flight.behind)
            false.append(flight.before)
        else:
            kept.append(flight)
    return [ground for ground in grounds if all(ground is not one for one in false)], kept


def _level_stretches(record: FlightRecord, track: Track) -> list[tuple[int, int]]:
    """First and last place of every stretch that is level for long enough, and not at flying speed."""
    half = max(round(_LEVEL_s / track.step_s), 1)
    slope = slopes(track.raw_m, half) / track.step_s
    residual = track.raw_m - means(track.raw_m, half)
    scatter = np.sqrt(means(residual**2, half).clip(min=0.0))
    quiet = (np.abs(slope) < practice("quiet_slope")) & (scatter < _RESIDUAL * track.noise_m + _RESIDUAL_m)
    quiet &= ~_is_fast(record, track)
    least = practice("quiet_time") / track.step_s
    return [(first, last) for first, last in stretches(quiet) if last - first + 1 >= least]


def _is_fast(record: FlightRecord, track: Track) -> Mask:
    """Where a speed was recorded that nothing on the ground has."""
    fast = np.zeros(track.time_s.size, dtype=np.bool_)
    for channel in ("airspeed_m_s", "ground_speed_m_s"):
        speed = on_track(record, track, channel)
        if speed is not None:
            half = max(round(_LEVEL_s / track.step_s), 1)
            fast |= means(speed, half) > practice("ground_speed")
    return fast


def on_track(record: FlightRecord, track: Track, channel: str) -> Samples | None:
    """A channel on the clock of the track, straight over gaps; None when it was not recorded."""
    values = record.channel(channel)
    if values is None:
        return None
    known = np.isfinite(values)
    if np.count_nonzero(known) < _FEWEST:
        return None
    return np.interp(track.time_s, record.time_s[known], values[known])


def _is_flight(track: Track, first: int, end: int, before: Ground | None) -> bool:
    """Whether a stretch goes farther up, or down from a hill, than a walk over the field does."""
    if end - first < 2:
        return False
    own = track.height_m[first:end]
    floor = before.level_m if before is not None else float(own[-1])
    return bool(np.max(np.abs(own - floor)) > practice("least_flight"))


def _is_landing(track: Track, ground: Ground, before: Ground | None) -> bool:
    """Whether a level stretch behind a flight is the ground; far from the launch place it must be longer."""
    length_s = (ground.last - ground.first) * track.step_s
    if ground.last >= track.time_s.size - 2:
        length_s *= 2.0  # a record that ends level ends on the ground more likely than not
    if length_s > practice("quiet_time_aloft"):
        return True
    if before is None:
        return False
    off_m = abs(ground.level_m - before.level_m)
    if off_m < practice("same_place"):
        return True
    return off_m < practice("near_ground") and length_s > 0.5 * practice("quiet_time_aloft")


def _ground(track: Track, first: int, last: int) -> Ground:
    """The level at the end of a stretch: the median of its last minute, without the moment of the launch."""
    cut = min(round(_HAND_s / track.step_s), (last - first) // 3)
    begin = max(first, last - cut - round(practice("baseline_time") / track.step_s))
    own = track.raw_m[begin : last - cut + 1]
    level = float(np.median(own))
    low, high = np.quantile(own, (0.1, 0.9))
    spread = float(high - low) / (2.0 * P80)
    # what stays when the noise of single samples is taken out is hands, walking and drift
    moved = np.sqrt(max(spread**2 - track.noise_m**2, 0.0))
    return Ground(first, last, level, float(np.hypot(moved, track.noise_m / np.sqrt(max(own.size, 1)))))
