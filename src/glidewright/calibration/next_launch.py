"""The launches that a half-used pack still gives on the day: from what the flights of the day taught."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from glidewright.forecast.flights import HEIGHT_COLUMN
from glidewright.forecast.kernel_rows import read_height_m
from glidewright.models.launch import layout as ll
from glidewright.models.launch.flights import repeated_launches
from glidewright.models.launch.series import last_useful_launch

from .flown import rows_for
from .posterior import Posterior
from .predicted import drawn_for
from .season import Season, with_next

Array = NDArray[np.float64]
DRAWS = 256
FEWEST, MOST = 4, 32


@dataclass(frozen=True)
class NextLaunches:
    """Launches still to come from one charge, over the draws.

    counted_m: (draws, launches) height as the class counts it and the altimeter reads it; climb_m_s,
    lowest_cell_V, charge_left: the same shape; useful: (draws,) number of useful ones; bound_by: what ends
    them, place in ``CRITERIA``; charge_left_now: (draws,) share of the capacity before the next one.
    """

    counted_m: Array
    climb_m_s: Array
    lowest_cell_V: Array
    charge_left: Array
    useful: Array
    bound_by: NDArray[np.int64]
    charge_left_now: Array


def next_launches(season: Season, place: int, posterior: Posterior, first_climb_m_s: float) -> NextLaunches:
    """Launch on from the state after one launch, until no draw has a useful launch left.

    first_climb_m_s: mean climb of the first launch of this charge, which sluggish ones are held against.
    """
    one = with_next(season, place, posterior.centre())
    season = replace(season, flown=(*season.flown[: place + 1], one))
    made = drawn_for(season, place + 1, posterior, DRAWS)
    craft = season.crafts[one.craft]
    setup, inputs = rows_for(craft, one, made.scores, made.mass_kg)
    plan, capacity = season.model.launch, setup["pack.capacity"]
    flown = FEWEST
    while True:
        outputs = repeated_launches(inputs, flown)
        with_first = _with_first(outputs, first_climb_m_s)
        found = last_useful_launch(
            with_first,
            capacity,
            reserve=plan.reserve.value,
            climb_share=plan.sluggish.value,
            cell_voltage_V=plan.lowest_cell_V.value,
        )
        useful = np.maximum(found.launches - 1, 0)
        if flown >= MOST or int(useful.max()) < flown:
            break
        flown *= 2
    rule = season.rule
    height = outputs[:, :, HEIGHT_COLUMN[rule.height.count if rule else "highest"]]
    counted = np.stack([read_height_m(setup, height[:, number]) for number in range(flown)], axis=1)
    cells = float(craft.power.drive.pack.cells)
    return NextLaunches(
        counted_m=counted,
        climb_m_s=outputs[:, :, ll.MEAN_CLIMB],
        lowest_cell_V=outputs[:, :, ll.LOWEST_PACK_VOLTAGE] / cells,
        charge_left=np.maximum(1.0 - outputs[:, :, ll.END_CHARGE] / capacity[:, None], 0.0),
        useful=useful.astype(np.float64),
        bound_by=found.bound_by,
        charge_left_now=np.clip(1.0 - inputs.start[:, 0] / capacity, 0.0, 1.0),
    )


def _with_first(outputs: Array, first_climb_m_s: float) -> Array:
    """The launches with one before them that keeps every criterion and climbed as the first of the charge."""
    first = outputs[:, :1].copy()
    first[:, 0, ll.MEAN_CLIMB] = first_climb_m_s
    first[:, 0, ll.END_CHARGE] = 0.0
    first[:, 0, ll.LOWEST_CELL_VOLTAGE] = np.inf
    first[:, 0, ll.MOTOR_RUN] = 1.0
    first[:, 0, ll.GROUND_CONTACT] = 0.0
    return np.concatenate([first, outputs], axis=1)
