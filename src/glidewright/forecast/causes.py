"""Which inputs cause most of the spread of a result."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glidewright.base.figure import Grade, worst_grade
from glidewright.forecast.spread import Input

Array = NDArray[np.float64]
_WORTH_NAMING = 0.04


@dataclass(frozen=True)
class Cause:
    """One input and its share of the variance of a result, 0 to 1."""

    entry: Input
    share: float


class Causes:
    """Squared rank correlation of a result with the standard-normal score of every input.

    For a result that is monotone in independent inputs this is the share of the variance of its ranks
    that each input explains (Saltelli et al., Global Sensitivity Analysis, 2008, section 1.2.5).
    """

    def __init__(self, inputs: Mapping[str, Input], scores: Mapping[str, Array]) -> None:
        self._entries = [entry for name, entry in inputs.items() if not entry.is_exact and name in scores]
        stacked = [scores[entry.name] for entry in self._entries]
        self._scores = np.stack(stacked) if stacked else np.zeros((0, 1))

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
        rank = np.argsort(np.argsort(values, kind="stable"), kind="stable").astype(np.float64)
        rank = (rank - rank.mean()) / rank.std()
        rows = self._scores[:, :count]
        rows = (rows - rows.mean(axis=1, keepdims=True)) / rows.std(axis=1, keepdims=True)
        shares = (rows @ rank / count) ** 2
        order = np.argsort(-shares, kind="stable")
        return [Cause(self._entries[i], float(shares[i])) for i in order]

    def sentence(self, result: Array) -> tuple[str, Grade]:
        """What most of the spread comes from, in words, and the worst grade among these inputs."""
        named = [cause for cause in self.of(result)[:3] if cause.share >= _WORTH_NAMING]
        if not named:
            few = self.of(result)[:3]
            if not few:
                return "no spread: everything it follows from is exact", "quoted"
            words = ", ".join(c.entry.title for c in few)
            return f"many small causes, first of all {words}", worst_grade([c.entry.grade for c in few])
        words = ", ".join(f"{c.entry.title} {100 * c.share:.0f} % ({c.entry.grade})" for c in named)
        return f"spread mostly from {words}", worst_grade([c.entry.grade for c in named])
