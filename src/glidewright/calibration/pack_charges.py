"""What charges of packs say: capacity from the charge put back between two resting volts, and resistance.

``capacity = put back / (charge state after - charge state before)``, both charge states from resting volts by
the open-circuit curve; a full pack rests at the end of it. The shift of that curve between makes of cell is
the same in all charges of one pack, so that ratios of capacities know it better than the capacities.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glidewright.domain.logbook import PackCharge
from glidewright.domain.model import Item, Model
from glidewright.domain.parts import Pack
from glidewright.forecast.draws import sobol_column
from glidewright.forecast.setup import prepare
from glidewright.forecast.spread import Input, from_field
from glidewright.models.power.pack import (
    CELL_VOLTAGE_SIGMA_V,
    PACK_TEMPERATURE_K,
    resting_charge,
    temperature_factor,
)

from .posterior import Posterior
from .scores import Score

Array = NDArray[np.float64]

DRAWS = 1024
LATEST = 5
"""A pack ages: only so many of its last charges teach what it is now."""
LEAST_SPAN = 0.3
"""Smaller differences of the charge state say too little of the capacity."""
_DIFFERENCE = 0.05
_STEPS = 4
_NAMES = ("pack.capacity", "pack.resistance", "pack.open_voltage")


@dataclass(frozen=True)
class ChargeReading:
    """One charge with draws of what it says: capacity in A s, resistance in ohm at the usual temperature."""

    charge: PackCharge
    capacity_As: Array | None
    resistance_ohm: Array | None


def readings_of(pack: Pack, charges: Sequence[PackCharge]) -> tuple[ChargeReading, ...]:
    """The charges of one pack in their order; the shift of the open-circuit volts is one for all of them."""
    shift_V = CELL_VOLTAGE_SIGMA_V * sobol_column(0, DRAWS)
    found = []
    for number, charge in enumerate(charges):
        # errors of meters are new in every charge: columns of their own
        columns = [sobol_column(1 + (4 * number + place) % 90, DRAWS) for place in range(4)]
        found.append(
            ChargeReading(charge, _capacity(pack, charge, shift_V, columns), _resistance(charge, columns[3]))
        )
    return tuple(found)


def _capacity(pack: Pack, charge: PackCharge, shift_V: Array, columns: Sequence[Array]) -> Array | None:
    if charge.put_back_As is None or charge.resting_before_V is None:
        return None
    put_back = from_field(charge, "put_back_As", "put_back", "").draws(columns[0])
    before_V = from_field(charge, "resting_before_V", "before", "").draws(columns[1])
    before = resting_charge(before_V - pack.cells * shift_V, pack.cells)
    after = np.ones(DRAWS)
    if charge.resting_after_V is not None:
        after_V = from_field(charge, "resting_after_V", "after", "").draws(columns[2])
        after = resting_charge(after_V - pack.cells * shift_V, pack.cells)
    span = after - before
    if float(np.median(span)) < LEAST_SPAN:
        return None
    found: Array = put_back / np.maximum(span, 0.5 * LEAST_SPAN)
    return found


def _resistance(charge: PackCharge, column: Array) -> Array | None:
    if charge.resistance_ohm is None:
        return None
    drawn = from_field(charge, "resistance_ohm", "resistance", "").draws(column)
    found: Array = drawn / temperature_factor(_temperature_K(charge))
    return found


def _temperature_K(charge: PackCharge) -> float:
    return PACK_TEMPERATURE_K if charge.temperature_K is None else charge.temperature_K.value


def learn_from_charges(model: Model, charges: Sequence[PackCharge], prior: Posterior) -> Posterior:
    """What the last charges of every pack teach of its capacity, resistance and open-circuit volts."""
    found = prior
    for part in model.drawer:
        own = [charge for charge in charges if charge.pack == part.id][-LATEST:]
        if isinstance(part, Pack) and own:
            found = _learn_one(model, part, own, found)
    return found


def _learn_one(model: Model, pack: Pack, charges: Sequence[PackCharge], prior: Posterior) -> Posterior:
    inputs = _inputs_with(model, pack)
    if not set(_NAMES) <= inputs.keys():
        return prior
    own = tuple(Score(name, pack.id) for name in _NAMES)
    scores = tuple(dict.fromkeys((*prior.scores, *own)))
    mean, covariance = prior.over(scores)
    places = [scores.index(score) for score in own]
    centre = mean.copy()
    shown = _Shown.of(pack, charges)
    if shown.read.size == 0:
        return prior
    for _ in range(_STEPS):
        at = centre[places]
        base = shown.expected(inputs, at)
        slope = np.zeros((base.size, len(scores)))
        for column, place in enumerate(places):
            step = np.zeros(len(places))
            step[column] = _DIFFERENCE
            up, down = shown.expected(inputs, at + step), shown.expected(inputs, at - step)
            slope[:, place] = (up - down) / (2.0 * _DIFFERENCE)
        spread = slope @ covariance @ slope.T + np.diag(shown.sigma**2)
        gain = covariance @ slope.T @ np.linalg.inv(spread)
        centre = mean + gain @ (shown.read - base + slope @ (centre - mean))
    kept = covariance - gain @ slope @ covariance
    return Posterior(scores, centre, 0.5 * (kept + kept.T))


@dataclass(frozen=True)
class _Shown:
    """What some charges showed in the logarithm, with sigma: charges put back first, then resistances."""

    pack: Pack
    put_back: tuple[PackCharge, ...]
    resisting: tuple[PackCharge, ...]
    read: Array
    sigma: Array

    @classmethod
    def of(cls, pack: Pack, charges: Sequence[PackCharge]) -> "_Shown":
        """The charges that say something."""
        full = tuple(c for c in charges if _capacity(pack, c, np.zeros(DRAWS), _middle()) is not None)
        resisting = tuple(c for c in charges if c.resistance_ohm is not None)
        read, sigma = [], []
        for charge in full:
            entry = from_field(charge, "put_back_As", "put_back", "")
            read.append(np.log(entry.value))
            # a volt read wrong is a charge state read wrong
            off = [_capacity(pack, charge, np.zeros(DRAWS), _middle(row)) for row in (1, 2)]
            extra = [float(np.std(np.log(draws))) for draws in off if draws is not None]
            sigma.append(float(np.linalg.norm([_sigma(entry), *extra])))
        for charge in resisting:
            entry = from_field(charge, "resistance_ohm", "resistance", "")
            read.append(np.log(entry.value / temperature_factor(_temperature_K(charge))))
            sigma.append(_sigma(entry))
        return cls(pack, full, resisting, np.array(read), np.array(sigma))

    def expected(self, inputs: Mapping[str, Input], scores: Array) -> Array:
        """The same from the models, for scores of ``_NAMES``."""
        capacity, resistance, shift = (
            float(inputs[name].draws(np.array([score]))[0])
            for name, score in zip(_NAMES, scores, strict=True)
        )
        found = []
        for charge in self.put_back:
            assert charge.resting_before_V is not None  # else it would not be here
            span = 1.0 - _state(charge.resting_before_V.value, self.pack, shift)
            if charge.resting_after_V is not None:
                span -= 1.0 - _state(charge.resting_after_V.value, self.pack, shift)
            found.append(np.log(capacity * max(span, 0.01)))
        found += [np.log(resistance)] * len(self.resisting)
        return np.array(found)


def _state(volts: float, pack: Pack, shift_V: float) -> float:
    return float(resting_charge(volts - pack.cells * shift_V, pack.cells))


def _middle(drawn: int = -1) -> list[Array]:
    """Columns of which one is drawn and the others stand at their middle."""
    return [sobol_column(1, DRAWS) if place == drawn else np.zeros(DRAWS) for place in range(4)]


def _sigma(entry: Input) -> float:
    return float(np.std(np.log(entry.draws(sobol_column(0, DRAWS)))))


def _inputs_with(model: Model, pack: Pack) -> Mapping[str, Input]:
    """The inputs of the model with this pack fitted."""
    items = [Item(name=item.name, part=pack) if isinstance(item.part, Pack) else item for item in model.items]
    return prepare(model.model_copy(update={"items": tuple(items), "weighings": ()}), None, 1).inputs
