"""One thermal node for motor and pack: heat in, heat capacity, and one path to the air.

F. P. Incropera and D. P. DeWitt, "Fundamentals of Heat and Mass Transfer", 5th edition 2002, section 5.3:
lumped capacitance, equation (5.25) with heat generation. Valid while the inside is much better coupled than
the surface (Biot number below 0.1).
"""

import math

from glidewright.models.air.atmosphere import N


def node_temperature_K(
    before_K: N, air_K: float, heat_W: N, capacity_J_K: float, conductance_W_K: float, time_s: float
) -> N:
    """Temperature in K after ``time_s`` at constant heat: exact step of ``C dT/dt = P - G (T - T_air)``.

    ``conductance_W_K`` must be above zero.

    >>> round(node_temperature_K(293.15, 293.15, 25.0, 22.5, 0.1, 30.0) - 293.15, 1)
    31.2
    """
    fade = math.exp(-conductance_W_K * time_s / capacity_J_K)
    return before_K * fade + (air_K + heat_W / conductance_W_K) * (1.0 - fade)
