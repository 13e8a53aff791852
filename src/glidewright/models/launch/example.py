"""An invented two-metre model, for the examples in the docs, for tests and benchmarks."""

from collections.abc import Iterable

import numpy.typing as npt

from glidewright.models.launch.layout import (
    LAUNCH_FIELDS,
    LaunchInputs,
    launch_inputs,
    launch_matrix,
    polar_matrix,
    start_matrix,
)
from glidewright.models.power.example import example_cells, example_curves, example_power
from glidewright.models.power.layout import POWER_FIELDS

_LAUNCH = {
    "mass_kg": 0.59,
    "wing_area_m2": 0.36,
    "folded_drag_area_m2": 0.0006,
    "throw_speed_m_s": 8.0,
    "throw_height_m": 1.8,
    "throw_angle_rad": 0.1,
    "motor_start_s": 0.2,
    "climb_speed_m_s": 9.0,
    "glide_speed_m_s": 6.5,
    "speed_time_constant_s": 1.5,
    "path_time_constant_s": 0.4,
    "steepest_climb_rad": 1.0,
    "lowest_powered_path_rad": 0.0,
    "steepest_dive_rad": -0.5,
    "wind_speed_m_s": 3.0,
    "wind_exponent": 0.15,
    "ground_density_kg_m3": 1.2,
    "ground_temperature_K": 293.15,
    "lapse_rate_K_m": 0.0065,
    "run_limit_s": 30.0,
    "window_s": 10.0,
    "rest_s": 180.0,
}
_POLAR = {
    "least_drag_coefficient": 0.022,
    "drag_rise": 0.04,
    "least_drag_lift_coefficient": 0.2,
    "highest_lift_coefficient": 1.1,
    "lowest_lift_coefficient": -0.5,
}
_START = {"motor_temperature_K": 293.15, "pack_temperature_K": 295.15}


def example_inputs(**changes: npt.ArrayLike) -> LaunchInputs:
    """Inputs of a 30 s launch, with some fields of any block changed.

    >>> example_inputs(mass_kg=[0.5, 0.6]).launch.shape
    (2, 27)
    """

    def block(known: dict[str, float], names: Iterable[str]) -> dict[str, npt.ArrayLike]:
        own = {name: value for name, value in changes.items() if name in set(names)}
        return {**known, **own}

    power = {name: value for name, value in changes.items() if name in POWER_FIELDS}
    return launch_inputs(
        example_power(**power),
        example_curves(),
        example_cells(),
        polar_matrix(**block(_POLAR, _POLAR)),
        launch_matrix(**block(_LAUNCH, LAUNCH_FIELDS)),
        start_matrix(**block(_START, ("charge_As", "slow_voltage_V", *_START))),
    )
