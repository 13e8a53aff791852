"""Launches of many draws: the Python side of the compiled launch."""

import math

import numpy as np
import numpy.typing as npt

from glidewright.base.compiled import compiled, compiled_part, is_compiled, over_threads
from glidewright.models.launch.kernel import fly
from glidewright.models.launch.layout import (
    CUT_HEIGHT_M,
    END_CHARGE,
    GROUND_DENSITY_KG_M3,
    GROUND_TEMPERATURE_K,
    LAUNCH_FIELDS,
    MASS_KG,
    MOTOR_START_S,
    OUTPUT_FIELDS,
    PATH_TIME_CONSTANT_S,
    REST_S,
    RUN_LIMIT_S,
    SPEED_TIME_CONSTANT_S,
    START_FIELDS,
    START_SIZE,
    THROW_HEIGHT_M,
    TRACE_FIELDS,
    WIND_FLOOR_HEIGHT_M,
    WIND_REFERENCE_HEIGHT_M,
    WING_AREA_M2,
    GRID_s,
    LaunchInputs,
    LONGEST_FLIGHT_s,
)
from glidewright.models.launch.rates import WORK_SHAPE
from glidewright.models.power.kernel import KERNELS as POWER_KERNELS
from glidewright.models.power.kernel import pack_open_circuit
from glidewright.models.power.layout import (
    MOTOR_CONDUCTANCE_W_K,
    MOTOR_HEAT_CAPACITY_J_K,
    PACK_CAPACITY_AS,
    PACK_CONDUCTANCE_W_K,
    PACK_HEAT_CAPACITY_J_K,
    PACK_SLOW_RESISTANCE_RATIO,
    PACK_TIME_CONSTANT_S,
    SERVO_CURRENT_A,
    check_positive,
    check_power,
)

Array = npt.NDArray[np.float64]

TOLERANCE_m = 0.01
"""Error of one step of the integration that is let pass; that of the counted height comes out near it."""
STATE, POINT, CLOCK, HEIGHTS = range(4)
SCRATCH_SHAPE = (4, int(LONGEST_FLIGHT_s / GRID_s) + 1)
"""Scratch of one thread beside ``WORK_SHAPE``: the rows named above."""


@compiled_part
def rest(power: Array, tables: Array, launch: Array, state: Array) -> None:
    """Let a pack and a motor rest for ``rest_s``: `state` is a row of ``START_FIELDS``, changed in place.

    Servos and receiver go on drawing their current. Closed form: with a current that does not change, the
    RC pair and both temperatures come to their end values exponentially; the resistance is that of the begin.
    """
    time_s = launch[REST_S]
    air = launch[GROUND_TEMPERATURE_K]
    _, quick = pack_open_circuit(power, tables, 1.0 - state[0] / power[PACK_CAPACITY_AS], state[3])
    settled = power[SERVO_CURRENT_A] * quick * power[PACK_SLOW_RESISTANCE_RATIO]
    state[0] += power[SERVO_CURRENT_A] * time_s
    state[1] = settled + (state[1] - settled) * math.exp(-time_s / power[PACK_TIME_CONSTANT_S])
    motor_rate = power[MOTOR_CONDUCTANCE_W_K] / power[MOTOR_HEAT_CAPACITY_J_K]
    pack_rate = power[PACK_CONDUCTANCE_W_K] / power[PACK_HEAT_CAPACITY_J_K]
    state[2] = air + (state[2] - air) * math.exp(-time_s * motor_rate)
    state[3] = air + (state[3] - air) * math.exp(-time_s * pack_rate)


@compiled
def _fly_rows(
    power: Array,
    curves: Array,
    tables: Array,
    polar: Array,
    launch: Array,
    start: Array,
    tolerance_m: float,
    first: int,
    last: int,
    work: Array,
    scratch: Array,
    traces: Array,
    out: Array,
) -> None:
    """Fly launch after launch of the draws from `first` to `last`; `out` is (draws, launches, outputs)."""
    for draw in range(first, last):
        state = scratch[STATE]
        for place in range(START_SIZE):
            state[place] = start[draw, place]
        for number in range(out.shape[1]):
            row = out[draw, number]
            fly(
                power[draw], curves, tables, polar[draw], launch[draw], state, tolerance_m,
                work, scratch[POINT], scratch[HEIGHTS], scratch[CLOCK], traces[draw], row,
            )  # fmt: skip
            for place in range(START_SIZE):
                state[place] = row[END_CHARGE + place]
            if number + 1 == out.shape[1] or state[0] >= power[draw, PACK_CAPACITY_AS]:
                break
            rest(power[draw], tables, launch[draw], state)


KERNELS = (_fly_rows, *POWER_KERNELS)


