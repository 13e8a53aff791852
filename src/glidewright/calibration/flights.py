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

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from glidewright.domain.correction import Correction
from glidewright.forecast.draws import sobol_column

from .flown import OBSERVABLES, expected
from .scores import Basis, Score, shares
from .season import Season, meter_sigma, practice

Array = NDArray[np.float64]
Places = NDArray[np.int64]

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
PREDICTED_DRAWS = 256
_MASS_STEP = 0.005
_MASS_DIFFERENCE = 0.1


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

    def lasting(self) -> "Posterior":
        """Without what held for a day."""
        rows = [place for place, score in enumerate(self.scores) if not score.when]
        kept = tuple(self.scores[place] for place in rows)
        return Posterior(kept, self.mean[rows], self.covariance[np.ix_(rows, rows)])


@dataclass(frozen=True)
class _Launch:
    """One launch in the unknowns: weights of the shared scores and of its own, for every local input."""

    place: int
    names: tuple[str, ...]
    shared: Array
    own: Array
    mass_places: tuple[int, ...]
    mass_names: tuple[str, ...]

    def only(self, kept: NDArray[np.bool_]) -> "_Launch":
        """The launch without the inputs that it does not feel."""
        names = tuple(name for name, is_kept in zip(self.names, kept, strict=True) if is_kept)
        return replace(self, names=names, shared=self.shared[:, kept], own=self.own[:, kept])


class _Problem:
    """All launches that teach, their unknowns and prior."""

    def __init__(self, season: Season, places: Sequence[int], prior: Posterior) -> None:
        self.season = season
        seen = season.basis(places)
        # scores that the prior ties to those seen come along, so that they learn by their correlation
        self.basis = Basis(sorted({*seen.scores, *prior.scores}))
        self.prior_mean, covariance = prior.over(self.basis.scores)
        self.precision = np.asarray(np.linalg.inv(covariance))
        self.launches = [self._launch(place) for place in places]
        self.tails = practice("tails")

    def _launch(self, place: int) -> _Launch:
        season, one = self.season, self.season.flown[place]
        inputs = season.inputs_of(one)
        own_scores = [(s, w) for parts in inputs.values() for s, w in parts if s.when == one.key]
        own = Basis([score for score, _ in own_scores])
        shared = [[(s, w) for s, w in parts if s.when != one.key] for parts in inputs.values()]
        new = [[(s, w) for s, w in parts if s.when == one.key] for parts in inputs.values()]
        masses = season.masses_of(one)
        return _Launch(
            place,
            tuple(inputs),
            self.basis.weights(shared),
            own.weights(new),
            tuple(self.basis.place(score) for score in masses.values()),
            tuple(masses),
        )

    def mass_kg(self, launch: _Launch, shared: Array) -> Array:
        """Mass of one launch, shape (rows,), for rows of the shared scores."""
        craft = self.season.crafts[self.season.flown[launch.place].craft]
        scores = {
            name: shared[:, place] for name, place in zip(launch.mass_names, launch.mass_places, strict=True)
        }
        return craft.mass_kg(scores, shared.shape[0])


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
    problem = _Problem(season, places, prior)
    sizes = [launch.own.shape[0] for launch in problem.launches]
    mean, covariance = (start or prior).over(problem.basis.scores)
    state = _State(
        mean,
        covariance,
        [np.zeros(size) for size in sizes],
        [np.ones(size) for size in sizes],
    )
    share, before = (1.0 if start is None else DAMPED), np.inf
    for number in range(STEPS):
        longest = _advance(problem, state, share)
        if longest <= CONVERGED:
            break
        if number + 1 >= FULL_STEPS:
            share = min(share, DAMPED) if longest < before else max(0.5 * share, LEAST_SHARE)
        before = longest
    return Posterior(problem.basis.scores, state.shared, state.covariance)


def _advance(problem: _Problem, state: _State, share: float) -> float:
    """A share of one step of everything; the largest move of a shared score that a whole step would be."""
    linear = _linear(problem, state)
    problem.launches = [
        launch.only(one.effect > LEAST_EFFECT) for launch, one in zip(problem.launches, linear, strict=True)
    ]
    normal = problem.precision.copy()
    slope = problem.precision @ (problem.prior_mean - state.shared)
    kept = []
    for one, own in zip(linear, state.owns, strict=True):
        weight = (problem.tails + 1.0) / (problem.tails + (one.miss / one.sigma) ** 2)
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


def _expected(problem: _Problem, rows: Sequence[tuple[_Launch, Array, Array]]) -> list[Array]:
    """What each launch would show, (rows, observed), for rows of its local scores and masses."""
    season = problem.season
    found: list[Array] = [np.empty((0, 0))] * len(rows)
    for number, craft in enumerate(season.crafts):
        mine = [k for k, (launch, _, _) in enumerate(rows) if season.flown[launch.place].craft == number]
        if not mine:
            continue
        counts = [rows[k][1].shape[0] for k in mine]
        which = np.repeat(np.arange(len(mine)), counts)
        flown = [season.flown[rows[k][0].place] for k in mine]
        scores = _stacked([rows[k] for k in mine])
        mass = np.concatenate([rows[k][2] for k in mine])
        model = expected(craft, flown, which, scores, mass)
        _with_meters(model, scores)
        ends = np.cumsum(counts)
        for k, one, end, count in zip(mine, flown, ends, counts, strict=True):
            found[k] = model[end - count : end][:, one.observed]
    return found


