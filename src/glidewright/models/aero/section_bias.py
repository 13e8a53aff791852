"""How far computed section polars are off, as tunnels found it: factors with spread by Reynolds number.

Found by ``studies/section_bias.py`` from published low-speed tests of ten models of nine sections.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from glidewright.data import coefficients

Array = NDArray[np.float64]


class Factor(NamedTuple):
    """What tunnels say of the tables: the middle and the 10 % and 90 % points."""

    value: Array
    low: Array
    high: Array


def drag_factor(reynolds: ArrayLike) -> Factor:
    """What to multiply computed drag with to meet the tunnels, with its spread between sections.

    Straight in the logarithm of the Reynolds number between the rows of ``section_bias.toml``, held outside.

    >>> found = drag_factor(1.0e5)
    >>> bool(found.low < found.value < found.high)
    True
    """
    return _factor("drag_factor", reynolds)


def highest_lift_factor(reynolds: ArrayLike) -> Factor:
    """What to multiply the computed highest lift coefficient with to meet the tunnels; as ``drag_factor``.

    >>> bool(highest_lift_factor(1.0e5).value < 1.0)
    True
    """
    return _factor("highest_lift_factor", reynolds)


def slope_over_thin(reynolds: ArrayLike) -> Factor:
    """Measured lift slope of sections over the 2 pi of thin-aerofoil theory; as ``drag_factor``.

    For a wing or tail model that turns angles into lift, better than the slope of the tables: computed lift
    at a given angle lies above the tunnels, most of all that of symmetric sections with free transition.

    >>> bool(0.8 < slope_over_thin(2.0e5).value < 1.0)
    True
    """
    return _factor("slope_over_thin", reynolds)


def zero_lift_shift_rad(reynolds: ArrayLike) -> Factor:
    """Measured less computed angle of zero lift in rad, from Reynolds 100 000 on; as ``drag_factor``.

    >>> found = zero_lift_shift_rad(1.0e5)
    >>> bool(np.degrees(found.high - found.low) < 1.5)
    True
    """
    return Factor(*(np.radians(degrees) for degrees in _factor("zero_lift_shift", reynolds)))


def _factor(name: str, reynolds: ArrayLike) -> Factor:
    rows = coefficients("section_bias")[name]
    at = np.log(np.asarray(reynolds, dtype=np.float64))
    nodes = np.log([row["reynolds"] for row in rows])
    return Factor(*(np.interp(at, nodes, [row[key] for row in rows]) for key in Factor._fields))
