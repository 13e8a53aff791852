"""How long a calibration with 20 flights takes, and what batching its launches gains.

The plain reference takes the same slopes, launch by launch and input by input, each in a call of its own, as
a general least-squares routine would ask for them. Run ``python benchmarks/bench_calibration.py``; the
kernels must have been compiled by an earlier run.
"""

import sys
import time
from collections.abc import Sequence
from pathlib import Path
from unittest.mock import patch

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1] / "studies"))

import glidewright
from glidewright.calibration import flights as module
from glidewright.calibration.flights import learn
from glidewright.calibration.flown import expected
from glidewright.calibration.posterior import Posterior
from glidewright.calibration.season import Season, local_scores, masses, season_of
from glidewright.decisions import calibrate
from glidewright.decisions.calibrate import CalibrateRequest
from glidewright.domain.logbook import Flight
from glidewright.domain.model import Model
from glidewright.store.reading import read_model
from measure import Measured, finish
from truths import Outing, fly

DEMO = Path(glidewright.__file__).parent / "data/demo/hill-demo"
FLIGHTS = 20
STEP = 0.1


def plain_slopes(season: Season) -> int:
    """Slopes of every launch by central differences, one launch and one input a call; how many calls."""
    calls = 0
    which = np.zeros(1, dtype=np.int64)
    for one in season.flown:
        craft = season.crafts[one.craft]
        centre = local_scores(season, one, {})
        mass = craft.mass_kg(masses(season, one, {}), 1)
        for name in centre:
            for sign in (STEP, -STEP):
                moved = centre | {name: centre[name] + sign}
                expected(craft, [one], which, moved, mass)
                calls += 1
    return calls


def flown_by(model: Model, count: int) -> tuple[Flight, ...]:
    """Flights of a truth of this model as instruments read them, each on another day."""
    outings = [Outing(f"2025-{5 + number // 28:02d}-{1 + number % 28:02d}") for number in range(count)]
    return tuple(fly(model, None, outings, np.random.Generator(np.random.PCG64(7)))[1])


def main() -> dict[str, float]:
    """Print and return the times and the ratio."""
    model = read_model(DEMO)
    flights = flown_by(model, FLIGHTS)
    season = season_of(model, None, flights)
    places = list(range(len(season.flown)))
    learn(season, places[:1], Posterior.none())

    started = time.perf_counter()
    calibrate.run(CalibrateRequest(model=model, flights=flights))
    whole = time.perf_counter() - started
    started = time.perf_counter()
    learn(season, places, Posterior.none())
    once = time.perf_counter() - started
    started = time.perf_counter()
    calls = plain_slopes(season)
    plain = time.perf_counter() - started
    steps = _steps(season, places)
    ratio = plain * steps / once
    print(f"calibrate with {FLIGHTS} flights, each predicted from those before: {whole:.2f} s")
    print(f"all flights at once: {once:.2f} s in {steps} steps")
    print(f"plain slopes: {calls} calls, {plain:.2f} s a step; batching is {ratio:.1f} times faster")
    return {"whole_s": whole, "once_s": once, "plain_s": plain * steps, "ratio": ratio}


def _steps(season: Season, places: list[int]) -> int:
    """How many times the slopes were taken."""
    with patch.object(module, "_linear", wraps=module._linear) as counted:
        learn(season, places, Posterior.none())
    return counted.call_count


def measured() -> Sequence[Measured]:
    """The figures of the report."""
    found = main()
    of = "the same, slopes launch by launch"
    return [
        Measured(
            f"calibrate with {FLIGHTS} flights",
            found["whole_s"],
            "s",
            note="each predicted from those before",
        ),
        Measured(f"{FLIGHTS} flights learned at once", found["once_s"], "s", found["plain_s"], of),
    ]


if __name__ == "__main__":
    finish(measured)
