"""First launches of many builds over the draws of a frame, and what they use of every limit."""

import math
from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from glidewright.decisions.choosing.axes import MOTOR, PACK, SERVOS
from glidewright.decisions.choosing.frame import Frame, kernel_inputs
from glidewright.decisions.choosing.labels import outside
from glidewright.decisions.choosing.loads import LOADS, used_shares
from glidewright.domain.class_limits import ClassLimits, Limit
from glidewright.forecast.flights import HEIGHT_COLUMN
from glidewright.forecast.prediction import Prediction
from glidewright.models.launch import layout as ll
from glidewright.models.launch.flights import launch_outputs
from glidewright.models.launch.steady_speed import steady_speeds_m_s
from glidewright.models.power import layout as pl
from glidewright.models.power.kernel import operating_points
from glidewright.rules.limiter import stop_that_keeps
from glidewright.rules.measures import MEASURES

Array = NDArray[np.float64]
Rows = NDArray[np.intp]

FLOWN = ("mass", "wing_loading", "total_loading", "energy", "motor_run", "climb_rate", "launch_height")
"""Measures of a class that a build's mass and its first launch settle."""
_ROUNDING = 1e-9


def flown_limits(rule: ClassLimits | None) -> list[Limit]:
    """Limits of a class that a first launch settles."""
    return [limit for limit in (() if rule is None else rule.limits) if limit.measure in FLOWN]


