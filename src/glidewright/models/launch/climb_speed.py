"""Which airspeed to climb at: the one of the steepest gain of height, and the one of the best launch."""

import numpy as np
import numpy.typing as npt

from glidewright.models.aero import polar
from glidewright.models.aero.polar import drag_coefficients, lift_ceilings
from glidewright.models.air.atmosphere import GRAVITY_m_s2
from glidewright.models.launch.flights import launch_outputs
from glidewright.models.launch.layout import (
    CUT_BY_HEIGHT,
    CUT_REASON,
    CUT_TIME,
    FULL_DUTY,
    GROUND_CONTACT,
    GROUND_DENSITY_KG_M3,
    HIGHEST_IN_WINDOW,
    MASS_KG,
    STEEPEST_CLIMB_RAD,
    WING_AREA_M2,
    LaunchInputs,
    LONGEST_FLIGHT_s,
)
from glidewright.models.power.kernel import operating_points
from glidewright.models.power.layout import PACK_CAPACITY_AS, THRUST_N

Array = npt.NDArray[np.float64]

SLOWEST_OVER_STALL, FASTEST_OVER_STALL = 1.02, 3.5
"""Where the best speed is looked for, in straight stalling speeds."""
CANDIDATES, ROUNDS = 32, 3
NEAR, NEAR_CANDIDATES, NEAR_ROUNDS = 1.5, 16, 2
SEARCH_TOLERANCE_m = 1e-3
"""Finer than a launch needs, for neighbouring speeds differ by little."""


def stalling_speed_m_s(inputs: LaunchInputs) -> Array:
    """Airspeed at which the lift ceiling just carries the weight in straight flight, shape (draws,).

    As :func:`glidewright.models.aero.polar.stalling_speed_m_s` finds it.
    """
    weight = inputs.launch[:, MASS_KG] * GRAVITY_m_s2
    loading = weight / inputs.launch[:, WING_AREA_M2]
    return polar.stalling_speed_m_s(inputs.polar, loading, inputs.launch[:, GROUND_DENSITY_KG_M3])


def steady_climb_m_s(inputs: LaunchInputs, airspeed_m_s: npt.ArrayLike) -> Array:
    """Rate of the steady climb at ground level with the pack as at the start, shape (draws, speeds).

    sin g = (T - D) / W with the lift W cos g (Anderson, Introduction to Flight, equations 6.44 to 6.46),
    by repeated insertion; no steeper than the pilot flies. Below the stalling speed the answer is NaN.
    """
    launch, start = inputs.launch, inputs.start
    asked = np.atleast_1d(np.asarray(airspeed_m_s, np.float64))
    speeds = np.broadcast_to(asked, (launch.shape[0], asked.shape[-1]))
    density = launch[:, GROUND_DENSITY_KG_M3, None]
    points = operating_points(
        inputs.power,
        inputs.curves,
        inputs.tables,
        airspeed_m_s=speeds,
        density_kg_m3=density,
        duty=launch[:, FULL_DUTY, None],
        charge_state=1.0 - start[:, 0, None] / inputs.power[:, PACK_CAPACITY_AS, None],
        slow_voltage_V=start[:, 1, None],
        motor_temperature_K=start[:, 2, None],
        pack_temperature_K=start[:, 3, None],
    )
    weight = launch[:, MASS_KG, None] * GRAVITY_m_s2
    lifting = 0.5 * density * speeds**2 * launch[:, WING_AREA_M2, None]
    steepest = np.sin(launch[:, STEEPEST_CLIMB_RAD, None])
    sine = np.zeros_like(speeds)
    for _ in range(50):
        lift = weight * np.sqrt(1.0 - sine**2) / lifting
        drag = lifting * drag_coefficients(inputs.polar, lift, speeds)
        sine = np.clip((points[:, :, THRUST_N] - drag) / weight, -1.0, steepest)
    stalled = lift > lift_ceilings(inputs.polar, speeds)
    return np.where(stalled, np.nan, speeds * sine)


def best_steady_climb(inputs: LaunchInputs) -> tuple[Array, Array]:
    """Airspeed and rate of the fastest steady climb of every draw, each of shape (draws,)."""
    stall = stalling_speed_m_s(inputs)[:, None]
    low, high = SLOWEST_OVER_STALL * stall, FASTEST_OVER_STALL * stall
    rows = np.arange(stall.shape[0])
    for _ in range(ROUNDS):
        speeds = low + (high - low) * np.linspace(0.0, 1.0, CANDIDATES)
        climb = steady_climb_m_s(inputs, speeds)
        best = np.argmax(np.where(np.isnan(climb), -np.inf, climb), axis=1)
        low = speeds[rows, np.maximum(best - 1, 0), None]
        high = speeds[rows, np.minimum(best + 1, CANDIDATES - 1), None]
    return speeds[rows, best], climb[rows, best]


def best_climb_speed_m_s(inputs: LaunchInputs, near_m_s: float | None = None) -> float:
    """Airspeed to hold under power for the best launch of the first draw.

    near_m_s: look only around this airspeed, where that of a model with like parts is known.

    Where some speed brings the model to the height that stops the motor, the soonest stop is best, else the
    highest point that counts. Speeds are tried on a grid that is drawn closer around the best one, since
    the answer has kinks where the pilot's steepest path or the lift ceiling begins to bind.
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
