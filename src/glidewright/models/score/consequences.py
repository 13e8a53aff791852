"""What a rule leads to, in the simplest physics: for committees, and to see a rule's sense at a glance."""

from glidewright.base.errors import InputError
from glidewright.models.air.atmosphere import GRAVITY_m_s2


def ideal_zoom_m(speed_before_m_s: float, speed_after_m_s: float) -> float:
    """Height in m gained by slowing down without loss: (v1**2 - v2**2) / (2 g), conservation of energy.

    >>> round(ideal_zoom_m(12.0, 7.0), 1)
    4.8
    """
    return (speed_before_m_s**2 - speed_after_m_s**2) / (2.0 * GRAVITY_m_s2)


def climb_that_reaches_m_s(cut_height_m: float, motor_run_s: float) -> float:
    """Mean climb in m/s from which on a drive reaches the cut within the motor run.

    >>> climb_that_reaches_m_s(90.0, 30.0)
    3.0
    """
    if not motor_run_s > 0.0:
        raise InputError.at("motor_run_s", f"must be greater than 0 s; {motor_run_s:g} came; correct it")
    return cut_height_m / motor_run_s


def still_air_time_s(from_height_m: float, to_height_m: float, sink_m_s: float) -> float:
    """Gliding time in s between two heights at a constant sink in m/s, greater than zero.

    >>> round(still_air_time_s(90.0, 3.0, 0.5))
    174
    """
    if not sink_m_s > 0.0:
        raise InputError.at("sink_m_s", f"must be greater than 0 m/s; {sink_m_s:g} came; correct it")
    return (from_height_m - to_height_m) / sink_m_s


def air_motion_needed_m_s(
    from_height_m: float, to_height_m: float, sink_m_s: float, target_time_s: float
) -> float:
    """Mean rise of the air in m/s that stretches a glide to the target time; negative when none is needed.

    >>> round(air_motion_needed_m_s(90.0, 3.0, 0.45, 360.0), 2)
    0.21
    """
    if not target_time_s > 0.0:
        raise InputError.at("target_time_s", f"must be greater than 0 s; {target_time_s:g} came; correct it")
    return sink_m_s - (from_height_m - to_height_m) / target_time_s
