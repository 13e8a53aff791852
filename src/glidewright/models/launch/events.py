"""Events of a launch: what stops the motor or the flight, and when; compiled."""

import math

import numpy as np
import numpy.typing as npt

from glidewright.base.compiled import compiled_part
from glidewright.models.launch.layout import (
    CHARGE,
    CUT_BY_EMPTY_PACK,
    CUT_BY_GROUND,
    CUT_BY_HEIGHT,
    CUT_BY_LOW_VOLTAGE,
    CUT_HEIGHT_M,
    HEIGHT,
    MOTOR_START_S,
    PATH,
    WINDOW_S,
)
from glidewright.models.launch.rates import NEXT, step
from glidewright.models.power.layout import (
    CONTROLLER_LOW_VOLTAGE_CUT_V,
    CONTROLLER_SOFT_START_S,
    CONTROLLER_VOLTAGE_V,
    PACK_CAPACITY_AS,
)

Array = npt.NDArray[np.float64]

EVENT_TOLERANCE_s = 1e-9
TOP_OF_ZOOM = -1
"""The event that stops no motor; the others are the reasons of the layout."""


@compiled_part
def gap_to_event(
    held: bool, powered: bool, zooming: bool, power: Array, launch: Array, work: Array, point: Array
) -> tuple[float, int]:
    """How far the state in NEXT is from the nearest event, negative beyond it, and what that event is.

    While `zooming` the top of the zoom is an event too: it ends a launch whose window is over.
    """
    gap = math.inf
    reason = CUT_BY_GROUND
    if not held:
        gap = work[NEXT, HEIGHT]
    if powered:
        volts = point[CONTROLLER_VOLTAGE_V] - power[CONTROLLER_LOW_VOLTAGE_CUT_V]
        left = 1.0 - work[NEXT, CHARGE] / power[PACK_CAPACITY_AS]
        high = launch[CUT_HEIGHT_M] - work[NEXT, HEIGHT]
        if left < gap:
            gap, reason = left, CUT_BY_EMPTY_PACK
        if volts < gap:
            gap, reason = volts, CUT_BY_LOW_VOLTAGE
        if high < gap:
            gap, reason = high, CUT_BY_HEIGHT
    if zooming and work[NEXT, PATH] < gap:
        gap, reason = work[NEXT, PATH], TOP_OF_ZOOM
    return gap, reason


@compiled_part
def locate(
    time_s: float,
    length_s: float,
    before: float,
    after: float,
    held: bool,
    powered: bool,
    zooming: bool,
    power: Array,
    curves: Array,
    tables: Array,
    polar: Array,
    launch: Array,
    work: Array,
    point: Array,
) -> float:
    """Length of the partial step that ends just beyond the event: false position, Illinois variant."""
    low, high = 0.0, length_s
    side = 0
    while high - low > EVENT_TOLERANCE_s and after < 0.0:
        share = high - after * (high - low) / (after - before)
        if not low < share < high:
            share = 0.5 * (low + high)
        # a hair beyond the estimate closes the bracket from both sides
        share = min(share + 0.25 * EVENT_TOLERANCE_s, 0.5 * (share + high))
        step(time_s, share, held, powered, power, curves, tables, polar, launch, work, point)
        gap, _ = gap_to_event(held, powered, zooming, power, launch, work, point)
        if gap > 0.0:
            low, before = share, gap
            after = 0.5 * after if side == 1 else after
            side = 1
        else:
            high, after = share, gap
            before = 0.5 * before if side == -1 else before
            side = -1
    step(time_s, high, held, powered, power, curves, tables, polar, launch, work, point)
    return high


@compiled_part
def next_stop(time_s: float, cut_s: float, run_end_s: float, power: Array, launch: Array) -> float:
    """Time at which the equations change next; `cut_s` is infinite while the motor was not stopped."""
    stop = math.inf
    start = launch[MOTOR_START_S]
    soft_end = start + power[CONTROLLER_SOFT_START_S]
    if time_s < 0.0:
        stop = 0.0
    if time_s < start:
        stop = min(stop, start)
    if time_s < soft_end:
        stop = min(stop, soft_end)
    if cut_s == math.inf:
        return min(stop, run_end_s)
    if time_s < cut_s + launch[WINDOW_S]:
        stop = min(stop, cut_s + launch[WINDOW_S])
    return stop
