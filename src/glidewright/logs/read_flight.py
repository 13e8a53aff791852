"""From a record to its reading: what happened in the flight, and how sure that is."""

from collections.abc import Sequence

import numpy as np

from glidewright.base.errors import InputError, Problem
from glidewright.base.figure import Figure
from glidewright.domain.class_limits import HeightRule
from glidewright.domain.flight_reading import FlightReading, FlightTrace, LaunchReading
from glidewright.domain.flight_record import FlightRecord, Samples

from .air import climb_of_air, fastest_usual, usual_sink
from .figures import known, metres, seconds
from .glides import glide_segments, lift_reading, still_sink
from .ground import Airborne
from .launches import floor_of, launch_of
from .phases import FlightParts, flight_parts, gliding, phases_of, total_error
from .practice import practice
from .pressure_error import airspeed_error
from .scale import height_scale
from .scene import Scene, scene_of
from .track import Mask, slopes

_SLOPE_s = 1.0  # half width of the line whose slope is the climb of the energy height
COARSEST_s = 10.0  # slower than this, nothing of a launch or of a glide can be seen
_ONE_FLIGHT = (
    "One flight cannot tell the sink of the model from the motion of the air: pool several flights, "
    "best at dawn in calm air."
)


def read_flight(
    record: FlightRecord,
    rule: HeightRule | None = None,
    *,
    temperature_K: float | None = None,
    ground_pressure_Pa: float | None = None,
) -> FlightReading:
    """Phases, launches, glides, lift and landing of a record, every figure with its spread and reason.

    rule: how the class counts launch height (highest up to 10 s after motor stop unless given).
    temperature_K, ground_pressure_Pa: of the air at the field, for the scale to true metres. Raises
    InputError when the record has no height, or fewer samples than one in ten seconds.
    """
    own_rule = rule or HeightRule()
    scene = scene_of(record)
    if scene is None:
        raise InputError(
            Problem(
                record.source_name,
                "must have a height or a pressure over a second at least; it has none; record one of them",
            )
        )
    if scene.track.step_s > COARSEST_s:
        raise InputError(
            Problem(
                record.source_name,
                f"must have a height every {COARSEST_s:.0f} s at least; it has one every "
                f"{scene.track.step_s:.3g} s; set the instrument to record more often",
            )
        )
    glides = np.zeros(scene.track.time_s.size, dtype=np.bool_)
    launches: list[list[LaunchReading]] = []
    for flight in scene.flights:
        launches.append(_launches(scene, flight, own_rule, sum(map(len, launches))))
        glides |= gliding(scene, flight, launches[-1])
    climb = climb_of_air(scene)
    usual = usual_sink(climb, glides)
    parts = [
        flight_parts(scene, flight, own, climb, usual)
        for flight, own in zip(scene.flights, launches, strict=True)
    ]
    scale = height_scale(record, temperature_K, ground_pressure_Pa)
    return _reading(scene, parts, glides, fastest_usual(usual), scale)


def _launches(scene: Scene, flight: Airborne, rule: HeightRule, before: int) -> list[LaunchReading]:
    """The motor runs of one flight; a run that wins no height is a test on the ground and none of them."""
    track = scene.track
    begin_s = float(track.time_s[flight.first]) - practice("quiet_time")
    end_s = float(track.time_s[flight.last])
    runs = [run for run in scene.runs if begin_s <= run.start_s <= end_s]
    floor = floor_of(scene, flight)
    made: list[LaunchReading] = []
    for number, run in enumerate(runs):
        next_s = runs[number + 1].start_s if number + 1 < len(runs) else float("inf")
        launch = launch_of(scene, run, flight, rule, before + len(made) + 1, next_s)
        won = known(launch.top_height) - (track.at(run.start_s) - floor)
        if won < practice("least_launch"):
            continue
        is_restart = bool(made) or (
            flight.before is None and run.start_s > begin_s + 2.0 * practice("quiet_time")
        )
        made.append(launch.model_copy(update={"is_restart": is_restart}))
    return made


