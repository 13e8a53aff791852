"""The height of a record made ready: spikes out, on an even clock, smoothed, with its slope and noise."""

from dataclasses import dataclass

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray

from glidewright.domain.flight_record import FlightRecord, Samples

FINEST_STEP_s = 0.05
_MOST_POINTS = 2_000_000
_MEDIAN = 5  # samples of the running median that spikes are seen against
_SPIKE_NOISE, _SPIKE_m, _SPIKE_m_s2 = 8.0, 2.0, 10.0  # allowed beyond the median: noise, floor, curvature
_SMOOTH_s = 0.5  # half width of the local parabola, for an instrument with the next noise or less
_SMOOTH_NOISE_m, _WIDEST = 0.15, 2.0  # a noisier one is smoothed over more, up to so many times as much
_SLOPE_s = 1.0  # half width of the local line that the climb is the slope of
_MAD = 1.4826  # standard deviation over median absolute deviation of the normal distribution
Mask = NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class Track:
    """The height on an even clock.

    time_s, raw_m, height_m, climb_m_s: shape (m,); raw_m without spikes, straight over gaps; height_m the
    local parabola, climb_m_s the local slope. step_s: of the clock; gap: True where the record has no sample
    near. noise_m: standard deviation from sample to sample; resolution_m: least step of the reading;
    smooth_noise_m: of height_m; spikes: samples taken out; longest_gap_s: between samples with a height.
    """

    time_s: Samples
    raw_m: Samples
    height_m: Samples
    climb_m_s: Samples
    gap: Mask
    step_s: float
    noise_m: float
    smooth_noise_m: float
    resolution_m: float
    spikes: int
    longest_gap_s: float

    def place(self, at_s: float) -> int:
        """The place whose time is nearest."""
        return int(np.clip(round((at_s - self.time_s[0]) / self.step_s), 0, self.time_s.size - 1))

    def at(self, at_s: float) -> float:
        """Smoothed height in m at a time, straight between places."""
        return float(np.interp(at_s, self.time_s, self.height_m))


def track_of(record: FlightRecord) -> Track | None:
    """The track of a record; None when it has fewer than five heights, or all within a moment."""
    height = record.channel("height_m")
    known = np.flatnonzero(np.isfinite(height)) if height is not None else np.empty(0, dtype=np.intp)
    if height is None or known.size < _MEDIAN:
        return None
    time_s, raw = record.time_s[known], height[known]
    resolution = _resolution(raw)
    noise = _noise(time_s, raw, resolution)
    own_step = float(np.median(np.diff(time_s)))
    is_spike = _spikes(raw, noise, own_step)
    time_s, raw = time_s[~is_spike], raw[~is_spike]
    length = float(time_s[-1] - time_s[0])
    step = max(own_step, FINEST_STEP_s, length / _MOST_POINTS)
    even = time_s[0] + step * np.arange(int(length / step + 1e-9) + 1)
    if even.size < _MEDIAN:
        return None
    on_even = np.interp(even, time_s, raw)
    after = np.clip(np.searchsorted(time_s, even), 1, time_s.size - 1)
    gap = (time_s[after] - time_s[after - 1]) > 2.5 * step
    half_s = _SMOOTH_s * min(max(noise / _SMOOTH_NOISE_m, 1.0), _WIDEST)
    smooth, share = smoothed(on_even, max(round(half_s / step), 1))
    return Track(
        time_s=even,
        raw_m=on_even,
        height_m=smooth,
        climb_m_s=slopes(on_even, max(round(_SLOPE_s / step), 1)) / step,
        gap=gap,
        step_s=step,
        noise_m=noise,
        smooth_noise_m=noise * share,
        resolution_m=resolution,
        spikes=int(np.count_nonzero(is_spike)),
        longest_gap_s=float(np.max(np.diff(time_s))),
    )


def smoothed(values: Samples, half: int) -> tuple[Samples, float]:
    """Local parabola through ``2 half + 1`` values around each, and its share of white noise.

    A Savitzky-Golay filter of second degree (Anal. Chem. 36 (1964) 1627); the ends are mirrored about the
    last value, so that a straight line stays one.

    >>> smoothed(np.array([0.0, 1.0, 4.0, 9.0, 16.0, 25.0, 36.0]), 2)[0][2:-2].round(9).tolist()
    [4.0, 9.0, 16.0]
    """
    place = np.arange(-half, half + 1, dtype=np.float64)
    count, squares, fourths = float(place.size), np.sum(place**2), np.sum(place**4)
    weights = (fourths - squares * place**2) / (count * fourths - squares**2)
    return _filtered(values, weights), float(np.sqrt(np.sum(weights**2)))


