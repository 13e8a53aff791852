"""What the polar of a launch is put together from: drag by cause and lift ceiling over lift and airspeed."""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import ArrayLike, NDArray

from glidewright.models.aero.buildup import rest_drag_area_m2
from glidewright.models.aero.glider import Glider
from glidewright.models.aero.trim import (
    PARASITE_LIFT,
    USUAL_LIFT,
    Attitudes,
    attitudes,
    control_drag,
    lift_ceiling,
    profile_drag,
    surfaces_drag_area_m2,
)

Array = NDArray[np.float64]


@dataclass(frozen=True)
class PolarParts:
    """What a launch's polar is put together from, at nominal geometry, air and balance.

    lift: (lifts,), uniform; airspeed_m_s: (speeds,), uniform; induced: (3,), coefficients of 1, CL, CL^2 of
    the induced drag; induced_left: (lifts,), what is left of it where angles grow large; profile: (states,
    speeds, lifts); rest: (speeds,); ceiling: (states, speeds); known: the trimmed states behind them.
    """

    lift: Array
    airspeed_m_s: Array
    induced: Array
    induced_left: Array
    profile: Array
    rest: Array
    ceiling: Array
    known: Attitudes = field(repr=False)


def polar_parts(
    glider: Glider, lift: Array, airspeed_m_s: Array, centre_m: ArrayLike, viscosity_m2_s: float
) -> PolarParts:
    """Everything over lift (uniform, zero and above inside) and airspeed; viscosity_m2_s: kinematic."""
    every = attitudes(glider, [*lift, PARASITE_LIFT], centre_m)
    known, near_zero = every.some(slice(-1)), every.some(slice(-1, None))
    per_metre = airspeed_m_s / viscosity_m2_s
    middle = np.abs(lift) < 2.0 * USUAL_LIFT
    fitted = np.polynomial.polynomial.polyfit(lift[middle], known.induced_drag[middle], 2)
    rising: Array = fitted.astype(np.float64)
    grid = np.broadcast_to(per_metre[:, None], (per_metre.size, lift.size))
    surfaces = surfaces_drag_area_m2(glider, near_zero, per_metre)
    return PolarParts(
        lift=lift,
        airspeed_m_s=airspeed_m_s,
        induced=rising,
        induced_left=known.induced_drag - np.polynomial.polynomial.polyval(lift, rising),
        profile=profile_drag(glider, known.strip_lift[None], grid) + control_drag(glider, known.elevator_rad),
        rest=rest_drag_area_m2(glider.rest, per_metre, surfaces) / glider.reference.area_m2,
        ceiling=lift_ceiling(glider, known, per_metre),
        known=known,
    )
