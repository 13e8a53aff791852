"""Prediction: draws of everything that was computed for one model, by public name."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from glidewright.base.figure import Figure, Grade
from glidewright.base.units import unit as unit_named
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.model import Model

Draws = NDArray[np.float64]
Explain = Callable[[Draws], tuple[str, Grade]]


def unexplained(_draws: Draws) -> tuple[str, Grade]:
    """Say that nobody traced what a spread comes from."""
    return "the spread was not traced", "guessed"


@dataclass(frozen=True)
class Prediction:
    """All results over the same draws.

    values: name -> draws, shape (count,), SI, the unit in the name (results of a whole charge: the first
    draws only); unknown: name -> why it could not be computed; explain: what most of the spread of some
    draws comes from, in words, and the worst grade among these causes.
    """

    model: Model
    rule: ClassLimits | None
    count: int
    values: Mapping[str, Draws]
    unknown: Mapping[str, str] = field(default_factory=dict)
    explain: Explain = unexplained

    @cached_property
    def _explained(self) -> dict[str, tuple[str, Grade]]:
        return {}

    def draws(self, name: str) -> Draws | None:
        """The draws of a result, or nothing when it is not known."""
        return self.values.get(name)

    def why_unknown(self, name: str) -> str:
        """What is missing for a result."""
        return self.unknown.get(name, "not computed for this model")

    def cause(self, name: str) -> tuple[str, Grade]:
        """What most of the spread of a result comes from, and the worst grade among these causes."""
        if name not in self._explained:
            self._explained[name] = self.explain(self.values[name])
        return self._explained[name]

    def figure(self, name: str, shown: str) -> Figure:
        """The result as a figure with low, high, grade and reason."""
        si = unit_named(shown).si
        draws = self.values.get(name)
        if draws is None:
            return Figure.unknown(si, shown, self.why_unknown(name))
        because, grade = self.cause(name)
        return Figure.of_draws(draws, si, shown, grade, because)