def kernels_are_compiled() -> bool:
    """Whether the cache on disk holds every kernel, so that the next run need not compile."""
    return all(is_compiled(kernel) for kernel in KERNELS)


_POSITIVE = [
    MASS_KG,
    WING_AREA_M2,
    SPEED_TIME_CONSTANT_S,
    PATH_TIME_CONSTANT_S,
    WIND_REFERENCE_HEIGHT_M,
    WIND_FLOOR_HEIGHT_M,
    GROUND_DENSITY_KG_M3,
    GROUND_TEMPERATURE_K,
    THROW_HEIGHT_M,
]


def _check(inputs: LaunchInputs) -> None:
    """Raise ``ValueError`` where a kernel would find no end, divide by zero or leave a table."""
    may_be_infinite = [RUN_LIMIT_S, CUT_HEIGHT_M]
    known = np.delete(inputs.launch, may_be_infinite, axis=1)
    if not all(np.all(np.isfinite(block)) for block in (known, inputs.polar, inputs.start)):
        raise ValueError("every number of polar, launch and start must be finite")
    if np.any(np.isnan(inputs.launch[:, may_be_infinite])):
        raise ValueError("run_limit_s and cut_height_m must be numbers, infinite for no limit")
    check_power(inputs.power, inputs.curves, inputs.tables)
    check_positive(inputs.launch, _POSITIVE, LAUNCH_FIELDS)
    check_positive(inputs.start, [2, 3], START_FIELDS)
    if np.any(inputs.launch[:, MOTOR_START_S] < -LONGEST_FLIGHT_s):
        raise ValueError(f"motor_start_s must be later than -{LONGEST_FLIGHT_s}")


FEWEST_FLIGHTS = 32  # so many flights are worth a thread of their own


def _fly(inputs: LaunchInputs, launches: int, trace_rows: int, tolerance_m: float) -> tuple[Array, Array]:
    _check(inputs)
    draws = inputs.power.shape[0]
    out = np.full((draws, launches, len(OUTPUT_FIELDS)), np.nan)
    traces = np.full((draws, trace_rows, len(TRACE_FIELDS)), np.nan)

    def work(first: int, last: int) -> None:
        scratch = np.empty(WORK_SHAPE), np.empty(SCRATCH_SHAPE)
        _fly_rows(*inputs, tolerance_m, first, last, *scratch, traces, out)

    over_threads(draws, work, max(FEWEST_FLIGHTS // launches, 1))
    return out, traces


def launch_outputs(inputs: LaunchInputs, *, tolerance_m: float = TOLERANCE_m) -> Array:
    """One launch of every draw, shape (draws, ``OUTPUT_FIELDS``); the draws are shared out over the cores.

    >>> from glidewright.models.launch.example import example_inputs
    >>> from glidewright.models.launch.layout import HIGHEST_IN_WINDOW
    >>> launch_outputs(example_inputs(mass_kg=[0.50, 0.59, 0.70]))[:, HIGHEST_IN_WINDOW].round()
    array([261., 218., 185.])
    """
    return _fly(inputs, 1, 0, tolerance_m)[0][:, 0]


def launch_trace(
    inputs: LaunchInputs, *, duration_s: float, tolerance_m: float = TOLERANCE_m
) -> tuple[Array, Array]:
    """Traces of every draw on the same times and the outputs of the launches.

    The traces have the shape (draws, rows, ``TRACE_FIELDS``) with a row every ``GRID_s`` seconds from release
    to `duration_s`; after the end of the launch the glide goes on, after ground contact the rows are NaN.

    >>> from glidewright.models.launch.example import example_inputs
    >>> trace, _ = launch_trace(example_inputs(), duration_s=10.0)
    >>> trace.shape, trace[0, ::20, 1].round(1)  # height at 0, 5 and 10 s
    ((1, 41, 13), array([ 1.8, 37.3, 76. ]))
    """
    out, traces = _fly(inputs, 1, math.floor(duration_s / GRID_s + 1e-9) + 1, tolerance_m)
    return traces, out[:, 0]


def repeated_launches(inputs: LaunchInputs, launches: int, *, tolerance_m: float = TOLERANCE_m) -> Array:
    """Launch after launch from one charge with a rest of ``rest_s`` between.

    The shape is (draws, launches, ``OUTPUT_FIELDS``); launches after the pack is empty are NaN.

    >>> from glidewright.models.launch.example import example_inputs
    >>> from glidewright.models.launch.layout import HEIGHT_AT_CUT
    >>> repeated_launches(example_inputs(), 6)[0, :, HEIGHT_AT_CUT].round()  # the pack runs out in the fifth
    array([216., 194., 173., 151.,  37.,   3.])
    """
    return _fly(inputs, launches, 0, tolerance_m)[0]
