"""What a logger makes of a launch: readings with their errors, and how often a check by them is wrong.

A reading is ``round((1 + s) h + o + n)``: h the height that a perfect device shows, s the error of its
scale, o its offset, n the noise of a single reading, rounded to whole steps. For Gaussian s, o and n every
chance has a closed form; guarded limits and the two wrong verdicts are those of JCGM 106:2012 (The role of
measurement uncertainty in conformity assessment), clauses 8 and 9, and rounding moves the threshold by half
a step. Temperature is not in it: all devices read a warm day low alike
(:mod:`glidewright.models.air.indicated`).
"""

import math
from functools import cache
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
_LAW = NormalDist()
_FAR, _STEPS = 10.0, 800  # ends of an integral over the standard-normal law, and its steps
_SAME = 1e-9  # of a step: a number that is whole but for rounding counts as whole


def standard_normal(z: float) -> float:
    """The standard-normal distribution function, by the error function of the standard library.

    >>> round(standard_normal(1.6448536), 6)
    0.95
    """
    return 0.5 * math.erfc(-z / math.sqrt(2.0))


def reading_sigma_m(height_m: float, height_error_m: float, scale_error: float, noise_m: float) -> float:
    """Standard deviation in m of a single reading at a height, all errors as standard deviations.

    >>> round(reading_sigma_m(120.0, 1.2, 0.004, 0.25), 3)
    1.316
    """
    return math.hypot(height_error_m, height_m * scale_error, noise_m)


@cache
def expected_highest(count: int) -> float:
    """Expected highest of so many independent standard-normal numbers; count: 1 or more.

    The integral of z n phi(z) Phi(z)^(n-1): H. A. David and H. N. Nagaraja, Order Statistics, 3rd ed. 2003,
    chapter 3 (from memory), by even steps, which are exact to rounding for such a law. Tables of order
    statistics have 1.53875 for ten.

    >>> expected_highest(1), round(expected_highest(10), 5)
    (0.0, 1.53875)
    """
    z = np.linspace(-_FAR, _FAR, _STEPS + 1)
    density = np.exp(-0.5 * z**2) / math.sqrt(2.0 * math.pi)
    below = np.array([standard_normal(float(one)) for one in z])
    return round(float(np.sum(z * count * density * below ** (count - 1)) * 2.0 * _FAR / _STEPS), 12)


def threshold_m(bound_m: float, step_m: float) -> float:
    """Height in m that a perfect device must show for its reading, in whole steps, to pass a bound.

    >>> threshold_m(122.0, 1.0), threshold_m(122.3, 1.0), threshold_m(122.3, 0.0)
    (122.5, 122.5, 122.3)
    """
    if step_m <= 0.0:
        return bound_m
    return step_m * (math.floor(bound_m / step_m + _SAME) + 0.5)


def least_allowance_m(rate: float, sigma_m: float, bias_m: float = 0.0, step_m: float = 0.0) -> float:
    """Allowance in m over a limit that leaves a model exactly at it wrongly found over at this rate at most.

    a = b + z sigma with the standard-normal quantile z of 1 - rate; with steps the least number of them, for
    a limit that is a whole number of steps itself. rate: above 0 and below 0.5; bias_m: mean of what the
    reading adds. Raises ValueError for another rate.

    >>> round(least_allowance_m(0.05, 1.5), 2), least_allowance_m(0.05, 1.5, step_m=1.0)
    (2.47, 2.0)
    """
    if not 0.0 < rate < 0.5:
        raise ValueError(f"the rate must be above 0 and below 0.5; {rate:g} came; choose a small one")
    needed = bias_m + _LAW.inv_cdf(1.0 - rate) * sigma_m
    if step_m <= 0.0:
        return max(needed, 0.0)
    return max(step_m * math.ceil(needed / step_m - 0.5 - _SAME), 0.0)


def climb_sigma_m_s(noise_m: float, window_s: float) -> float:
    """Standard deviation in m/s of a climb from two readings of independent noise a window apart.

    sqrt(2) sigma / window (GUM, JCGM 100:2008, equation 10); offsets fall out of a difference.

    >>> round(climb_sigma_m_s(0.25, 5.0), 4)
    0.0707
    """
    return math.sqrt(2.0) * noise_m / window_s


def readings_m(
    height_m: Array, scale: Array | float, offset_m: Array | float, noise_m: Array | float, step_m: float
) -> Array:
    """Readings in m of heights in m as a perfect device shows them; all arrays must fit each other.

    scale: one plus the error of the scale; offset_m, noise_m: drawn errors.

    >>> readings_m(np.array([119.4, 119.6]), 1.0, 0.2, 0.0, 1.0)
    array([120., 120.])
    """
    shown: Array = height_m * scale + offset_m + noise_m
    if step_m <= 0.0:
        return shown
    rounded: Array = step_m * np.floor(shown / step_m + 0.5)
    return rounded


def steepest_m_s(reading_m: Array, samples: int, sample_time_s: float) -> Array:
    """Steepest mean climb in m/s over any window of whole samples, shape (draws,), from (draws, times).

    >>> steepest_m_s(np.array([[0.0, 1.0, 3.0, 4.0]]), 2, 0.5)
    array([3.])
    """
    gain = reading_m[:, samples:] - reading_m[:, :-samples]
    steepest: Array = gain.max(axis=1) / (samples * sample_time_s)
    return steepest
