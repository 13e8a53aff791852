"""Which airspeed to climb at: the one of the best launch."""

import numpy as np
import numpy.typing as npt

from glidewright.models.aero import polar
from glidewright.models.air.atmosphere import GRAVITY_m_s2
from glidewright.models.launch.flights import launch_outputs
from glidewright.models.launch.layout import (
    CUT_BY_HEIGHT,
    CUT_REASON,
    CUT_TIME,
    GROUND_CONTACT,
    GROUND_DENSITY_KG_M3,
    HIGHEST_IN_WINDOW,
    MASS_KG,
    WING_AREA_M2,
    LaunchInputs,
    LONGEST_FLIGHT_s,
)

Array = npt.NDArray[np.float64]

SLOWEST_OVER_STALL, FASTEST_OVER_STALL = 1.02, 3.5
"""Where the best speed is looked for, in straight stalling speeds."""
CANDIDATES, ROUNDS = 32, 3
NEAR, NEAR_CANDIDATES, NEAR_ROUNDS = 1.5, 16, 2
SEARCH_TOLERANCE_m = 1e-3
"""Finer than a launch needs, for neighbouring speeds differ by little."""


def stalling_speed_m_s(inputs: LaunchInputs) -> Array:
    """Airspeed at which the lift ceiling just carries the weight in straight flight, shape (draws,).

    As :func:`glidewright.models.aero.polar.stalling_speed_m_s` finds it, in the air at the ground.

    >>> from glidewright.models.launch.example import example_inputs
    >>> stalling_speed_m_s(example_inputs()).round(2)  # sqrt(2 x 0.59 x 9.80665 / (1.2 x 0.36 x 1.1))
    array([4.93])
    """
    weight = inputs.launch[:, MASS_KG] * GRAVITY_m_s2
    loading = weight / inputs.launch[:, WING_AREA_M2]
    return polar.stalling_speed_m_s(inputs.polar, loading, inputs.launch[:, GROUND_DENSITY_KG_M3])


def best_climb_speed_m_s(inputs: LaunchInputs, near_m_s: float | None = None) -> float:
    """Airspeed to hold under power for the best launch of the first draw.

    near_m_s: look only around this airspeed, where that of a model with like parts is known.

    Where some speed brings the model to the height that stops the motor, the soonest stop is best, else the
    highest point that counts. Speeds are tried on a grid that is drawn closer around the best one, since
    the answer has kinks where the pilot's steepest path or the lift ceiling begins to bind; between 1.02 and
    3.5 stalling speeds, to a thousandth of that range.

    >>> from glidewright.models.launch.example import example_inputs
    >>> round(best_climb_speed_m_s(example_inputs(wind_speed_m_s=0.0)), 1)
    10.5
    """
    one = inputs.rows(0, 1)
    stall = float(stalling_speed_m_s(one)[0])
    low, high = SLOWEST_OVER_STALL * stall, FASTEST_OVER_STALL * stall
    candidates, rounds = CANDIDATES, ROUNDS
    if near_m_s is not None:
        low, high = max(low, near_m_s / NEAR), min(high, near_m_s * NEAR)
        candidates, rounds = NEAR_CANDIDATES, NEAR_ROUNDS
    blocks = {name: np.repeat(getattr(one, name), candidates, axis=0) for name in _ROWS}
    many = one._replace(**blocks)
    for _ in range(rounds):
        speeds = np.linspace(low, high, candidates)
        flown = launch_outputs(many.with_launch(climb_speed_m_s=speeds), tolerance_m=SEARCH_TOLERANCE_m)
        best = int(np.argmax(_merit(flown)))
        low, high = speeds[max(best - 1, 0)], speeds[min(best + 1, candidates - 1)]
    return float(speeds[best])


_ROWS = ("power", "polar", "launch", "start")


def _merit(flown: Array) -> Array:
    """Greater is better; a stop by height is better than none, a landing under power worse than all."""
    stopped = flown[:, CUT_REASON] == CUT_BY_HEIGHT
    merit = np.where(
        stopped, 1e6 + LONGEST_FLIGHT_s - flown[:, CUT_TIME], np.nan_to_num(flown[:, HIGHEST_IN_WINDOW])
    )
    return np.where(flown[:, GROUND_CONTACT] == 1.0, -1e6, merit)
