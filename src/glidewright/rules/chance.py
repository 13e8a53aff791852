"""The chance of keeping a limit: counted over draws, nothing assumed; or read from the band of one figure."""

import math
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from glidewright.base.figure import Figure
from glidewright.forecast.prediction import Draws

# two numbers that are the same but for rounding of a unit conversion count as equal
_SAME = 1e-9
_Z90 = NormalDist().inv_cdf(0.9)


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


def chance_of_figure(
    figure: Figure, at_least: float | None, at_most: float | None, tolerance: float = 0.0
) -> float | None:
    """Chance that a figure lies inside the bounds widened by the tolerance; None when it is not known.

    Each side of the value holds half of the chance, as half of a normal law whose 10th or 90th percentile is
    low or high. A figure without a band that stands on a bound keeps it.

    >>> height = {"value": 118.0, "low": 116.0, "high": 120.0, "unit": "m", "shown": "m"}
    >>> figure = Figure(**height, grade="measured", because="")
    >>> round(chance_of_figure(figure, None, 120.0), 3)
    0.9
    """
    if figure.value is None or figure.low is None or figure.high is None:
        return None
    below = 0.0 if at_least is None else _below(figure, at_least - tolerance, at_bound=0.0)
    upto = 1.0 if at_most is None else _below(figure, at_most + tolerance, at_bound=1.0)
    return max(upto - below, 0.0)


def _below(figure: Figure, bound: float, *, at_bound: float) -> float:
    """Chance that a figure is below the bound; at_bound: that of one without a band which stands on it."""
    assert figure.value is not None and figure.low is not None and figure.high is not None
    side = figure.high - figure.value if bound >= figure.value else figure.value - figure.low
    apart = bound - figure.value
    if side <= 0.0:
        return at_bound if abs(apart) <= _SAME * abs(bound) else float(apart > 0.0)
    return NormalDist().cdf(apart / side * _Z90)
