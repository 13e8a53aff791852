"""One launch from throw or motor start to the top of the zoom, compiled.

Time is counted from release. The steps are as long as their error allows and end on every time at which
the equations change (release, motor start, end of the soft start, motor stop by time, end of the window) and
on the events: the motor stop by height, low voltage or empty pack and ground contact, located to 1e-9 s by
repeated partial steps. The uniform rows of a trace lie on the cubics between the ends of the steps. A motor
stop folds the propeller at once.
"""

import math

import numpy as np
import numpy.typing as npt

from glidewright.base.compiled import compiled_part
from glidewright.models.launch.events import gap_to_event, locate, next_stop
from glidewright.models.launch.layout import (
    AIRSPEED,
    CHARGE,
    CUT_BY_GROUND,
    CUT_BY_LONGEST_FLIGHT,
    CUT_BY_TIME,
    DRIVE_STATUS,
    GROUND_CONTACT,
    HEIGHT,
    HEIGHT_AT_WINDOW_END,
    HIGHEST_AIRSPEED,
    HIGHEST_IN_WINDOW,
    HIGHEST_MOTOR_CURRENT,
    HIGHEST_MOTOR_TEMPERATURE,
    HIGHEST_PACK_CURRENT,
    HIGHEST_PACK_TEMPERATURE,
    LOWEST_AIRSPEED,
    LOWEST_PACK_VOLTAGE,
    MOTOR_START_S,
    OUTPUT_SIZE,
    PATH,
    RUN_FROM_RELEASE,
    RUN_LIMIT_S,
    SIZE,
    THROW_ANGLE_RAD,
    THROW_HEIGHT_M,
    THROW_SPEED_M_S,
    TOP_HEIGHT,
    TOP_TIME,
    WINDOW_S,
    GRID_s,
    LONGEST_FLIGHT_s,
)
from glidewright.models.launch.rates import NEXT, RATE_1, RATE_END, START, headwind, prepare, step
from glidewright.models.launch.record import (
    CLOCK_SIZE,
    CUT,
    ENDED,
    GAP,
    HELD,
    NOW,
    POWERED,
    RELEASED,
    ROW,
    RUN_END,
    STEP,
    WINDOW_OPEN,
    end,
    fill_rows,
    note_point,
    note_step,
    stop_motor,
)
from glidewright.models.power.layout import REVS_PER_S

Array = npt.NDArray[np.float64]

FIRST_STEP_s = 0.1
"""First step after a change of the equations."""
LEAST_STEP_s = 1e-3
"""A step of this length is taken whatever its error: the rates have a kink there."""
LONGEST_STEP_s = 2.0
LONGEST_ZOOM_s = 60.0
"""A model that still rises so long after the window gains energy from absurd numbers."""


@compiled_part
def _begin(
    power: Array, launch: Array, start: Array, work: Array, point: Array, clock: Array, out: Array
) -> None:
    prepare(power, launch, work)
    point[REVS_PER_S] = 0.0
    for place in range(SIZE):
        work[START, place] = work[RATE_1, place] = 0.0
    wind, _ = headwind(launch, launch[THROW_HEIGHT_M])
    work[START, HEIGHT] = launch[THROW_HEIGHT_M]
    work[START, AIRSPEED] = wind
    for place in range(4):
        work[START, CHARGE + place] = start[place]
    for place in range(OUTPUT_SIZE):
        out[place] = math.nan
    out[TOP_HEIGHT] = work[START, HEIGHT]
    out[TOP_TIME] = 0.0
    out[GROUND_CONTACT] = out[DRIVE_STATUS] = 0.0
    out[HIGHEST_PACK_CURRENT] = out[HIGHEST_MOTOR_CURRENT] = 0.0
    out[LOWEST_PACK_VOLTAGE] = out[LOWEST_AIRSPEED] = math.inf
    out[HIGHEST_MOTOR_TEMPERATURE] = out[HIGHEST_PACK_TEMPERATURE] = out[HIGHEST_AIRSPEED] = 0.0
    clock[NOW] = min(0.0, launch[MOTOR_START_S])
    clock[CUT] = math.inf
    counted = 0.0 if launch[RUN_FROM_RELEASE] != 0.0 else launch[MOTOR_START_S]
    clock[RUN_END] = min(counted + launch[RUN_LIMIT_S], LONGEST_FLIGHT_s)
    clock[HELD] = clock[WINDOW_OPEN] = 1.0


