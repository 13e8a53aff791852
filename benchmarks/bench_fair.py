"""The field of fair limits against one forecast for every build and option, each with a search of its own.

Run as ``python benchmarks/bench_fair.py``. Both sides answer for the demo's drawer and the options of its
class. The loop is the plain way: ``prepare`` and ``forecast`` of the house over as many draws, build by build
and rule by rule; it is timed over some builds and extrapolated to those that the field flies. It knows no
climb limit and tunes nothing, so that the ratio says too little rather than too much.
"""

import time
from collections.abc import Sequence

from glidewright.decisions.choosing.builds import model_of
from glidewright.decisions.fair import run
from glidewright.decisions.fairness.build import builds_of
from glidewright.decisions.fairness.nouns import FairRequest
from glidewright.decisions.fairness.options import applied, with_as_it_is
from glidewright.decisions.judgement import judge
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.model import Model
from glidewright.faces.cli.fair_input import fair_input
from glidewright.forecast.predict import forecast
from glidewright.forecast.setup import prepare
from measure import Measured, finish

DRAWS, TIMED = 64, 12


def loop_s(model: Model, rules: tuple[ClassLimits, ...]) -> float:
    """Seconds for one build under one rule, the plain way."""
    builds = [one for one in builds_of(model) if one.pack == "p2-600"][::7][:TIMED]
    start = time.perf_counter()
    for build in builds:
        changed = model_of(model, build)
        for rule in rules:
            found = forecast(
                prepare(changed, rule, DRAWS),
                with_trace=False,
                with_many=False,
                with_causes=False,
                with_power_curves=False,
                with_glide=False,
            )
            judge(found)
    return (time.perf_counter() - start) / (len(builds) * len(rules))


def main() -> dict[str, float]:
    """Print and return both times and their ratio."""
    asked = fair_input("hill-club-electric", (), (), None)
    options = with_as_it_is(asked.rule, asked.options.options)
    rules = tuple(applied(asked.rule, option) for option in options)
    request = FairRequest(models=asked.models, rule=asked.rule, options=asked.options.options, draws=DRAWS)
    run(request.model_copy(update={"options": options[1:2], "draws": 16}))  # kernels and tables are warm
    start = time.perf_counter()
    found = run(request)
    field_s = time.perf_counter() - start
    flown = sum(one.entries for one in found.options)
    one_s = loop_s(asked.models[0], rules)
    print(
        f"field of {found.builds} builds under {len(options)} options: {field_s:.1f} s, {flown} legal entries"
    )
    print(
        f"plain loop: {1e3 * one_s:.1f} ms a build and option, {one_s * flown:.1f} s for the legal ones alone"
    )
    print(f"ratio {one_s * flown / field_s:.1f}")
    return {"builds": found.builds, "options": len(options), "field_s": field_s, "loop_s": one_s * flown}


def measured() -> Sequence[Measured]:
    """The figures of the report."""
    found = main()
    name = f"a field of {found['builds']:.0f} builds under {found['options']:.0f} rule options"
    of = "a forecast for every legal entry, extrapolated"
    return [Measured(name, found["field_s"], "s", found["loop_s"], of)]


if __name__ == "__main__":
    finish(measured)
