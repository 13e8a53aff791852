"""From a model to everything that the kernels need, with every number traced to its input."""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.correction import Correction
from glidewright.domain.model import Model
from glidewright.domain.parts import Altimeter, Part
from glidewright.forecast.day_inputs import airframe_inputs, field_inputs, launch_inputs
from glidewright.forecast.draws import standard_draws
from glidewright.forecast.items import item_inputs
from glidewright.forecast.missing import MissingValue
from glidewright.forecast.power_inputs import PowerInputs, drive_of, power_inputs
from glidewright.forecast.spread import Input

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Setup:
    """A model with its inputs and their draws.

    inputs: by name; scores: standard-normal draws after any correction, shape (count,); values: the same
    in SI; power: inputs of the power train, or the sentence that says why there is none.
    """

    model: Model
    rule: ClassLimits | None
    count: int
    inputs: dict[str, Input]
    scores: dict[str, Array]
    values: dict[str, Array]
    power: PowerInputs | str
    missing: tuple[MissingValue, ...]
    correction: Correction = field(default_factory=Correction.none)

    def __getitem__(self, name: str) -> Array:
        return self.values[name]

    def nominal(self) -> "Setup":
        """The same with one draw at the centre of every input, corrections kept."""
        centre = dict(zip(self.correction.names, self.correction.mean, strict=True))
        scores = {name: np.array([centre.get(name, 0.0)]) for name in self.scores}
        values = {name: entry.draws(scores[name]) for name, entry in self.inputs.items()}
        return Setup(
            self.model, self.rule, 1, self.inputs, scores, values, self.power, self.missing, self.correction
        )


def limiter_of(model: Model) -> Altimeter | None:
    """The altimeter that stops the motor, if one is fitted."""
    return next((part for _, part in model.of_kind(Altimeter) if part.stops_motor), None)


def prepare(
    model: Model,
    rule: ClassLimits | None,
    count: int,
    correction: Correction | None = None,
    memo: dict[Input, Array] | None = None,
) -> Setup:
    """Collect inputs and draw them; `count` is at most 4096.

    memo: draws already made of the same inputs, with the same count and correction.

    Raises OutsideModelError when a part of the power train is covered by no model.
    """
    correction = correction or Correction.none()
    entries, missing = airframe_inputs(model.airframe, model.field)
    of_day, unread = field_inputs(model.field)
    entries += of_day
    entries += launch_inputs(model, limiter=limiter_of(model))
    entries += item_inputs(model)
    drive = drive_of(model)
    power: PowerInputs | str = drive if isinstance(drive, str) else power_inputs(drive, model)
    if isinstance(power, PowerInputs):
        entries += power.entries
        missing = [*power.missing, *missing]
    missing += [*unread, *_unplaced(model)]
    inputs = {entry.name: entry for entry in entries}
    scores = corrected(standard_draws(inputs, count), correction)
    known = {} if memo is None else memo
    values = {}
    for name, entry in inputs.items():
        if entry not in known:
            known[entry] = entry.draws(scores[name])
        values[name] = known[entry]
    return Setup(model, rule, count, inputs, scores, values, power, tuple(missing), correction)


def corrected(scores: dict[str, Array], correction: Correction) -> dict[str, Array]:
    """Prior scores moved to the posterior: mean + L z with the Cholesky factor L of its covariance."""
    rows = [i for i, name in enumerate(correction.names) if name in scores]
    if not rows:
        return scores
    names = [correction.names[i] for i in rows]
    factor = np.linalg.cholesky(correction.covariance[np.ix_(rows, rows)])
    moved = correction.mean[rows, None] + factor @ np.stack([scores[name] for name in names])
    return scores | dict(zip(names, moved, strict=True))


def _unplaced(model: Model) -> list[MissingValue]:
    """Fitted parts without a mass or without a station along x: nothing stands in for them."""
    found = []
    for item in model.items:
        part: Part = item.part
        if part.mass_kg is None and not any(w.of == (item.name,) for w in model.weighings):
            found.append(
                MissingValue(part.id, f"mass of {item.name}", "mass_g", None, "g", f"weigh {item.name}")
            )
        if part.x_m is None:
            reading = f"measure where {item.name} sits"
            found.append(MissingValue(part.id, f"station of {item.name}", "x_mm", None, "mm", reading))
    return found
