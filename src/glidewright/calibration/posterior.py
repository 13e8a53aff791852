"""What is known of scores: a joint normal law; every score that is not in it is standard normal."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glidewright.domain.correction import Correction

from .scores import Score, shares

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Posterior:
    """Mean and covariance of scores; every other score is standard normal, independent of these."""

    scores: tuple[Score, ...]
    mean: Array
    covariance: Array

    @classmethod
    def of_correction(cls, correction: Correction, part_ids: Mapping[str, str]) -> "Posterior":
        """The lasting scores behind a correction of the fitted parts.

        An input that lasts by the share a has the mean m / root a, and variance (v - (1 - a)) / a, where its
        corrected score has m and v.
        """
        scores = tuple(Score(name, part_ids.get(name.partition(".")[0], "")) for name in correction.names)
        lasting = np.array([shares(name)[0] for name in correction.names])
        root = np.sqrt(np.where(lasting > 0.0, lasting, 1.0))
        own = (correction.covariance - np.diag(1.0 - lasting)) / np.outer(root, root)
        kept = np.flatnonzero(lasting > 0.0)
        mean = (correction.mean / root)[kept]
        return cls(tuple(scores[place] for place in kept), mean, own[np.ix_(kept, kept)])

    @classmethod
    def none(cls) -> "Posterior":
        """Nothing learned yet."""
        return cls((), np.zeros(0), np.zeros((0, 0)))

    def over(self, scores: Sequence[Score]) -> tuple[Array, Array]:
        """Mean and covariance of any scores, those not known standard normal."""
        own = {score: place for place, score in enumerate(self.scores)}
        known = [place for place, score in enumerate(scores) if score in own]
        source = [own[scores[place]] for place in known]
        mean, covariance = np.zeros(len(scores)), np.eye(len(scores))
        mean[known] = self.mean[source]
        covariance[np.ix_(known, known)] = self.covariance[np.ix_(source, source)]
        return mean, covariance

    def centre(self) -> dict[Score, float]:
        """The mean by score."""
        return dict(zip(self.scores, self.mean.tolist(), strict=True))

    def lasting(self, day: str = "") -> "Posterior":
        """Without what held for a day or a launch; what holds for this day stays."""
        rows = [place for place, score in enumerate(self.scores) if score.when in ("", day)]
        kept = tuple(self.scores[place] for place in rows)
        return Posterior(kept, self.mean[rows], self.covariance[np.ix_(rows, rows)])
