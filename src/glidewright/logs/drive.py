"""What the pack gave in one motor run: charge, amps, volts, watts, resistance."""

from collections.abc import Sequence

import numpy as np

from glidewright.base.figure import Figure
from glidewright.domain.flight_record import FlightRecord, Samples

from .figures import P80, found
from .motor import MotorRun
from .practice import practice

_REST_s, _RECOVER_s, _LONGEST_RECOVERY_s = 5.0, 5.0, 60.0
_SETTLED_s = 1.0  # after motor start, before volts and amps are taken
_QUICK_s = 1.2  # after a switch, within which the quick resistance shows
_FEWEST = 3
Window = tuple[float, float]


def drive_figures(record: FlightRecord, run: MotorRun, next_start_s: float) -> dict[str, Figure]:
    """The figures of a launch that the channels of the drive give, by their names in the reading."""
    inside = (run.start_s, run.stop_s)
    made: dict[str, Figure] = {}
    charge = _charge(record, run)
    if charge is not None:
        error = practice("ammeter") / P80 * charge[0]
        made["charge"] = found(charge[0], error, "A s", "mAh", charge[1])
        mean = charge[0] / (run.stop_s - run.start_s)
        made["mean_current"] = found(mean, practice("ammeter") / P80 * mean, "A", "A", charge[1])
    amps = _inside(record, "current_A", inside)
    if amps is not None:
        made["highest_current"] = _extreme(_calm(amps).max(), amps, "A", "highest of three samples each")
    volts = _inside(record, "voltage_V", inside)
    if volts is not None:
        made["mean_voltage"] = _extreme(float(np.mean(volts)), volts, "V", "mean over the motor run")
        made["lowest_voltage"] = _extreme(_calm(volts).min(), volts, "V", "lowest of three samples each")
    made |= _at_rest(record, run, next_start_s)
    made |= _power(record, run)
    resistance = _resistance(record, run)
    if resistance is not None:
        made["pack_resistance"] = resistance
    revs = _inside(record, "revs_per_s", inside)
    if revs is not None:
        middle = float(np.median(revs))
        made["mean_motor_speed"] = found(middle, 0.01 * middle, "1/s", "rpm", "median over the motor run")
    return made


def _inside(record: FlightRecord, channel: str, window: Window) -> Samples | None:
    """The values of a channel within a window; None when there are too few."""
    values = record.channel(channel)
    if values is None:
        return None
    first, last = (
        np.searchsorted(record.time_s, window[0]),
        np.searchsorted(record.time_s, window[1], "right"),
    )
    own = values[first:last]
    own = own[np.isfinite(own)]
    return own if own.size >= _FEWEST else None


def _calm(values: Samples) -> Samples:
    """Running median of three."""
    around = np.stack([values[:-2], values[1:-1], values[2:]])
    calm: Samples = np.median(around, axis=0)
    return calm


def _extreme(value: float, values: Samples, unit: str, because: str) -> Figure:
    jumps = np.abs(np.diff(values))
    noise = float(np.median(jumps)) / 1.2 if jumps.size else 0.0
    return found(float(value), noise / 2.0, unit, unit, because)


def _charge(record: FlightRecord, run: MotorRun) -> tuple[float, str] | None:
    """Charge of a run: the integral of the amps, or the difference of a counter."""
    amps = record.channel("current_A")
    if amps is not None:
        first = np.searchsorted(record.time_s, run.start_s, "right")
        last = np.searchsorted(record.time_s, run.stop_s)
        known = np.isfinite(amps[first:last])
        time_s, own = record.time_s[first:last][known], amps[first:last][known]
        if own.size >= _FEWEST:
            grid = np.concatenate([[run.start_s], time_s, [run.stop_s]])
            values = np.concatenate([[own[0]], own, [own[-1]]])
            return float(
                np.trapezoid(values, grid)
            ), "integral of the recorded amps; such a sensor is good to 3 %"
    counted = record.channel("charge_As")
    if counted is not None:
        known = np.isfinite(counted)
        time_s, own = record.time_s[known], counted[known]
        if time_s.size >= _FEWEST and time_s[0] <= run.start_s and time_s[-1] >= run.stop_s:
            ends = np.interp([run.start_s, run.stop_s + _SETTLED_s], time_s, own)
            return float(
                abs(ends[1] - ends[0])
            ), "difference of the recorded counter; such a sensor is good to 3 %"
    return None


