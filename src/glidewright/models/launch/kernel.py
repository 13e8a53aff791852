"""One launch from throw or motor start to the top of the zoom, compiled.

Time is counted from release. The steps end on a uniform grid, on every time at which the equations change
(release, motor start, end of the soft start, motor stop by time, end of the window) and on the events: the
motor stop by height, low voltage or empty pack and ground contact, located to 1e-9 s by repeated partial
steps. A motor stop folds the propeller at once.
"""

import math

import numpy as np
import numpy.typing as npt

from glidewright.base.compiled import compiled_part
from glidewright.models.launch.layout import (
    AIRSPEED,
    BEST_CLIMB,
    CHARGE,
    CHARGE_USED,
    CUT_BY_EMPTY_PACK,
    CUT_BY_GROUND,
    CUT_BY_HEIGHT,
    CUT_BY_LONGEST_FLIGHT,
    CUT_BY_LOW_VOLTAGE,
    CUT_BY_TIME,
    CUT_HEIGHT_M,
    CUT_REASON,
    CUT_TIME,
    DISTANCE,
    DISTANCE_AT_CUT,
    DRIVE_STATUS,
    END_STATE,
    END_TIME,
    GROUND_CONTACT,
    HEIGHT,
    HEIGHT_AT_CUT,
    HEIGHT_AT_WINDOW_END,
    HIGHEST_AIRSPEED,
    HIGHEST_IN_WINDOW,
    HIGHEST_MOTOR_CURRENT,
    HIGHEST_MOTOR_TEMPERATURE,
    HIGHEST_PACK_CURRENT,
    HIGHEST_PACK_TEMPERATURE,
    KINETIC_J,
    LOWEST_AIRSPEED,
    LOWEST_CELL_VOLTAGE,
    LOWEST_PACK_VOLTAGE,
    MASS_KG,
    MEAN_CLIMB,
    MEAN_PACK_CURRENT,
    MOTOR_RUN,
    MOTOR_START_S,
    MOTOR_TEMPERATURE,
    OUTPUT_SIZE,
    PACK_TEMPERATURE,
    PATH,
    POTENTIAL_J,
    RUN_FROM_RELEASE,
    RUN_LIMIT_S,
    SIZE,
    THROW_ANGLE_RAD,
    THROW_HEIGHT_M,
    THROW_SPEED_M_S,
    TOP_HEIGHT,
    TOP_TIME,
    WINDOW_S,
    ZOOM_GAIN,
    CLIMB_WINDOW_s,
    GRAVITY_m_s2,
    GRID_s,
    LONGEST_FLIGHT_s,
)
from glidewright.models.launch.rates import (
    NEXT,
    RATE_1,
    RATE_END,
    START,
    headwind,
    prepare,
    runge_kutta_step,
)
from glidewright.models.power.layout import (
    CONTROLLER_LOW_VOLTAGE_CUT_V,
    CONTROLLER_SOFT_START_S,
    CONTROLLER_VOLTAGE_V,
    MOTOR_CURRENT_A,
    PACK_CAPACITY_AS,
    PACK_CELLS_IN_SERIES,
    PACK_CURRENT_A,
    PACK_VOLTAGE_V,
    REVS_PER_S,
    SERVO_CURRENT_A,
    STATUS,
    STATUS_OFF,
    THRUST_N,
)

Array = npt.NDArray[np.float64]

EVENT_TOLERANCE_s = 1e-9

