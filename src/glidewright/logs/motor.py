"""Motor runs: from the channels of the drive, or from the height alone where nothing else was recorded."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from glidewright.domain.flight_reading import MotorSign
from glidewright.domain.flight_record import FlightRecord, Samples

from .ground import Ground
from .kinks import climb_begin, climb_end
from .practice import practice
from .track import Track, slopes, stretches

_EDGE_s = 0.4  # on either side of a step of the volts
_LAUNCH_s = 30.0  # between the last level moment and the climb: model in the hand, a few steps, the throw
_CLIMB_s = 1.5  # half width of the line whose slope shows the climb
_NOISE_MEAN_s = 4.0  # recorded noise flutters; its mean over this time does not


@dataclass(frozen=True)
class MotorRun:
    """One run: start and stop on the clock of the record, and the standard deviation of both."""

    start_s: float
    stop_s: float
    start_error_s: float
    stop_error_s: float
    sign: MotorSign


def motor_runs(record: FlightRecord, track: Track, grounds: Sequence[Ground]) -> list[MotorRun]:
    """Runs by the best channel that shows any: amps, revs, throttle, volts, noise, and at last the climb."""
    for channel, sign, least in (
        ("current_A", "current", "least_current"),
        ("revs_per_s", "motor speed", "least_revs"),
        ("throttle", "throttle", "least_throttle"),
    ):
        found = _by_level(record, channel, sign, practice(least))  # type: ignore[arg-type]
        if found:
            return found
    return _by_volts(record) or _by_noise(record) or _by_climb(track, grounds)


def _samples(record: FlightRecord, channel: str) -> tuple[Samples, Samples] | None:
    values = record.channel(channel)
    if values is None:
        return None
    known = np.isfinite(values)
    if np.count_nonzero(known) < 5:
        return None
    return record.time_s[known], values[known]


def _by_level(record: FlightRecord, channel: str, sign: MotorSign, least: float) -> list[MotorRun]:
    """Runs where a channel stands well above its idle level."""
    found = _samples(record, channel)
    if found is None:
        return []
    time_s, values = found
    low, high = np.quantile(values, 0.05), np.quantile(values, 0.999)
    if not high - low > least:
        return []
    level = float(low + practice("on_share") * (high - low))
    idle = values[values <= level]
    foot = float(np.median(idle) + max(0.02 * (high - low), 4.0 * _spread(idle)))
    soft = 0.0 if sign == "throttle" else practice("soft_start")
    return _runs(time_s, values, level, min(foot, level), sign, practice("channel_lag"), soft)


def _spread(values: Samples) -> float:
    return 1.4826 * float(np.median(np.abs(values - np.median(values))))


def _runs(
    time_s: Samples, values: Samples, level: float, foot: float, sign: MotorSign, lag: float, soft: float
) -> list[MotorRun]:
    """Stretches above a level; a run begins where the values leave the foot of the rise.

    lag, soft: standard deviation of the delay of the channel, and of a start too soft to be seen at once.
    """
    spans = _joined(stretches(values > level), time_s)
    runs = []
    for first, last in spans:
        start, start_step = _between(time_s, _foot(values, first, foot), _foot(values, first, foot) + 1)
        stop, stop_step = _between(time_s, last, last + 1)
        if stop - start >= practice("least_run"):
            start_error = float(np.linalg.norm([start_step / np.sqrt(12.0), lag, soft]))
            stop_error = float(np.hypot(stop_step / np.sqrt(12.0), lag))
            runs.append(MotorRun(start, stop, start_error, stop_error, sign))
    return runs


def _foot(values: Samples, first: int, foot: float) -> int:
    """Last place before a run at which the motor did not draw anything yet: a soft start rises slowly."""
    place = first - 1
    while place >= 0 and values[place] > foot:
        place -= 1
    return place


def _joined(spans: Sequence[tuple[int, int]], time_s: Samples) -> list[tuple[int, int]]:
    """Stretches with short pauses between them made one."""
    joined: list[tuple[int, int]] = []
    for first, last in spans:
        if joined and time_s[first] - time_s[joined[-1][1]] <= practice("restart_gap"):
            joined[-1] = (joined[-1][0], last)
        else:
            joined.append((first, last))
    return joined


def _between(time_s: Samples, before: int, after: int) -> tuple[float, float]:
    """Middle of the two times between which a switch was thrown, and how far they are apart."""
    if before < 0 or after >= time_s.size:
        return float(time_s[0] if before < 0 else time_s[-1]), 0.0
    return float(0.5 * (time_s[before] + time_s[after])), float(time_s[after] - time_s[before])


def _by_volts(record: FlightRecord) -> list[MotorRun]:
    """Runs between a sudden fall of the volts and a sudden rise."""
    found = _samples(record, "voltage_V")
    if found is None:
        return []
    time_s, volts = found
    step = float(np.median(np.diff(time_s)))
    width = max(round(_EDGE_s / step), 1)
    if volts.size < 4 * width + 2:
        return []
    sums = np.concatenate([[0.0], np.cumsum(volts)])
    before = (sums[width:-width] - sums[: -2 * width]) / width
    after = (sums[2 * width :] - sums[width:-width]) / width
    jump = after - before  # at the place `width + number`
    least = max(practice("least_sag"), 6.0 * _spread(jump), 0.4 * float(np.max(-jump)))
    falls = _peaks(-jump, least)
    rises = _peaks(jump, 0.6 * least)
    runs = []
    free_from = -1
    for fall in falls:
        rise = next((one for one in rises if one > fall), None)
        if fall <= free_from or rise is None:
            continue
        free_from = rise
        start, stop = (_edge(time_s, one + width) for one in (fall, rise))
        if stop - start >= practice("least_run"):
            error = float(np.hypot(step / np.sqrt(12.0), practice("channel_lag")))
            runs.append(MotorRun(start, stop, error, error, "voltage"))
    return runs


def _edge(time_s: Samples, place: int) -> float:
    return float(0.5 * (time_s[place - 1] + time_s[place]))


def _peaks(values: Samples, least: float) -> list[int]:
    """Places of the highest value of every stretch above a level."""
    return [first + int(np.argmax(values[first : last + 1])) for first, last in stretches(values > least)]


def _by_noise(record: FlightRecord) -> list[MotorRun]:
    """Runs of a motor that can be heard: a mean of the recorded noise well above its quiet level."""
    found = _samples(record, "engine_noise")
    if found is None:
        return []
    time_s, noise = found
    width = max(round(_NOISE_MEAN_s / float(np.median(np.diff(time_s)))), 1)
    mean = np.convolve(np.pad(noise, width // 2, mode="edge"), np.full(width, 1.0 / width), mode="valid")
    mean = mean[: noise.size]
    low, high = np.quantile(mean, 0.2), np.quantile(mean, 0.999)
    if not high - low > practice("least_noise"):
        return []
    level = float(0.5 * (low + high))
    runs = _runs(time_s, mean, level, level, "engine noise", _NOISE_MEAN_s / 2.0, 0.0)
    return [run for run in runs if run.stop_s - run.start_s > 2.0 * _NOISE_MEAN_s]


def _by_climb(track: Track, grounds: Sequence[Ground]) -> list[MotorRun]:
    """Launches from the ground as the height shows them; a run in flight looks like lift and is none here."""
    onset, error = practice("climb_onset"), practice("kink_error")
    climb = slopes(track.raw_m, max(round(_CLIMB_s / track.step_s), 1)) / track.step_s
    rising = stretches(climb > 0.5 * onset)
    spans = [(first, last) for first, last in rising if climb[first : last + 1].max() > onset]
    runs = []
    for ground in grounds:
        begin_s = float(track.time_s[ground.last])
        near = (span for span in spans if -_CLIMB_s < track.time_s[span[0]] - begin_s < _LAUNCH_s)
        gain, first, last = max(
            ((float(track.height_m[last] - track.height_m[first]), first, last) for first, last in near),
            default=(0.0, 0, 0),
        )
        if gain < practice("least_climb"):
            continue
        start, start_error = climb_begin(track, float(track.time_s[first]))
        start -= practice("climb_delay")
        stop, stop_error = climb_end(track, start, float(track.time_s[last]))
        if stop - start >= practice("least_run"):
            start_error = float(np.hypot(start_error, practice("climb_delay_error")))
            runs.append(MotorRun(start, stop, start_error, float(np.hypot(stop_error, error)), "climb"))
    return runs
