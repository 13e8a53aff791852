"""One launch: motor run, height as the class counts it, climb, zoom."""

from dataclasses import dataclass

import numpy as np

from glidewright.base.figure import Figure
from glidewright.domain.class_limits import HeightRule
from glidewright.domain.flight_reading import LaunchReading

from .drive import drive_figures
from .figures import metres, seconds, speed
from .ground import Airborne
from .motor import MotorRun
from .practice import practice
from .scene import Scene
from .slipstream import slipstream_step

_BEST_s = 5.0
_FALLEN_m, _FALLEN_NOISE = 0.3, 4.0  # below the highest point so far: the zoom is over
_CURVATURE_m_s2 = 2.0  # of the height around the top, that a coarse clock misses


@dataclass(frozen=True)
class Zoom:
    """The top after a motor stop: time, its standard deviation, and height over the launch place."""

    time_s: float
    error_s: float
    height_m: float


def zoom_of(scene: Scene, run: MotorRun, flight: Airborne, next_start_s: float) -> Zoom:
    """The highest point after the motor stop, before the model has fallen for the first time."""
    track = scene.track
    first = track.place(run.stop_s)
    end_s = min(run.stop_s + practice("zoom_time"), next_start_s, float(track.time_s[flight.last]))
    own = track.height_m[first : max(track.place(end_s), first) + 1]
    highest = np.maximum.accumulate(own)
    allowed = _FALLEN_m + _FALLEN_NOISE * track.smooth_noise_m
    fallen = np.flatnonzero(own < highest - allowed)
    until = int(fallen[0]) if fallen.size else own.size - 1
    top = int(np.argmax(own[: until + 1]))
    near = np.flatnonzero(own[: until + 1] > own[top] - track.smooth_noise_m - 0.02)
    width = float(near[-1] - near[0] + 1) * track.step_s
    return Zoom(
        time_s=float(track.time_s[first + top]),
        error_s=float(np.hypot(width / np.sqrt(12.0), run.stop_error_s)),
        height_m=float(own[top]) - floor_of(scene, flight),
    )


def floor_of(scene: Scene, flight: Airborne) -> float:
    """Level of the launch place of a flight, m: of the ground before it, else behind it, else its begin."""
    ground = flight.before or flight.behind
    return ground.level_m if ground is not None else float(scene.track.height_m[flight.first])


def floor_error(scene: Scene, flight: Airborne, at_s: float) -> float:
    """Standard deviation in m of a height over the launch place at a time: baseline, and drift since."""
    ground = flight.before or flight.behind
    if ground is None:
        return practice("near_ground") / 2.0
    edge = ground.last if flight.before is not None else ground.first
    length_s = min((ground.last - ground.first) * scene.track.step_s, practice("baseline_time"))
    drift = practice("drift") * (abs(at_s - float(scene.track.time_s[edge])) + length_s / 2.0)
    far = 0.0 if flight.before is not None else practice("same_place") / 2.0
    rounding = scene.track.resolution_m / np.sqrt(12.0)  # of slow changes, which no mean takes out
    return float(np.linalg.norm([ground.error_m, drift, far, rounding]))


