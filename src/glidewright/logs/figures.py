"""Figures of a reading: a value with its standard deviation as the band that holds 8 of 10."""

import math

from glidewright.base.figure import Figure

P80 = 1.2816
"""Half width that holds 8 of 10, over the standard deviation, of the normal distribution."""


def found(value: float, error: float, unit: str, shown: str, because: str) -> Figure:
    """A measured figure; error: standard deviation in the unit. Unknown when the value is no number.

    >>> figure = found(100.0, 1.0, "m", "m", "noise")
    >>> round(figure.low, 2), figure.value, round(figure.high, 2)
    (98.72, 100.0, 101.28)
    """
    if not math.isfinite(value):
        return Figure.unknown(unit, shown, because)
    width = P80 * error
    return Figure(
        value=value,
        low=value - width,
        high=value + width,
        unit=unit,
        shown=shown,
        grade="measured",
        because=because,
    )


def seconds(value: float, error: float, because: str) -> Figure:
    """A time on the clock of the record, s; error: standard deviation, s."""
    return found(value, error, "s", "s", because)


def metres(value: float, error: float, because: str) -> Figure:
    """A height, m; error: standard deviation, m."""
    return found(value, error, "m", "m", because)


def speed(value: float, error: float, because: str) -> Figure:
    """A speed, a climb or a sink, m/s; error: standard deviation, m/s."""
    return found(value, error, "m/s", "m/s", because)


def known(figure: Figure) -> float:
    """The value of a figure, NaN when it is not known."""
    return math.nan if figure.value is None else figure.value


def error_of(figure: Figure) -> float:
    """The standard deviation that a band of 8 of 10 stands for, in its unit; 0 when the figure has none."""
    if figure.low is None or figure.high is None:
        return 0.0
    return (figure.high - figure.low) / (2.0 * P80)
