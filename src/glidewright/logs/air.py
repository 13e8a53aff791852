"""The glide: where the air rises, where it sinks, and the stretches in between that look still.

Climb is that of the energy height where airspeed was recorded, else of the height: then a zoom looks like
lift for a moment, which the mean over a circle's time takes out.
"""

from dataclasses import dataclass

import numpy as np

from glidewright.domain.flight_record import Samples

from .practice import practice
from .scene import Scene
from .track import Mask, slopes, stretches

_FEWEST_MOVES = 4  # that show a turn


@dataclass(frozen=True)
class AirSpan:
    """A stretch of one kind within a glide, by places on the track."""

    kind: str
    first: int
    last: int


def climb_of_air(scene: Scene) -> Samples:
    """Mean climb over the window of one circle, of the energy height where there is one; m/s, shape (m,)."""
    height = scene.track.raw_m if scene.energy_m is None else scene.energy_m
    half = max(round(practice("lift_window") / 2.0 / scene.track.step_s), 1)
    return slopes(height, half) / scene.track.step_s


def usual_sink(climb: Samples, chosen: Mask) -> float:
    """The sink that the falling part of the glide has most: middle of the shortest span with half of it.

    Still air makes one value often, while rising and sinking air and brakes scatter; NaN without any glide.
    In m/s, down positive; climb: m/s, shape (m,); chosen: where the model glides, the same shape.

    >>> climb = np.array([-0.40, -0.41, -0.42, -0.43, -1.5, 0.8])
    >>> round(usual_sink(climb, np.ones(6, dtype=bool)), 3)
    0.41
    """
    own = np.sort(-climb[chosen & (climb < -0.05)])
    if own.size < 2:
        return float("nan")
    half = max(own.size // 2, 1)
    narrowest = int(np.argmin(own[half:] - own[:-half]))
    return float(0.5 * (own[narrowest] + own[narrowest + half]))


def fastest_usual(usual: float) -> float:
    """Sink in m/s beyond which the air sinks or the pilot brakes; infinite when the usual one is not known.

    Twice the usual one, and half a metre a second more than it at least (``logs.toml``).

    >>> fastest_usual(0.4), fastest_usual(0.7), fastest_usual(float("nan"))
    (0.9, 1.4, inf)
    """
    if not np.isfinite(usual):
        return float("inf")
    return max(practice("sink_factor") * usual, usual + practice("sink_margin"))


def spans_of(scene: Scene, climb: Samples, first: int, last: int, usual: float) -> list[AirSpan]:
    """Lift, sink and glide between two places, in order and without holes."""
    if last <= first:
        return []
    own = climb[first : last + 1]
    lifts = _lifts(scene, own, first)
    is_free = np.ones(own.size, dtype=np.bool_)
    for one in lifts:
        is_free[one.first - first : one.last - first + 1] = False
    sinks = _sinks(scene, own, is_free, first, usual)
    return _filled(sorted([*lifts, *sinks], key=lambda one: one.first), first, last)


def _lifts(scene: Scene, climb: Samples, first: int) -> list[AirSpan]:
    """Stretches that rise for a circle's time and bring height, from the lowest to the highest point."""
    track = scene.track
    half = round(practice("lift_window") / 2.0 / track.step_s)
    least = practice("least_lift_gain") + 3.0 * track.smooth_noise_m
    end = first + climb.size - 1
    found: list[AirSpan] = []
    for begin, stop in _near(stretches(climb > 0.0), half):
        low_from, low_to = max(first + begin - half, first), min(first + begin + half, end)
        high_from, high_to = max(first + stop - half, first), min(first + stop + half, end)
        lowest = low_from + int(np.argmin(track.height_m[low_from : low_to + 1]))
        highest = high_from + int(np.argmax(track.height_m[high_from : high_to + 1]))
        if found:
            lowest = max(lowest, found[-1].last + 1)
        length_s = (highest - lowest) * track.step_s
        if length_s < practice("least_lift_time"):
            continue
        if track.height_m[highest] - track.height_m[lowest] >= least:
            found.append(AirSpan("lift", lowest, highest))
    return found


def _sinks(scene: Scene, climb: Samples, is_free: Mask, first: int, usual: float) -> list[AirSpan]:
    """Stretches that fall much faster than the model does in this flight."""
    limit = fastest_usual(usual)
    least = practice("least_lift_time") / 2.0 / scene.track.step_s
    own = stretches(is_free & (climb < -limit))
    return [AirSpan("sink", first + begin, first + stop) for begin, stop in own if stop - begin >= least]


def _near(spans: list[tuple[int, int]], apart: int) -> list[tuple[int, int]]:
    """Spans with short pauses between them made one."""
    joined: list[tuple[int, int]] = []
    for begin, stop in spans:
        if joined and begin - joined[-1][1] <= apart:
            joined[-1] = (joined[-1][0], stop)
        else:
            joined.append((begin, stop))
    return joined


def _filled(spans: list[AirSpan], first: int, last: int) -> list[AirSpan]:
    """The spans with glide between them; sink that lift cuts off is cut there."""
    whole: list[AirSpan] = []
    at = first
    for one in spans:
        begin = max(one.first, at)
        if one.last <= begin:
            continue
        if begin > at:
            whole.append(AirSpan("glide", at, begin - 1))
        whole.append(AirSpan(one.kind, begin, one.last))
        at = one.last + 1
    if at <= last:
        whole.append(AirSpan("glide", at, last))
    return whole


def turned_rad(scene: Scene, first: int, last: int) -> float | None:
    """How far the way over ground turned between two places; None without a position."""
    if scene.way is None:
        return None
    time_s, way_rad = scene.way
    begin, end = np.searchsorted(time_s, (scene.track.time_s[first], scene.track.time_s[last]))
    own = way_rad[begin:end]
    return float(own[-1] - own[0]) if own.size >= _FEWEST_MOVES else None
