"""The chance of keeping a limit: counted over the draws, nothing assumed but the error of the reading."""

import math
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from glidewright.forecast.prediction import Draws

# 8 of 10 readings lie within this many standard deviations, when errors are normal
_EIGHT_OF_TEN = NormalDist().inv_cdf(0.9)
# two numbers that are the same but for rounding of a unit conversion count as equal
_SAME = 1e-9


def chance_within(
    draws: Draws,
    at_least: float | None,
    at_most: float | None,
    tolerance: float = 0.0,
    reading_error: float = 0.0,
    kept_anyway: NDArray[np.bool_] | None = None,
) -> float | None:
    """Share of the draws, shape (count,), inside the bounds widened by the tolerance, all in one SI unit.

    reading_error: half width within which 8 of 10 instrument readings lie; kept_anyway: draws that keep
    the limit whatever the number. A draw that is not finite does not keep it; None when none is finite.

    >>> chance_within(np.array([1.0, 2.0, 3.0, 4.0]), None, 3.0)
    0.75
    >>> round(chance_within(np.array([100.0]), None, 101.0, reading_error=1.0), 3)
    0.9
    """
    finite = np.isfinite(draws)
    if not finite.any():
        return None
    low = -math.inf if at_least is None else at_least - tolerance - _SAME * abs(at_least)
    high = math.inf if at_most is None else at_most + tolerance + _SAME * abs(at_most)
    if reading_error > 0.0:
        reading = NormalDist(0.0, reading_error / _EIGHT_OF_TEN)
        share = np.array(
            [_share(reading, low - x, high - x) if math.isfinite(x) else 0.0 for x in draws.tolist()]
        )
    else:
        share = np.where(finite & (draws >= low) & (draws <= high), 1.0, 0.0)
    if kept_anyway is not None:
        share = np.where(kept_anyway, 1.0, share)
    return float(np.mean(share))


def _share(reading: NormalDist, low: float, high: float) -> float:
    """Share of the reading errors between two numbers, either of which may be infinite."""
    above = 1.0 if high == math.inf else reading.cdf(high)
    return above - (0.0 if low == -math.inf else reading.cdf(low))
