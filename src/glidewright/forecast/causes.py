"""Which inputs cause most of the spread of a result."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from glidewright.base.figure import Grade, worst_grade
from glidewright.forecast.spread import Input

Array = NDArray[np.float64]
_WORTH_NAMING = 0.04


@cache
def _normal_scores(count: int) -> Array:
    """Normal scores of the ranks 1 to count, with unit standard deviation."""
    law = NormalDist()
    scores = np.array([law.inv_cdf((i + 0.5) / count) for i in range(count)])
    found: Array = scores / scores.std()
    return found


@dataclass(frozen=True)
class Cause:
    """One input and its share of the variance of a result, 0 to 1."""

    entry: Input
    share: float


class Causes:
    """Squared correlation of the normal scores of a result's ranks with the score of every input.

    For a result that is a monotone function of a weighted sum of independent inputs this is the share that
    each input explains (Saltelli et al., Global Sensitivity Analysis, 2008, section 1.2.5, with van der
    Waerden's normal scores in place of the ranks, so that a single cause has the share 1).
    """

    def __init__(self, inputs: Mapping[str, Input], scores: Mapping[str, Array]) -> None:
        self._entries = [entry for name, entry in inputs.items() if not entry.is_exact and name in scores]
        self._scores = scores
        self._made: dict[int, Array] = {}

    def _standard(self, count: int) -> Array:
        """The first draws of every score, with mean 0 and standard deviation 1; made once a count."""
        if count not in self._made:
            rows = np.stack([self._scores[entry.name][:count] for entry in self._entries])
            self._made[count] = (rows - rows.mean(axis=1, keepdims=True)) / rows.std(axis=1, keepdims=True)
        return self._made[count]

    def of(self, result: Array) -> list[Cause]:
        """All inputs, the largest share first; empty when the result has no spread."""
        count = result.size
        finite = np.isfinite(result)
        if (
            not self._entries
            or finite.sum() < 8
            or np.ptp(result[finite]) <= 1e-12 * np.abs(result[finite]).max()
        ):
            return []
        values = np.where(finite, result, np.nanmedian(np.where(finite, result, np.nan)))
        rank = np.empty(count)
        rank[np.argsort(values, kind="stable")] = _normal_scores(count)
        shares = (self._standard(count) @ rank / count) ** 2
        order = np.argsort(-shares, kind="stable")
        return [Cause(self._entries[i], float(shares[i])) for i in order]

    def sentence(self, result: Array, least: float = _WORTH_NAMING) -> tuple[str, Grade]:
        """What most of the spread comes from, in words, and the worst grade among these inputs.

        least: share that is worth naming; of few draws small shares are chance.
        """
        named = [cause for cause in self.of(result)[:3] if cause.share >= least]
        if not named:
            few = self.of(result)[:3]
            if not few:
                return "no spread: everything it follows from is exact", "quoted"
            words = ", ".join(c.entry.title for c in few)
            return f"many small causes, first of all {words}", worst_grade([c.entry.grade for c in few])
        words = ", ".join(f"{c.entry.title} {100 * c.share:.0f} % ({c.entry.grade})" for c in named)
        return f"spread mostly from {words}", worst_grade([c.entry.grade for c in named])
