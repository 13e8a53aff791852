"""The fastest steady climb in plain numpy, by ever closer grids: what the compiled search is held against."""

import numpy as np
import numpy.typing as npt

from glidewright.models.aero.polar import drag_coefficients, lift_ceilings
from glidewright.models.air.atmosphere import GRAVITY_m_s2
from glidewright.models.launch.climb_speed import (
    FASTEST_OVER_STALL,
    SLOWEST_OVER_STALL,
    stalling_speed_m_s,
)
from glidewright.models.launch.layout import (
    FULL_DUTY,
    GROUND_DENSITY_KG_M3,
    MASS_KG,
    STEEPEST_CLIMB_RAD,
    WING_AREA_M2,
    Array,
    LaunchInputs,
)
from glidewright.models.power.kernel import operating_points
from glidewright.models.power.layout import PACK_CAPACITY_AS, THRUST_N

CANDIDATES, ROUNDS = 32, 3


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
