"""What a rule leads to, by arithmetic."""

from glidewright.base.errors import InputError


def climb_that_reaches_m_s(cut_height_m: float, motor_run_s: float) -> float:
    """Mean climb in m/s from which on a drive reaches the cut within the motor run.

    >>> climb_that_reaches_m_s(90.0, 30.0)
    3.0
    """
    if not motor_run_s > 0.0:
        raise InputError.at("motor_run_s", f"must be greater than 0 s; {motor_run_s:g} came; correct it")
    return cut_height_m / motor_run_s
