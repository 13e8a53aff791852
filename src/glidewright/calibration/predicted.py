"""What the log of a launch will show, by all that is known before: draws, with every error of its reading."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glidewright.forecast.draws import SOBOL_COLUMNS, sobol_column

from .flown import OBSERVABLES, expected
from .posterior import Posterior
from .season import Season
from .unknowns import Unknowns, with_meters

Array = NDArray[np.float64]

PREDICTED_DRAWS = 256


@dataclass(frozen=True)
class Drawn:
    """Draws of everything that one launch depends on, as it may come out: scores by input, mass, other draws.

    spare: standard-normal draws for errors of the reading, shape (draws, ``OBSERVABLES``).
    """

    scores: Mapping[str, Array]
    mass_kg: Array
    spare: Array


def drawn_for(season: Season, place: int, posterior: Posterior, draws: int = PREDICTED_DRAWS) -> Drawn:
    """Draws for a launch that was not flown yet, or not read: all that is new in it is in them."""
    unknowns = Unknowns(season, [place], posterior)
    launch = unknowns.launches[0]
    mean, covariance = posterior.over(unknowns.basis.scores)
    factor = np.linalg.cholesky(covariance)
    columns = unknowns.basis.size + launch.own.shape[0]
    normal = _normal(columns + len(OBSERVABLES), draws)
    shared = mean + normal[:, : unknowns.basis.size] @ factor.T
    local = shared @ launch.shared + normal[:, unknowns.basis.size : columns] @ launch.own
    scores = {name: local[:, column] for column, name in enumerate(launch.names)}
    return Drawn(scores, unknowns.mass_kg(launch, shared), normal[:, columns:])


def predicted(season: Season, place: int, posterior: Posterior, draws: int = PREDICTED_DRAWS) -> Array:
    """What the log of a launch will show before it was read: draws, shape (draws, ``OBSERVABLES``), SI.

    All that is new in a launch and every error of its reading are in the draws.
    """
    made = drawn_for(season, place, posterior, draws)
    one = season.flown[place]
    which = np.zeros(draws, dtype=np.int64)
    model = expected(season.crafts[one.craft], [one], which, made.scores, made.mass_kg)
    with_meters(model, made.scores)
    model[:, one.observed] += made.spare[:, : one.observed.size] * one.sigma
    for column, observable in enumerate(OBSERVABLES.values()):
        if observable.is_log:
            model[:, column] = np.exp(model[:, column])
    return model


def _normal(columns: int, draws: int) -> Array:
    """Standard-normal draws, shape (draws, columns): Sobol columns first, then a seeded generator."""
    sobol = np.stack([sobol_column(place, draws) for place in range(min(columns, SOBOL_COLUMNS))], axis=1)
    if columns <= SOBOL_COLUMNS:
        return sobol
    rest = np.random.Generator(np.random.PCG64(columns)).standard_normal((draws, columns - SOBOL_COLUMNS))
    return np.concatenate([sobol, rest], axis=1)
