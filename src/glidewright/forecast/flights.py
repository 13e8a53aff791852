"""Results of the first launch and of all launches of one charge, by public name."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glidewright.forecast.kernel_rows import Orders, read_height_m
from glidewright.forecast.power_inputs import PowerInputs
from glidewright.forecast.setup import Setup
from glidewright.models.launch import layout as ll
from glidewright.models.launch.flights import launch_outputs, launch_trace, repeated_launches
from glidewright.models.launch.series import last_useful_launch

Array = NDArray[np.float64]

REPEATED_DRAWS = 256  # launches of a whole charge are flown over the first draws only
FEWEST_FLOWN, MOST_FLOWN = 8, 64
HEIGHT_COLUMN = {
    "highest": ll.HIGHEST_IN_WINDOW,
    "at_cut": ll.HEIGHT_AT_CUT,
    "at_window_end": ll.HEIGHT_AT_WINDOW_END,
}


@dataclass(frozen=True)
class ManyLaunches:
    """Launches of one charge.

    outputs: (draws, launches, output fields); useful: (draws,) number of useful launches; bound_by: (draws,)
    place in models.launch.series.CRITERIA of what ended them.
    """

    outputs: Array
    useful: Array
    bound_by: NDArray[np.int64]


def first_launch(
    setup: Setup, inputs: ll.LaunchInputs, orders: Orders, with_trace: bool
) -> tuple[dict[str, Array], Array, Array]:
    """Results of the first launch over all draws by public name, its outputs, its trace (one row without)."""
    duration = 1.0 + math.ceil(orders.motor_run_s + orders.window_s)
    trace, first = launch_trace(inputs, duration_s=duration if with_trace else 0.0)
    rule = setup.rule
    column = HEIGHT_COLUMN[rule.height.count if rule else "highest"]
    values: dict[str, Array] = {}
    values["height_true_m"] = first[:, column]
    values["height_counted_m"] = read_height_m(setup, first[:, column])
    values["height_at_cut_m"] = first[:, ll.HEIGHT_AT_CUT]
    values["height_highest_m"] = first[:, ll.TOP_HEIGHT]
    values["motor_run_s"] = first[:, ll.MOTOR_RUN]
    values["mean_climb_m_s"] = first[:, ll.MEAN_CLIMB]
    values["best_climb_m_s"] = first[:, ll.BEST_CLIMB]
    values["zoom_m"] = first[:, ll.ZOOM_GAIN]
    by_limiter = orders.height_by.startswith("the limiter")
    values["cut_by_height"] = (first[:, ll.CUT_REASON] == ll.CUT_BY_HEIGHT).astype(np.float64)
    values["cut_by_limiter"] = values["cut_by_height"] * by_limiter
    values["motor_run_lost_s"] = np.where(
        first[:, ll.CUT_REASON] == ll.CUT_BY_HEIGHT, orders.motor_run_s - first[:, ll.MOTOR_RUN], 0.0
    )
    values["height_without_limiter_m"] = read_height_m(setup, _without_height_cut(inputs, first, column))
    values["energy_J"] = first[:, ll.END_STATE + ll.CHEMICAL_J]
    values["charge_per_launch_As"] = first[:, ll.CHARGE_USED]
    values["launch_motor_current_A"] = first[:, ll.HIGHEST_MOTOR_CURRENT]
    values["launch_pack_current_A"] = first[:, ll.HIGHEST_PACK_CURRENT]
    values["motor_temperature_K"] = first[:, ll.HIGHEST_MOTOR_TEMPERATURE]
    values["pack_temperature_K"] = first[:, ll.HIGHEST_PACK_TEMPERATURE]
    values["highest_airspeed_m_s"] = first[:, ll.HIGHEST_AIRSPEED]
    values["lowest_cell_V"] = first[:, ll.LOWEST_PACK_VOLTAGE] / cells_of(setup)
    return values, first, trace


def _without_height_cut(inputs: ll.LaunchInputs, first: Array, column: int) -> Array:
    """Counted height if nothing stopped the motor by height; only the draws that were stopped fly again."""
    height: Array = first[:, column].copy()
    cut = np.flatnonzero(first[:, ll.CUT_REASON] == ll.CUT_BY_HEIGHT)
    if cut.size:
        power, curves, tables, polar, launch, start = inputs
        again = ll.LaunchInputs(power[cut], curves, tables, polar[cut], launch[cut], start[cut])
        height[cut] = launch_outputs(again.with_launch(cut_height_m=np.inf))[:, column]
    return height


def cells_of(setup: Setup) -> float:
    """Cells in series of the fitted pack."""
    return float(setup.power.drive.pack.cells) if isinstance(setup.power, PowerInputs) else 1.0


def many_launches(setup: Setup, inputs: ll.LaunchInputs) -> tuple[dict[str, Array], ManyLaunches]:
    """Fly one charge until no draw has a useful launch left; results are over the first draws only."""
    plan = setup.model.launch
    some = inputs.rows(0, min(setup.count, REPEATED_DRAWS))
    flown = FEWEST_FLOWN
    while True:
        outputs = repeated_launches(some, flown)
        found = last_useful_launch(
            outputs,
            setup["pack.capacity"][: outputs.shape[0]],
            reserve=plan.reserve.value,
            climb_share=plan.sluggish.value,
            cell_voltage_V=plan.lowest_cell_V.value,
        )
        useful, bound = found.launches.astype(np.float64), found.bound_by
        if flown >= MOST_FLOWN or int(found.launches.max()) < flown:
            break
        flown *= 2
    last = np.maximum(useful - 1, 0)
    upto = np.arange(flown)[None, :] <= last[:, None]
    values = {"launches": useful}
    for name, place in (
        ("motor_temperature_last_K", ll.HIGHEST_MOTOR_TEMPERATURE),
        ("pack_temperature_last_K", ll.HIGHEST_PACK_TEMPERATURE),
    ):
        values[name] = np.nanmax(np.where(upto, outputs[:, :, place], -np.inf), axis=1)
    return values, ManyLaunches(outputs, useful, bound)
