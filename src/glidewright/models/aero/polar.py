"""Drag of the whole glider against its lift and airspeed, with a lift ceiling: one row of numbers a draw.

C_D = C_D0 + k (C_L - C_L0)^2 + T(C_L, V), between the lowest lift coefficient and the ceiling C_Lmax +
T_max(V): the parabola of J. D. Anderson, Introduction to Flight, chapter 6. The tables T and T_max hold
what no parabola can: section drag and stall change with lift and, through the Reynolds number, with
airspeed. They are straight between their nodes and go on level beyond them. A row without tables is the
quadratic polar. The launch asks only the functions of this module, so that another form of polar changes
nothing else.
"""

from collections.abc import Mapping
from typing import Any

import numpy as np
import numpy.typing as npt

from glidewright.base.compiled import compiled_part

Array = npt.NDArray[np.float64]

POLAR_FIELDS: Mapping[str, str] = {
    "least_drag_coefficient": "drag coefficient at the bottom of the parabola",
    "drag_rise": "k, growth of the drag coefficient with the square of the lift away from there",
    "least_drag_lift_coefficient": "lift coefficient at the bottom of the parabola",
    "highest_lift_coefficient": "the lift ceiling, without its table",
    "lowest_lift_coefficient": "the ceiling of inverted lift, below zero",
    "table_lift_first": "lift coefficient of the first node of the drag table",
    "table_lift_step": "distance of its nodes",
    "table_speed_first_m_s": "airspeed of the first node of both tables",
    "table_speed_step_m_s": "distance of their nodes; 0: there are no tables",
}
(
    LEAST_DRAG_COEFFICIENT,
    DRAG_RISE,
    LEAST_DRAG_LIFT_COEFFICIENT,
    HIGHEST_LIFT_COEFFICIENT,
    LOWEST_LIFT_COEFFICIENT,
    TABLE_LIFT_FIRST,
    TABLE_LIFT_STEP,
    TABLE_SPEED_FIRST,
    TABLE_SPEED_STEP,
    CEILING_TABLE,
) = range(10)
TABLE_DEFAULTS: Mapping[str, float] = {name: 0.0 for name in POLAR_FIELDS if name.startswith("table_")}
SPEED_NODES = 12
LIFT_NODES = 28
DRAG_TABLE = CEILING_TABLE + SPEED_NODES
POLAR_SIZE = DRAG_TABLE + SPEED_NODES * LIFT_NODES
"""Numbers in a row: the fields, the ceiling table, and the drag table, all lifts of a speed together."""
_STALL_ROUNDS = 12


@compiled_part
def speed_place(polar: Array, airspeed_m_s: float) -> tuple[int, float]:
    """Node before an airspeed, and the share of the way to the next one; 0 and 0 where there are no tables.

    The functions below take both, so that a launch looks for the place once a state.

    >>> row = np.zeros(POLAR_SIZE)
    >>> row[TABLE_SPEED_FIRST], row[TABLE_SPEED_STEP] = 4.0, 2.0
    >>> node, share = speed_place.py_func(row, 7.0)
    >>> node, float(share)
    (1, 0.5)
    """
    if polar[TABLE_SPEED_STEP] == 0.0:
        return 0, 0.0
    steps = (airspeed_m_s - polar[TABLE_SPEED_FIRST]) / polar[TABLE_SPEED_STEP]
    steps = min(max(steps, 0.0), SPEED_NODES - 1.0)
    node = min(int(steps), SPEED_NODES - 2)
    return node, steps - node


@compiled_part
def drag_coefficient(polar: Array, lift_coefficient: float, node: int, share: float) -> float:
    """Drag coefficient at a lift coefficient and the place of an airspeed; `polar` is one row.

    >>> row = np.zeros(POLAR_SIZE)
    >>> row[:5] = 0.02, 0.04, 0.1, 1.1, -0.5
    >>> round(drag_coefficient.py_func(row, 0.6, 0, 0.0), 6)
    0.03
    """
    from_least = lift_coefficient - polar[LEAST_DRAG_LIFT_COEFFICIENT]
    drag = polar[LEAST_DRAG_COEFFICIENT] + polar[DRAG_RISE] * from_least * from_least
    if polar[TABLE_SPEED_STEP] > 0.0:
        steps = (lift_coefficient - polar[TABLE_LIFT_FIRST]) / polar[TABLE_LIFT_STEP]
        steps = min(max(steps, 0.0), LIFT_NODES - 1.0)
        before = min(int(steps), LIFT_NODES - 2)
        part = steps - before
        place = DRAG_TABLE + node * LIFT_NODES + before
        slow = polar[place] + part * (polar[place + 1] - polar[place])
        place += LIFT_NODES
        fast = polar[place] + part * (polar[place + 1] - polar[place])
        drag += slow + share * (fast - slow)
    return float(drag)


@compiled_part
def highest_lift_coefficient(polar: Array, node: int, share: float) -> float:
    """The lift ceiling at the place of an airspeed.

    >>> row = np.zeros(POLAR_SIZE)
    >>> row[HIGHEST_LIFT_COEFFICIENT] = 1.1
    >>> highest_lift_coefficient.py_func(row, 0, 0.0)
    1.1
    """
    place = CEILING_TABLE + node
    table = polar[place] + share * (polar[place + 1] - polar[place])
    return float(polar[HIGHEST_LIFT_COEFFICIENT] + table)


