"""Uncertain inputs that one job alone asks for, drawn beside those of the forecast and named as causes."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glidewright.base.figure import Figure, Given
from glidewright.base.units import unit
from glidewright.forecast.causes import Causes
from glidewright.forecast.draws import standard_draws
from glidewright.forecast.predict import Forecast
from glidewright.forecast.spread import Input, Kind, from_band

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Extra:
    """Draws in SI by name, and what causes a spread, these inputs among those of the forecast."""

    values: Mapping[str, Array]
    causes: Causes

    def __getitem__(self, name: str) -> Array:
        return self.values[name]

    def figure(self, draws: Array, shown: str) -> Figure:
        """Draws as a figure, with what most of its spread comes from."""
        because, grade = self.causes.sentence(draws)
        return Figure.of_draws(draws, unit(shown).si, shown, grade, because)


def extra_inputs(found: Forecast, entries: Iterable[Input], count: int | None = None) -> Extra:
    """The inputs drawn as often as the forecast, or the first `count` draws."""
    setup = found.setup
    inputs = {entry.name: entry for entry in entries}
    scores = standard_draws(inputs, setup.count)
    values = {name: entry.draws(scores[name])[:count] for name, entry in inputs.items()}
    return Extra(values, Causes(setup.inputs | inputs, setup.scores | scores))


def banded(name: str, title: str, row: Mapping[str, object], kind: Kind, narrows: str = "") -> Input:
    """The input for a row of a coefficient table with its own low and high."""
    value, low, high = (float(str(row[key])) for key in ("value", "low", "high"))
    because = f"{row['source']} ({row['where']}): {row['valid']}"
    given = Given(value=value, low=low, high=high, grade="typical", because=because)
    return from_band(name, title, given, kind, narrows)