def _stacked(rows: Sequence[tuple[_Launch, Array, Array]]) -> dict[str, Array]:
    """Local scores by input name over all rows; 0 where a launch does not have the input."""
    names = dict.fromkeys(name for launch, _, _ in rows for name in launch.names)
    found = {name: np.zeros(sum(local.shape[0] for _, local, _ in rows)) for name in names}
    start = 0
    for launch, local, _ in rows:
        end = start + local.shape[0]
        for column, name in enumerate(launch.names):
            found[name][start:end] = local[:, column]
        start = end
    return found


def _with_meters(model: Array, scores: Mapping[str, Array]) -> None:
    """Add the lasting error of every meter to the logarithms that it shows."""
    for column, observable in enumerate(OBSERVABLES.values()):
        name = f"meter.{observable.meter}"
        if name in scores:
            model[:, column] += meter_sigma(observable.meter) * scores[name]


def _linear(problem: _Problem, state: _State) -> list[_Linear]:
    """Every launch near the present scores, slopes over the present spreads, all launches in one call."""
    rows, slopes, factors = [], [], []
    masses_of: dict[tuple[int, ...], tuple[float, Array]] = {}
    for launch, own, variance in zip(problem.launches, state.owns, state.variances, strict=True):
        centre = state.shared @ launch.shared + own @ launch.own
        spread = launch.shared.T @ state.covariance @ launch.shared
        spread += (launch.own.T * variance) @ launch.own + LEAST_SPREAD**2 * np.eye(centre.size)
        factor = np.linalg.cholesky(spread)
        moves = WIDTH * factor.T
        local = centre + np.concatenate(
            [np.zeros((1, centre.size)), moves, -moves, np.zeros((2, centre.size))]
        )
        if launch.mass_places not in masses_of:
            masses_of[launch.mass_places] = _mass_and_slopes(problem, launch, state.shared)
        mass, mass_slopes = masses_of[launch.mass_places]
        masses = np.full(local.shape[0], mass)
        masses[-2:] *= np.exp(np.array([1.0, -1.0]) * _MASS_STEP)
        rows.append((launch, local, masses))
        slopes.append(mass_slopes)
        factors.append(factor)
    found = []
    models = _expected(problem, rows)
    for launch, model, mass_slope, factor in zip(problem.launches, models, slopes, factors, strict=True):
        one = problem.season.flown[launch.place]
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


def _mass_and_slopes(problem: _Problem, launch: _Launch, shared: Array) -> tuple[float, Array]:
    """Mass of a launch, and the slope of its logarithm by each of its scores."""
    count = len(launch.mass_places)
    rows = np.repeat(shared[None], 2 * count + 1, axis=0)
    for number, place in enumerate(launch.mass_places):
        rows[number, place] += _MASS_DIFFERENCE
        rows[count + number, place] -= _MASS_DIFFERENCE
    mass = problem.mass_kg(launch, rows)
    logs = np.log(mass)
    slopes: Array = (logs[:count] - logs[count:-1]) / (2.0 * _MASS_DIFFERENCE)
    return float(mass[-1]), slopes


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
    problem = _Problem(season, [place], posterior)
    launch = problem.launches[0]
    mean, covariance = posterior.over(problem.basis.scores)
    factor = np.linalg.cholesky(covariance)
    columns = problem.basis.size + launch.own.shape[0]
    normal = _normal(columns + len(OBSERVABLES), draws)
    shared = mean + normal[:, : problem.basis.size] @ factor.T
    local = shared @ launch.shared + normal[:, problem.basis.size : columns] @ launch.own
    scores = {name: local[:, column] for column, name in enumerate(launch.names)}
    return Drawn(scores, problem.mass_kg(launch, shared), normal[:, columns:])


def predicted(season: Season, place: int, posterior: Posterior, draws: int = PREDICTED_DRAWS) -> Array:
    """What the log of a launch will show before it was read: draws, shape (draws, ``OBSERVABLES``), SI.

    All that is new in a launch and every error of its reading are in the draws.
    """
    made = drawn_for(season, place, posterior, draws)
    one = season.flown[place]
    which = np.zeros(draws, dtype=np.int64)
    model = expected(season.crafts[one.craft], [one], which, made.scores, made.mass_kg)
    _with_meters(model, made.scores)
    model[:, one.observed] += made.spare[:, : one.observed.size] * one.sigma
    for column, observable in enumerate(OBSERVABLES.values()):
        if observable.is_log:
            model[:, column] = np.exp(model[:, column])
    return model


def _normal(columns: int, draws: int) -> Array:
    """Standard-normal draws, shape (draws, columns): Sobol columns first, then a seeded generator."""
    most = 96
    sobol = np.stack([sobol_column(place, draws) for place in range(min(columns, most))], axis=1)
    if columns <= most:
        return sobol
    rest = np.random.Generator(np.random.PCG64(columns)).standard_normal((draws, columns - most))
    return np.concatenate([sobol, rest], axis=1)
