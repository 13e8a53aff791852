"""Models flown on paired draws: the same ones where they share an input, own ones where they do not.

An input has a column of draws for every thing that it is about; the first thing has the column of its name,
so that the figures of the first model are those of every other command. What weighings and bench readings of
a model teach holds for its variants too, as far as they keep the items and the parts.
"""

from collections.abc import Collection, Hashable, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from glidewright.base.errors import GlidewrightError, InputError, OutsideModelError, Problem
from glidewright.base.figure import Given
from glidewright.calibration.learned import correction_of
from glidewright.decisions.comparing.nouns import Entrant
from glidewright.decisions.comparing.things import things_of
from glidewright.decisions.executors import in_order
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.correction import Correction
from glidewright.domain.model import Item, Model
from glidewright.forecast.draws import standard_draws
from glidewright.forecast.items import ItemDraws
from glidewright.forecast.predict import Forecast, forecast
from glidewright.forecast.setup import Setup, corrected, prepare
from glidewright.forecast.spread import Input

Array = NDArray[np.float64]
_OF_BASE = "of the model: "
_READINGS = ("weighing:", "balance_reading:", "support:")


@dataclass
class Columns:
    """Which things each input has been about so far, in the order in which they came."""

    things: dict[str, list[Hashable]] = field(default_factory=dict)

    def name(self, entry: str, thing: Hashable) -> str:
        """The column of an input: its own name for the first thing, a numbered one for every other."""
        known = self.things.setdefault(entry, [])
        if thing not in known:
            known.append(thing)
        place = known.index(thing)
        return entry if place == 0 else f"{entry} #{place + 1}"


@dataclass(frozen=True)
class Flown:
    """A model with its forecast, and the column of every input."""

    entrant: Entrant
    found: Forecast
    columns: dict[str, str]


@dataclass(frozen=True)
class _Base:
    """The model of variants: set-up, columns, and what the scale said of its items."""

    model: Model
    setup: Setup
    columns: dict[str, str]
    items: ItemDraws | None


class PairedFlights:
    """Flies one model after the other on the same columns."""

    def __init__(self, count: int) -> None:
        self._count = count
        self.columns = Columns()
        self._bases: list[_Base] = []
        self._families: list[object] = []

    def fly(self, entrant: Entrant, letter: str) -> Flown:
        """The forecast of one of the models.

        Raises InputError or OutsideModelError, the place led by the letter and name of the model.
        """
        setup, columns = self._prepared(entrant, letter)
        return Flown(entrant, flown_as_set_up(setup), columns)

    def fly_all(
        self, entrants: Sequence[Entrant], letters: str, executor: Executor | None = None
    ) -> list[Flown]:
        """The forecasts of all models; set-ups are made in their order, any executor may fly them."""
        made = [self._prepared(one, letter) for one, letter in zip(entrants, letters, strict=True)]
        found = in_order(flown_as_set_up, [setup for setup, _ in made], executor)
        return [
            Flown(one, flown, columns) for one, flown, (_, columns) in zip(entrants, found, made, strict=True)
        ]

    def _prepared(self, entrant: Entrant, letter: str) -> tuple[Setup, dict[str, str]]:
        try:
            if entrant.base is None:
                return self._whole(entrant.model, entrant.rule)
            return self._variant(entrant, self._base(entrant.base, entrant.rule))
        except GlidewrightError as refused:
            led = [
                Problem(f"{letter} ({entrant.model.name}), {one.where}", one.message)
                for one in refused.problems
            ]
            raise (InputError if isinstance(refused, InputError) else OutsideModelError)(led) from None

    def family(self, model: Model) -> int:
        """The same number for all models that state the same airframe."""
        if model.airframe not in self._families:
            self._families.append(model.airframe)
        return self._families.index(model.airframe)

    def _whole(self, model: Model, rule: ClassLimits | None) -> tuple[Setup, dict[str, str]]:
        """A model on its own: drawn, then corrected by its own readings."""
        correction = correction_of(model)
        setup = prepare(model, rule, self._count)
        columns = self._columns_of(setup, model, self.family(model), correction)
        scores = corrected(self._drawn(columns), correction)
        return _with_scores(setup, scores, correction), columns

    def _base(self, model: Model, rule: ClassLimits | None) -> _Base:
        known = next((one for one in self._bases if one.model == model), None)
        if known is None:
            setup, columns = self._whole(model, rule)
            items = forecast(
                setup,
                with_trace=False,
                with_many=False,
                with_causes=False,
                with_power_curves=False,
                with_glide=False,
            ).items
            known = _Base(model, setup, columns, items)
            self._bases.append(known)
        return known

    def _variant(self, entrant: Entrant, base: _Base) -> tuple[Setup, dict[str, str]]:
        """A variant: what it shares with its model is drawn and taught as there, the rest anew."""
        model = _with_own_weighings(entrant.model, base) if base.items is not None else entrant.model
        setup = prepare(model, entrant.rule, self._count)
        stated = entrant.model.model_copy(update={"weighings": model.weighings})
        is_taught_alike = model.bench == base.model.bench
        correction = base.setup.correction if is_taught_alike else correction_of(model)
        columns = self._columns_of(setup, stated, self.family(base.model), correction)
        scores = self._drawn(columns)
        shared = [name for name in columns if columns[name] == base.columns.get(name)]
        if is_taught_alike:
            correction = _only(correction, shared)
            scores |= {name: base.setup.scores[name] for name in shared}
        else:
            scores = corrected(scores, correction)
        setup = _with_scores(setup, scores, correction)
        return (setup, columns) if base.items is None else _as_weighed(setup, columns, base, base.items)

    def _columns_of(self, setup: Setup, stated: Model, family: int, correction: Correction) -> dict[str, str]:
        thing = things_of(stated, family, correction)
        return {name: self.columns.name(name, thing(entry)) for name, entry in setup.inputs.items()}

    def _drawn(self, columns: dict[str, str]) -> dict[str, Array]:
        drawn = standard_draws(columns.values(), self._count)
        return {name: drawn[column] for name, column in columns.items()}


