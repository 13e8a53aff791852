"""The thresholds that logs are read with, by name from their table."""

from glidewright.data import coefficient


def practice(name: str) -> float:
    """A value of the table ``logs``; each stands there with its unit, its range and its reason.

    >>> practice("quiet_time")
    8.0
    """
    return coefficient("logs", name)
