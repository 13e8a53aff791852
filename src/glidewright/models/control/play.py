"""Free play at the surface from play in gears, joints and hinge.

Hard play adds up in a line: in the worst case every joint is off to the same side. ``root_sum`` tells what
is likely instead. Both sums are common practice of tolerancing; play along the rod turns the surface by its
share of the lever, from the geometry of the linkage.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


def play_parts_rad(
    ratio: ArrayLike,
    lever_m: ArrayLike,
    gear_rad: ArrayLike,
    arm_joint_m: ArrayLike,
    horn_joint_m: ArrayLike,
    hinge_rad: ArrayLike = 0.0,
) -> Array:
    """Play at the surface by cause, end to end: gears, joint at the arm, joint at the horn, hinge; (4, ...).

    ratio, lever_m: of the linkage (``fourbar.Position``); joints: play along the rod, end to end.

    >>> parts = play_parts_rad(0.5, 0.012, np.radians(0.6), 0.0001, 0.0001)
    >>> np.degrees(parts).round(2).tolist()
    [0.3, 0.48, 0.48, 0.0]
    """
    lever = np.abs(np.asarray(lever_m, dtype=np.float64))
    parts = np.broadcast_arrays(
        np.abs(np.asarray(ratio)) * np.asarray(gear_rad),
        np.asarray(arm_joint_m) / lever,
        np.asarray(horn_joint_m) / lever,
        np.asarray(hinge_rad, dtype=np.float64),
    )
    found: Array = np.stack(parts)
    return found


def worst_sum(parts: Array) -> Array:
    """All play to the same side, over the first axis.

    >>> worst_sum(np.array([0.3, 0.4])).item()
    0.7
    """
    found: Array = parts.sum(axis=0)
    return found


def root_sum(parts: Array) -> Array:
    """Play as it is likely to add up, root of the sum of squares over the first axis.

    >>> root_sum(np.array([0.3, 0.4])).item()
    0.5
    """
    found: Array = np.sqrt((parts**2).sum(axis=0))
    return found
