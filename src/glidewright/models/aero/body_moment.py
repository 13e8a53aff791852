"""Pitching moment of a body in the flow of its wing: it moves the neutral point forward.

H. Multhopp, Aerodynamics of the Fuselage, NACA TM 1036 (1942): a slender body turns by its angle against
the flow that the wing has bent, d M / d alpha = q pi / 2 int w(x)^2 (d beta / d alpha) dx. Ahead of the wing
that flow is bent upwards, behind it downwards, and between the edges of the wing it follows the chord, so
that this part counts nothing. Here the flow is that of the vortex lattice instead of Multhopp's curves.
"""

import math

import numpy as np
from numpy.typing import NDArray

from glidewright.models.aero.lattice import Lattice
from glidewright.models.aero.lattice_flow import horseshoes
from glidewright.models.aero.lattice_solve import MOTIONS

Array = NDArray[np.float64]
_STEPS = 60
_MOST_TURNED = 3.0  # angles of attack: beside the leading edge a thin vortex would give no end of upwash
_CORE_SHARE = 0.25  # of a strip's width: the body's axis feels a sheet of wake, not a bundle of threads


def body_moment_volume_m3(rings: Array, lattice: Lattice, wing_m: tuple[float, float]) -> float:
    """Growth of the pitching moment with alpha over dynamic pressure, m3 a radian, nose up positive.

    rings: (n, 3), station x, full width, height z of the middle, in order along x; wing_m: x of the leading
    and trailing edge at the body; the wing is the first surface of the lattice.

    Far ahead of any wing the flow is straight, and a tube of 0.1 m has pi / 2 of its squared width a metre:

    >>> from glidewright.models.aero.lattice import build_lattice
    >>> from glidewright.models.aero.shape import Section, Surface
    >>> wing = Surface("wing", (Section(0.0, 0.0, 0.0, 0.2), Section(0.0, 1.0, 0.0, 0.2)), (10,))
    >>> tube = np.array([[-10.0, 0.1, 0.0], [-9.0, 0.1, 0.0]])
    >>> round(body_moment_volume_m3(tube, build_lattice([wing]), (0.0, 0.2)), 4)
    0.0157
    """
    x = np.linspace(rings[0, 0], rings[-1, 0], _STEPS + 1)
    middle = 0.5 * (x[1:] + x[:-1])
    width = np.interp(middle, rings[:, 0], rings[:, 1])
    points = np.column_stack([middle, np.zeros_like(middle), np.interp(middle, rings[:, 0], rings[:, 2])])
    turned = 1.0 + _upwash(points, lattice)
    turned[(middle > wing_m[0]) & (middle < wing_m[1])] = 0.0
    turned = np.clip(turned, 0.0, _MOST_TURNED)
    return float(0.5 * math.pi * np.sum(width**2 * turned * np.diff(x)))


def _upwash(points_m: Array, lattice: Lattice) -> Array:
    """Upward flow angle from the wing alone at points, for a radian of angle of attack."""
    boxes, strips = lattice.boxes, lattice.strips
    own = strips.surface[boxes.strip] == 0
    core = (_CORE_SHARE * strips.width_m[boxes.strip[own]])[None, :] ** 2
    left, right = boxes.left_m[own], boxes.right_m[own]
    _, _, up = horseshoes(points_m, left, right, np.broadcast_to(core, (points_m.shape[0], left.shape[0])))
    found: Array = up @ lattice.circulation_m[own, MOTIONS.index("wind_z")]
    return found
