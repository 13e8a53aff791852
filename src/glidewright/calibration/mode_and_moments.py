"""Posterior of standard-normal scores from any readings: mode, then mean and covariance.

With scores z of prior mean 0 and unit covariance, twice the negative logarithm of the posterior is
``|z|^2 + sum of squared relative misses``. Damped Gauss-Newton finds its mode (A. Tarantola, Inverse Problem
Theory, 2005, equations 3.50 to 3.53); mean and covariance are those of the posterior itself.
"""

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from glidewright.forecast.draws import MOST_DRAWS, sobol_column

Array = NDArray[np.float64]
Costs = Callable[[Array], Array]
"""Twice the negative logarithm of the posterior, shape (rows,), for scores of shape (rows, size)."""
Normal = Callable[[Array], tuple[Array, Array]]
"""Normal matrix with the prior in it, and the pull of the readings, at one set of scores."""

STEPS = 80
CONVERGED = 1e-6
WORST_DAMPING = 1e8
TAIL_DEGREES = 8
ROUNDS = 8
FEWEST_EFFECTIVE = 200.0
UNTOUCHED = 1e-6


def mode_and_curvature(costs: Costs, normal_at: Normal, size: int) -> tuple[Array, Array]:
    """Most likely scores, shape (size,), and the inverse curvature there, shape (size, size).

    Tarantola 2005, equations 3.50 to 3.53. After 80 steps, or when no damping helps any more, the best scores
    found so far stand. One reading 1.2 +- 0.5 of a score: mean 1.2 / (1 + 0.25), variance 0.25 / (1 + 0.25).

    >>> mode, covariance = mode_and_curvature(
    ...     lambda z: z[:, 0] ** 2 + ((1.2 - z[:, 0]) / 0.5) ** 2,
    ...     lambda z: (np.array([[1.0 + 1.0 / 0.25]]), np.array([(1.2 - z[0]) / 0.25])), 1
    ... )
    >>> mode.round(6).tolist(), covariance.round(6).tolist()
    ([0.96], [[0.2]])
    """
    mean = np.zeros(size)
    cost = float(costs(mean[None])[0])
    damping = 0.0
    normal, slope = normal_at(mean)
    for _ in range(STEPS):
        step = np.linalg.solve(normal + damping * np.eye(size), slope - mean)
        found = float(costs((mean + step)[None])[0])
        if found > cost:
            damping = max(4.0 * damping, 0.1)
            if damping > WORST_DAMPING:
                break
            continue
        mean, cost, damping = mean + step, found, damping / 4.0
        normal, slope = normal_at(mean)
        if np.abs(step).max() <= CONVERGED:
            break
    return mean, np.asarray(np.linalg.inv(normal))


def moments(costs: Costs, mode: Array, covariance: Array) -> tuple[Array, Array]:
    """Mean and covariance of the posterior itself, by importance sampling that adapts to it.

    A loss that may be next to nothing leaves a posterior with a long flat side, which the curvature at the
    mode does not see. Each round draws from a wide-tailed law with the moments of the round before (O. Cappé
    et al., J. Comput. Graph. Stat. 13 (2004) 907); weights are flattened while too few draws carry them.
    Scores that no reading touches keep their prior. Shapes as those of mode_and_curvature. One that is normal
    gives mode and curvature again:

    >>> mean, spread = moments(
    ...     lambda z: z[:, 0] ** 2 + ((1.2 - z[:, 0]) / 0.5) ** 2, np.array([0.96]), np.array([[0.2]])
    ... )
    >>> mean.round(2).tolist(), spread.round(2).tolist()
    ([0.96], [[0.2]])
    """
    every = mode.size
    touched = np.flatnonzero(np.abs(covariance - np.eye(every)).max(axis=0) > UNTOUCHED)
    size = touched.size
    scores = np.stack([sobol_column(place, MOST_DRAWS) for place in range(size + TAIL_DEGREES)])
    moved = scores[:size] / np.sqrt(np.mean(scores[size:] ** 2, axis=0))
    log_proposal = -0.5 * (TAIL_DEGREES + size) * np.log1p(np.sum(moved**2, axis=0) / TAIL_DEGREES)
    mean, spread = mode[touched], covariance[np.ix_(touched, touched)]
    drawn = np.zeros((MOST_DRAWS, every))
    for _ in range(ROUNDS):
        drawn[:, touched] = mean + (np.linalg.cholesky(spread) @ moved).T
        weight = _flattened(-0.5 * costs(drawn) - log_proposal)
        mean = weight @ drawn[:, touched]
        apart = drawn[:, touched] - mean
        spread = (weight[:, None] * apart).T @ apart
    all_means, all_spreads = np.zeros(every), np.eye(every)
    all_means[touched] = mean
    all_spreads[np.ix_(touched, touched)] = spread
    return all_means, all_spreads


def _flattened(log_weight: Array) -> Array:
    """Weights that add up to one, raised to the highest power up to 1 that leaves enough effective draws."""
    power = 1.0
    while True:
        weight: Array = np.exp(power * (log_weight - log_weight.max()))
        weight /= weight.sum()
        if 1.0 / np.sum(weight**2) >= FEWEST_EFFECTIVE:
            return weight
        power *= 0.8
