"""Draws: the same standard-normal Sobol numbers for the same inputs, whatever model asks."""

from collections.abc import Iterable, Sequence
from functools import cache

import numpy as np
from numpy.typing import NDArray

from glidewright.data import packaged

MOST_DRAWS = 4096

# Inputs of the power train, the airframe and the day keep their column for ever, so that two models are
# compared on the same draws; new ones are added at the end.
FIXED_ORDER = (
    "motor.kv",
    "motor.resistance",
    "motor.no_load_current",
    "controller.resistance",
    "pack.resistance",
    "pack.capacity",
    "pack.open_voltage",
    "propeller.thrust",
    "propeller.power",
    "airframe.drag_zero",
    "airframe.span_efficiency",
    "airframe.lift_ceiling",
    "launch.climb_speed",
    "launch.throw_speed",
    "field.headwind",
    "field.temperature",
    "launch.motor_run",
    "motor.heat_capacity",
    "motor.cooling",
    "pack.heat_capacity",
    "radio.current",
    "controller.part_load",
    "airframe.installation",
    "airframe.wing_area",
    "airframe.folded_drag_area",
    "launch.speed_time",
    "launch.path_time",
    "launch.glide_speed",
    "field.wind_exponent",
    "altimeter.error",
    "airframe.lift_least_drag",
    "controller.soft_start",
    "motor.loss_slope",
    "pack.relaxation",
    "airframe.span",
    "propeller.zero_thrust",
    "motor.apparent_resistance",
    "controller.low_voltage_cut",
    "pack.cooling",
    "pack.slow_ratio",
    "pack.cold",
)


@cache
def _table() -> NDArray[np.float32]:
    with packaged("draws", "sobol_normal.npy").open("rb") as stream:
        table: NDArray[np.float32] = np.load(stream)
    return table


def ordered(names: Iterable[str]) -> tuple[str, ...]:
    """Names in the order in which they take columns: the fixed ones first, the others sorted."""
    rest = sorted(set(names) - set(FIXED_ORDER))
    return (*FIXED_ORDER, *rest)


@cache
def column(index: int, count: int) -> NDArray[np.float64]:
    """Standard-normal draws of one column, shape (count,), not to be written to.

    The packaged set has 96 columns of 4096 draws; a later column is an earlier one shuffled by a generator
    seeded with its index: evenly spread on its own, related to no other beyond chance.
    """
    table = _table()
    rows, columns = table.shape
    if index < columns:
        first: NDArray[np.float64] = table[:count, index].astype(np.float64)
        first.flags.writeable = False
        return first
    order = np.argsort(np.random.Generator(np.random.PCG64(index)).random((rows,)))
    shuffled: NDArray[np.float64] = table[order[:count], index % columns].astype(np.float64)
    shuffled.flags.writeable = False
    return shuffled


def standard_draws(names: Sequence[str], count: int) -> dict[str, NDArray[np.float64]]:
    """Standard-normal draws by input name, the same for the same name and set of other names."""
    if not 1 <= count <= MOST_DRAWS:
        raise ValueError(f"draws must be 1 to {MOST_DRAWS}; {count} came; choose a power of two")
    wanted = set(names)
    return {name: column(i, count) for i, name in enumerate(ordered(names)) if name in wanted}
