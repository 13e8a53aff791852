"""How often ranges after calibration hold the truth, and how much nearer the predicted height is.

    python studies/calibration_coverage.py [TRUTHS]      measure, print, keep in docs/studies/

Made-up truths are drawn from the spreads of a model and fly logged flights. The last flight is predicted
before its log is read: from the model alone, and after one flight and more were learned from. A range of any
width is counted from where what the log then shows lies among the draws. The tests run a seeded part of it.
Seeds are 0, 1, 2, ... for the truths, the same for every run.
"""

import sys
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from statistics import NormalDist
from typing import Any

import numpy as np

import glidewright
import stored
from glidewright.calibration.flights import learn
from glidewright.calibration.flown import COLUMN, OBSERVABLES, Flown
from glidewright.calibration.posterior import Posterior
from glidewright.calibration.predicted import predicted
from glidewright.calibration.season import Season, season_of
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.model import Model
from glidewright.store.reading import read_model
from truths import Outing, fly

TRUTHS, LONG_TRUTHS = 200, 60
OUTINGS = (Outing("2025-05-03"), Outing("2025-05-10", 2), Outing("2025-05-11"), Outing("2025-06-07"))
LONG = (*OUTINGS, *(Outing(f"2025-07-{day:02d}") for day in (5, 6, 19, 20, 26)))
LEARNED_FROM, LONG_LEARNED_FROM = (0, 1, 2, 3), (0, 1, 2, 4, 8)
LEVELS = (*range(10, 100, 10), 95)
DEMO = Path(glidewright.__file__).parent / "data/demo/hill-demo"
_HEIGHT, _CURRENT = "height_at_stop_m", "mean_current_A"
_WELL_LEARNED = 0.9
_KNOWN = 1e-9  # variance of a score that is taken as known


@dataclass(frozen=True)
class Foretold:
    """One flight predicted: where what its log shows lies among the draws, and by how much they are off.

    ranks: share of draws below the reading, by observable; error_m, width_m: of the height, middle against
    reading and 80 % range; current: error, spread, and spread with what was learned held at its middle,
    as logarithms.
    """

    flights: int
    ranks: dict[str, float]
    error_m: float
    width_m: float
    current: tuple[float, float, float]


@dataclass(frozen=True)
class Pair:
    """One truth: the last flight foretold from more and more flights, and ranks of the learned inputs."""

    foretold: tuple[Foretold, ...]
    input_ranks: tuple[float, ...]

    @property
    def height_in(self) -> bool:
        """Whether the 80 % range of the height holds it after all flights."""
        return is_held(self.foretold[-1].ranks[_HEIGHT], 80)

    @property
    def inputs_in(self) -> float:
        """Share of the learned inputs whose 80 % range holds the truth."""
        return float(np.mean([is_held(rank, 80) for rank in self.input_ranks]))

    @property
    def error_before_m(self) -> float:
        """Error of the height from the model alone."""
        return self.foretold[0].error_m

    @property
    def error_after_m(self) -> float:
        """Error of the height after all flights."""
        return self.foretold[-1].error_m


def is_held(rank: float, level: float) -> bool:
    """Whether the middle `level` per cent of the draws hold what has so many of them below it."""
    return abs(2.0 * rank - 1.0) <= level / 100.0


def one_pair(
    model: Model,
    rule: ClassLimits | None,
    seed: int,
    outings: Sequence[Outing] = OUTINGS,
    learned_from: Sequence[int] = LEARNED_FROM,
) -> Pair:
    """Draw a truth, fly it, and foretell the last flight from the first flights."""
    truth, flights = fly(model, rule, outings, np.random.Generator(np.random.PCG64(seed)))
    season = season_of(model, rule, flights)
    last = season.of_flight(season.flights[-1])[0]
    found, posterior = [], Posterior.none()
    for count in learned_from:
        known, posterior = _learned(season, count)
        found.append(_foretold(known, last, posterior.lasting(), count))
    sigma = np.sqrt(np.diag(posterior.covariance))
    ranks = [
        NormalDist().cdf((truth[score] - posterior.mean[place]) / sigma[place])
        for place, score in enumerate(posterior.scores)
        if not score.when and sigma[place] < _WELL_LEARNED
    ]
    return Pair(tuple(found), tuple(ranks))


def _learned(season: Season, flights: int) -> tuple[Season, Posterior]:
    """What the first flights teach, in two rounds as the program does it."""
    places = [place for flight in season.flights[:flights] for place in season.of_flight(flight)]
    if not places:
        return season, Posterior.none()
    first = learn(season, places, Posterior.none())
    season = season.at(first.centre())
    return season, learn(season, places, Posterior.none(), first)