def launch_of(
    scene: Scene, run: MotorRun, flight: Airborne, rule: HeightRule, number: int, next_start_s: float
) -> LaunchReading:
    """The reading of one motor run in a flight."""
    track = scene.track
    floor = floor_of(scene, flight)
    zoom = zoom_of(scene, run, flight, next_start_s)
    end_s = run.stop_s + rule.window_s
    sample_error = float(np.hypot(track.smooth_noise_m, 0.5 * _CURVATURE_m_s2 * (track.step_s / 2.0) ** 2))

    def height(at_s: float, because: str, time_error_s: float) -> Figure:
        if not track.time_s[0] <= at_s <= track.time_s[-1]:
            return Figure.unknown("m", "m", "the record ends before that time")
        moved = abs(float(track.climb_m_s[track.place(at_s)])) * time_error_s
        errors = (track.smooth_noise_m, floor_error(scene, flight, at_s), moved)
        return metres(track.at(at_s) - floor, float(np.linalg.norm(errors)), because)

    at_start = height(run.start_s, "smoothed height at motor start, over the baseline", run.start_error_s)
    at_stop = height(run.stop_s, "smoothed height at motor stop, over the baseline", run.stop_error_s)
    at_end = height(end_s, f"smoothed height {rule.window_s:g} s after motor stop", run.stop_error_s)
    error = float(np.hypot(sample_error, floor_error(scene, flight, zoom.time_s)))
    highest = _highest(scene, run, end_s, floor, error)
    counted = {"highest": highest, "at_cut": at_stop, "at_window_end": at_end}[rule.count]
    run_s = run.stop_s - run.start_s
    run_error = float(np.hypot(run.start_error_s, run.stop_error_s))
    climb = (track.at(run.stop_s) - track.at(run.start_s)) / run_s
    climb_error = float(np.hypot(1.4 * track.smooth_noise_m, climb * run_error / 2.0)) / run_s
    return LaunchReading(
        number=number,
        motor_sign=run.sign,
        motor_start=seconds(run.start_s, run.start_error_s, _sign_words(run)),
        motor_stop=seconds(run.stop_s, run.stop_error_s, _sign_words(run)),
        motor_run=seconds(run_s, run_error, _sign_words(run)),
        counted_height=counted,
        highest_raw=_raw(scene, run, end_s, floor, error),
        height_at_start=at_start,
        height_at_stop=at_stop,
        height_at_window_end=at_end,
        top_height=metres(zoom.height_m, error, "highest smoothed height before the model first falls"),
        top=seconds(zoom.time_s, zoom.error_s, "the height is nearly level around its top"),
        zoom_gain=metres(
            max(zoom.height_m - (track.at(run.stop_s) - floor), 0.0),
            float(np.hypot(1.4 * track.smooth_noise_m, climb * run.stop_error_s)),
            "top over the height at motor stop; an error of the stop shows here",
        ),
        slipstream_step=slipstream_step(scene, run),
        mean_climb=speed(climb, climb_error, "height won between motor start and stop over the time between"),
        best_climb=_best_climb(scene, run),
        mean_airspeed=_mean_airspeed(scene, run),
        **drive_figures(scene.record, run, next_start_s),
    )


def _sign_words(run: MotorRun) -> str:
    if run.sign == "climb":
        return "from the height alone: where the climb begins and fades"
    return f"from the recorded {run.sign}; its sampling and its delay"


def _highest(scene: Scene, run: MotorRun, end_s: float, floor: float, error: float) -> Figure:
    """Highest smoothed height from motor start to the end of the window, both ends counted."""
    track = scene.track
    inside = (track.time_s >= run.start_s) & (track.time_s <= end_s)
    if not np.any(inside):
        return Figure.unknown("m", "m", "no sample within the launch window")
    ends = [track.at(at_s) for at_s in (run.start_s, min(end_s, float(track.time_s[-1])))]
    value = max(float(track.height_m[inside].max()), *ends)
    because = "highest smoothed height up to the end of the window; baseline, noise and drift"
    if end_s > track.time_s[-1]:
        because = "the record ends before the window does; highest height up to there"
    if np.any(track.gap[inside]):
        because += "; samples are missing within it"
        error = float(np.hypot(error, 1.0))
    still_rises = float(track.climb_m_s[track.place(min(end_s, float(track.time_s[-1])))])
    if ends[1] >= value - 0.05 and still_rises > 0.0:
        error = float(np.hypot(error, still_rises * run.stop_error_s))
        because += "; the model still rises at its end"
    return metres(value - floor, error, because)


def _raw(scene: Scene, run: MotorRun, end_s: float, floor: float, error: float) -> Figure:
    track = scene.track
    inside = (track.time_s >= run.start_s) & (track.time_s <= end_s)
    if not np.any(inside):
        return Figure.unknown("m", "m", "no sample within the launch window")
    because = "highest single sample; noise makes it too high rather than too low"
    return metres(float(track.raw_m[inside].max()) - floor, float(np.hypot(error, track.noise_m)), because)


def _best_climb(scene: Scene, run: MotorRun) -> Figure:
    track = scene.track
    width = round(_BEST_s / track.step_s)
    first, last = track.place(run.start_s), track.place(run.stop_s)
    if last - first < width or width < 1:
        return Figure.unknown("m/s", "m/s", "the motor run is shorter than 5 s")
    own = track.height_m[first : last + 1]
    climbs = (own[width:] - own[:-width]) / (width * track.step_s)
    error = 1.4 * track.smooth_noise_m / _BEST_s
    return speed(float(climbs.max()), error, "best mean over 5 s within the motor run")


def _mean_airspeed(scene: Scene, run: MotorRun) -> Figure:
    if scene.airspeed_m_s is None:
        return Figure.unknown("m/s", "m/s", "airspeed was not recorded")
    inside = (scene.track.time_s > run.start_s + 1.0) & (scene.track.time_s < run.stop_s)
    if np.count_nonzero(inside) < 3:
        return Figure.unknown("m/s", "m/s", "the motor run is too short")
    own = scene.airspeed_m_s[inside]
    because = "mean from a second after motor start on, as the sensor shows it"
    return speed(float(np.mean(own)), float(np.std(own) / np.sqrt(own.size) + 0.02 * np.mean(own)), because)
