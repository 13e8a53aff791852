"""What bench readings teach about the power train: maximum a posteriori least squares in score space.

Every uncertain input is a standard-normal score z with prior mean 0 and unit covariance. A reading y with
relative sigma s is compared in the logarithm with the model: ``(ln y - ln h(z)) / s``.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glidewright.base.errors import InputError
from glidewright.base.units import unit
from glidewright.calibration.bench_model import BARE_SHAFT, OBSERVED, Bench, predicted
from glidewright.calibration.mode_and_moments import mode_and_curvature, moments
from glidewright.domain.bench import BenchReading
from glidewright.domain.correction import Correction
from glidewright.domain.model import Item, Model
from glidewright.domain.parts import Controller, Motor, Pack, Part, Propeller
from glidewright.forecast.spread import Z90, from_given

Array = NDArray[np.float64]

# Scores that a bench reading can teach about; those of a part count only when that part was on the bench.
TAUGHT: dict[str, type[Part]] = {
    "motor.kv": Motor,
    "motor.resistance": Motor,
    "motor.no_load_current": Motor,
    "motor.apparent_resistance": Motor,
    "controller.resistance": Controller,
    "pack.resistance": Pack,
    "pack.open_voltage": Pack,
    "propeller.thrust": Propeller,
    "propeller.power": Propeller,
}
METERS = {
    "voltage_V": "voltmeter",
    "current_A": "ammeter",
    "revs_per_s": "tachometer",
    "thrust_N": "thrust_scale",
}
DIFFERENCE = 1e-3
MODEL_SIGMA = (
    0.01  # what the steady model leaves out: warming during the reading, unsteady air; our judgement
)


@dataclass(frozen=True)
class _Set:
    """One reading with its set-up, the scores it can teach, and its logarithms.

    taught: input by the name of its score: the same for a fitted part, with the id of the part behind it for
    another one, whose errors are its own.
    """

    bench: Bench
    taught: Mapping[str, str]
    log_read: Array
    sigma: Array

    def inputs(self, names: tuple[str, ...]) -> tuple[str, ...]:
        """The input that each score moves in this reading; a name that no input has where it moves none."""
        own = (self.bench.volts_name,)
        return tuple(self.taught.get(name, name if name in own else f"none:{name}") for name in names)


def learn_from_bench(model: Model) -> Correction:
    """The correction that all bench readings of a model give together; none without readings.

    Raises InputError when a reading holds nothing, names a part that is not in the drawer, or could not
    have been made with the parts named.
    """
    sets = [_prepare(model, number, reading) for number, reading in enumerate(model.bench, start=1)]
    if not sets:
        return Correction.none()
    taught = [name for name in TAUGHT if any(name in one.taught for one in sets)]
    others = dict.fromkeys(name for one in sets for name in one.taught if name not in TAUGHT)
    names = (*taught, *others, *(one.bench.volts_name for one in sets if one.bench.volts is not None))

    def costs(scores: Array) -> Array:
        return _costs(sets, names, scores)

    mode, curvature = mode_and_curvature(costs, lambda mean: _normal(sets, names, mean), len(names))
    mean, covariance = moments(costs, mode, curvature)
    kept = len(taught)
    evidence = tuple(_evidence(one, names, mean) for one in sets)
    return Correction(tuple(taught), mean[:kept], covariance[:kept, :kept], evidence)


def _normal(sets: list[_Set], names: tuple[str, ...], mean: Array) -> tuple[Array, Array]:
    """Normal matrix with the prior in it, and the pull of the readings."""
    normal, slope = np.eye(len(names)), np.zeros(len(names))
    for one in sets:
        miss, jacobian = _linear(one, names, mean)
        weighted = jacobian / one.sigma[:, None]
        normal += weighted.T @ weighted
        slope += weighted.T @ (miss / one.sigma)
    return normal, slope


def _linear(one: _Set, names: tuple[str, ...], mean: Array) -> tuple[Array, Array]:
    """Reading minus model in the logarithm, and the slope of the model by central differences."""
    rows = [mean]
    for place in range(len(names)):
        for sign in (1.0, -1.0):
            moved = mean.copy()
            moved[place] += sign * DIFFERENCE
            rows.append(moved)
    logs = np.log(predicted(one.bench, one.inputs(names), np.stack(rows)))
    jacobian = (logs[1::2] - logs[2::2]).T / (2.0 * DIFFERENCE)
    return one.log_read - logs[0], jacobian


def _costs(sets: list[_Set], names: tuple[str, ...], scores: Array) -> Array:
    """Twice the negative logarithm of the posterior, shape (rows,), for scores (rows, names)."""
    total: Array = np.sum(scores**2, axis=1)
    for one in sets:
        logs = np.log(predicted(one.bench, one.inputs(names), scores))
        total = total + np.sum(((one.log_read - logs) / one.sigma) ** 2, axis=1)
    return total


def _prepare(model: Model, number: int, reading: BenchReading) -> _Set:
    where = f"model.toml [[bench]] {number}"
    on_bench, parts = _with_named_parts(model, reading, where)
    fields = [name for name in OBSERVED if getattr(reading, name) is not None]
    if not fields or fields == ["voltage_V"]:
        message = "must hold a current, a speed or a thrust; none came; add it or remove the reading"
        raise InputError.at(where, message)
    bench = Bench.of(on_bench, reading, number, where)
    reads, sigmas = [], []
    for name in bench.observed:
        given = getattr(reading, name).model_copy(update={"grade": "measured"})
        entry = from_given(name, name, given, METERS[name])
        reads.append(np.log(entry.value))
        sigmas.append(np.hypot(np.log(entry.high / entry.low) / (2.0 * Z90), MODEL_SIGMA))
    by_kind = {type(part): part for part in parts}
    taught = {
        name if by_kind[kind].id == _fitted_id(model, kind) else f"{name}@{by_kind[kind].id}": name
        for name, kind in TAUGHT.items()
        if kind in by_kind
    }
    return _Set(bench, taught, np.array(reads), np.array(sigmas))


def _fitted_id(model: Model, kind: type[Part]) -> str:
    found = next((part for _, part in model.of_kind(kind)), None)
    return "" if found is None else found.id


def _with_named_parts(model: Model, reading: BenchReading, where: str) -> tuple[Model, list[Part]]:
    """The model with the parts that stood on the bench, and those parts."""
    parts: list[Part] = []
    items = list(model.items)
    named_parts: tuple[tuple[type[Motor | Controller | Pack | Propeller], str], ...] = (
        (Motor, reading.motor),
        (Controller, reading.controller),
        (Pack, reading.pack),
        (Propeller, "" if reading.propeller == BARE_SHAFT else reading.propeller),
    )
    for kind, named in named_parts:
        part: Part | None = model.from_drawer(named) if named else model.first(kind)
        if part is None or not isinstance(part, kind):
            came = f"{named!r} came, which is no {kind.kind} of the drawer" if named else "none is fitted"
            message = f"must name a {kind.kind}; {came}; correct the id or fit one"
            raise InputError.at(f"{where}: {kind.kind}", message)
        parts.append(part)
        items = [item for item in items if not isinstance(item.part, kind)]
        items.append(Item(name=f"bench {kind.kind}", part=part))
    return model.model_copy(update={"items": tuple(items)}), parts


def _evidence(one: _Set, names: tuple[str, ...], mean: Array) -> str:
    """The reading, what was expected before and after, in words."""
    before = predicted(one.bench, one.inputs(names), np.zeros((1, len(names))))[0]
    after = predicted(one.bench, one.inputs(names), mean[None])[0]
    shown = {"voltage_V": "V", "current_A": "A", "revs_per_s": "rpm", "thrust_N": "N"}
    words = []
    for place, name in enumerate(one.bench.observed):
        scale = unit(shown[name])
        digits = 0 if scale.symbol == "rpm" else 2
        numbers = (np.exp(one.log_read[place]), before[place], after[place])
        read, old, new = (f"{scale.from_si(float(number)):.{digits}f}" for number in numbers)
        words.append(f"read {read} {scale.symbol}, expected {old} before and {new} after")
    return f"bench reading {one.bench.number}: {'; '.join(words)}"
