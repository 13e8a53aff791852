"""Prediction: draws of everything that was computed for one model, by public name."""

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from glidewright.base.figure import Figure, Grade
from glidewright.base.units import unit as unit_named
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.model import Model

Draws = NDArray[np.float64]


@dataclass(frozen=True)
class Prediction:
    """All results over the same draws.

    values: name -> draws, shape (count,), SI, the unit in the name; causes: name -> the sentence that
    names what the spread comes from; grades: name -> least trustworthy grade among these causes;
    unknown: name -> why it could not be computed.
    """

    model: Model
    rule: ClassLimits | None
    count: int
    values: Mapping[str, Draws]
    grades: Mapping[str, Grade] = field(default_factory=dict)
    causes: Mapping[str, str] = field(default_factory=dict)
    unknown: Mapping[str, str] = field(default_factory=dict)

    def draws(self, name: str) -> Draws | None:
        """The draws of a result, or nothing when it is not known."""
        return self.values.get(name)

    def why_unknown(self, name: str) -> str:
        """What is missing for a result."""
        return self.unknown.get(name, "not computed for this model")

    def figure(self, name: str, shown: str) -> Figure:
        """The result as a figure with low, high, grade and reason."""
        si = unit_named(shown).si
        draws = self.values.get(name)
        if draws is None:
            return Figure.unknown(si, shown, self.why_unknown(name))
        return Figure.of_draws(draws, si, shown, self.grades.get(name, "guessed"), self.causes.get(name, ""))