class Flight:
    """First launches of some builds; arrays are over all builds times draws, the draws of a build together.

    mass_kg: (builds, draws); speed_m_s: climb airspeed of each build, (builds,), that of the fastest steady
    climb at the middle where it is not given.
    """

    def __init__(
        self, frame: Frame, rows: tuple[Rows, ...], mass_kg: Array, speed_m_s: Array | None = None
    ) -> None:
        self.frame, self.rows = frame, rows
        inputs = kernel_inputs(frame, rows, mass_kg)
        self.speed_m_s = _speeds(frame, inputs) if speed_m_s is None else speed_m_s
        self._builds = mass_kg.shape[0]
        held = (self.speed_m_s[:, None] * frame.climb_factor).ravel()
        self.inputs = inputs.with_launch(climb_speed_m_s=held)
        self.values = {"mass_kg": mass_kg.ravel(), **self._at_rest(held), **self._launch()}
        self.limits = {load.name: self._each(frame.limits[load.name][rows[load.axis]]) for load in LOADS}
        self.hold_s = self._each(frame.hold_s[rows[MOTOR]])
        self.air_K = np.tile(frame.air_K, self._builds)
        self.used = used_shares(self.values, self.limits, self.hold_s, self.air_K)

    def _each(self, of_builds: Array) -> Array:
        return np.repeat(of_builds, self.frame.draws)

    def _at_rest(self, held: Array) -> dict[str, Array]:
        """Operating points at rest, in the climb and at twice its speed, from a full and rested pack."""
        launch, start, power = self.inputs.launch, self.inputs.start, self.inputs.power
        points = operating_points(
            power,
            self.inputs.curves,
            self.inputs.tables,
            airspeed_m_s=np.stack([np.zeros(held.size), held, 2.0 * self._each(self.speed_m_s)], axis=1),
            density_kg_m3=launch[:, ll.GROUND_DENSITY_KG_M3, None],
            charge_state=self.frame.model.launch.charge_at_start.value,
            motor_temperature_K=start[:, 2, None],
            pack_temperature_K=start[:, 3, None],
        )
        rest = points[:, 0]
        return {
            "static_motor_current_A": rest[:, pl.MOTOR_CURRENT_A],
            "motor_power_W": rest[:, pl.MOTOR_VOLTAGE_V] * rest[:, pl.MOTOR_CURRENT_A],
            "propeller_revs_per_s": points[:, 1:, pl.REVS_PER_S].max(axis=1),
            "drive_status": rest[:, pl.STATUS],
            "servo_supply_load_A": self.frame.load_A[self.rows[SERVOS]].ravel(),
        }

    def _launch(self) -> dict[str, Array]:
        """The first launch by the names of a prediction."""
        frame, out = self.frame, launch_outputs(self.inputs)
        count = frame.rule.height.count if frame.rule else "highest"
        true = out[:, HEIGHT_COLUMN[count]]
        offset, slope = (np.tile(one, self._builds) for one in frame.read)
        by_height = out[:, ll.CUT_REASON] == ll.CUT_BY_HEIGHT
        by_limiter = by_height & frame.orders.height_by.startswith("the limiter")
        return {
            "height_true_m": true,
            "height_counted_m": offset + slope * true,
            "height_at_cut_m": out[:, ll.HEIGHT_AT_CUT],
            "height_highest_m": out[:, ll.TOP_HEIGHT],
            "motor_run_s": out[:, ll.MOTOR_RUN],
            "mean_climb_m_s": out[:, ll.MEAN_CLIMB],
            "best_climb_m_s": out[:, ll.BEST_CLIMB],
            "cut_by_limiter": by_limiter.astype(np.float64),
            "energy_J": out[:, ll.END_STATE + ll.CHEMICAL_J],
            "charge_per_launch_As": out[:, ll.CHARGE_USED],
            "launch_motor_current_A": out[:, ll.HIGHEST_MOTOR_CURRENT],
            "launch_pack_current_A": out[:, ll.HIGHEST_PACK_CURRENT],
            "motor_temperature_K": out[:, ll.HIGHEST_MOTOR_TEMPERATURE],
            "pack_temperature_K": out[:, ll.HIGHEST_PACK_TEMPERATURE],
            "lowest_cell_V": out[:, ll.LOWEST_PACK_VOLTAGE] / self._each(frame.cells[self.rows[PACK]]),
        }

    def tests(self) -> Iterator[Array]:
        """The excess over each limit: drive, loads, class, ceiling; not a number is not judged."""
        frame, values = self.frame, self.values
        is_stuck = (values["drive_status"] != pl.STATUS_FOUND) | ~np.isfinite(values["height_true_m"])
        yield is_stuck.astype(np.float64)
        for load in LOADS:
            yield self.used[load.name] - 1.0 - _ROUNDING
        area = np.tile(frame.wing_area_m2, self._builds)
        shown = {**values, "wing_area_m2": area, "wing_loading_kg_m2": values["mass_kg"] / area}
        if frame.model.airframe.tail_area_m2 is not None:
            shown["tail_area_m2"] = np.full(area.size, frame.model.airframe.tail_area_m2.value)
        prediction = Prediction(frame.model, frame.rule, area.size, shown)
        for limit in flown_limits(frame.rule):
            yield _class_excess(prediction, limit)
        if frame.model.field.ceiling_m is not None:
            yield values["height_highest_m"] / frame.model.field.ceiling_m.value - 1.0 - _ROUNDING


def _speeds(frame: Frame, inputs: ll.LaunchInputs) -> Array:
    """Climb airspeed of each build: the one that the pilot states, else that of the fastest steady climb."""
    stated = frame.model.launch.climb_speed_m_s
    if stated is not None:
        return np.full(inputs.launch.shape[0], stated.value)
    return steady_speeds_m_s(inputs)[0]


def _class_excess(prediction: Prediction, limit: Limit) -> Array:
    """How far a class limit is exceeded; a stop by the limiter that keeps it does."""
    measure = MEASURES[limit.measure]
    assert measure.predicted is not None  # those of a launch are numbers
    found = measure.predicted(prediction, limit)
    if isinstance(found, str):
        return np.full(prediction.count, math.nan)
    excess = outside(found, limit)
    assert prediction.rule is not None  # it has this limit
    stop = stop_that_keeps(prediction, prediction.rule, limit)
    return excess if stop is None else np.where(stop.kept, 0.0, excess)