@compiled_part
def _throw(launch: Array, work: Array) -> None:
    """Give the hand's speed over ground to the model; the headwind adds to it."""
    wind, _ = headwind(launch, work[START, HEIGHT])
    level = launch[THROW_SPEED_M_S] * math.cos(launch[THROW_ANGLE_RAD]) + wind
    rise = launch[THROW_SPEED_M_S] * math.sin(launch[THROW_ANGLE_RAD])
    work[START, AIRSPEED] = math.hypot(level, rise)
    work[START, PATH] = math.atan2(rise, level)


@compiled_part
def _look(
    power: Array,
    curves: Array,
    tables: Array,
    polar: Array,
    launch: Array,
    work: Array,
    point: Array,
    clock: Array,
    out: Array,
) -> None:
    """Rates and extremes at the present state, after a change of the equations."""
    held, powered = clock[HELD] == 1.0, clock[POWERED] == 1.0
    # a step of no length leaves the state as it is in NEXT and its rates in RATE_END
    step(clock[NOW], 0.0, held, powered, power, curves, tables, polar, launch, work, point)
    for place in range(SIZE):
        work[RATE_1, place] = work[RATE_END, place]
    clock[STEP] = FIRST_STEP_s
    zooming = clock[WINDOW_OPEN] == 0.0 and clock[ENDED] == 0.0
    clock[GAP], _ = gap_to_event(held, powered, zooming, power, launch, work, point)
    note_step(clock[NOW], 0.0, held, work, out)
    note_point(clock[NOW], powered, power, launch, work, point, out)


@compiled_part
def _switch(
    power: Array,
    curves: Array,
    tables: Array,
    polar: Array,
    launch: Array,
    start: Array,
    work: Array,
    point: Array,
    heights: Array,
    clock: Array,
    trace: Array,
    out: Array,
) -> None:
    """Release, motor start, motor stop by time, end of the window and end of the launch, when it is time."""
    now = clock[NOW]
    changed = False
    if clock[HELD] == 1.0 and now >= 0.0:
        _throw(launch, work)
        clock[HELD], clock[RELEASED] = 0.0, work[START, AIRSPEED]
        changed = True
    if clock[CUT] == math.inf and now >= clock[RUN_END]:
        reason = CUT_BY_LONGEST_FLIGHT if now >= LONGEST_FLIGHT_s else CUT_BY_TIME
        stop_motor(reason, power, launch, start, work, heights, clock, out)
    powered = 1.0 if clock[CUT] == math.inf and now >= launch[MOTOR_START_S] else 0.0
    if changed or powered != clock[POWERED]:
        clock[POWERED] = powered
        _look(power, curves, tables, polar, launch, work, point, clock, out)
        if changed:
            fill_rows(
                now,
                0.0,
                powered == 1.0,
                power,
                curves,
                tables,
                polar,
                launch,
                work,
                point,
                heights,
                clock,
                trace,
            )
        if clock[GAP] <= 0.0 and powered == 1.0:
            _, reason = gap_to_event(clock[HELD] == 1.0, powered == 1.0, False, power, launch, work, point)
            stop_motor(reason, power, launch, start, work, heights, clock, out)
            clock[POWERED] = 0.0
            _look(power, curves, tables, polar, launch, work, point, clock, out)
    if clock[CUT] < math.inf and clock[WINDOW_OPEN] == 1.0 and now >= clock[CUT] + launch[WINDOW_S]:
        clock[WINDOW_OPEN] = 0.0
        clock[GAP] = min(clock[GAP], work[START, PATH])
        out[HIGHEST_IN_WINDOW] = out[TOP_HEIGHT]
        out[HEIGHT_AT_WINDOW_END] = work[START, HEIGHT]
    late = now >= clock[CUT] + launch[WINDOW_S] + LONGEST_ZOOM_s
    over = clock[WINDOW_OPEN] == 0.0 and (late or not work[START, PATH] > 0.0)
    if over and clock[ENDED] == 0.0:
        end(launch, start, work, clock, out)


