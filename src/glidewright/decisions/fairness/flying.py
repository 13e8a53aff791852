"""Launches of many builds under one rule, and the airspeed that is best for each of them.

Best is what the house calls so everywhere: where some airspeed brings the model to the height that stops the
motor, the soonest stop, else the highest point that counts.
"""

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from glidewright.decisions.fairness.frame import CENTRE, DAY, Frame, Settings, Train
from glidewright.decisions.fairness.options import CLIMB, ENERGY, HEIGHT, RUN, limit_on
from glidewright.domain.class_limits import ClassLimits
from glidewright.forecast.flights import HEIGHT_COLUMN
from glidewright.forecast.orders import DEFAULT_RUN_S
from glidewright.models.launch import layout as ll
from glidewright.models.launch.climb_speed import FASTEST_OVER_STALL, SLOWEST_OVER_STALL, stalling_speed_m_s
from glidewright.models.launch.flights import launch_outputs, launch_trace

Array = NDArray[np.float64]
Places = NDArray[np.int64]

LONGEST_RUN_S = 300.0  # where the height alone stops the motor; a pack of this size is empty before
_TRIED = (12, 7, 5)  # airspeeds, each round between the neighbours of the best one before
_SLOW = 0.1  # of all launches are flown slower than that

Known = dict[tuple[object, ...], Settings]


class Flying:
    """Builds on one airframe under one rule; known: best airspeeds that other rules have found already."""

    def __init__(
        self, frame: Frame, trains: Sequence[Train], rule: ClassLimits, known: Known | None = None
    ) -> None:
        self.frame, self.trains, self.rule = frame, trains, rule
        self._known: Known = {} if known is None else known
        self.climb, self.energy = limit_on(rule, CLIMB), limit_on(rule, ENERGY)
        self.counted = HEIGHT_COLUMN[rule.height.count]
        self.slow = float(np.quantile(frame.blocks[DAY].climb, _SLOW))

    def fly(self, kind: str, which: Places, settings: Settings) -> tuple[Array, Array]:
        """Outputs, (rows, draws, output fields), and the climb as the limit on it takes it, (rows, draws)."""
        inputs = self.frame.inputs(kind, self.trains, which, settings, self.rule)
        shape = (which.size, self.frame.blocks[kind].count)
        window = None if self.climb is None else self.climb.window_s
        if window is None or window == ll.CLIMB_WINDOW_s:
            outputs = launch_outputs(inputs)
            column = ll.MEAN_CLIMB if window is None else ll.BEST_CLIMB
            climb = outputs[:, column]
        else:
            longest = float(np.min([np.max(settings.run_s) + 2.0, LONGEST_RUN_S]))
            traces, outputs = launch_trace(inputs, duration_s=longest)
            climb = steepest_m_s(traces, outputs[:, ll.CUT_TIME], window)
        climb = np.nan_to_num(climb, nan=0.0)  # shorter than the window: nothing to be over
        return outputs.reshape(*shape, -1), climb.reshape(shape)

    def best(self, base: Settings) -> Settings:
        """The best airspeeds at full throttle, found once for rules that differ in nothing that matters."""
        rule = self.rule
        asked = (
            tuple(map(id, self.trains)),
            run_limit_s(rule),
            rule.motor_run_from,
            own_cut_m(rule),
            rule.height,
        )
        key = (*asked, base.ballast_kg.tobytes())
        if key not in self._known:
            self._known[key] = _best(self, np.arange(len(self.trains)), base)
        return self._known[key]

    def steep_m_s(self, which: Places, settings: Settings) -> Array:
        """The climb that the limit on it sees when the airspeed is held as slow as it often is, (rows,).

        An owner under such a limit flies faster than at the best climb, and every lapse is steeper.
        """
        return self.fly(CENTRE, which, settings.having(climb_m_s=self.slow * settings.climb_m_s))[1][:, 0]


def steepest_m_s(traces: Array, cut_s: Array, window_s: float) -> Array:
    """Steepest mean climb over any window up to the motor stop, shape (draws,); not a number if too short.

    traces: (draws, rows, trace fields) on the grid of a launch; cut_s: motor stops after release, (draws,);
    the window counts in whole steps of the grid.
    """
    steps = max(round(window_s / ll.GRID_s), 1)
    height, time = traces[:, :, 1], traces[:, :, 0]
    if height.shape[1] <= steps:
        return np.full(traces.shape[0], np.nan)
    gain = (height[:, steps:] - height[:, :-steps]) / (steps * ll.GRID_s)
    gain = np.where(time[:, steps:] <= cut_s[:, None] + 1e-9, gain, -np.inf)
    steepest = np.max(np.nan_to_num(gain, nan=-np.inf), axis=1)
    return np.where(np.isfinite(steepest), steepest, np.nan)


def run_limit_s(rule: ClassLimits) -> float:
    """Longest motor run of a rule in s; an assumed one where the rule leaves it open."""
    limit = limit_on(rule, RUN)
    stated = [rule.motor_run_s, limit.at_most if limit is not None else None]
    known = [one for one in stated if one is not None]
    if known:
        return min(known)
    return LONGEST_RUN_S if math.isfinite(own_cut_m(rule)) else DEFAULT_RUN_S


def own_cut_m(rule: ClassLimits) -> float:
    """Indicated height at which the device, or an owner's switch, stops the motor; infinite for none."""
    if rule.cut_height_m is not None:
        return rule.cut_height_m
    limit = limit_on(rule, HEIGHT)
    return math.inf if limit is None or limit.at_most is None else limit.at_most


def stalls_m_s(flying: Flying, places: Places, settings: Settings) -> Array:
    """Straight stalling speeds of some builds at their centre, shape (places,)."""
    inputs = flying.frame.inputs(CENTRE, flying.trains, places, settings, flying.rule)
    speed: Array = stalling_speed_m_s(inputs)
    return speed


def merit_of(outputs: Array) -> Array:
    """Greater is better: the soonest stop by height, else the highest point that counts, no landing."""
    one = outputs[:, 0]
    stopped = one[:, ll.CUT_REASON] == ll.CUT_BY_HEIGHT
    soon = 1e6 + ll.LONGEST_FLIGHT_s - one[:, ll.CUT_TIME]
    merit = np.where(stopped, soon, np.nan_to_num(one[:, ll.HIGHEST_IN_WINDOW]))
    return np.where(one[:, ll.GROUND_CONTACT] == 1.0, -1e6, merit)


def _best(flying: Flying, places: Places, base: Settings) -> Settings:
    """The best airspeed at full throttle for the whole run, whatever the climb and the energy."""
    stall = stalls_m_s(flying, places, base)
    low, high = SLOWEST_OVER_STALL * stall, FASTEST_OVER_STALL * stall
    speed = base.climb_m_s
    for count in _TRIED:
        speeds = low[:, None] + (high - low)[:, None] * np.linspace(0.0, 1.0, count)
        tried = base.rows(np.repeat(np.arange(places.size), count)).having(climb_m_s=speeds.ravel())
        outputs, _ = flying.fly(CENTRE, np.repeat(places, count), tried)
        best = np.argmax(merit_of(outputs).reshape(places.size, count), axis=1)
        rows = np.arange(places.size)
        speed = speeds[rows, best]
        low, high = speeds[rows, np.maximum(best - 1, 0)], speeds[rows, np.minimum(best + 1, count - 1)]
    return base.having(climb_m_s=speed)