def _reading(
    scene: Scene, parts: Sequence[FlightParts], glides: Mask, fastest: float, scale: Figure
) -> FlightReading:
    record, track = scene.record, scene.track
    segments = [
        segment
        for one in parts
        for place, span in enumerate(one.spans)
        if span.kind != "lift"
        for segment in glide_segments(scene, span, place == 0, place == len(one.spans) - 1, fastest)
    ]
    sink = still_sink(segments)
    ground = scene.grounds[0] if scene.grounds else None
    landing = parts[-1].landing if parts else None
    return FlightReading(
        source_name=record.source_name,
        source_sha256=record.source_sha256,
        part=record.part,
        format=record.format,
        start_utc=record.start_utc,
        day=record.day,
        duration=seconds(record.duration_s, 0.0, "from the first sample to the last"),
        sampling_rate=Figure.exact(record.samples_per_s, "1/s", "Hz", "measured", "one over the median step"),
        longest_gap=seconds(track.longest_gap_s, 0.0, "longest time without a height"),
        ground_height=_ground_height(scene),
        drift=_drift(scene),
        noise=metres(
            track.noise_m, 0.1 * track.noise_m, "second differences from sample to sample, rounding included"
        ),
        spikes=track.spikes,
        scale=scale,
        airspeed_error=airspeed_error(scene, glides),
        phases=phases_of(scene, parts),
        launches=tuple(launch for one in parts for launch in one.launches),
        glides=tuple(segments),
        still_sink=sink,
        lifts=tuple(
            lift_reading(scene, span, sink) for one in parts for span in one.spans if span.kind == "lift"
        ),
        landing=landing,
        flight_time=_flight_time(scene, parts),
        statements=_statements(scene, parts, segments != [], ground is not None),
        trace=_trace(scene),
    )


def _ground_height(scene: Scene) -> Figure:
    if not scene.grounds:
        return Figure.unknown("m", "m", "the record begins in the air and ends there")
    ground = scene.grounds[0]
    return metres(ground.level_m, ground.error_m, "median of the last minute on the ground before the launch")


def _drift(scene: Scene) -> Figure:
    if len(scene.grounds) < 2:
        return Figure.unknown("m", "m", "the model was not on the ground before and after the flight")
    first, last = scene.grounds[0], scene.grounds[-1]
    if abs(last.level_m - first.level_m) > practice("near_ground"):
        return Figure.unknown("m", "m", "the model landed at another height than it started from")
    return metres(
        last.level_m - first.level_m,
        float(np.hypot(first.error_m, last.error_m)),
        "level after the last landing over that before the first launch; another place looks the same",
    )


def _flight_time(scene: Scene, parts: Sequence[FlightParts]) -> Figure:
    """From the first motor start, or leaving the ground, to the last touch of the first flight."""
    if not parts or parts[0].landing is None:
        return Figure.unknown("s", "s", "the record does not hold a whole flight")
    first = parts[0]
    touch = parts[0].landing.touch
    if first.launches:
        start = first.launches[0].motor_start
        because = "motor start to touch; a throw before the motor is not seen"
    elif first.flight.before is not None:
        start = seconds(float(scene.track.time_s[first.flight.first]), 2.0, "")
        because = "from the last level moment to touch"
    else:
        return Figure.unknown("s", "s", "the record begins in the air")
    return seconds(known(touch) - known(start), total_error([touch, start]), because)


def _statements(
    scene: Scene, parts: Sequence[FlightParts], has_segments: bool, has_ground: bool
) -> tuple[str, ...]:
    """What the record cannot tell, then what was repaired in it."""
    said: list[str] = []
    launches = [launch for one in parts for launch in one.launches]
    if not parts:
        said.append("The height never leaves the ground by more than a walk does: no flight is seen.")
    elif not launches:
        said.append("No motor run is seen.")
    if any(launch.motor_sign == "climb" for launch in launches):
        said.append(
            "Motor start and stop are from the height alone; a motor run in flight would look like lift. "
            "Record throttle, current or speed."
        )
    if any(run.sign != "climb" for run in scene.runs) and len(launches) < len(scene.runs):
        said.append("A motor run that wins no height is taken for a test on the ground.")
    if not has_ground:
        said.append(
            "The record has no moment on the ground: heights count from its first sample. Switch the "
            "instrument on some minutes before the launch."
        )
    if has_segments:
        said.append(_ONE_FLIGHT)
        if scene.energy_m is None:
            said.append("Without airspeed a dive looks like sink and a zoom like lift.")
    if launches and scene.track.step_s > 0.5:
        said.append(
            f"One sample every {scene.track.step_s:.2g} s is coarse for a launch: the motor stop is known to "
            "half of that at best."
        )
    return (*said, *scene.record.notes)


def _trace(scene: Scene) -> FlightTrace:
    """Curves on the times of the record."""
    track, record = scene.track, scene.record

    def on_record(values: Samples) -> Samples:
        return np.interp(record.time_s, track.time_s, values)

    floor = on_record(scene.floor_m)
    raw = record.channels["height_m"]
    energy = (
        None
        if scene.energy_m is None
        else on_record(slopes(scene.energy_m, max(round(_SLOPE_s / track.step_s), 1)) / track.step_s)
    )
    return FlightTrace(
        time_s=record.time_s,
        height_m=on_record(track.height_m) - floor,
        raw_height_m=raw - floor,
        climb_m_s=on_record(track.climb_m_s),
        energy_climb_m_s=energy,
    )
