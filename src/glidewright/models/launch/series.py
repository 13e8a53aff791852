"""How many launches of one charge are worth flying."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from glidewright.models.launch.layout import (
    END_CHARGE,
    GROUND_CONTACT,
    LOWEST_CELL_VOLTAGE,
    MEAN_CLIMB,
    MOTOR_RUN,
)

Array = npt.NDArray[np.float64]

CRITERIA = ("reserve", "sluggish climb", "lowest cell voltage", "pack empty", "none of those flown")


@dataclass(frozen=True)
class LastUseful:
    """Number of useful launches per draw and the place in ``CRITERIA`` of what ended them."""

    launches: npt.NDArray[np.int64]
    bound_by: npt.NDArray[np.int64]


def last_useful_launch(
    flown: Array,
    capacity_As: npt.ArrayLike,
    *,
    reserve: float,
    climb_share: float,
    cell_voltage_V: float,
) -> LastUseful:
    """Count the launches before the first that a criterion forbids.

    `flown` is (draws, launches, ``OUTPUT_FIELDS``) from repeated launches, `capacity_As` one number or one a
    draw. A launch is useful when at its end at least the share `reserve` of the capacity is left, its mean
    climb is at least `climb_share` of the first launch's, and no cell fell below `cell_voltage_V` under
    power. Of several criteria that forbid the same launch the first of ``CRITERIA`` is named; launches
    in which the motor did not run any more, or that came to the ground, count as "pack empty".

    >>> flown = np.full((1, 4, 48), np.nan)
    >>> flown[0, :3, END_CHARGE] = 400.0, 800.0, 1200.0
    >>> flown[0, :3, MEAN_CLIMB] = 5.0, 4.0, 2.0
    >>> flown[0, :3, LOWEST_CELL_VOLTAGE] = 3.6, 3.5, 3.4
    >>> flown[0, :3, MOTOR_RUN] = 30.0
    >>> found = last_useful_launch(flown, 2000.0, reserve=0.2, climb_share=0.6, cell_voltage_V=3.3)
    >>> int(found.launches[0]), CRITERIA[found.bound_by[0]]
    (2, 'sluggish climb')
    """
    left = 1.0 - flown[:, :, END_CHARGE] / np.reshape(np.asarray(capacity_As, np.float64), (-1, 1))
    climb = flown[:, :, MEAN_CLIMB]
    absent = ~(flown[:, :, MOTOR_RUN] > 0.0) | (flown[:, :, GROUND_CONTACT] == 1.0)
    forbidden = np.stack(
        [
            left < reserve,
            ~(climb >= climb_share * climb[:, :1]) & ~absent,
            flown[:, :, LOWEST_CELL_VOLTAGE] < cell_voltage_V,
            absent,
        ],
        axis=-1,
    )
    broken = np.any(forbidden, axis=2)
    count = np.where(np.any(broken, axis=1), broken.argmax(axis=1), flown.shape[1])
    at = np.minimum(count, flown.shape[1] - 1)
    bound = forbidden[np.arange(flown.shape[0]), at].argmax(axis=1)
    return LastUseful(
        count.astype(np.int64), np.where(count < flown.shape[1], bound, len(CRITERIA) - 1).astype(np.int64)
    )