def slopes(values: Samples, half: int) -> Samples:
    """Slope of the least-squares line through ``2 half + 1`` values around each, for a step of 1.

    >>> slopes(np.array([0.0, 2.0, 4.0, 6.0, 8.0]), 1).tolist()
    [2.0, 2.0, 2.0, 2.0, 2.0]
    """
    place = np.arange(-half, half + 1, dtype=np.float64)
    return _filtered(values, -place / np.sum(place**2))


def means(values: Samples, half: int) -> Samples:
    """Mean of ``2 half + 1`` values around each, in their unit; the ends are mirrored as in ``smoothed``.

    >>> means(np.array([1.0, 2.0, 6.0, 4.0]), 1).round(9).tolist()
    [1.0, 3.0, 4.0, 4.0]
    """
    width = 2 * half + 1
    return _filtered(values, np.full(width, 1.0 / width))


def stretches(chosen: Mask) -> list[tuple[int, int]]:
    """First and last place of every stretch of True.

    >>> stretches(np.array([False, True, True, False, True]))
    [(1, 2), (4, 4)]
    """
    edges = np.diff(np.concatenate([[False], chosen, [False]]).astype(np.int8))
    firsts, lasts = np.flatnonzero(edges == 1), np.flatnonzero(edges == -1) - 1
    return list(zip(firsts.tolist(), lasts.tolist(), strict=True))


def _filtered(values: Samples, weights: Samples) -> Samples:
    """The values under a filter, mirrored about both ends; ``weights`` as convolution takes them."""
    half = min(weights.size // 2, values.size - 1)
    before = 2.0 * values[0] - values[half:0:-1]
    behind = 2.0 * values[-1] - values[-2 : -half - 2 : -1]
    lacking = weights.size // 2 - half  # of a record shorter than the filter
    whole = np.pad(np.concatenate([before, values, behind]), lacking, mode="edge")
    if weights.size * values.size < 2_000_000:
        return np.convolve(whole, weights, mode="valid")
    size = quick_length(whole.size + weights.size)
    spectrum = np.fft.rfft(whole, size) * np.fft.rfft(weights, size)
    return np.fft.irfft(spectrum, size)[weights.size - 1 : weights.size - 1 + values.size]


def quick_length(least: int) -> int:
    """The smallest length of at least `least` (1 or more) that has no prime factor above 5.

    The fast Fourier transform of such a length is quick; one with a large prime factor takes tens of times
    as long.

    >>> [quick_length(least) for least in (7, 17, 97, 36_030)]
    [8, 18, 100, 36450]
    """
    best = 1 << (least - 1).bit_length()
    fives = 1
    while fives < best:
        odd = fives
        while odd < best:
            doubled = odd << max((-(-least // odd) - 1).bit_length(), 0)
            best = min(best, doubled)
            odd *= 3
        fives *= 5
    return best


def _resolution(raw: Samples) -> float:
    """Least step between different readings, 0 when all are alike."""
    steps = np.diff(np.unique(np.round(raw, 4)))
    return float(steps.min()) if steps.size else 0.0


def _noise(time_s: Samples, raw: Samples, resolution: float) -> float:
    """Standard deviation from sample to sample: from second differences, at least that of the rounding.

    The variance of ``x[i-1] - 2 x[i] + x[i+1]`` of white noise is six times that of x.
    """
    step = np.diff(time_s)
    is_even = np.abs(step - np.median(step)) < 0.5 * np.median(step)
    second = np.diff(raw, 2)[is_even[1:] & is_even[:-1]]
    spread = _MAD * float(np.median(np.abs(second - np.median(second)))) if second.size else 0.0
    return float(max(spread / np.sqrt(6.0), resolution / np.sqrt(12.0)))


def _spikes(raw: Samples, noise: float, step: float) -> Mask:
    """Samples that stand out of the running median of five by more than noise and flying explain."""
    half = _MEDIAN // 2
    around = np.pad(raw, half, mode="edge")
    middle = np.median(sliding_window_view(around, _MEDIAN), axis=1)
    allowed = _SPIKE_NOISE * noise + _SPIKE_m + _SPIKE_m_s2 * min(step, 2.0) ** 2
    found: Mask = np.abs(raw - middle) > allowed
    if np.count_nonzero(found) > 0.1 * raw.size:  # not spikes, but a rough record
        return np.zeros(raw.size, dtype=np.bool_)
    return found