def lift_ceilings(polar: Array, airspeed_m_s: npt.ArrayLike) -> Array:
    """Lift ceilings of many polars, plain numpy: `polar` (draws, ``POLAR_SIZE``), airspeed (draws, any).

    >>> rows = with_tables(np.array([[0.02, 0.04, 0.1, 1.1, -0.5, 0.0, 0.0, 0.0, 0.0]]))
    >>> lift_ceilings(rows, np.array([[5.0, 9.0]]))
    array([[1.1, 1.1]])
    """
    speed = np.asarray(airspeed_m_s, dtype=np.float64)
    node, share = _speed_places(polar, speed)
    rows = np.arange(polar.shape[0])[:, None]
    place = CEILING_TABLE + node
    table = (1.0 - share) * polar[rows, place] + share * polar[rows, place + 1]
    found: Array = polar[:, HIGHEST_LIFT_COEFFICIENT, None] + table
    return found


def drag_coefficients(polar: Array, lift_coefficient: Array, airspeed_m_s: Array) -> Array:
    """Drag coefficients of many polars, plain numpy: `polar` (draws, ``POLAR_SIZE``), others (draws, any).

    The lift is held in the range that the wing gives; the twin of the kernels above.

    >>> rows = with_tables(np.array([[0.02, 0.04, 0.1, 1.1, -0.5, 0.0, 0.0, 0.0, 0.0]]))
    >>> drag_coefficients(rows, np.array([[0.6, 1.1, 3.0]]), np.array([[7.0, 5.0, 3.0]])).round(6)
    array([[0.03, 0.06, 0.06]])
    """
    highest = lift_ceilings(polar, airspeed_m_s)
    lift = np.minimum(np.maximum(lift_coefficient, polar[:, LOWEST_LIFT_COEFFICIENT, None]), highest)
    away = lift - polar[:, LEAST_DRAG_LIFT_COEFFICIENT, None]
    found: Array = polar[:, LEAST_DRAG_COEFFICIENT, None] + polar[:, DRAG_RISE, None] * away**2
    if not np.any(polar[:, TABLE_SPEED_STEP] > 0.0):
        return found
    node, share = _speed_places(polar, np.broadcast_to(airspeed_m_s, lift.shape))
    step = np.where(polar[:, TABLE_LIFT_STEP] > 0.0, polar[:, TABLE_LIFT_STEP], 1.0)
    steps = np.clip((lift - polar[:, TABLE_LIFT_FIRST, None]) / step[:, None], 0.0, LIFT_NODES - 1.0)
    before = np.minimum(steps.astype(np.intp), LIFT_NODES - 2)
    part = steps - before
    rows = np.arange(polar.shape[0])[:, None]
    place = DRAG_TABLE + node * LIFT_NODES + before
    slow = (1.0 - part) * polar[rows, place] + part * polar[rows, place + 1]
    place = place + LIFT_NODES
    fast = (1.0 - part) * polar[rows, place] + part * polar[rows, place + 1]
    total: Array = found + (1.0 - share) * slow + share * fast
    return total


def with_tables(fields: Array, ceiling: Array | None = None, drag: Array | None = None) -> Array:
    """Whole rows (draws, ``POLAR_SIZE``) from fields (draws, ``POLAR_FIELDS``) and tables, none being zeros.

    What `fields` holds beyond them is left out.
    ceiling: (draws, ``SPEED_NODES``), added to the field; drag: (draws, ``SPEED_NODES``, ``LIFT_NODES``).

    >>> with_tables(np.zeros((2, 9))).shape == (2, POLAR_SIZE)
    True
    """
    rows = np.zeros((fields.shape[0], POLAR_SIZE))
    rows[:, :CEILING_TABLE] = fields[:, :CEILING_TABLE]
    if ceiling is not None and drag is not None:
        rows[:, CEILING_TABLE:DRAG_TABLE] = ceiling
        rows[:, DRAG_TABLE:] = drag.reshape(drag.shape[0], -1)
    return rows


def stalling_speed_m_s(polar: Array, loading_N_m2: Array, density_kg_m3: Array) -> Array:
    """Airspeed at which the lift ceiling just carries the weight in straight flight, shape (draws,).

    W / S = rho V^2 C_Lmax(V) / 2 (J. D. Anderson, Introduction to Flight, equation 5.71), by repeated
    insertion, since the ceiling changes little with speed. loading_N_m2: weight over wing area, (draws,).

    >>> rows = with_tables(np.array([[0.02, 0.04, 0.1, 1.25, -0.5, 0.0, 0.0, 0.0, 0.0]]))
    >>> stalling_speed_m_s(rows, np.array([12.8 * 1.25]), np.array([1.6])).round(6)
    array([4.])
    """
    pressure = 2.0 * loading_N_m2 / density_kg_m3
    speed: Any = np.sqrt(pressure / polar[:, HIGHEST_LIFT_COEFFICIENT])
    for _ in range(_STALL_ROUNDS):
        speed = np.sqrt(pressure / lift_ceilings(polar, speed[:, None])[:, 0])
    found: Array = speed
    return found


def _speed_places(polar: Array, airspeed_m_s: Array) -> tuple[npt.NDArray[np.intp], Array]:
    """As ``speed_place`` for many polars; without tables the first node, where the tables are zero."""
    step = polar[:, TABLE_SPEED_STEP, None]
    has = step > 0.0
    steps = (airspeed_m_s - polar[:, TABLE_SPEED_FIRST, None]) / np.where(has, step, 1.0)
    steps = np.where(has, np.clip(steps, 0.0, SPEED_NODES - 1.0), 0.0)
    node = np.minimum(steps.astype(np.intp), SPEED_NODES - 2)
    return node, steps - node
