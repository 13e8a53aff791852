"""The chance of keeping a limit: counted over the draws, nothing assumed."""

import math

import numpy as np
from numpy.typing import NDArray

from glidewright.forecast.prediction import Draws

# two numbers that are the same but for rounding of a unit conversion count as equal
_SAME = 1e-9


def chance_within(
    draws: Draws,
    at_least: float | None,
    at_most: float | None,
    tolerance: float = 0.0,
    kept_anyway: NDArray[np.bool_] | None = None,
) -> float | None:
    """Share of the draws, shape (count,), inside the bounds widened by the tolerance, all in one SI unit.

    kept_anyway: draws that keep the limit whatever the number. A draw that is not finite does not keep
    it; None when none is finite.

    >>> chance_within(np.array([1.0, 2.0, 3.0, 4.0]), None, 3.0)
    0.75
    """
    finite = np.isfinite(draws)
    if not finite.any():
        return None
    low = -math.inf if at_least is None else at_least - tolerance - _SAME * abs(at_least)
    high = math.inf if at_most is None else at_most + tolerance + _SAME * abs(at_most)
    kept = finite & (draws >= low) & (draws <= high)
    if kept_anyway is not None:
        kept |= kept_anyway
    return float(np.mean(kept))