NOW, CUT, RUN_END, RELEASED, ROW, HELD, POWERED, GAP, WINDOW_OPEN, ENDED = range(10)
"""Places in the clock: time, motor stop (infinite before it), end of the motor run by time, airspeed at
release, next row of the grid, flags of the flight, gap to the next event."""
CLOCK_SIZE = 10


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
def _note(
    time_s: float,
    held: bool,
    powered: bool,
    power: Array,
    launch: Array,
    work: Array,
    point: Array,
    out: Array,
) -> None:
    """Keep the extremes at the state in NEXT."""
    out[HIGHEST_MOTOR_TEMPERATURE] = max(out[HIGHEST_MOTOR_TEMPERATURE], work[NEXT, MOTOR_TEMPERATURE])
    out[HIGHEST_PACK_TEMPERATURE] = max(out[HIGHEST_PACK_TEMPERATURE], work[NEXT, PACK_TEMPERATURE])
    if powered:
        out[HIGHEST_PACK_CURRENT] = max(out[HIGHEST_PACK_CURRENT], point[PACK_CURRENT_A])
        out[HIGHEST_MOTOR_CURRENT] = max(out[HIGHEST_MOTOR_CURRENT], point[MOTOR_CURRENT_A])
        out[LOWEST_PACK_VOLTAGE] = min(out[LOWEST_PACK_VOLTAGE], point[PACK_VOLTAGE_V])
        soft_end = launch[MOTOR_START_S] + power[CONTROLLER_SOFT_START_S]
        if time_s >= soft_end and point[STATUS] != STATUS_OFF:
            out[DRIVE_STATUS] = max(out[DRIVE_STATUS], point[STATUS])
    if not held:
        out[HIGHEST_AIRSPEED] = max(out[HIGHEST_AIRSPEED], work[NEXT, AIRSPEED])
        out[LOWEST_AIRSPEED] = min(out[LOWEST_AIRSPEED], work[NEXT, AIRSPEED])


@compiled_part
def _top(time_s: float, step_s: float, work: Array, out: Array) -> None:
    """Raise the top to the end of the step or to the peak of the cubic between its ends."""
    before = work[START, HEIGHT]
    after = work[NEXT, HEIGHT]
    rise = step_s * work[RATE_1, HEIGHT]
    fall = step_s * work[RATE_END, HEIGHT]
    share = 1.0
    if rise > 0.0 and fall < 0.0:
        # height = before + rise u + square u^2 + cube u^3; its slope falls through zero once in 0..1
        square = 3.0 * (after - before) - 2.0 * rise - fall
        cube = rise + fall - 2.0 * (after - before)
        share = -rise / (square - math.sqrt(square * square - 3.0 * cube * rise))
        after = before + share * (rise + share * (square + share * cube))
    if after > out[TOP_HEIGHT]:
        out[TOP_HEIGHT] = after
        out[TOP_TIME] = time_s + share * step_s


@compiled_part
def _gap(
    held: bool, powered: bool, power: Array, launch: Array, work: Array, point: Array
) -> tuple[float, int]:
    """How far the state in NEXT is from the nearest event, negative beyond it, and what that event is."""
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
    return gap, reason


@compiled_part
def _locate(
    time_s: float,
    step_s: float,
    before: float,
    after: float,
    held: bool,
    powered: bool,
    power: Array,
    curves: Array,
    tables: Array,
    polar: Array,
    launch: Array,
    work: Array,
    point: Array,
) -> float:
    """Length of the partial step that ends just beyond the event: false position, Illinois variant."""
    low, high = 0.0, step_s
    side = 0
    while high - low > EVENT_TOLERANCE_s and after < 0.0:
        share = high - after * (high - low) / (after - before)
        if not low < share < high:
            share = 0.5 * (low + high)
        # a hair beyond the estimate closes the bracket from both sides
        share = min(share + 0.25 * EVENT_TOLERANCE_s, 0.5 * (share + high))
        runge_kutta_step(time_s, share, held, powered, power, curves, tables, polar, launch, work, point)
        gap, _ = _gap(held, powered, power, launch, work, point)
        if gap > 0.0:
            low, before = share, gap
            after = 0.5 * after if side == 1 else after
            side = 1
        else:
            high, after = share, gap
            before = 0.5 * before if side == -1 else before
            side = -1
    runge_kutta_step(time_s, high, held, powered, power, curves, tables, polar, launch, work, point)
    return high


@compiled_part
def _next_stop(time_s: float, cut_s: float, run_end_s: float, power: Array, launch: Array) -> float:
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


