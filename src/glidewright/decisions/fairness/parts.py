"""Limits of the parts under the set-up of an owner: currents, volts, heat and speed, at the centre."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from glidewright.decisions.fairness.flying import Flying
from glidewright.decisions.fairness.frame import CENTRE, Settings
from glidewright.decisions.fairness.legal import Broken
from glidewright.domain.model import Model
from glidewright.domain.parts import Pack
from glidewright.forecast.predict import FULL_CELL_V
from glidewright.forecast.prediction import Prediction
from glidewright.models.launch import layout as ll
from glidewright.models.power import layout as pl
from glidewright.models.power.kernel import operating_points
from glidewright.rules.drive import judge_drive
from glidewright.rules.finding import Finding
from glidewright.rules.part_limits import judge_parts

Array = NDArray[np.float64]


def broken_parts(flying: Flying, models: Sequence[Model], settings: Settings) -> list[list[Broken]]:
    """Limits of the parts that each build breaks at the middle of its inputs; what nobody states breaks none.

    At rest the throttle is the owner's too, as high as he lets it go.
    """
    everybody = np.arange(len(models))
    outputs, _ = flying.fly(CENTRE, everybody, settings)
    points = _points(flying, settings)
    found = []
    for row, model in enumerate(models):
        prediction = Prediction(model, None, 1, _values(model, outputs[row], points[row]))
        findings = (*judge_drive(prediction), *judge_parts(prediction))
        found.append([_broken(finding) for finding in findings if finding.severity == "broken"])
    return found


def _points(flying: Flying, settings: Settings) -> Array:
    """Operating points at rest, in the climb and at twice its airspeed, shape (builds, 3, point fields)."""
    frame, trains = flying.frame, flying.trains
    inputs = frame.inputs(CENTRE, trains, np.arange(len(trains)), settings, flying.rule)
    speeds = settings.climb_m_s[:, None] * np.array([0.0, 1.0, 2.0])
    air = inputs.launch[:, ll.GROUND_TEMPERATURE_K, None]
    return operating_points(
        inputs.power,
        inputs.curves,
        inputs.tables,
        airspeed_m_s=speeds,
        density_kg_m3=inputs.launch[:, ll.GROUND_DENSITY_KG_M3, None],
        duty=settings.duty[:, None],
        charge_state=frame.model.launch.charge_at_start.value,
        motor_temperature_K=air,
        pack_temperature_K=air,
    )


def _values(model: Model, outputs: Array, points: Array) -> dict[str, Array]:
    """The results that limits of parts read, one draw each."""
    pack = model.first(Pack)
    assert pack is not None  # a build has one
    one, rest = outputs[0], points[0]
    values = {
        "motor_run_s": one[ll.MOTOR_RUN],
        "launch_motor_current_A": one[ll.HIGHEST_MOTOR_CURRENT],
        "launch_pack_current_A": one[ll.HIGHEST_PACK_CURRENT],
        "motor_temperature_K": one[ll.HIGHEST_MOTOR_TEMPERATURE],
        "pack_temperature_K": one[ll.HIGHEST_PACK_TEMPERATURE],
        "lowest_cell_V": one[ll.LOWEST_PACK_VOLTAGE] / pack.cells,
        "static_pack_current_A": rest[pl.PACK_CURRENT_A],
        "static_motor_current_A": rest[pl.MOTOR_CURRENT_A],
        "static_revs_per_s": rest[pl.REVS_PER_S],
        "motor_power_W": rest[pl.MOTOR_VOLTAGE_V] * rest[pl.MOTOR_CURRENT_A],
        "pack_volts_highest_V": FULL_CELL_V * pack.cells,
        "propeller_revs_per_s": points[1:, pl.REVS_PER_S].max(),
        "drive_status": rest[pl.STATUS],
    }
    return {name: np.array([float(value)]) for name, value in values.items()}


def _broken(finding: Finding) -> Broken:
    bound = finding.at_most if finding.at_most is not None else finding.at_least
    value = finding.value.value
    miss = np.inf
    if value is not None and bound:
        miss = abs(value - bound) / abs(bound)
    return Broken(
        finding.name, finding.title, False, value, bound, finding.shown, finding.because, float(miss)
    )