def flown_as_set_up(setup: Setup) -> Forecast:
    """The whole forecast of a set-up, without its trace."""
    return forecast(setup, with_trace=False)


def _with_scores(setup: Setup, scores: dict[str, Array], correction: Correction) -> Setup:
    values = {name: entry.draws(scores[name]) for name, entry in setup.inputs.items()}
    return replace(setup, scores=scores, values=values, correction=correction)


def _only(correction: Correction, names: Collection[str]) -> Correction:
    """What readings taught about some inputs alone."""
    rows = [place for place, name in enumerate(correction.names) if name in names]
    names = tuple(correction.names[place] for place in rows)
    covariance = correction.covariance[np.ix_(rows, rows)]
    return replace(correction, names=names, mean=correction.mean[rows], covariance=covariance)


def _with_own_weighings(variant: Model, base: _Base) -> Model:
    """The variant with the weighings that its model does not have; those of the model are in its items.

    An item whose mass only a scale knows is given the mass that the scale said.
    """
    assert base.items is not None  # the caller has seen to it
    medians = dict(zip(base.items.names, np.median(base.items.mass_kg, axis=0), strict=True))
    items = tuple(
        Item(name=item.name, part=item.part.model_copy(update={"mass_kg": _scale(float(medians[item.name]))}))
        if item.part.mass_kg is None and item.name in medians
        else item
        for item in variant.items
    )
    own = tuple(one for one in variant.weighings if one not in base.model.weighings)
    return variant.model_copy(update={"items": items, "weighings": own})


def _scale(mass_kg: float) -> Given:
    return Given(value=mass_kg, grade="measured", because="as the scale said of the model")


def _as_weighed(
    setup: Setup, columns: dict[str, str], base: _Base, items: ItemDraws
) -> tuple[Setup, dict[str, str]]:
    """A variant whose items have masses and places as the scale left those that it shares with its model."""
    values = dict(setup.values)
    for place, item in enumerate(items.names):
        draws = {"mass": items.mass_kg[:, place]}
        draws |= {axis: items.station_m[:, place, number] for number, axis in enumerate("xyz")}
        for kind, own in draws.items():
            name = f"{kind}:{item}"
            if name in columns and columns[name] == base.columns.get(name):
                values[name] = own
    readings = {n: e for n, e in base.setup.inputs.items() if n.startswith(_READINGS)}
    taught = replace(
        setup,
        inputs=setup.inputs | {_OF_BASE + n: replace(e, name=_OF_BASE + n) for n, e in readings.items()},
        scores=setup.scores | {_OF_BASE + n: base.setup.scores[n] for n in readings},
        values=values | {_OF_BASE + n: base.setup.values[n] for n in readings},
    )
    return taught, columns | {_OF_BASE + n: base.columns[n] for n in readings}


def inputs_apart(flown: Sequence[Flown]) -> dict[str, Input]:
    """Inputs with a spread of which not all models have the same draws, by their column."""
    by_name: dict[str, dict[str, Input]] = {}
    for one in flown:
        for name, column in one.columns.items():
            entry = one.found.setup.inputs[name]
            if not entry.is_exact:
                by_name.setdefault(name, {})[column] = entry
    return {column: entry for found in by_name.values() if len(found) > 1 for column, entry in found.items()}
