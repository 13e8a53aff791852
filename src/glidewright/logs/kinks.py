"""Where the climb begins and where it ends, from the height alone: a line and a bend fitted to the samples.

The motor stop is the time at which the climb starts to fade towards the glide. Before it the height is a
line of slope ``s``, after it ``h + g x + (s - g) T (1 - exp(-x / T))`` with the slope ``g`` of the glide and
a time ``T`` of fading, x the time since. For every pair of stop and T on a grid the other three numbers are
linear and follow by least squares; the spread of the stop is that of its likelihood with T summed out.
"""

import numpy as np

from glidewright.domain.flight_record import Samples

from .practice import practice
from .track import Track

_FADES_s = np.array([0.15, 0.3, 0.6, 1.0, 1.6, 2.5])
_BEFORE_s, _AFTER_s = 6.0, 5.0
_GRID_s = 0.1
_LOOK_BACK_s, _LOOK_ON_s = 6.0, 1.5


def climb_end(track: Track, start_s: float, end_s: float) -> tuple[float, float]:
    """Motor stop and its standard deviation, s; end_s: where the smoothed climb has gone."""
    return _bend(track, max(start_s + 1.0, end_s - _LOOK_BACK_s), end_s + _LOOK_ON_s, start_s)


def climb_begin(track: Track, begin_s: float) -> tuple[float, float]:
    """Begin of the climb and its standard deviation, s; begin_s: where the smoothed climb has come."""
    flipped = -track.time_s[::-1]
    mirrored = _Samples(flipped, track.raw_m[::-1], track.step_s, track.noise_m)
    at, error = _bend_of(mirrored, -begin_s - _LOOK_ON_s, -begin_s + _LOOK_ON_s, -np.inf, is_fading=False)
    return -at, error


def _bend(track: Track, low_s: float, high_s: float, first_s: float) -> tuple[float, float]:
    own = _Samples(track.time_s, track.raw_m, track.step_s, track.noise_m)
    return _bend_of(own, low_s, high_s, first_s, is_fading=True)


class _Samples:
    """Heights over time, with step and noise."""

    def __init__(self, time_s: Samples, height_m: Samples, step_s: float, noise_m: float) -> None:
        self.time_s, self.height_m, self.step_s, self.noise_m = time_s, height_m, step_s, noise_m


def _bend_of(
    track: _Samples, low_s: float, high_s: float, first_s: float, *, is_fading: bool
) -> tuple[float, float]:
    """Time of the bend between a line and its fading, between two times, and its standard deviation.

    is_fading: whether the slope falls at the bend; it rises where a climb begins, seen with time mirrored.
    """
    grid = np.arange(low_s, high_s + 1e-9, min(_GRID_s, track.step_s))
    begin = max(low_s - _BEFORE_s, first_s)
    chosen = (track.time_s >= begin) & (track.time_s <= high_s + _AFTER_s)
    time_s, height = track.time_s[chosen], track.height_m[chosen]
    if time_s.size < 6 or grid.size < 2:
        return float(0.5 * (low_s + high_s)), float((high_s - low_s) / np.sqrt(12.0))
    height = height - height.mean()
    since = time_s[None, None, :] - grid[:, None, None]  # (stop, fade, sample)
    fade = _FADES_s[None, :, None]
    gone = np.maximum(since, 0.0)
    faded = fade * (1.0 - np.exp(-gone / fade))
    # height = a + slope (x where x < 0, else faded) + glide (x - faded where x > 0)
    rising = np.where(since < 0.0, since, faded)
    base = np.stack([np.ones_like(rising), rising, gone - faded], axis=-1)
    normal = np.einsum("gfni,gfnj->gfij", base, base) + 1e-9 * np.eye(3)
    right = np.einsum("gfni,n->gfi", base, height)
    solved = np.linalg.solve(normal, right[..., None])[..., 0]
    misfit = np.sum(height**2) - np.einsum("gfi,gfi->gf", solved, right)
    is_bend = (solved[..., 1] > solved[..., 2]) == is_fading
    misfit = np.where(is_bend, misfit, np.inf)
    if not np.any(np.isfinite(misfit)):
        return float(0.5 * (low_s + high_s)), float((high_s - low_s) / np.sqrt(12.0))
    best = float(misfit.min())
    variance = max(track.noise_m**2, best / time_s.size)
    weight = np.exp(-0.5 * (misfit - best) / (variance * practice("noise_correlation"))).sum(axis=1)
    weight /= weight.sum()
    mean = float(np.sum(weight * grid))
    spread = float(np.sqrt(np.sum(weight * (grid - mean) ** 2)))
    return mean, float(np.hypot(spread, track.step_s / np.sqrt(12.0)))
