"""What the models expect a bench to read, for any scores of the inputs."""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glidewright.base.errors import InputError
from glidewright.domain.bench import BenchReading
from glidewright.domain.model import Model
from glidewright.forecast.kernel_rows import air, power_rows, tables
from glidewright.forecast.power_inputs import PowerInputs
from glidewright.forecast.setup import Setup, prepare
from glidewright.forecast.spread import Input, from_given
from glidewright.models.power import layout as pl
from glidewright.models.power.kernel import operating_points

Array = NDArray[np.float64]

OBSERVED = ("voltage_V", "current_A", "revs_per_s", "thrust_N")
_COLUMNS = {
    "voltage_V": pl.PACK_VOLTAGE_V,
    "current_A": pl.PACK_CURRENT_A,
    "revs_per_s": pl.REVS_PER_S,
    "thrust_N": pl.THRUST_N,
}
BARE_SHAFT = "none"
_NO_PROPELLER = 1e-9  # share of the propeller's torque that stands for a bare shaft
_STIFF_OHM = 1e-9  # resistance of a source whose volts were read under load


@dataclass(frozen=True)
class Bench:
    """One reading with everything that was on the bench.

    observed: what the models are held against; volts: the input of the read volts, or nothing when the pack
    drives; volts_name: the name of the score of its error.
    """

    number: int
    reading: BenchReading
    setup: Setup
    power: PowerInputs
    observed: tuple[str, ...]
    volts: Input | None

    @property
    def volts_name(self) -> str:
        """Name of the score of the voltmeter's error in this reading."""
        return f"bench:{self.number}:volts"

    @classmethod
    def of(cls, on_bench: Model, reading: BenchReading, number: int, where: str) -> "Bench":
        """The bench of a reading; raises InputError when volts and charge are both missing."""
        setup = prepare(on_bench.model_copy(update={"bench": (), "weighings": ()}), None, 1)
        assert isinstance(setup.power, PowerInputs)  # all four parts stand on the bench
        observed = [name for name in OBSERVED[1:] if getattr(reading, name) is not None]
        if reading.propeller == BARE_SHAFT:
            observed = [name for name in observed if name != "thrust_N"]
        if reading.voltage_V is None:
            if reading.charge is None:
                message = "must hold volts, or the charge of the pack; neither came; add one of them"
                raise InputError.at(where, message)
            return cls(number, reading, setup, setup.power, tuple(observed), None)
        if reading.charge is not None:
            observed.insert(0, "voltage_V")
        given = reading.voltage_V.model_copy(update={"grade": "measured"})
        volts = from_given("volts", "volts read", given, "voltmeter")
        return cls(number, reading, setup, setup.power, tuple(observed), volts)


def predicted(bench: Bench, names: tuple[str, ...], scores: Array) -> Array:
    """Expected readings, shape (rows, observed), for scores of the named inputs, shape (rows, names)."""
    count = scores.shape[0]
    by_name = dict(zip(names, scores.T, strict=True))
    rows = {name: by_name.get(name, np.zeros(count)) for name in bench.setup.inputs}
    values = {name: entry.draws(rows[name]) for name, entry in bench.setup.inputs.items()}
    setup = Setup(bench.setup.model, None, count, bench.setup.inputs, rows, values, bench.power, ())
    power = power_rows(setup, bench.power)
    curves, cells = tables(bench.power)
    if bench.reading.propeller == BARE_SHAFT:
        power[:, pl.PROPELLER_POWER_FACTOR] = _NO_PROPELLER
    found = np.empty((count, len(bench.observed)))
    if bench.volts is None:
        points = _run(bench, setup, power, curves, cells)
    else:
        volts = bench.volts.draws(by_name.get(bench.volts_name, np.zeros(count)))
        points = _run(bench, setup, _stiff(power, volts), curves, pl.cell_table([1.0, 1.0], [1.0, 1.0])[None])
    for place, name in enumerate(bench.observed):
        found[:, place] = points[:, _COLUMNS[name]]
    if "voltage_V" in bench.observed:
        found[:, 0] = _pack_volts(bench, setup, power, curves, cells)
    return np.maximum(found, 1e-12)


def _stiff(power: Array, volts: Array) -> Array:
    """The same power train on a source that holds the volts that were read."""
    rows = power.copy()
    rows[:, pl.PACK_CELLS_IN_SERIES] = volts
    rows[:, pl.PACK_RESISTANCE_OHM] = _STIFF_OHM
    return rows


def _pack_volts(bench: Bench, setup: Setup, power: Array, curves: Array, cells: Array) -> Array:
    """Volts of the pack itself at the stated charge, under the load that the models expect."""
    volts: Array = _run(bench, setup, power, curves, cells)[:, pl.PACK_VOLTAGE_V]
    return volts


def _run(bench: Bench, setup: Setup, power: Array, curves: Array, cells: Array) -> Array:
    density, temperature = air(setup)
    charge: Any = bench.reading.charge.value if bench.reading.charge is not None else 1.0
    points: Array = operating_points(
        power,
        curves,
        cells,
        airspeed_m_s=0.0,
        density_kg_m3=density[:, None],
        duty=bench.reading.throttle.value,
        charge_state=charge,
        motor_temperature_K=temperature[:, None],
        pack_temperature_K=temperature[:, None],
    )[:, 0]
    return points
