"""How far a median of draws may lie from that of endlessly many."""

import math

from glidewright.base.figure import Figure
from glidewright.forecast.spread import Z90

ONE_ERROR = "one standard error of a median of {draws} draws, 1.2533 sigma / root of {draws}"


def sigma_of(figure: Figure) -> float:
    """Standard deviation of a normal law with the 10th and 90th percentile of a figure."""
    assert figure.low is not None and figure.high is not None
    return (figure.high - figure.low) / (2.0 * Z90)


def median_error(figure: Figure, draws: int) -> float:
    """Standard error of the median of a figure: root of (pi / 2) sigma / root of the draws."""
    return math.sqrt(0.5 * math.pi / draws) * sigma_of(figure)
