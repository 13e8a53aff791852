"""How often the 80 % intervals after calibration hold the truth, and how much nearer the predicted height is.

Made-up truths are drawn from the spreads of a model, fly three logged flights, and are calibrated; a fourth
flight is then predicted before its log is read, with and without the first three. Run:
``python studies/calibration_coverage.py [pairs]``. The tests run a seeded part of it.
"""

import sys
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

import glidewright
from glidewright.calibration.flights import Posterior, learn, predicted
from glidewright.calibration.flown import COLUMN
from glidewright.calibration.season import season_of
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.model import Model
from glidewright.forecast.spread import Z90
from glidewright.store.reading import read_model
from truths import Outing, fly

PAIRS = 200
OUTINGS = (Outing("2025-05-03"), Outing("2025-05-10", 2), Outing("2025-05-11"), Outing("2025-06-07"))
DEMO = Path(glidewright.__file__).parent / "data/demo/hill-demo"


@dataclass(frozen=True)
class Pair:
    """One truth: whether intervals held it, and the errors of the predicted height in m."""

    height_in: bool
    current_in: bool
    inputs_in: float
    error_before_m: float
    error_after_m: float
    width_before_m: float
    width_after_m: float


def one_pair(model: Model, rule: ClassLimits | None, seed: int, outings: Sequence[Outing] = OUTINGS) -> Pair:
    """Draw a truth, fly and learn, then predict the last flight."""
    truth, flights = fly(model, rule, outings, np.random.Generator(np.random.PCG64(seed)))
    season = season_of(model, rule, flights)
    last = season.of_flight(season.flights[-1])[0]
    places = list(range(last))
    before = predicted(season, last, Posterior.none())
    posterior = learn(season, places, Posterior.none())
    season = season.at(posterior.centre())
    posterior = learn(season, places, Posterior.none(), posterior)
    launch = season.flown[last].launch
    assert launch is not None
    after = predicted(season, last, posterior.lasting())
    actual = launch.height_at_stop.value or 0.0
    column, current = COLUMN["height_at_stop_m"], COLUMN["mean_current_A"]
    low, middle, high = np.quantile(after[:, column], (0.1, 0.5, 0.9))
    low_A, high_A = np.quantile(after[:, current], (0.1, 0.9))
    sigma = np.sqrt(np.diag(posterior.covariance))
    lasting = [place for place, score in enumerate(posterior.scores) if not score.when and sigma[place] < 0.9]
    inside = [
        abs(truth[posterior.scores[place]] - posterior.mean[place]) <= Z90 * sigma[place] for place in lasting
    ]
    wide = np.quantile(before[:, column], (0.1, 0.5, 0.9))
    return Pair(
        height_in=bool(low <= actual <= high),
        current_in=bool(low_A <= (launch.mean_current.value or 0.0) <= high_A),
        inputs_in=float(np.mean(inside)),
        error_before_m=float(abs(wide[1] - actual)),
        error_after_m=float(abs(middle - actual)),
        width_before_m=float(wide[2] - wide[0]),
        width_after_m=float(high - low),
    )


def main() -> None:
    """Print coverage and errors."""
    pairs = int(sys.argv[1]) if len(sys.argv) > 1 else PAIRS
    model = read_model(DEMO)
    found = [one_pair(model, None, seed) for seed in range(pairs)]
    print(f"{pairs} truths; launch height of the fourth flight, as the log shows it:")
    print(f"  80 % interval holds it in {100 * np.mean([p.height_in for p in found]):.1f} %")
    print(f"  that of the mean current in {100 * np.mean([p.current_in for p in found]):.1f} %")
    print(f"  that of the inputs that were learned in {100 * np.mean([p.inputs_in for p in found]):.1f} %")
    before, after = (np.median([getattr(p, n) for p in found]) for n in ("error_before_m", "error_after_m"))
    print(f"  median error before {before:.1f} m, after {after:.1f} m: {after / before:.2f} of it")
    widths = (np.median([getattr(p, n) for p in found]) for n in ("width_before_m", "width_after_m"))
    print("  median width of the interval: {:.0f} m before, {:.0f} m after".format(*widths))


if __name__ == "__main__":
    main()
