"""Drag of the whole glider against its lift: a quadratic polar with a lift ceiling.

C_D = C_D0 + k (C_L - C_L0)^2, between the lowest and the highest lift coefficient that the wing gives.
The launch asks only the functions of this module, so that another form of polar changes nothing else.
"""

from collections.abc import Mapping

import numpy as np
import numpy.typing as npt

from glidewright.base.compiled import compiled_part

Array = npt.NDArray[np.float64]

POLAR_FIELDS: Mapping[str, str] = {
    "least_drag_coefficient": "drag coefficient at the lift coefficient of least drag",
    "drag_rise": "k, growth of the drag coefficient with the square of the lift away from there",
    "least_drag_lift_coefficient": "lift coefficient of least drag",
    "highest_lift_coefficient": "the lift ceiling",
    "lowest_lift_coefficient": "the ceiling of inverted lift, below zero",
}
(
    LEAST_DRAG_COEFFICIENT,
    DRAG_RISE,
    LEAST_DRAG_LIFT_COEFFICIENT,
    HIGHEST_LIFT_COEFFICIENT,
    LOWEST_LIFT_COEFFICIENT,
) = range(5)


@compiled_part
def drag_coefficient(polar: Array, lift_coefficient: float) -> float:
    """Drag coefficient at a lift coefficient; `polar` is one row in the order of ``POLAR_FIELDS``.

    >>> import numpy as np
    >>> row = np.array([0.02, 0.04, 0.1, 1.1, -0.5])
    >>> round(drag_coefficient.py_func(row, 0.6), 6)
    0.03
    """
    from_least = lift_coefficient - polar[LEAST_DRAG_LIFT_COEFFICIENT]
    return float(polar[LEAST_DRAG_COEFFICIENT] + polar[DRAG_RISE] * from_least * from_least)


@compiled_part
def held_lift_coefficient(polar: Array, wanted: float) -> float:
    """The wanted lift coefficient as far as the wing gives it.

    >>> import numpy as np
    >>> row = np.array([0.02, 0.04, 0.1, 1.1, -0.5])
    >>> held_lift_coefficient.py_func(row, 3.0), held_lift_coefficient.py_func(row, -3.0)
    (1.1, -0.5)
    """
    return float(min(max(wanted, polar[LOWEST_LIFT_COEFFICIENT]), polar[HIGHEST_LIFT_COEFFICIENT]))


def drag_coefficients(polar: Array, lift_coefficient: Array) -> Array:
    """Drag coefficients of many polars, plain numpy: `polar` (draws, ``POLAR_FIELDS``), lift (draws, any).

    The lift is held in the range that the wing gives; the twin of the two kernels above.

    >>> import numpy as np
    >>> rows = np.array([[0.02, 0.04, 0.1, 1.1, -0.5]])
    >>> drag_coefficients(rows, np.array([[0.6, 1.1, 3.0]])).round(6)
    array([[0.03, 0.06, 0.06]])
    """
    low, high = polar[:, LOWEST_LIFT_COEFFICIENT, None], polar[:, HIGHEST_LIFT_COEFFICIENT, None]
    away = np.clip(lift_coefficient, low, high) - polar[:, LEAST_DRAG_LIFT_COEFFICIENT, None]
    found: Array = polar[:, LEAST_DRAG_COEFFICIENT, None] + polar[:, DRAG_RISE, None] * away**2
    return found
