"""Sink from stretches of the glide, and lift that was used."""

from itertools import pairwise

import numpy as np

from glidewright.base.figure import Figure
from glidewright.domain.flight_reading import GlideSegment, LiftReading

from .air import AirSpan, turned_rad
from .figures import P80, error_of, found, known, metres, seconds, speed
from .practice import practice
from .scene import Scene

_SUB_s = 5.0


def glide_segments(
    scene: Scene, span: AirSpan, is_after_zoom: bool, is_before_landing: bool, fastest: float
) -> list[GlideSegment]:
    """The straight stretches of one span of gliding or sinking air; fastest: most sink of still air, m/s."""
    track = scene.track
    skip = round(practice("piece_skip") / track.step_s)
    first = span.first + (skip if is_after_zoom else 0)
    last = span.last - (skip if is_before_landing else 0)
    length_s = (last - first) * track.step_s
    if length_s < practice("least_piece_time"):
        return []
    pieces = max(int(length_s // practice("piece_time")), 1)
    edges = np.linspace(first, last, pieces + 1).round().astype(int)
    made = (_segment(scene, int(begin), int(end), span.kind, fastest) for begin, end in pairwise(edges))
    return [one for one in made if one is not None]


def _segment(scene: Scene, first: int, last: int, kind: str, fastest: float) -> GlideSegment | None:
    """Sink by a line through the samples, and whether anything speaks of moving air."""
    track = scene.track
    height = track.raw_m if scene.energy_m is None else scene.energy_m
    if np.mean(track.gap[first : last + 1]) > 0.2:
        return None
    time_s, own = track.time_s[first : last + 1], height[first : last + 1]
    length = float(time_s[-1] - time_s[0])
    sink = -float(np.polyfit(time_s - time_s[0], own, 1)[0])
    noise = track.noise_m * practice("noise_correlation")
    own_error = noise * np.sqrt(12.0 / own.size) / length
    scatter = _scatter(scene, own)
    error = float(np.hypot(own_error, scatter / np.sqrt(max(length / _SUB_s, 1.0))))
    turned = turned_rad(scene, first, last)
    circles = turned is not None and abs(turned) / length > practice("circling_rate")
    reason = ""
    if kind == "sink" or sink > fastest:
        reason = "it falls much faster than the rest of the flight: sinking air, brakes or a dive"
    elif scatter > practice("still_scatter"):
        reason = f"the sink changes by {scatter:.2f} m/s within it: moving air, or elevator"
    elif circles:
        reason = "it was flown in circles, which sink faster than a straight glide"
    elif sink < 0.05:
        reason = "it hardly falls: rising air"
    return GlideSegment(
        start=seconds(float(time_s[0]), 0.0, "cut from the glide"),
        end=seconds(float(time_s[-1]), 0.0, "cut from the glide"),
        sink=speed(sink, error, "line through the samples; noise and what changes within the stretch"),
        is_still=not reason,
        because=reason or "nothing recorded speaks of moving air; slow motion of the air does not show",
        airspeed=_airspeed(scene, first, last),
        is_energy_compensated=scene.energy_m is not None,
    )


def _scatter(scene: Scene, own: np.ndarray[tuple[int], np.dtype[np.float64]]) -> float:
    """Standard deviation of the sink over 5 s from piece to piece, without what the noise makes."""
    width = round(_SUB_s / scene.track.step_s)
    count = own.size // width if width >= 2 else 0
    if count < 3:
        return 0.0
    pieces = own[: count * width].reshape(count, width)
    place = np.arange(width) - (width - 1) / 2.0
    slope = pieces @ place / np.sum(place**2) / scene.track.step_s
    variance = float(np.var(slope, ddof=1))
    noise = scene.track.noise_m**2 / (np.sum(place**2) * scene.track.step_s**2)
    return float(np.sqrt(max(variance - noise, 0.0)))


def _airspeed(scene: Scene, first: int, last: int) -> Figure:
    if scene.airspeed_m_s is None:
        return Figure.unknown("m/s", "m/s", "airspeed was not recorded")
    own = scene.airspeed_m_s[first : last + 1]
    return speed(
        float(np.mean(own)), float(np.std(own)), "mean and spread within the stretch, as the sensor shows"
    )


def still_sink(segments: list[GlideSegment]) -> Figure:
    """Sink of one flight: median of the still-looking stretches, weighted by their length."""
    still = [one for one in segments if one.is_still]
    if not still:
        return Figure.unknown(
            "m/s", "m/s", "no stretch of the glide looks still; fly at dawn, straight and calm"
        )
    sinks = np.array([known(one.sink) for one in still])
    lengths = np.array([known(one.end) - known(one.start) for one in still])
    order = np.argsort(sinks)
    share = (np.cumsum(lengths[order]) - 0.5 * lengths[order]) / lengths.sum()
    value = float(np.interp(0.5, share, sinks[order]))
    inner = float(np.mean([error_of(one.sink) for one in still])) / np.sqrt(len(still))
    between = float(np.std(sinks) / np.sqrt(len(still)))
    air = practice("air_motion") / P80
    error = float(np.sqrt(inner**2 + between**2 + air**2))
    because = (
        f"{len(still)} still-looking stretches, {lengths.sum():.0f} s; mostly the motion of the air, "
        "which one flight cannot tell from the sink of the model"
    )
    return found(value, error, "m/s", "m/s", because)


def lift_reading(scene: Scene, span: AirSpan, sink: Figure) -> LiftReading:
    """What a stretch of lift brought."""
    track = scene.track
    start_s, end_s = float(track.time_s[span.first]), float(track.time_s[span.last])
    edge = boundary_error(scene)
    height = track.height_m if scene.energy_m is None else scene.energy_m
    gain = float(height[span.last] - height[span.first])
    length = end_s - start_s
    strength = gain / length
    gain_error = float(np.hypot(1.4 * track.smooth_noise_m, 0.2 * edge))
    strength_error = float(np.hypot(gain_error, strength * edge)) / length
    air = Figure.unknown("m/s", "m/s", "the sink in still air is not known from this flight")
    if sink.value is not None:
        air = speed(
            strength + sink.value,
            float(np.hypot(strength_error, error_of(sink))),
            "mean climb plus the sink of this flight; the sink in a circle is larger",
        )
    turned = turned_rad(scene, span.first, span.last)
    return LiftReading(
        start=seconds(start_s, edge, "lowest point around the begin of the climb"),
        end=seconds(end_s, edge, "highest point around its end"),
        duration=seconds(length, 1.4 * edge, "between lowest and highest point"),
        gain=metres(gain, gain_error, "highest over lowest point"),
        strength=speed(strength, strength_error, "height gained over the time"),
        air_strength=air,
        turns=_turns(turned),
        is_energy_compensated=scene.energy_m is not None,
    )


def _turns(turned: float | None) -> Figure:
    if turned is None:
        return Figure.unknown("1", "", "no position was recorded")
    return found(
        abs(turned) / (2.0 * np.pi), 0.3, "1", "", "turn of the way over ground; wind stretches circles"
    )


def boundary_error(scene: Scene) -> float:
    """Standard deviation in s of the begin or end of lift, sink and glide."""
    return float(np.hypot(practice("lift_window") / 4.0 / np.sqrt(3.0), scene.track.step_s))
