"""Draws: the same standard-normal Sobol numbers for the same inputs, whatever model asks."""

import zlib
from collections.abc import Iterable
from functools import cache
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from glidewright.data import packaged

MOST_DRAWS = 4096
SOBOL_COLUMNS = 96
FIRST_BLOCK = 32

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
    "airframe.section_drag",
    "airframe.roughness",
    "airframe.build_up",
    "airframe.induced_drag",
    "airframe.stall",
    "airframe.neutral_point",
    "airframe.decalage",
    "airframe.zero_lift",
)


@cache
def _table() -> NDArray[np.float32]:
    with packaged("draws", "sobol_normal.npy").open("rb") as stream:
        table: NDArray[np.float32] = np.load(stream)
    return table


@cache
def column(name: str, count: int) -> NDArray[np.float64]:
    """Standard-normal draws of one input, shape (count,), not to be written to.

    An input of the fixed order has a column of the Sobol set. Any other one has a column whose blocks of
    32, 32, 64, 128, ... draws are shuffled by a generator that its name seeds: evenly spread over every
    power of two of draws, related to no other input beyond chance.
    """
    if name in FIXED_ORDER:
        return sobol_column(FIXED_ORDER.index(name), count)
    table = _table()
    seed = zlib.crc32(name.encode())
    random = np.random.Generator(np.random.PCG64(seed)).random((table.shape[0],))
    edges = (0, *(FIRST_BLOCK << k for k in range(8)))
    blocks = [start + np.argsort(random[start:end]) for start, end in pairwise(edges)]
    drawn: NDArray[np.float64] = table[np.concatenate(blocks)[:count], seed % table.shape[1]].astype(
        np.float64
    )
    drawn.flags.writeable = False
    return drawn


@cache
def sobol_column(index: int, count: int) -> NDArray[np.float64]:
    """One column of the packaged Sobol set, below `SOBOL_COLUMNS`, shape (count,), not to be written to."""
    drawn: NDArray[np.float64] = _table()[:count, index].astype(np.float64)
    drawn.flags.writeable = False
    return drawn


def standard_draws(names: Iterable[str], count: int) -> dict[str, NDArray[np.float64]]:
    """Standard-normal draws by input name; a name has the same draws whatever else is asked for."""
    if not 1 <= count <= MOST_DRAWS:
        raise ValueError(f"draws must be 1 to {MOST_DRAWS}; {count} came; choose a power of two")
    return {name: column(name, count) for name in names}
