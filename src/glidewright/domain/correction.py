"""Correction: what readings taught about uncertain inputs, as data that predictions take."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True)
class Correction:
    """Posterior of the standard-normal coordinates of some inputs.

    names: the inputs; mean: shape (n,), prior 0; covariance: shape (n, n), prior identity;
    evidence: one sentence per reading that entered; remarks: what makes it worth less than it could be.
    """

    names: tuple[str, ...]
    mean: NDArray[np.float64]
    covariance: NDArray[np.float64]
    evidence: tuple[str, ...] = ()
    remarks: tuple[str, ...] = ()

    @classmethod
    def none(cls) -> "Correction":
        """Nothing learned yet."""
        return cls((), np.zeros(0), np.zeros((0, 0)))
