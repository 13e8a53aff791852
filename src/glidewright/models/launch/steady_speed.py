"""The airspeed of the fastest steady climb, compiled, for very many power trains at once.

sin g = (T - D) / W with the lift W cos g (J. D. Anderson, Introduction to Flight, equations 6.44 to 6.46), by
repeated insertion, and no path steeper than the pilot flies. The best speed is found on a grid between stall
and top, then by golden sections in the two intervals around the best node (J. Kiefer, Sequential minimax
search for a maximum, Proceedings of the American Mathematical Society 4, 1953, 502-506).
"""

import math

import numpy as np
import numpy.typing as npt

from glidewright.base.compiled import compiled, compiled_part, over_threads
from glidewright.models.aero.polar import (
    HIGHEST_LIFT_COEFFICIENT,
    drag_coefficient,
    highest_lift_coefficient,
    speed_place,
)
from glidewright.models.air.atmosphere import GRAVITY_m_s2
from glidewright.models.launch.climb_speed import FASTEST_OVER_STALL, SLOWEST_OVER_STALL
from glidewright.models.launch.layout import (
    FULL_DUTY,
    GROUND_DENSITY_KG_M3,
    MASS_KG,
    STEEPEST_CLIMB_RAD,
    WING_AREA_M2,
    LaunchInputs,
)
from glidewright.models.power.kernel import operating_point
from glidewright.models.power.layout import PACK_CAPACITY_AS, POINT_SIZE, REVS_PER_S, THRUST_N

Array = npt.NDArray[np.float64]

GRID_NODES = 12
GOLDEN_ROUNDS = 12
STALL_ROUNDS = 12
PATH_ROUNDS = 12
GOLDEN = 0.5 * (math.sqrt(5.0) - 1.0)


@compiled_part
def _stall(polar: Array, launch: Array) -> float:
    pressure = 2.0 * launch[MASS_KG] * GRAVITY_m_s2 / (launch[WING_AREA_M2] * launch[GROUND_DENSITY_KG_M3])
    speed = math.sqrt(pressure / polar[HIGHEST_LIFT_COEFFICIENT])
    for _ in range(STALL_ROUNDS):
        node, share = speed_place(polar, speed)
        speed = math.sqrt(pressure / highest_lift_coefficient(polar, node, share))
    return speed


@compiled_part
def _climb(
    power: Array, curves: Array, tables: Array, polar: Array, launch: Array, start: Array,
    speed: float, point: Array,
) -> float:  # fmt: skip
    """Rate of the steady climb at one airspeed; the revolutions in `point` are the first guess."""
    density = launch[GROUND_DENSITY_KG_M3]
    operating_point(
        power, curves, tables, speed, density, launch[FULL_DUTY], 1.0 - start[0] / power[PACK_CAPACITY_AS],
        start[1], start[2], start[3], point,
    )  # fmt: skip
    weight = launch[MASS_KG] * GRAVITY_m_s2
    lifting = 0.5 * density * speed * speed * launch[WING_AREA_M2]
    node, share = speed_place(polar, speed)
    highest = highest_lift_coefficient(polar, node, share)
    steepest = math.sin(launch[STEEPEST_CLIMB_RAD])
    sine = 0.0
    for _ in range(PATH_ROUNDS):
        lift = min(weight * math.sqrt(1.0 - sine * sine) / lifting, highest)
        drag = lifting * drag_coefficient(polar, lift, node, share)
        sine = min(max((point[THRUST_N] - drag) / weight, -1.0), steepest)
    return float(speed * sine)


@compiled
def _steady_rows(
    power: Array, curves: Array, tables: Array, polar: Array, launch: Array, start: Array,
    first: int, last: int, point: Array, found: Array,
) -> None:  # fmt: skip
    for row in range(first, last):
        stall = _stall(polar[row], launch[row])
        low, high = SLOWEST_OVER_STALL * stall, FASTEST_OVER_STALL * stall
        step = (high - low) / (GRID_NODES - 1)
        best, best_climb = 0, -math.inf
        point[REVS_PER_S] = 0.0
        for node in range(GRID_NODES):
            climb = _climb(
                power[row], curves, tables, polar[row], launch[row], start[row], low + node * step, point
            )
            if climb > best_climb:
                best, best_climb = node, climb
        left, right = low + max(best - 1, 0) * step, low + min(best + 1, GRID_NODES - 1) * step
        one, other = right - GOLDEN * (right - left), left + GOLDEN * (right - left)
        at_one = _climb(power[row], curves, tables, polar[row], launch[row], start[row], one, point)
        at_other = _climb(power[row], curves, tables, polar[row], launch[row], start[row], other, point)
        for _ in range(GOLDEN_ROUNDS):
            if at_one > at_other:
                right, other, at_other = other, one, at_one
                one = right - GOLDEN * (right - left)
                at_one = _climb(power[row], curves, tables, polar[row], launch[row], start[row], one, point)
            else:
                left, one, at_one = one, other, at_other
                other = left + GOLDEN * (right - left)
                at_other = _climb(
                    power[row], curves, tables, polar[row], launch[row], start[row], other, point
                )
        found[row, 0], found[row, 1] = (one, at_one) if at_one > at_other else (other, at_other)


def steady_speeds_m_s(inputs: LaunchInputs) -> tuple[Array, Array]:
    """Airspeed and rate of the fastest steady climb of every row, each of shape (draws,).

    At ground level, with pack and motor as at the start; the speed lies between 1.02 and 3.5 straight
    stalling speeds and is found to a hundredth of a metre per second.

    >>> from glidewright.models.launch.example import example_inputs
    >>> speed, climb = steady_speeds_m_s(example_inputs(mass_kg=[0.5, 0.6]))
    >>> speed.round(1), climb.round(2)
    (array([11.6, 10.9]), array([9.73, 8.16]))
    """
    found = np.empty((inputs.launch.shape[0], 2))

    def work(first: int, last: int) -> None:
        _steady_rows(*inputs, first, last, np.empty(POINT_SIZE), found)

    over_threads(inputs.launch.shape[0], work)
    return found[:, 0], found[:, 1]