@compiled_part
def _touch(launch: Array, start: Array, work: Array, clock: Array, out: Array) -> None:
    if clock[ENDED] == 0.0:
        out[GROUND_CONTACT] = 1.0
        if clock[WINDOW_OPEN] == 1.0:
            out[HIGHEST_IN_WINDOW] = out[TOP_HEIGHT]
            out[HEIGHT_AT_WINDOW_END] = work[START, HEIGHT]
        end(launch, start, work, clock, out)
    clock[ENDED] = 2.0


@compiled_part
def _advance(
    tolerance_m: float,
    power: Array,
    curves: Array,
    tables: Array,
    polar: Array,
    launch: Array,
    start: Array,
    work: Array,
    point: Array,
    heights: Array,
    clock: Array,
    trace: Array,
    out: Array,
) -> None:
    """One step, to the next time of change, grid row or event at most."""
    now = clock[NOW]
    held, powered = clock[HELD] == 1.0, clock[POWERED] == 1.0
    stop = next_stop(now, clock[CUT], clock[RUN_END], power, launch)
    if clock[ENDED] == 1.0:
        stop = min(stop, (trace.shape[0] - 1) * GRID_s)
    while True:
        whole = stop - now > clock[STEP]
        then = now + clock[STEP] if whole else stop
        error = step(now, then - now, held, powered, power, curves, tables, polar, launch, work, point)
        error /= tolerance_m
        if not error > 1.0 or min(clock[STEP], then - now) <= LEAST_STEP_s:
            break
        shorter = max(0.8 * error ** (-1.0 / 3.0), 0.2) * (then - now)
        clock[STEP] = max(shorter, LEAST_STEP_s)
    zooming = clock[WINDOW_OPEN] == 0.0 and clock[ENDED] == 0.0
    gap, reason = gap_to_event(held, powered, zooming, power, launch, work, point)
    event = gap < 0.0
    if event:
        then = now + locate(
            now, then - now, clock[GAP], gap, held, powered, zooming,
            power, curves, tables, polar, launch, work, point,
        )  # fmt: skip
        gap, reason = gap_to_event(held, powered, zooming, power, launch, work, point)
    note_step(now, then - now, held, work, out)
    note_point(then, powered, power, launch, work, point, out)
    fill_rows(
        now, then - now, powered, power, curves, tables, polar, launch, work, point, heights, clock, trace
    )
    growth = 0.8 * max(error, 1e-3) ** (-1.0 / 3.0)
    if not whole:  # cut short by a change: says little about the next step
        growth = max(growth, 1.0)
    longer = min(growth * clock[STEP], 3.0 * clock[STEP], LONGEST_STEP_s)
    clock[STEP] = max(longer, LEAST_STEP_s)
    for place in range(SIZE):
        work[START, place] = work[NEXT, place]
        work[RATE_1, place] = work[RATE_END, place]
    clock[NOW], clock[GAP] = then, gap
    if not math.isfinite(work[START, HEIGHT]):
        clock[ENDED] = 2.0  # no answer: the outputs stay NaN
    if not event:
        return
    if clock[CUT] == math.inf:
        stop_motor(reason, power, launch, start, work, heights, clock, out)
    if reason == CUT_BY_GROUND:
        _touch(launch, start, work, clock, out)


@compiled_part
def fly(
    power: Array,
    curves: Array,
    tables: Array,
    polar: Array,
    launch: Array,
    start: Array,
    tolerance_m: float,
    work: Array,
    point: Array,
    heights: Array,
    clock: Array,
    trace: Array,
    out: Array,
) -> None:
    """Fly one launch: fill `out` (``OUTPUT_FIELDS``) and the rows of `trace` (``TRACE_FIELDS``).

    `start` is one row of ``START_FIELDS``; `work` (``WORK_SHAPE``) and `heights` (a number for each
    row of the grid that a launch may have) are scratch; `trace` may have no rows, rows after ground contact
    stay as they are.
    """
    for place in range(CLOCK_SIZE):
        clock[place] = 0.0
    _begin(power, launch, start, work, point, clock, out)
    while True:
        _switch(power, curves, tables, polar, launch, start, work, point, heights, clock, trace, out)
        traced = clock[ROW] >= trace.shape[0]
        if clock[ENDED] == 2.0 or (clock[ENDED] == 1.0 and traced):
            return
        _advance(
            tolerance_m, power, curves, tables, polar, launch, start, work, point, heights, clock, trace, out
        )
