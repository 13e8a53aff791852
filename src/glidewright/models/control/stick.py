"""From stick to travel: exponential, rates, and shares of a stated travel.

The cubic form of the exponential is common practice of transmitters, without a source; the rest is
arithmetic.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


def softened(stick: ArrayLike, share: ArrayLike) -> Array:
    """Travel for a stick deflection, both from -1 to 1, with a share of exponential from 0 to 1.

    (1 - e) s + e s^3: full stick stays full, the slope in the middle is 1 - e. Transmitters differ in the
    form of this curve; its slope in the middle is what to compare.

    >>> softened([0.0, 0.5, 1.0], 0.3).round(4).tolist()
    [0.0, 0.3875, 1.0]
    """
    s, e = np.asarray(stick, dtype=np.float64), np.asarray(share, dtype=np.float64)
    found: Array = (1.0 - e) * s + e * s**3
    return found


def softening_for(slope: ArrayLike, wanted: ArrayLike, least: float, most: float) -> Array:
    """The share of exponential that brings the slope in the middle down to a wanted one, held in bounds.

    >>> softening_for([1.0, 2.0, 8.0], 1.0, 0.2, 0.6).tolist()
    [0.2, 0.5, 0.6]
    """
    ratio = np.asarray(wanted, dtype=np.float64) / np.asarray(slope, dtype=np.float64)
    found: Array = np.clip(1.0 - ratio, least, most)
    return found


def share_of_travel(servo_rad: ArrayLike, throw_rad: ArrayLike) -> Array:
    """A servo angle as a share of the stated travel, which is 1 either way.

    >>> share_of_travel(np.radians(20.0), np.radians(40.0)).round(6).item()
    0.5
    """
    found: Array = np.asarray(servo_rad, dtype=np.float64) / np.asarray(throw_rad)
    return found
