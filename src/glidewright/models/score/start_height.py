"""Launch height from a trace, as classes count it.

The international definition (FAI Sporting Code 4 F5, 5.5.11, quoted at eddumas.com, start height page)
takes the MAXIMUM of the height from motor start to 10 s after motor stop, not the height at 10 s.
"""

import numpy as np
from numpy.typing import NDArray

from glidewright.base.errors import OutsideModelError
from glidewright.domain.class_limits import HeightRule

Trace = NDArray[np.float64]


def highest_m(
    time_s: Trace, height_m: Trace, motor_start_s: float, motor_stop_s: float, window_s: float
) -> float:
    """Highest height in m from motor start to ``window_s`` after motor stop; both shape (n,), times rising.

    The trace is taken as straight between samples, so that both ends of the span count exactly. Raises
    OutsideModelError when the trace does not reach the end of the window.

    >>> time_s = np.array([0.0, 20.0, 30.0, 33.0, 40.0, 60.0])
    >>> height_m = np.array([0.0, 80.0, 118.0, 121.0, 119.0, 150.0])
    >>> highest_m(time_s, height_m, 0.0, 30.0, 10.0)
    121.0
    """
    end_s = motor_stop_s + window_s
    ends_m = [height_at_m(time_s, height_m, at_s) for at_s in (motor_start_s, end_s)]
    inside = height_m[(time_s >= motor_start_s) & (time_s <= end_s)]
    return float(max([*ends_m, *inside]))


def height_at_m(time_s: Trace, height_m: Trace, at_s: float) -> float:
    """Height in m at one time, straight between samples; OutsideModelError outside the trace.

    >>> height_at_m(np.array([0.0, 10.0]), np.array([0.0, 40.0]), 2.5)
    10.0
    """
    if time_s.size == 0 or not time_s[0] <= at_s <= time_s[-1]:
        span = f"{time_s[0]:g} to {time_s[-1]:g} s" if time_s.size else "no sample"
        raise OutsideModelError.at(
            "height trace",
            f"must cover {at_s:g} s; it has {span}; record or simulate past the end of the launch window",
        )
    return float(np.interp(at_s, time_s, height_m))


def counted_m(
    rule: HeightRule, time_s: Trace, height_m: Trace, motor_start_s: float, motor_stop_s: float
) -> float:
    """Launch height in m by the rule of a class: highest, at motor stop, or at the end of the window.

    >>> time_s, height_m = np.array([0.0, 30.0, 33.0, 40.0]), np.array([0.0, 118.0, 121.0, 119.0])
    >>> [counted_m(HeightRule(count=how), time_s, height_m, 0.0, 30.0) for how in ("highest", "at_cut")]
    [121.0, 118.0]
    """
    if rule.count == "highest":
        return highest_m(time_s, height_m, motor_start_s, motor_stop_s, rule.window_s)
    if rule.count == "at_cut":
        return height_at_m(time_s, height_m, motor_stop_s)
    return height_at_m(time_s, height_m, motor_stop_s + rule.window_s)
