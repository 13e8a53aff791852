"""Kv and resistance of a motor from bench readings of volts, amps and revolutions at full throttle.

Least squares of Drela's first-order motor, equation (3): ``w = Kv V - (Kv R) I``. With the voltage read at
the pack, R holds motor, controller and leads together, at the temperature of the run.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

# Thresholds of the warnings: common practice, not physics.
LEAST_LOAD_SPREAD = 0.15  # span of I/V over its mean below which Kv and R cannot be told apart
LEAST_READINGS = 3
WIDEST_RESISTANCE_SIGMA = 0.25
LABEL_TOLERANCE = 0.15
WIDEST_RMS = 0.02


@dataclass(frozen=True)
class MotorFit:
    """What bench readings say of a motor; sigmas are one standard deviation, NaN when nothing is left over.

    ``covariance`` is that of (Kv, R). ``rms_revs_per_s`` and ``rms_relative`` say how well the model meets
    the readings, ``condition`` is the condition number of the scaled fit, ``load_spread`` the span of I/V
    over its mean. ``warnings`` holds one sentence each; empty when the fit may be used as it is.
    """

    kv_rad_per_Vs: float
    resistance_ohm: float
    no_load_current_A: float | None
    kv_sigma_rad_per_Vs: float
    resistance_sigma_ohm: float
    covariance: tuple[tuple[float, float], tuple[float, float]]
    rms_revs_per_s: float
    rms_relative: float
    worst_relative: float
    condition: float
    load_spread: float
    readings: int
    warnings: tuple[str, ...]


def identify_motor(
    voltage_V: Sequence[float] | NDArray[np.float64],
    current_A: Sequence[float] | NDArray[np.float64],
    revs_per_s: Sequence[float] | NDArray[np.float64],
    torque_Nm: Sequence[float] | NDArray[np.float64] | None = None,
    label_kv_rad_per_Vs: float | None = None,
) -> MotorFit:
    """Kv, R and, when torque was read, the no-load current of a motor from full-throttle readings.

    Arrays of equal length n >= 2, all numbers finite and above zero. Raises ``ValueError`` otherwise.

    >>> fit = identify_motor([10.0, 10.0, 9.8], [2.0, 10.0, 20.0], [156.0, 143.2, 124.1])
    >>> round(fit.kv_rad_per_Vs), round(fit.resistance_ohm, 3), fit.warnings
    (100, 0.1, ())
    """
    volts, amps, revs = (_readings(name, values) for name, values in (
        ("voltage_V", voltage_V), ("current_A", current_A), ("revs_per_s", revs_per_s),
    ))  # fmt: skip
    if not len(volts) == len(amps) == len(revs) or len(volts) < 2:
        raise ValueError(
            "voltage, current and revolutions must be lists of the same length, at least two readings; "
            f"came {len(volts)}, {len(amps)} and {len(revs)}"
        )
    speed = 2.0 * math.pi * revs
    matrix = np.column_stack((volts, -amps))
    (kv, slope), *_ = np.linalg.lstsq(matrix, speed, rcond=None)
    residual = matrix @ np.array((kv, slope)) - speed
    covariance = _covariance(matrix, residual, float(kv), float(slope))
    load = amps / volts
    no_load = None
    if torque_Nm is not None:
        torque = _readings("torque_Nm", torque_Nm)
        if len(torque) != len(amps):
            raise ValueError(
                f"torque must have one reading for each current: {len(amps)}, came {len(torque)}"
            )
        no_load = float(np.mean(amps - torque * kv))
    fit = MotorFit(
        kv_rad_per_Vs=float(kv),
        resistance_ohm=float(slope / kv),
        no_load_current_A=no_load,
        kv_sigma_rad_per_Vs=math.sqrt(covariance[0][0]),
        resistance_sigma_ohm=math.sqrt(covariance[1][1]),
        covariance=covariance,
        rms_revs_per_s=float(np.sqrt(np.mean(residual**2)) / (2.0 * math.pi)),
        rms_relative=float(np.sqrt(np.mean((residual / speed) ** 2))),
        worst_relative=float(np.max(np.abs(residual / speed))),
        condition=float(np.linalg.cond(matrix / np.linalg.norm(matrix, axis=0))),
        load_spread=float((load.max() - load.min()) / load.mean()),
        readings=len(volts),
        warnings=(),
    )
    return replace(fit, warnings=_warnings(fit, label_kv_rad_per_Vs))


def _readings(name: str, values: Sequence[float] | NDArray[np.float64]) -> NDArray[np.float64]:
    array = np.asarray(values, dtype=np.float64)
    if array.ndim != 1 or not np.all(np.isfinite(array)) or not np.all(array > 0.0):
        raise ValueError(f"{name} must be a list of finite numbers above zero")
    return array


def _covariance(
    matrix: NDArray[np.float64], residual: NDArray[np.float64], kv: float, slope: float
) -> tuple[tuple[float, float], tuple[float, float]]:
    """Covariance of (Kv, R) by the delta method from that of (Kv, Kv R); NaN with no reading to spare."""
    spare = len(residual) - 2
    if spare < 1:
        return ((math.nan, math.nan), (math.nan, math.nan))
    raw = np.linalg.pinv(matrix.T @ matrix) * (residual @ residual / spare)
    jacobian = np.array(((1.0, 0.0), (-slope / kv**2, 1.0 / kv)))
    found = jacobian @ raw @ jacobian.T
    return (
        (float(found[0, 0]), float(found[0, 1])),
        (float(found[1, 0]), float(found[1, 1])),
    )


def _warnings(fit: MotorFit, label_kv_rad_per_Vs: float | None) -> tuple[str, ...]:
    found = []
    if fit.load_spread < LEAST_LOAD_SPREAD:
        found.append(
            f"The loads are nearly the same (amps per volt differ by {100 * fit.load_spread:.0f} %), "
            "so Kv and resistance cannot be told apart; take readings "
            "with a much smaller and a much larger propeller."
        )
    if fit.readings < LEAST_READINGS:
        found.append("Two readings fit any motor exactly; take at least a third with another propeller.")
    if fit.resistance_ohm <= 0.0:
        found.append(
            f"The resistance comes out as {1000 * fit.resistance_ohm:.0f} mΩ, which cannot be; "
            "check that all readings are at full throttle and belong to one motor."
        )
    elif fit.resistance_sigma_ohm > WIDEST_RESISTANCE_SIGMA * fit.resistance_ohm:
        found.append(
            f"The resistance is known only to ±{100 * fit.resistance_sigma_ohm / fit.resistance_ohm:.0f} %; "
            "take readings over a wider range of loads."
        )
    if fit.rms_relative > WIDEST_RMS:
        found.append(
            f"The readings miss the motor model by {100 * fit.rms_relative:.1f} % in revolutions; "
            "check for part throttle, a slipping propeller or a misread value."
        )
    # a fit that cannot tell Kv from R says nothing about the label
    if label_kv_rad_per_Vs is not None and fit.load_spread >= LEAST_LOAD_SPREAD:
        ratio = fit.kv_rad_per_Vs / label_kv_rad_per_Vs
        if abs(ratio - 1.0) > LABEL_TOLERANCE:
            found.append(
                f"The readings say Kv {fit.kv_rad_per_Vs * 30 / math.pi:.0f} rpm/V, "
                f"the label {label_kv_rad_per_Vs * 30 / math.pi:.0f}; "
                "the label or the readings belong to another motor."
            )
    return tuple(found)
