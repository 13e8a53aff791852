"""What flights teach: most likely scores and their covariance, by damped Gauss-Newton in score space.

Unknowns are the scores that last or hold for a day, together, and the scores that are new in each launch,
launch by launch; the latter are taken out of the normal equations exactly (Schur complement, as in bundle
adjustment: B. Triggs et al., "Bundle adjustment - a modern synthesis", 2000, section 6.1), so that the work
grows with the number of launches and not with its cube.

Slopes are taken over the present spread of the inputs, with the mean and the variance that curvature makes
over it (second-order divided differences: M. Noergaard, N. K. Poulsen and O. Ravn, Automatica 36 (2000) 1627,
the mean and covariance of their section 3). A pilot who holds any airspeed but the best one climbs less: with
slopes at a point alone the learning would take that for a property of the drive.

Errors of a log have heavy tails, since a thermal in the climb is no fault of the model: their loss is that of
Student's t, met by reweighting (K. L. Lange, R. J. A. Little and J. M. G. Taylor, J. Am. Stat. Assoc. 84
(1989) 881).
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .posterior import Posterior
from .season import Season, practice
from .unknowns import LaunchWeights, Unknowns, shown_by

Array = NDArray[np.float64]

WIDTH = float(np.sqrt(3.0))
"""Half width of the differences over the standard deviation of an input; the best for normal ones."""
LEAST_SPREAD = 0.05
LEAST_EFFECT = 0.01
"""An input that moves no reading of a launch by this many sigmas is left alone: it could learn 1e-4."""
STEPS = 30
FULL_STEPS = 2
DAMPED, LEAST_SHARE = 0.65, 0.2
"""Share of a step that is taken after the first ones: slopes over a spread that moves with the answer make
whole steps swing from side to side."""
CONVERGED = 0.03
LONGEST_STEP = 1.0
_MASS_STEP = 0.005
_MASS_DIFFERENCE = 0.1


@dataclass(frozen=True)
class _Linear:
    """One launch near the present scores: reading less model, slopes by shared and by own scores, sigma.

    effect: largest move of a reading by each input over its spread, in sigmas.
    """

    miss: Array
    shared: Array
    own: Array
    sigma: Array
    effect: Array


@dataclass
class _State:
    """Where the search is: shared scores with covariance, and own scores of every launch with variance."""

    shared: Array
    covariance: Array
    owns: list[Array]
    variances: list[Array]


def learn(
    season: Season, places: Sequence[int], prior: Posterior, start: Posterior | None = None
) -> Posterior:
    """What the launches at these places teach beyond the prior; the prior itself when there is none.

    start: where to begin to look, when most is known already; the answer does not depend on it.
    """
    if not places:
        return prior
    unknowns = Unknowns(season, places, prior)
    sizes = [launch.own.shape[0] for launch in unknowns.launches]
    mean, covariance = (start or prior).over(unknowns.basis.scores)
    state = _State(
        mean,
        covariance,
        [np.zeros(size) for size in sizes],
        [np.ones(size) for size in sizes],
    )
    share, before = (1.0 if start is None else DAMPED), np.inf
    for number in range(STEPS):
        longest = _advance(unknowns, state, share)
        if longest <= CONVERGED:
            break
        if number + 1 >= FULL_STEPS:
            share = min(share, DAMPED) if longest < before else max(0.5 * share, LEAST_SHARE)
        before = longest
    return Posterior(unknowns.basis.scores, state.shared, state.covariance)


def _advance(unknowns: Unknowns, state: _State, share: float) -> float:
    """A share of one step of everything; the largest move of a shared score that a whole step would be."""
    linear = _linear(unknowns, state)
    unknowns.launches = [
        launch.only(one.effect > LEAST_EFFECT) for launch, one in zip(unknowns.launches, linear, strict=True)
    ]
    normal = unknowns.precision.copy()
    slope = unknowns.precision @ (unknowns.prior_mean - state.shared)
    tails = practice("tails")  # degrees of freedom
    kept = []
    for one, own in zip(linear, state.owns, strict=True):
        weight = (tails + 1.0) / (tails + (one.miss / one.sigma) ** 2)
        scaled = one.miss / one.sigma
        rows, new = one.shared / one.sigma[:, None], one.own / one.sigma[:, None]
        # own scores have unit prior: with K the slopes by them, the inverse of 1 / W + K K' takes them out
        spread = np.linalg.inv(np.diag(1.0 / weight) + new @ new.T)
        at_prior = scaled + new @ own
        normal += rows.T @ spread @ rows
        slope += rows.T @ spread @ at_prior
        kept.append((rows, new, spread, at_prior))
    step = np.linalg.solve(normal, slope)
    longest = float(np.abs(step).max())
    step *= min(1.0, LONGEST_STEP / max(longest, 1e-12)) * share
    for place, (rows, new, spread, at_prior) in enumerate(kept):
        own = new.T @ spread @ (at_prior - rows @ step)
        variance = 1.0 - np.sum(new * (spread @ new), axis=0)
        state.owns[place] = state.owns[place] + share * (own - state.owns[place])
        state.variances[place] = state.variances[place] + share * (variance - state.variances[place])
    state.shared = state.shared + step
    state.covariance = state.covariance + share * (np.asarray(np.linalg.inv(normal)) - state.covariance)
    return longest


def _linear(unknowns: Unknowns, state: _State) -> list[_Linear]:
    """Every launch near the present scores, slopes over the present spreads, all launches in one call."""
    rows, slopes, factors = [], [], []
    masses_of: dict[tuple[int, ...], tuple[float, Array]] = {}
    for launch, own, variance in zip(unknowns.launches, state.owns, state.variances, strict=True):
        centre = state.shared @ launch.shared + own @ launch.own
        spread = launch.shared.T @ state.covariance @ launch.shared
        spread += (launch.own.T * variance) @ launch.own + LEAST_SPREAD**2 * np.eye(centre.size)
        factor = np.linalg.cholesky(spread)
        moves = WIDTH * factor.T
        local = centre + np.concatenate(
            [np.zeros((1, centre.size)), moves, -moves, np.zeros((2, centre.size))]
        )
        if launch.mass_places not in masses_of:
            masses_of[launch.mass_places] = _mass_and_slopes(unknowns, launch, state.shared)
        mass, mass_slopes = masses_of[launch.mass_places]
        masses = np.full(local.shape[0], mass)
        masses[-2:] *= np.exp(np.array([1.0, -1.0]) * _MASS_STEP)
        rows.append((launch, local, masses))
        slopes.append(mass_slopes)
        factors.append(factor)
    found = []
    models = shown_by(unknowns, rows)
    for launch, model, mass_slope, factor in zip(unknowns.launches, models, slopes, factors, strict=True):
        one = unknowns.season.flown[launch.place]
        count = factor.shape[0]
        up, down = model[1 : 1 + count], model[1 + count : 1 + 2 * count]
        by_input = np.linalg.solve(factor.T, (up - down) / (2.0 * WIDTH)).T
        bend = (up + down - 2.0 * model[0]) / (2.0 * WIDTH**2)
        mean = model[0] + bend.sum(axis=0)
        sigma = np.sqrt(one.sigma**2 + (WIDTH**2 - 1.0) * np.sum(bend**2, axis=0))
        by_mass = (model[-2] - model[-1]) / (2.0 * _MASS_STEP)
        by_shared = by_input @ launch.shared.T
        by_shared[:, list(launch.mass_places)] += by_mass[:, None] * mass_slope
        moved = np.abs(by_input) * np.linalg.norm(factor, axis=1) / sigma[:, None]
        effect = np.max(moved, axis=0, initial=0.0)
        found.append(_Linear(one.read - mean, by_shared, by_input @ launch.own.T, sigma, effect))
    return found


def _mass_and_slopes(unknowns: Unknowns, launch: LaunchWeights, shared: Array) -> tuple[float, Array]:
    """Mass of a launch, and the slope of its logarithm by each of its scores."""
    count = len(launch.mass_places)
    rows = np.repeat(shared[None], 2 * count + 1, axis=0)
    for number, place in enumerate(launch.mass_places):
        rows[number, place] += _MASS_DIFFERENCE
        rows[count + number, place] -= _MASS_DIFFERENCE
    mass = unknowns.mass_kg(launch, rows)
    logs = np.log(mass)
    slopes: Array = (logs[:count] - logs[count:-1]) / (2.0 * _MASS_DIFFERENCE)
    return float(mass[-1]), slopes
