"""What is kept of a launch under way: extremes, counted heights and the rows of the trace; compiled.

Between the ends of a step a state runs on the cubic with the values and rates there (Hermite interpolation,
any textbook of numerics).
"""

import math

import numpy as np
import numpy.typing as npt

from glidewright.base.compiled import compiled_part
from glidewright.models.air.atmosphere import GRAVITY_m_s2
from glidewright.models.launch.layout import (
    AIRSPEED,
    BEST_CLIMB,
    CHARGE,
    CHARGE_USED,
    CUT_REASON,
    CUT_TIME,
    DISTANCE,
    DISTANCE_AT_CUT,
    DRIVE_STATUS,
    END_STATE,
    END_TIME,
    HEIGHT,
    HEIGHT_AT_CUT,
    HIGHEST_AIRSPEED,
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
    MOVING,
    PACK_TEMPERATURE,
    PATH,
    POTENTIAL_J,
    SIZE,
    THROW_HEIGHT_M,
    TOP_HEIGHT,
    TOP_TIME,
    ZOOM_GAIN,
    CLIMB_WINDOW_s,
    GRID_s,
)
from glidewright.models.launch.rates import NEXT, RATE_1, RATE_2, RATE_END, STAGE, START, flight_rates
from glidewright.models.power.layout import (
    CONTROLLER_SOFT_START_S,
    MOTOR_CURRENT_A,
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

NOW, CUT, RUN_END, RELEASED, ROW, HELD, POWERED, GAP, WINDOW_OPEN, ENDED, STEP = range(11)
"""Places in the clock: time, motor stop (infinite before it), end of the motor run by time, airspeed at
release, next row of the grid, flags of the flight, gap to the next event, length of the next step."""
CLOCK_SIZE = 11


@compiled_part
def _bend(before: float, after: float, rise: float, fall: float) -> tuple[float, float]:
    """Square and cube of the curve before + rise u + square u^2 + cube u^3 with these ends and end slopes."""
    change = after - before
    return 3.0 * change - 2.0 * rise - fall, rise + fall - 2.0 * change


@compiled_part
def peak(before: float, after: float, rise: float, fall: float) -> tuple[float, float]:
    """Where in 0 to 1 a cubic is highest, and how high: from its ends and its slopes there.

    Only a peak between a rising begin and a falling end is looked for, else the higher end is the answer.
    """
    if not rise > 0.0 or not fall < 0.0:
        return (1.0, after) if after >= before else (0.0, before)
    square, cube = _bend(before, after, rise, fall)  # the slope falls through zero once
    u = -rise / (square - math.sqrt(square * square - 3.0 * cube * rise))
    return u, before + u * (rise + u * (square + u * cube))


@compiled_part
def between(work: Array, length_s: float, u: float, place: int) -> float:
    """A state at the share u of the step: cubic through both ends with the rates there."""
    before, after = work[START, place], work[NEXT, place]
    rise, fall = length_s * work[RATE_1, place], length_s * work[RATE_END, place]
    square, cube = _bend(before, after, rise, fall)
    return float(before + u * (rise + u * (square + u * cube)))


@compiled_part
def note_step(time_s: float, length_s: float, held: bool, work: Array, out: Array) -> None:
    """Keep the extremes of the motion within the step."""
    if held:
        return
    u, height = peak(
        work[START, HEIGHT],
        work[NEXT, HEIGHT],
        length_s * work[RATE_1, HEIGHT],
        length_s * work[RATE_END, HEIGHT],
    )
    if height > out[TOP_HEIGHT]:
        out[TOP_HEIGHT] = height
        out[TOP_TIME] = time_s + u * length_s
    before, after = work[START, AIRSPEED], work[NEXT, AIRSPEED]
    rise, fall = length_s * work[RATE_1, AIRSPEED], length_s * work[RATE_END, AIRSPEED]
    _, fastest = peak(before, after, rise, fall)
    _, slowest = peak(-before, -after, -rise, -fall)
    out[HIGHEST_AIRSPEED] = max(out[HIGHEST_AIRSPEED], fastest)
    out[LOWEST_AIRSPEED] = min(out[LOWEST_AIRSPEED], -slowest)


@compiled_part
def note_point(
    time_s: float, powered: bool, power: Array, launch: Array, work: Array, point: Array, out: Array
) -> None:
    """Keep the extremes of the drive at the state in NEXT."""
    out[HIGHEST_MOTOR_TEMPERATURE] = max(out[HIGHEST_MOTOR_TEMPERATURE], work[NEXT, MOTOR_TEMPERATURE])
    out[HIGHEST_PACK_TEMPERATURE] = max(out[HIGHEST_PACK_TEMPERATURE], work[NEXT, PACK_TEMPERATURE])
    if powered:
        out[HIGHEST_PACK_CURRENT] = max(out[HIGHEST_PACK_CURRENT], point[PACK_CURRENT_A])
        out[HIGHEST_MOTOR_CURRENT] = max(out[HIGHEST_MOTOR_CURRENT], point[MOTOR_CURRENT_A])
        out[LOWEST_PACK_VOLTAGE] = min(out[LOWEST_PACK_VOLTAGE], point[PACK_VOLTAGE_V])
        soft_end = launch[MOTOR_START_S] + power[CONTROLLER_SOFT_START_S]
        if time_s >= soft_end and point[STATUS] != STATUS_OFF:
            out[DRIVE_STATUS] = max(out[DRIVE_STATUS], point[STATUS])


@compiled_part
def best_climb(heights: Array, rows: int) -> float:
    """Best mean climb between two of the first rows of the grid that lie the window of the mean apart."""
    width = round(CLIMB_WINDOW_s / GRID_s)
    best = math.nan
    for row in range(width, min(rows, heights.shape[0])):
        climb = (heights[row] - heights[row - width]) / CLIMB_WINDOW_s
        if not climb <= best:
            best = climb
    return best


@compiled_part
def stop_motor(
    reason: int,
    power: Array,
    launch: Array,
    start: Array,
    work: Array,
    heights: Array,
    clock: Array,
    out: Array,
) -> None:
    """Fill in what a motor stop at the present state settles."""
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
    out[BEST_CLIMB] = best_climb(heights, int(clock[ROW]))
    # the shift of the open-circuit volts is in the cells as a share of them; a cell is one of a whole number
    out[LOWEST_CELL_VOLTAGE] = out[LOWEST_PACK_VOLTAGE] / math.floor(power[PACK_CELLS_IN_SERIES] + 0.5)


@compiled_part
def end(launch: Array, start: Array, work: Array, clock: Array, out: Array) -> None:
    """Fill in what the end of the launch at the present state settles."""
    clock[ENDED] = 1.0
    out[END_TIME] = clock[NOW]
    out[CHARGE_USED] = work[START, CHARGE] - start[0]
    out[ZOOM_GAIN] = out[TOP_HEIGHT] - out[HEIGHT_AT_CUT]
    out[POTENTIAL_J] = launch[MASS_KG] * GRAVITY_m_s2 * (work[START, HEIGHT] - launch[THROW_HEIGHT_M])
    out[KINETIC_J] = 0.5 * launch[MASS_KG] * (work[START, AIRSPEED] ** 2 - clock[RELEASED] ** 2)
    for place in range(SIZE):
        out[END_STATE + place] = work[START, place]


@compiled_part
def _trace_row(row: int, work: Array, point: Array, trace: Array) -> None:
    trace[row, 0] = row * GRID_s
    trace[row, 1] = work[STAGE, HEIGHT]
    trace[row, 2] = work[STAGE, AIRSPEED]
    trace[row, 3] = work[STAGE, PATH]
    trace[row, 4] = work[STAGE, DISTANCE]
    trace[row, 5] = point[PACK_CURRENT_A]
    trace[row, 6] = point[PACK_VOLTAGE_V]
    trace[row, 7] = point[MOTOR_CURRENT_A]
    trace[row, 8] = point[REVS_PER_S]
    trace[row, 9] = point[THRUST_N]
    trace[row, 10] = work[STAGE, MOTOR_TEMPERATURE]
    trace[row, 11] = work[STAGE, PACK_TEMPERATURE]
    trace[row, 12] = work[STAGE, CHARGE]


@compiled_part
def fill_rows(
    now: float,
    length_s: float,
    powered: bool,
    power: Array,
    curves: Array,
    tables: Array,
    polar: Array,
    launch: Array,
    work: Array,
    point: Array,
    heights: Array,
    clock: Array,
    trace: Array,
) -> None:
    """Fill the rows of the uniform grid within the step from `now`, from the cubics between its ends."""
    while clock[ROW] * GRID_s <= now + length_s:
        row = int(clock[ROW])
        u = 1.0
        if length_s > 0.0:
            u = (row * GRID_s - now) / length_s
        if row < heights.shape[0]:
            heights[row] = between(work, length_s, u, HEIGHT)
        if row < trace.shape[0]:
            for place in range(MOVING):
                work[STAGE, place] = between(work, length_s, u, place)
            flight_rates(
                row * GRID_s, False, powered, power, curves, tables, polar, launch, work, STAGE, RATE_2, point
            )
            _trace_row(row, work, point, trace)
        clock[ROW] += 1.0