def _at_rest(record: FlightRecord, run: MotorRun, next_start_s: float) -> dict[str, Figure]:
    made = {}
    before = _inside(record, "voltage_V", (run.start_s - _REST_s, run.start_s - 0.5))
    if before is not None:
        made["resting_voltage"] = _extreme(
            float(np.median(before)), before, "V", "median of the last seconds before motor start"
        )
    end = min(run.stop_s + _LONGEST_RECOVERY_s, next_start_s - 0.5, float(record.time_s[-1]))
    if end > run.stop_s + 2.0 * _RECOVER_s:
        after = _inside(record, "voltage_V", (end - _RECOVER_s, end))
        if after is not None:
            made["recovered_voltage"] = _extreme(
                float(np.median(after)),
                after,
                "V",
                f"median of 5 s, {end - run.stop_s:.0f} s after motor stop",
            )
    return made


def _power(record: FlightRecord, run: MotorRun) -> dict[str, Figure]:
    volts, amps = record.channel("voltage_V"), record.channel("current_A")
    if volts is None or amps is None:
        return {}
    known_V, known_A = np.isfinite(volts), np.isfinite(amps)
    inside = (record.time_s >= run.start_s) & (record.time_s <= run.stop_s) & known_A
    if np.count_nonzero(inside) < _FEWEST or np.count_nonzero(known_V) < _FEWEST:
        return {}
    own = np.interp(record.time_s[inside], record.time_s[known_V], volts[known_V])
    mean = float(np.mean(own * amps[inside]))
    because = "mean of volts times amps; the ammeter is good to 3 %"
    return {"mean_power": found(mean, practice("ammeter") / P80 * mean, "W", "W", because)}


def _resistance(record: FlightRecord, run: MotorRun) -> Figure | None:
    """Change of the volts over that of the amps at motor start and stop; None where neither can be taken."""
    run_s = run.stop_s - run.start_s
    if run_s < 2.0 * _QUICK_s + _SETTLED_s:
        return None
    pairs: Sequence[tuple[Window, Window]] = (
        (
            (run.start_s - _REST_s, run.start_s - 0.3),
            (run.start_s + _SETTLED_s, run.start_s + _SETTLED_s + _QUICK_s),
        ),
        ((run.stop_s + 0.2, run.stop_s + _QUICK_s), (run.stop_s - _QUICK_s, run.stop_s - 0.2)),
    )
    ohms = [one for idle, loaded in pairs if (one := _ratio(record, idle, loaded)) is not None]
    if not ohms:
        return None
    mean = float(np.mean(ohms))
    half = 0.5 * abs(ohms[0] - ohms[-1]) if len(ohms) > 1 else 0.1 * mean
    return found(
        mean,
        float(np.hypot(half, 0.05 * mean)),
        "ohm",
        "mΩ",
        "fall and rise of the volts over the amps within a second; the slow part of the sag is not in it",
    )


def _ratio(record: FlightRecord, idle: Window, loaded: Window) -> float | None:
    values = [
        _inside(record, channel, window)
        for channel in ("voltage_V", "current_A")
        for window in (idle, loaded)
    ]
    if any(one is None for one in values):
        return None
    volts_idle, volts_loaded, amps_idle, amps_loaded = (
        float(np.median(one)) for one in values if one is not None
    )
    amps = amps_loaded - amps_idle
    return (volts_idle - volts_loaded) / amps if amps > practice("least_current") else None
