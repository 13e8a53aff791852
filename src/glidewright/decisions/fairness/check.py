"""What a logger that checks launches can tell: allowances, wrong verdicts, and the day's temperature."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glidewright.base.figure import Figure, Given, Grade, worst_grade
from glidewright.data import coefficients
from glidewright.decisions.fairness.flying import own_cut_m
from glidewright.decisions.fairness.nouns import ClimbCheck, HeightCheck, VerdictRow
from glidewright.decisions.fairness.options import CLIMB, HEIGHT, limit_on
from glidewright.decisions.fairness.spread import Flown
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.field import Field
from glidewright.domain.rule_options import CheckLogger
from glidewright.forecast.air import air_of
from glidewright.forecast.orders import DEFAULT_RUN_S
from glidewright.forecast.spread import Z90
from glidewright.models.air.indicated import true_height_m
from glidewright.models.launch import layout as ll
from glidewright.models.score import logger as lg

Array = NDArray[np.float64]

WINDOWS_s = (1.0, 2.0, 5.0, 10.0)
_LAUNCHES = 100  # evenly spread over all launches by their height
_ROWS_BELOW = 3  # allowances shown below and above the one that keeps the rate
_FINE_m = 0.1  # step of an allowance where the logger has none
_FARTHEST_m, _HALVINGS = 64.0, 13
_NEAR_TOP_s = (
    1.0  # so long a model stays near its highest point; the highest of the readings counts; judgement
)
_DEVICES = 512  # drawn for a check of the climb
_COUNT_WORDS = {
    "highest": "the highest reading up to {window:g} s after the stop",
    "at_cut": "the reading at the stop",
    "at_window_end": "the reading {window:g} s after the stop",
}


@dataclass(frozen=True)
class Device:
    """Errors of one logger as standard deviations, its step, and how often it reads."""

    height_error_m: float
    scale_error: float
    noise_m: float
    step_m: float
    sample_time_s: float

    def sigma_m(self, height_m: float) -> float:
        """Of a single reading at a height."""
        return lg.reading_sigma_m(height_m, self.height_error_m, self.scale_error, self.noise_m)

    def highest_m(self) -> float:
        """How far the highest of the readings near the top lies above a single one, on average."""
        return self.noise_m * lg.expected_highest(max(round(_NEAR_TOP_s / self.sample_time_s), 1))


@dataclass(frozen=True)
class Devices:
    """A good, a usual and a poor logger, the coldest and the warmest day, and where the numbers come from."""

    good: Device
    usual: Device
    poor: Device
    coldest_K: float
    warmest_K: float
    grade: Grade

    def each(self) -> tuple[Device, Device, Device]:
        """From the good one to the poor one."""
        return self.good, self.usual, self.poor


_ROWS = {
    "height_error_m": "height_error",
    "scale_error": "scale_error",
    "noise_m": "noise",
    "step_m": "step",
    "sample_time_s": "sample_time",
}


def devices_of(logger: CheckLogger) -> Devices:
    """The loggers that a committee states, or the packaged ones where it states nothing."""
    table = coefficients("logger")
    ends: list[dict[str, float]] = [{}, {}, {}]
    grades: list[Grade] = []
    for field, row in _ROWS.items():
        given: Given | None = getattr(logger, field)
        value, low, high = (float(table[row][key]) for key in ("value", "low", "high"))
        if given is not None:
            value = given.value
            low, high = (value if end is None else end for end in (given.low, given.high))
        grades.append("typical" if given is None else given.grade)
        scale = Z90 if field in ("height_error_m", "scale_error", "noise_m") else 1.0
        for end, number in zip(ends, (low, value, high), strict=True):
            end[field] = number / scale
    day = {}
    for field, row in (("coldest_K", "coldest"), ("warmest_K", "warmest")):
        given = getattr(logger, field)
        day[field] = float(table[row]["value"]) if given is None else given.value
    good, usual, poor = (Device(**end) for end in ends)
    return Devices(good, usual, poor, day["coldest_K"], day["warmest_K"], worst_grade(grades))


def height_check(
    flown: Flown, rule: ClassLimits, field: Field, devices: Devices, rate: float
) -> HeightCheck | None:
    """What a check of the launch height by another logger can tell; nothing without a stop by height.

    The launches are those that the limiter stopped, each as a perfect device would show it: what the limiter
    read wrong, and what still rises after the stop as far as it counts, are in them.
    """
    cut_m, limit = own_cut_m(rule), limit_on(rule, HEIGHT)
    bound_m = limit.at_most if limit is not None and limit.at_most is not None else cut_m
    stopped = [own.counted_m[own.reason == ll.CUT_BY_HEIGHT] for own in flown.launches]
    shown_m = np.concatenate(stopped)
    if shown_m.size == 0:
        return None
    over_m = np.quantile(shown_m, (np.arange(_LAUNCHES) + 0.5) / _LAUNCHES) - bound_m
    is_highest = rule.height.count == "highest"
    checks = [_Check(over_m, bound_m, one, is_highest) for one in devices.each()]
    exact = [_Check(_after_a_perfect_stop_m(flown, rule), bound_m, one, is_highest) for one in devices.each()]
    step = devices.usual.step_m or _FINE_m
    middle = round(checks[1].least_allowance_m(rate) / step)
    first = max(middle - _ROWS_BELOW, 0)
    allowances = [step * number for number in range(first, middle + _ROWS_BELOW + 1)]
    tolerance = limit.tolerance if limit is not None else 0.0
    pressure = air_of(field).pressure_Pa
    return HeightCheck(
        limit_m=bound_m,
        tolerance_m=tolerance,
        stop_keeps=limit is None or limit.stop_keeps,
        counted=_COUNT_WORDS[rule.height.count].format(window=rule.height.window_s),
        step_m=devices.usual.step_m,
        allowance=_figure([one.least_allowance_m(rate) for one in checks], "m", "m", devices),
        allowance_of_device=_figure([one.least_allowance_m(rate) for one in exact], "m", "m", devices),
        legal_over=Figure.of_draws(
            tolerance - (shown_m - bound_m), "m", "m", "typical", "from launch to launch and entry to entry"
        ),
        rows=tuple(_row(allowance, checks, devices, rate) for allowance in allowances),
        true_cold=_exact_m(true_height_m(cut_m, devices.coldest_K, pressure), devices.coldest_K),
        true_warm=_exact_m(true_height_m(cut_m, devices.warmest_K, pressure), devices.warmest_K),
        because=_FROM_DEVICES,
    )


def _after_a_perfect_stop_m(flown: Flown, rule: ClassLimits) -> Array:
    """Metres over the height of the stop that count after it, if every limiter stopped exactly there."""
    if rule.height.count == "at_cut":
        return np.zeros(1)
    stopped = [own.zoom_m[own.reason == ll.CUT_BY_HEIGHT] for own in flown.launches]
    rising: Array = np.quantile(np.concatenate(stopped), (np.arange(_LAUNCHES) + 0.5) / _LAUNCHES)
    return rising


_FROM_DEVICES = "range from a good to a poor logger; see the table [logger] of a file of options"


def _exact_m(height_m: float, day_K: float) -> Figure:
    because = f"at {day_K - 273.15:.0f} °C; a device knows the standard atmosphere only"
    return Figure.exact(height_m, "m", "m", "typical", because)


def _figure(numbers: Sequence[float], unit: str, shown: str, devices: Devices) -> Figure:
    good, usual, poor = numbers
    low, high = min(good, usual, poor), max(good, usual, poor)
    return Figure(
        value=usual, low=low, high=high, unit=unit, shown=shown, grade=devices.grade, because=_FROM_DEVICES
    )


@dataclass(frozen=True)
class _Check:
    """Legal launches over a height limit, as a perfect device shows them, and a logger that checks them.

    over_m: metres over the limit, shape (launches,).
    """

    over_m: Array
    bound_m: float
    device: Device
    is_highest: bool

    def chance_over(self, allowance_m: float, excess_m: float = 0.0) -> float:
        """Mean chance of being found over limit and allowance; excess_m: set so much too high."""
        edge = lg.threshold_m(self.bound_m + allowance_m, self.device.step_m) - self.bound_m
        sigma = self.device.sigma_m(self.bound_m)
        shown = self.over_m + excess_m + (self.device.highest_m() if self.is_highest else 0.0)
        if sigma <= 0.0:
            return float(np.mean(shown > edge))
        return sum(lg.standard_normal(z) for z in ((shown - edge) / sigma).tolist()) / shown.size

    def least_allowance_m(self, rate: float) -> float:
        """Least allowance, in whole steps, at which legal launches are found over at the rate at most."""
        step = self.device.step_m or _FINE_m
        number = 0
        while self.chance_over(step * number) > rate:
            number += 1
        return step * number

    def excess_found_m(self, allowance_m: float, rate: float) -> float:
        """Metres too high from which on all but the rate of the launches are found over, by halving."""
        low, high = 0.0, _FARTHEST_m
        for _ in range(_HALVINGS):
            middle = 0.5 * (low + high)
            if self.chance_over(allowance_m, middle) >= 1.0 - rate:
                high = middle
            else:
                low = middle
        return high


def _row(allowance_m: float, checks: Sequence[_Check], devices: Devices, rate: float) -> VerdictRow:
    over = [one.chance_over(allowance_m) for one in checks]
    excess = [one.excess_found_m(allowance_m, rate) for one in checks]
    return VerdictRow(
        allowance_m=allowance_m,
        legal_found_over=_figure(over, "1", "%", devices),
        excess_found=_figure(excess, "m", "m", devices),
    )


def climb_checks(
    climb_m_s: float, run_s: float, devices: Devices, rate: float, seed: int
) -> tuple[ClimbCheck, ...]:
    """How far the steepest reading of a climb that never varies lies above it, for several windows.

    climb_m_s: the limit; run_s: motor run over which the steepest window is looked for.
    """
    rng = np.random.Generator(np.random.PCG64(seed))
    times = round(run_s / devices.usual.sample_time_s) + 1
    noise = rng.standard_normal((_DEVICES, times))
    scale, start = rng.standard_normal((2, _DEVICES, 1))
    found = []
    for window in WINDOWS_s:
        if window < run_s:
            wide = [
                _climb_allowance(climb_m_s, one, window, rate, noise, scale, start) for one in devices.each()
            ]
            one_window = [_single(one, window, rate) for one in devices.each()]
            found.append(
                ClimbCheck(
                    window_s=window,
                    allowance=_figure(wide, "m/s", "m/s", devices),
                    single_window=_figure(one_window, "m/s", "m/s", devices),
                )
            )
    return tuple(found)


def _climb_allowance(
    climb_m_s: float, device: Device, window_s: float, rate: float, noise: Array, scale: Array, start: Array
) -> float:
    samples = max(round(window_s / device.sample_time_s), 1)
    times: Array = device.sample_time_s * np.arange(noise.shape[1], dtype=np.float64)
    offset = device.height_error_m * start
    reading = lg.readings_m(
        climb_m_s * times, 1.0 + device.scale_error * scale, offset, device.noise_m * noise, device.step_m
    )
    if samples >= times.size:
        return 0.0
    steepest = lg.steepest_m_s(reading, samples, device.sample_time_s)
    return max(float(np.quantile(steepest, 1.0 - rate)) - climb_m_s, 0.0)


def _single(device: Device, window_s: float, rate: float) -> float:
    sigma = lg.climb_sigma_m_s(device.noise_m, window_s)
    return lg.least_allowance_m(rate, sigma) if sigma > 0.0 else 0.0


def climb_limit_m_s(rules: Sequence[ClassLimits]) -> tuple[float, float] | None:
    """The first limit on the climb among some rules in m/s, and its motor run in s; nothing without one.

    A class that states no motor run has the usual one.
    """
    for rule in rules:
        limit = limit_on(rule, CLIMB)
        if limit is not None and limit.at_most is not None:
            return limit.at_most, rule.motor_run_s or DEFAULT_RUN_S
    return None