@compiled_part
def _stop_motor(
    reason: int,
    power: Array,
    launch: Array,
    start: Array,
    work: Array,
    heights: Array,
    clock: Array,
    out: Array,
) -> None:
    time_s = clock[NOW]
    clock[CUT] = time_s
    run = max(time_s - launch[MOTOR_START_S], 0.0)
    out[CUT_REASON] = reason
    out[CUT_TIME] = time_s
    out[MOTOR_RUN] = run
    out[HEIGHT_AT_CUT] = work[START, HEIGHT]
    out[DISTANCE_AT_CUT] = work[START, DISTANCE]
    if run > 0.0:
        idle = power[SERVO_CURRENT_A] * max(launch[MOTOR_START_S], 0.0)
        out[MEAN_CLIMB] = (work[START, HEIGHT] - launch[THROW_HEIGHT_M]) / run
        out[MEAN_PACK_CURRENT] = (work[START, CHARGE] - start[0] - idle) / run
    else:
        out[LOWEST_PACK_VOLTAGE] = math.nan
    out[BEST_CLIMB] = _best_climb(heights, int(clock[ROW]))
    out[LOWEST_CELL_VOLTAGE] = out[LOWEST_PACK_VOLTAGE] / power[PACK_CELLS_IN_SERIES]


@compiled_part
def _best_climb(heights: Array, rows: int) -> float:
    width = round(CLIMB_WINDOW_s / GRID_s)
    best = math.nan
    for row in range(width, min(rows, heights.shape[0])):
        climb = (heights[row] - heights[row - width]) / CLIMB_WINDOW_s
        if not climb <= best:
            best = climb
    return best


@compiled_part
def _end(launch: Array, start: Array, work: Array, clock: Array, out: Array) -> None:
    clock[ENDED] = 1.0
    out[END_TIME] = clock[NOW]
    out[CHARGE_USED] = work[START, CHARGE] - start[0]
    out[ZOOM_GAIN] = out[TOP_HEIGHT] - out[HEIGHT_AT_CUT]
    out[POTENTIAL_J] = launch[MASS_KG] * GRAVITY_m_s2 * (work[START, HEIGHT] - launch[THROW_HEIGHT_M])
    out[KINETIC_J] = 0.5 * launch[MASS_KG] * (work[START, AIRSPEED] ** 2 - clock[RELEASED] ** 2)
    for place in range(SIZE):
        out[END_STATE + place] = work[START, place]


@compiled_part
def _trace_row(time_s: float, work: Array, point: Array, trace: Array, row: int) -> None:
    trace[row, 0] = time_s
    trace[row, 1] = work[START, HEIGHT]
    trace[row, 2] = work[START, AIRSPEED]
    trace[row, 3] = work[START, PATH]
    trace[row, 4] = work[START, DISTANCE]
    trace[row, 5] = point[PACK_CURRENT_A]
    trace[row, 6] = point[PACK_VOLTAGE_V]
    trace[row, 7] = point[MOTOR_CURRENT_A]
    trace[row, 8] = point[REVS_PER_S]
    trace[row, 9] = point[THRUST_N]
    trace[row, 10] = work[START, MOTOR_TEMPERATURE]
    trace[row, 11] = work[START, PACK_TEMPERATURE]
    trace[row, 12] = work[START, CHARGE]


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
        _stop_motor(reason, power, launch, start, work, heights, clock, out)
    powered = 1.0 if clock[CUT] == math.inf and now >= launch[MOTOR_START_S] else 0.0
    if changed or powered != clock[POWERED]:
        clock[POWERED] = powered
        _look(power, curves, tables, polar, launch, work, point, clock, out)
        if clock[GAP] <= 0.0 and powered == 1.0:
            _, reason = _gap(clock[HELD] == 1.0, powered == 1.0, power, launch, work, point)
            _stop_motor(reason, power, launch, start, work, heights, clock, out)
            clock[POWERED] = 0.0
            _look(power, curves, tables, polar, launch, work, point, clock, out)
    if clock[CUT] < math.inf and clock[WINDOW_OPEN] == 1.0 and now >= clock[CUT] + launch[WINDOW_S]:
        clock[WINDOW_OPEN] = 0.0
        out[HIGHEST_IN_WINDOW] = out[TOP_HEIGHT]
        out[HEIGHT_AT_WINDOW_END] = work[START, HEIGHT]
    over = clock[WINDOW_OPEN] == 0.0 and clock[HELD] == 0.0 and not work[START, PATH] > 0.0
    if over and clock[ENDED] == 0.0:
        _end(launch, start, work, clock, out)


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
    runge_kutta_step(clock[NOW], 0.0, held, powered, power, curves, tables, polar, launch, work, point)
    for place in range(SIZE):
        work[RATE_1, place] = work[RATE_END, place]
    clock[GAP], _ = _gap(held, powered, power, launch, work, point)
    _note(clock[NOW], held, powered, power, launch, work, point, out)