def _foretold(season: Season, last: int, lasting: Posterior, flights: int) -> Foretold:
    draws, one = predicted(season, last, lasting), season.flown[last]
    ranks = {
        name: float(np.mean(draws[:, column] < _read(one, name)))
        for name, column in COLUMN.items()
        if column in one.observed
    }
    low, middle, high = np.quantile(draws[:, COLUMN[_HEIGHT]], (0.1, 0.5, 0.9))
    held = Posterior(lasting.scores, lasting.mean, _KNOWN * np.eye(len(lasting.scores)))
    spread, alone = (np.log(rows[:, COLUMN[_CURRENT]]) for rows in (draws, predicted(season, last, held)))
    off = float(np.log(_read(one, _CURRENT)) - np.median(spread))
    return Foretold(
        flights=flights,
        ranks=ranks,
        error_m=float(abs(middle - _read(one, _HEIGHT))),
        width_m=float(high - low),
        current=(off, float(np.std(spread)), float(np.std(alone))),
    )


def _read(one: Flown, name: str) -> float:
    """What the log shows, in SI."""
    value = float(one.read[np.flatnonzero(one.observed == COLUMN[name])[0]])
    return float(np.exp(value)) if OBSERVABLES[name].is_log else value


def by_flights(pairs: Sequence[Pair]) -> list[dict[str, Any]]:
    """Error, width and share held of the height, for every number of flights that was learned from."""
    found = []
    for steps in zip(*(pair.foretold for pair in pairs), strict=True):
        error, width = ([getattr(one, name) for one in steps] for name in ("error_m", "width_m"))
        low, middle, high = np.quantile(error, (0.25, 0.5, 0.75))
        found.append(
            {
                "flights": steps[0].flights,
                "error_m": [round(float(one), 2) for one in (low, middle, high)],
                "width_m": round(float(np.median(width)), 1),
                "held": _share([is_held(one.ranks[_HEIGHT], 80) for one in steps]),
            }
        )
    return found


def curves(pairs: Sequence[Pair]) -> dict[str, list[float]]:
    """Share of truths held by the middle 10, 20, ... per cent of the draws, by what is predicted."""
    last = [pair.foretold[-1].ranks for pair in pairs]
    ranks = {
        OBSERVABLES[name].title: [one[name] for one in last if name in one]
        for name in OBSERVABLES
        if any(name in one for one in last)
    }
    ranks["Inputs that were learned"] = [rank for pair in pairs for rank in pair.input_ranks]
    return {
        title: [_share([is_held(rank, level) for rank in own]) for level in LEVELS]
        for title, own in ranks.items()
    }


def current_spread(pairs: Sequence[Pair]) -> dict[str, float]:
    """Root mean squares of the mean current in per cent: its error, its spread, and that of what is new."""
    rows = np.array([pair.foretold[-1].current for pair in pairs])
    values = 100.0 * np.sqrt(np.mean(rows**2, axis=0))
    names = ("error", "spread", "spread_at_the_middle")
    return {name: round(float(one), 2) for name, one in zip(names, values, strict=True)}


def _share(held: Sequence[bool]) -> float:
    return round(float(np.mean(held)), 4)


def main() -> None:
    """Measure, print, keep."""
    truths = int(sys.argv[1]) if len(sys.argv) > 1 else TRUTHS
    long = max(1, truths * LONG_TRUTHS // TRUTHS)
    model = read_model(DEMO)
    pairs = [one_pair(model, None, seed) for seed in range(truths)]
    seasons = [one_pair(model, None, seed, LONG, LONG_LEARNED_FROM) for seed in range(long)]
    found: dict[str, Any] = {
        "truths": truths,
        "levels": LEVELS,
        "held": curves(pairs),
        "by_flights": by_flights(pairs),
        "current_percent": current_spread(pairs),
        "long": {"truths": long, "by_flights": by_flights(seasons)},
    }
    at = LEVELS.index(80)
    print(f"{truths} truths; share of the 80 % ranges of the fourth flight that hold what its log shows:")
    for title, shares in found["held"].items():
        print(f"  {title:32s} {100 * shares[at]:5.1f} %")
    for row in (*found["by_flights"], *found["long"]["by_flights"]):
        error, width, held = row["error_m"], row["width_m"], row["held"]
        print(f"  after {row['flights']} flights: error {error} m, width {width} m, held {held}")
    print("  mean current, per cent:", found["current_percent"])
    stored.keep("calibration_coverage", "python studies/calibration_coverage.py", found, seed=0)


if __name__ == "__main__":
    main()
