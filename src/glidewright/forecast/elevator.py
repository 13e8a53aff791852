"""The elevator that holds airspeeds, over the same draws as everything else."""

import numpy as np
from numpy.typing import NDArray

from glidewright.forecast.aero_inputs import FLAP_EFFECT, Aero, turn_of_wing_rad
from glidewright.forecast.kernel_rows import air
from glidewright.forecast.setup import Setup
from glidewright.models.air.atmosphere import GRAVITY_m_s2

Array = NDArray[np.float64]


def elevator_rad(setup: Setup, aero: Aero, mass_kg: Array, cg_x_m: Array, airspeed_m_s: Array) -> Array:
    """Deflections of a thin flap, trailing edge down positive, of the shape of airspeed_m_s: (count, any).

    mass_kg, cg_x_m: (count,). NaN where the lift asked for is outside the states that were trimmed.
    """
    density, _ = air(setup)
    loading = 2.0 * mass_kg * GRAVITY_m_s2 / (density * setup["airframe.wing_area"])
    lift = loading[:, None] / airspeed_m_s**2
    known, balance = aero.parts.known, aero.balance
    # a neutral point further aft acts as a balance further forward by as much
    aft = cg_x_m - aero.centre_m[0] - aero.glider.reference.chord_m * setup["airframe.neutral_point"]

    def at_lift(column: Array) -> Array:
        outside = float("nan")
        return np.interp(lift, known.lift_coefficient, column, left=outside, right=outside)

    found: Array = at_lift(known.elevator_rad) + at_lift(balance.per_metre) * aft[:, None]
    return found + at_lift(balance.per_radian) * turn_of_wing_rad(setup.values)[:, None]


def real_elevator_rad(setup: Setup, aero: Aero, mass_kg: Array, cg_x_m: Array, airspeed_m_s: Array) -> Array:
    """The same of the elevator as built: a real flap does less than a thin one, so it turns further."""
    thin = elevator_rad(setup, aero, mass_kg, cg_x_m, airspeed_m_s)
    if FLAP_EFFECT not in setup.values:
        return thin
    found: Array = thin / setup[FLAP_EFFECT][:, None]
    return found
