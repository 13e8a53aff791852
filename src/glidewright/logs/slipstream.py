"""The step of the indicated height at motor stop: the slipstream leaves the port of the altimeter."""

import numpy as np

from glidewright.base.figure import Figure

from .figures import metres
from .motor import MotorRun
from .practice import practice
from .scene import Scene

_BEFORE_s, _AFTER_s = 3.0, 2.5
_FADES_s = (0.2, 0.4, 0.8, 1.5, 3.0)
_FEWEST = 12


def slipstream_step(scene: Scene, run: MotorRun) -> Figure:
    """By how much the indicated height jumps at motor stop.

    A line before, the fading climb after it as in ``kinks``, and a step between; the samples of the stop's
    own uncertainty are left out. The way in which the climb fades is not known, and widens the step.
    """
    track = scene.track
    if run.sign == "climb":
        return Figure.unknown(
            "m", "m", "the stop was found from the height itself; record throttle or current"
        )
    apart = max(2.0 * run.stop_error_s, 0.5 * track.step_s)
    since = track.time_s - run.stop_s
    chosen = (since > -_BEFORE_s) & (since < _AFTER_s) & (np.abs(since) > apart)
    if np.count_nonzero(chosen) < _FEWEST or np.any(track.gap[chosen]):
        return Figure.unknown("m", "m", "too few samples around the motor stop; record 5 a second or more")
    x, height = since[chosen], track.raw_m[chosen]
    found = []
    for fade in _FADES_s:
        gone = np.maximum(x, 0.0)
        faded = fade * (1.0 - np.exp(-gone / fade))
        base = np.stack([np.ones(x.size), np.where(x < 0.0, x, faded), gone - faded, (x > 0.0) * 1.0], axis=1)
        solved, _, rank, _ = np.linalg.lstsq(base, height, rcond=None)
        if rank == base.shape[1]:
            misfit = float(np.sum((height - base @ solved) ** 2))
            own = float(np.linalg.inv(base.T @ base)[3, 3])
            found.append((misfit, float(solved[3]), own))
    if not found:
        return Figure.unknown("m", "m", "the samples around the motor stop do not tell a step from the climb")
    misfits, steps, owns = (np.array(column) for column in zip(*found, strict=True))
    variance = max(track.noise_m**2, float(misfits.min()) / x.size)
    weight = np.exp(-0.5 * (misfits - misfits.min()) / (variance * practice("noise_correlation")))
    weight /= weight.sum()
    mean = float(np.sum(weight * steps))
    spread = float(np.sum(weight * (steps - mean) ** 2))
    error = float(np.sqrt(spread + variance * practice("noise_correlation") * np.sum(weight * owns)))
    return metres(
        mean,
        error,
        "step between the climb before and the glide after the motor stop; how the climb fades is not known",
    )
