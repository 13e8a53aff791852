"""What all parts of a reading look at: record, track, ground and runs, and one flight of them."""

from dataclasses import dataclass

import numpy as np

from glidewright.data.standard_air import GRAVITY_m_s2
from glidewright.domain.flight_record import FlightRecord, Samples

from .ground import Airborne, Ground, airborne, on_track, without_false_landings
from .motor import MotorRun, motor_runs
from .practice import practice
from .track import Track, means, track_of

_SPEED_MEAN_s = 0.5  # half width of the mean of the airspeed, whose noise the energy height would square

_LEAST_MOVE_m = 0.3  # between two positions, below which their direction is noise
_EARTH_m = 6_371_000.0  # mean radius


@dataclass(frozen=True, eq=False)
class Scene:
    """A record with its track, the stretches on the ground, the flights and the motor runs in order.

    floor_m: shape of the track, level of the ground under every sample: the baseline, with its drift where
    the ground was met again at nearly the same level. energy_m: height with the energy of the motion, None
    without airspeed. way: times and directions of the way over ground, None without a position.
    """

    record: FlightRecord
    track: Track
    grounds: tuple[Ground, ...]
    flights: tuple[Airborne, ...]
    runs: tuple[MotorRun, ...]
    floor_m: Samples
    airspeed_m_s: Samples | None
    energy_m: Samples | None
    way: tuple[Samples, Samples] | None


def scene_of(record: FlightRecord) -> Scene | None:
    """The scene of a record; None when it has no height."""
    track = track_of(record)
    if track is None:
        return None
    grounds, flights = airborne(record, track)
    runs = motor_runs(record, track, grounds)
    grounds, flights = without_false_landings(grounds, flights, [run.start_s for run in runs], track)
    airspeed = on_track(record, track, "airspeed_m_s")
    energy = None
    if airspeed is not None:
        mean = means(airspeed, max(round(_SPEED_MEAN_s / track.step_s), 1))
        energy = track.raw_m + mean**2 / (2.0 * GRAVITY_m_s2)
    return Scene(
        record=record,
        track=track,
        grounds=tuple(grounds),
        flights=tuple(flights),
        runs=tuple(runs),
        floor_m=_floor(track, grounds),
        airspeed_m_s=airspeed,
        energy_m=energy,
        way=_way(record),
    )


def _way(record: FlightRecord) -> tuple[Samples, Samples] | None:
    """Times and directions of the way over ground from position to position, read on over full turns."""
    latitude, longitude = record.channel("latitude_rad"), record.channel("longitude_rad")
    if latitude is None or longitude is None:
        return None
    known = np.isfinite(latitude) & np.isfinite(longitude)
    north = np.diff(latitude[known])
    east = np.diff(longitude[known]) * np.cos(latitude[known][1:])
    moves = np.hypot(north, east) > _LEAST_MOVE_m / _EARTH_m
    if np.count_nonzero(moves) < 2:
        return None
    way: Samples = np.unwrap(np.arctan2(east[moves], north[moves]))
    return record.time_s[known][1:][moves], way


def _floor(track: Track, grounds: list[Ground]) -> Samples:
    """Level of the ground under every sample; constant over a flight that ends at another height."""
    if not grounds:
        return np.full(track.time_s.size, float(track.height_m[0]))
    floor = np.empty(track.time_s.size)
    floor[: grounds[0].last + 1] = grounds[0].level_m
    for number, ground in enumerate(grounds):
        after = grounds[number + 1] if number + 1 < len(grounds) else None
        end = after.first if after is not None else track.time_s.size
        is_same = after is not None and abs(after.level_m - ground.level_m) < practice("same_place")
        if after is not None and is_same:
            floor[ground.last : end] = np.linspace(ground.level_m, after.level_m, end - ground.last)
        else:
            floor[ground.last : end] = ground.level_m
        if after is not None:
            floor[after.first : after.last + 1] = after.level_m
    return floor
