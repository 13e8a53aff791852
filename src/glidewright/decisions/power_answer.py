"""The power train at rest, in the climb and over airspeeds."""

import numpy as np
from numpy.typing import NDArray

from glidewright.decisions.nouns import NamedFigure, PointAnswer, PowerAnswer, Series
from glidewright.forecast.power_inputs import PowerInputs
from glidewright.forecast.predict import Forecast
from glidewright.models.power import layout as pl
from glidewright.rules.finding import Finding

Array = NDArray[np.float64]

_COLUMNS: tuple[tuple[str, str, int, str], ...] = (
    ("pack_current_A", "Pack current", pl.PACK_CURRENT_A, "A"),
    ("motor_current_A", "Motor current", pl.MOTOR_CURRENT_A, "A"),
    ("pack_voltage_V", "Volts at the pack", pl.PACK_VOLTAGE_V, "V"),
    ("motor_voltage_V", "Volts at the motor", pl.MOTOR_VOLTAGE_V, "V"),
    ("revs_per_s", "Speed of the propeller", pl.REVS_PER_S, "rpm"),
    ("thrust_N", "Thrust", pl.THRUST_N, "N"),
    ("shaft_power_W", "Shaft power", pl.SHAFT_POWER_W, "W"),
    ("copper_loss_W", "Loss in the winding", pl.COPPER_LOSS_W, "W"),
    ("no_load_loss_W", "Idle loss of the motor", pl.NO_LOAD_LOSS_W, "W"),
    ("controller_loss_W", "Loss in controller, commutation and leads", pl.CONTROLLER_LOSS_W, "W"),
    ("pack_loss_W", "Loss in the pack", pl.PACK_LOSS_W, "W"),
    ("servo_power_W", "Radio", pl.SERVO_POWER_W, "W"),
)
_OVER_SPEED = ("pack_current_A", "thrust_N", "revs_per_s", "shaft_power_W")


def power_answer(
    forecast: Forecast, findings: tuple[Finding, ...], evidence: tuple[str, ...]
) -> PowerAnswer | None:
    """Operating points with spread, or nothing while the power train is incomplete."""
    power, points = forecast.setup.power, forecast.points
    if not isinstance(power, PowerInputs) or points is None:
        return None
    climb = forecast.climb_speed_draws_m_s()
    drive = power.drive
    return PowerAnswer(
        motor=drive.motor.name,
        controller=drive.controller.name,
        pack=drive.pack.name,
        propeller=drive.propeller.name,
        propeller_curve=power.curve.because,
        at_rest=_point(forecast, "At rest", np.zeros(forecast.setup.count), points[:, 0]),
        in_climb=_point(forecast, "In the climb", climb, points[:, 1]),
        airspeeds_m_s=tuple(float(v) for v in forecast.airspeeds_m_s),
        over_airspeed=tuple(
            Series.of_draws(name, title, shown, points[:, 2:, column])
            for name, title, column, shown in _COLUMNS
            if name in _OVER_SPEED
        ),
        margins=tuple(f for f in findings if f.kind == "part"),
        evidence=evidence,
    )


def _point(forecast: Forecast, title: str, airspeed: Array, point: Array) -> PointAnswer:
    figures = [
        NamedFigure(name=name, title=words, figure=forecast.figure(point[:, column], shown))
        for name, words, column, shown in _COLUMNS
    ]
    figures += [
        NamedFigure(name=name, title=words, figure=forecast.figure(draws, shown))
        for name, words, draws, shown in _efficiencies(forecast, point)
    ]
    return PointAnswer(title=title, airspeed=forecast.figure(airspeed, "m/s"), figures=tuple(figures))


def _efficiencies(forecast: Forecast, point: Array) -> list[tuple[str, str, Array, str]]:
    """Efficiency of motor, drive, propeller and all together, pitch speed and volts per cell."""
    power = forecast.setup.power
    assert isinstance(power, PowerInputs)  # the caller has seen to it
    electric = point[:, pl.MOTOR_VOLTAGE_V] * point[:, pl.MOTOR_CURRENT_A]
    useful = point[:, pl.SHAFT_POWER_W] * point[:, pl.PROPELLER_EFFICIENCY]
    drawn = point[:, pl.CHEMICAL_POWER_W]
    rows = [
        ("electric_power_W", "Electric power into the motor", electric, "W"),
        ("motor_efficiency", "Efficiency of the motor", point[:, pl.SHAFT_POWER_W] / electric, "%"),
        ("drive_efficiency", "Shaft power of what the pack gives", point[:, pl.SHAFT_POWER_W] / drawn, "%"),
        ("pitch_speed_m_s", "Pitch speed", point[:, pl.REVS_PER_S] * power.curve.pitch_m, "m/s"),
        ("cell_voltage_V", "Volts per cell", point[:, pl.PACK_VOLTAGE_V] / power.drive.pack.cells, "V"),
    ]
    if np.any(point[:, pl.PROPELLER_EFFICIENCY] > 0):
        rows.append(
            ("propeller_efficiency", "Efficiency of the propeller", point[:, pl.PROPELLER_EFFICIENCY], "%")
        )
        rows.append(("total_efficiency", "Thrust power of what the pack gives", useful / drawn, "%"))
    return rows
