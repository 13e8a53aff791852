"""The touch: where the glide meets the level of the ground behind it."""

import numpy as np

from glidewright.domain.flight_reading import LandingReading

from .figures import metres, seconds
from .ground import Airborne
from .practice import practice
from .scene import Scene

_LAST_s = 4.0  # of the glide, whose line is drawn on to the ground
_OFF_m, _OFF_NOISE = 0.4, 3.0  # over the ground: not on it yet
_LEAST_SINK_m_s = 0.2


def landing_of(scene: Scene, flight: Airborne) -> LandingReading | None:
    """The landing of a flight; None when the record ends in the air."""
    ground = flight.behind
    if ground is None:
        return None
    track = scene.track
    off = _OFF_m + _OFF_NOISE * track.smooth_noise_m
    above = np.flatnonzero(track.height_m[flight.first : ground.first + 1] - ground.level_m > off)
    last = flight.first + int(above[-1]) if above.size else ground.first
    first = max(last - round(_LAST_s / track.step_s), flight.first)
    time_s = float(track.time_s[last])
    touch = time_s
    if last - first >= 2:
        slope, _ = np.polyfit(track.time_s[first : last + 1] - time_s, track.raw_m[first : last + 1], 1)
        sink = max(-float(slope), _LEAST_SINK_m_s)
        touch = min(time_s + (float(track.height_m[last]) - ground.level_m) / sink, _latest(scene, flight))
    error = float(np.hypot(practice("landing_error"), track.step_s / np.sqrt(12.0)))
    floor = flight.before.level_m if flight.before is not None else ground.level_m
    floor_error = flight.before.error_m if flight.before is not None else ground.error_m
    return LandingReading(
        touch=seconds(
            touch, error, "the glide drawn on to the level of the ground; a flare is nearly as level"
        ),
        height=metres(
            ground.level_m - floor,
            float(np.hypot(ground.error_m, floor_error)),
            "level after the landing over that before the launch; drift and the slope of the field are in it",
        ),
    )


def _latest(scene: Scene, flight: Airborne) -> float:
    """The model is on the ground by the middle of the first level seconds."""
    ground = flight.behind
    assert ground is not None
    inside = min(ground.first + round(2.0 * practice("landing_error") / scene.track.step_s), ground.last)
    return float(scene.track.time_s[inside])