@compiled_part
def _advance(
    step_s: float,
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
    out: Array,
) -> None:
    """One step, to the next time of change, grid row or event at most."""
    now = clock[NOW]
    held, powered = clock[HELD] == 1.0, clock[POWERED] == 1.0
    then = min(clock[ROW] * GRID_s, _next_stop(now, clock[CUT], clock[RUN_END], power, launch))
    if then - now > step_s * (1.0 + 1e-9):
        then = now + step_s
    runge_kutta_step(now, then - now, held, powered, power, curves, tables, polar, launch, work, point)
    gap, reason = _gap(held, powered, power, launch, work, point)
    event = gap < 0.0
    if event:
        then = now + _locate(
            now, then - now, clock[GAP], gap, held, powered, power, curves, tables, polar, launch, work, point
        )
        gap, reason = _gap(held, powered, power, launch, work, point)
    _top(now, then - now, work, out)
    _note(then, held, powered, power, launch, work, point, out)
    for place in range(SIZE):
        work[START, place] = work[NEXT, place]
        work[RATE_1, place] = work[RATE_END, place]
    clock[NOW], clock[GAP] = then, gap
    if not event:
        return
    if clock[CUT] == math.inf:
        _stop_motor(reason, power, launch, start, work, heights, clock, out)
    if reason == CUT_BY_GROUND:
        _touch(launch, start, work, clock, out)


@compiled_part
def _touch(launch: Array, start: Array, work: Array, clock: Array, out: Array) -> None:
    if clock[ENDED] == 0.0:
        out[GROUND_CONTACT] = 1.0
        if clock[WINDOW_OPEN] == 1.0:
            out[HIGHEST_IN_WINDOW] = out[TOP_HEIGHT]
            out[HEIGHT_AT_WINDOW_END] = work[START, HEIGHT]
        _end(launch, start, work, clock, out)
    clock[ENDED] = 2.0


@compiled_part
def fly(
    power: Array,
    curves: Array,
    tables: Array,
    polar: Array,
    launch: Array,
    start: Array,
    step_s: float,
    work: Array,
    point: Array,
    heights: Array,
    clock: Array,
    trace: Array,
    out: Array,
) -> None:
    """Fly one launch: fill `out` (``OUTPUT_FIELDS``) and the rows of `trace` (``TRACE_FIELDS``).

    `start` is one row of ``START_FIELDS``; `work` (``WORK_SHAPE``) and `heights` (``HEIGHT_ROWS``) are
    scratch; `trace` may have no rows, rows after ground contact stay as they are.
    """
    for place in range(CLOCK_SIZE):
        clock[place] = 0.0
    _begin(power, launch, start, work, point, clock, out)
    while True:
        _switch(power, curves, tables, polar, launch, start, work, point, heights, clock, out)
        while clock[NOW] >= clock[ROW] * GRID_s:
            row = int(clock[ROW])
            if row < heights.shape[0]:
                heights[row] = work[START, HEIGHT]
            if row < trace.shape[0]:
                _trace_row(clock[NOW], work, point, trace, row)
            clock[ROW] += 1.0
        if clock[ENDED] == 2.0 or (clock[ENDED] == 1.0 and clock[ROW] >= trace.shape[0]):
            return
        _advance(step_s, power, curves, tables, polar, launch, start, work, point, heights, clock, out)
