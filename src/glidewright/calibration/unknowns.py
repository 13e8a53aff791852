"""The unknowns of some launches, shared scores and scores of their own, and what these make a log show."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from .flown import OBSERVABLES, expected
from .posterior import Posterior
from .scores import Basis
from .season import Season, meter_sigma

Array = NDArray[np.float64]


@dataclass(frozen=True)
class LaunchWeights:
    """One launch in the unknowns: weights of the shared scores and of its own, for every local input.

    place: in the flown launches of the season; names: the inputs; shared, own: (scores, inputs); mass_places:
    shared scores that the mass depends on, by `mass_names`.
    """

    place: int
    names: tuple[str, ...]
    shared: Array
    own: Array
    mass_places: tuple[int, ...]
    mass_names: tuple[str, ...]

    def only(self, kept: NDArray[np.bool_]) -> "LaunchWeights":
        """The launch without the inputs that it does not feel."""
        names = tuple(name for name, is_kept in zip(self.names, kept, strict=True) if is_kept)
        return replace(self, names=names, shared=self.shared[:, kept], own=self.own[:, kept])


class Unknowns:
    """The shared scores of some launches with their prior, and every launch in them.

    precision: inverse of the covariance of the prior.
    """

    def __init__(self, season: Season, places: Sequence[int], prior: Posterior) -> None:
        self.season = season
        seen = season.basis(places)
        # scores that the prior ties to those seen come along, so that they learn by their correlation
        self.basis = Basis(sorted({*seen.scores, *prior.scores}))
        self.prior_mean, covariance = prior.over(self.basis.scores)
        self.precision = np.asarray(np.linalg.inv(covariance))
        self.launches = [self._launch(place) for place in places]

    def _launch(self, place: int) -> LaunchWeights:
        season, one = self.season, self.season.flown[place]
        inputs = season.inputs_of(one)
        own_scores = [(s, w) for parts in inputs.values() for s, w in parts if s.when == one.key]
        own = Basis([score for score, _ in own_scores])
        shared = [[(s, w) for s, w in parts if s.when != one.key] for parts in inputs.values()]
        new = [[(s, w) for s, w in parts if s.when == one.key] for parts in inputs.values()]
        masses = season.masses_of(one)
        return LaunchWeights(
            place,
            tuple(inputs),
            self.basis.weights(shared),
            own.weights(new),
            tuple(self.basis.place(score) for score in masses.values()),
            tuple(masses),
        )

    def mass_kg(self, launch: LaunchWeights, shared: Array) -> Array:
        """Mass of one launch, shape (rows,), for rows of the shared scores."""
        craft = self.season.crafts[self.season.flown[launch.place].craft]
        scores = {
            name: shared[:, place] for name, place in zip(launch.mass_names, launch.mass_places, strict=True)
        }
        return craft.mass_kg(scores, shared.shape[0])


def shown_by(unknowns: Unknowns, rows: Sequence[tuple[LaunchWeights, Array, Array]]) -> list[Array]:
    """What each launch would show, (rows, observed), for rows of its local scores and masses."""
    season = unknowns.season
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
        with_meters(model, scores)
        ends = np.cumsum(counts)
        for k, one, end, count in zip(mine, flown, ends, counts, strict=True):
            found[k] = model[end - count : end][:, one.observed]
    return found


def _stacked(rows: Sequence[tuple[LaunchWeights, Array, Array]]) -> dict[str, Array]:
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


def with_meters(model: Array, scores: Mapping[str, Array]) -> None:
    """Add the lasting error of every meter to the logarithms that it shows."""
    for column, observable in enumerate(OBSERVABLES.values()):
        name = f"meter.{observable.meter}"
        if name in scores:
            model[:, column] += meter_sigma(observable.meter) * scores[name]
