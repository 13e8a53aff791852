"""How time and memory grow: one job at a few sizes, each in a Python of its own.

``python benchmarks/growth.py`` measures all, ``python benchmarks/growth.py NAME SIZE`` one point of one. The
time is that of the job alone, after a small one that loads what is loaded once; memory is the peak of the
process, libraries and all.
"""

import sys
import time
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import partial
from itertools import islice
from pathlib import Path
from typing import Any

from measure import DEMO, child, exponent

Work = Callable[[], object]


@dataclass(frozen=True)
class Growth:
    """A job, what its size is, and the sizes; ``job`` makes what is timed, ready to run, for a size.

    warm: a size that loads what is loaded once; counted: the real size, from what the job gave; last_of: the
    benchmark whose row with a size is the last point, so that what takes long is not run twice.
    """

    title: str
    size_is: str
    sizes: tuple[int, ...]
    job: Callable[[int], Work]
    warm: int
    rounds: int = 1
    counted: Callable[[Any], int] | None = None
    last_of: str = ""


@dataclass(frozen=True)
class Point:
    """One size: seconds of the job and the peak memory of its process."""

    size: int
    seconds: float
    memory_MB: float


def choosing(sets: int) -> Work:
    """A search over what is fitted and a made drawer; with the demo's own it makes so many sets."""
    from bench_choose import BEST, GOALS, made_parts
    from glidewright.decisions import choose
    from glidewright.decisions.choosing.nouns import ChooseRequest
    from glidewright.domain.parts import Controller, Motor, Pack, Propeller, Servo
    from glidewright.faces.cli.model_and_class import model_and_class

    model, rule = model_and_class(DEMO)
    fitted = {item.part.id for item in model.items}
    kinds = Motor | Controller | Pack | Propeller | Servo
    drawer = tuple(one for one in model.drawer if one.id in fitted or not isinstance(one, kinds))
    model = model.model_copy(update={"drawer": drawer})
    request = ChooseRequest(model=model, rule=rule, goals=GOALS, parts=made_parts(sets), simulated=BEST)
    return partial(choose.run, request)


def balancing(items: int) -> Work:
    """The best way for so many items with five ways each."""
    from bench_balance import BALLAST, TARGET, WORTH, case
    from glidewright.decisions.balancing.search import ranked

    cases = [case(seed, items) for seed in (1, 2, 3)]
    return lambda: [list(islice(ranked(one, None, BALLAST, TARGET, WORTH), 1)) for one in cases]


def lattice(panels: int) -> Work:
    """Trimmed polar and derivatives on about so many panels."""
    from bench_lattice import polar

    return partial(polar, panels / 200.0)


def log(seconds: int) -> Work:
    """One log of so many seconds at 10 Hz."""
    from bench_logs import hour, ours

    return partial(ours, hour(float(seconds)))


def season(flights: int) -> Work:
    """So many logs of one flight each, on two processes."""
    from bench_logs import season_of
    from glidewright.logs.season import read_season

    return partial(read_season, season_of(flights), workers=2)


def launches(draws: int) -> Work:
    """One launch of so many draws."""
    import numpy as np

    from glidewright.models.launch.example import example_inputs
    from glidewright.models.launch.flights import launch_outputs

    return partial(launch_outputs, example_inputs(mass_kg=np.linspace(0.55, 0.65, draws)))


def checking(draws: int) -> Work:
    """A whole check with so many draws."""
    from glidewright.decisions import check
    from glidewright.faces.cli.model_and_class import model_and_class

    model, rule = model_and_class(DEMO)
    return partial(check.run, check.CheckRequest(model=model, rule=rule, draws=draws))


def fairness(builds: int) -> Work:
    """The field of about so many builds under the first options of its class."""
    from glidewright.decisions.fair import run
    from glidewright.decisions.fairness.build import builds_of
    from glidewright.decisions.fairness.nouns import FairRequest
    from glidewright.domain.parts import Motor, Pack
    from glidewright.faces.cli.fair_input import fair_input

    asked = fair_input("hill-club-electric", (), (), None)
    [model] = asked.models
    fitted = {item.part.id for item in model.items}
    spare = [one.id for one in model.drawer if isinstance(one, Motor | Pack) and one.id not in fitted]
    while spare and len(builds_of(model)) > builds:
        gone = spare.pop()
        model = model.model_copy(update={"drawer": tuple(one for one in model.drawer if one.id != gone)})
    request = FairRequest(models=(model,), rule=asked.rule, options=asked.options.options[:2], draws=16)
    return partial(run, request)


def calibrating(flights: int) -> Work:
    """A calibration with so many flights."""
    from bench_calibration import flown_by
    from glidewright.decisions import calibrate
    from glidewright.store.reading import read_model

    model = read_model(DEMO)
    return partial(calibrate.run, calibrate.CalibrateRequest(model=model, flights=flown_by(model, flights)))


GROWTHS: Mapping[str, Growth] = {
    "choose": Growth(
        "choose: best hundred of a drawer", "sets of parts",
        (2_000, 50_000, 250_000, 1_000_000, 2_500_000), choosing, 1, counted=lambda result: result.sets,
        last_of="choose",
    ),
    "balance": Growth("balance: best way, three cases", "items", (5, 10, 15, 20, 30, 40, 60), balancing, 5),
    "lattice": Growth(
        "trimmed polar with derivatives", "panels", (50, 100, 200, 400, 800, 1500), lattice, 50, 2,
        counted=lambda result: result[0],
    ),
    "log": Growth("read: one log at 10 Hz", "seconds", (60, 300, 900, 3600, 7200, 14_400), log, 60, 2),
    "season": Growth("read: a season, two processes", "flights", (10, 30, 100, 300, 1000), season, 1),
    "launch": Growth("one launch", "draws", (64, 256, 1024, 4096, 16_384), launches, 64, 3),
    "check": Growth("check without start and text", "draws", (64, 256, 1024, 2048, 4096), checking, 64),
    "fair": Growth(
        "fair: two rule options, 16 draws", "builds", (36, 90, 180, 270, 450), fairness, 10,
        counted=lambda result: result.builds,
    ),
    "calibrate": Growth("calibrate", "flights", (3, 5, 10, 20, 40), calibrating, 2),
}  # fmt: skip


def measured(name: str) -> Iterator[Point]:
    """Every size of one job."""
    for size in GROWTHS[name].sizes:
        ran = child([str(Path(__file__)), name, str(size)])
        if ran.code:
            raise SystemExit(f"{name} {size}:\n{ran.said}")
        *_, counted, seconds = ran.said.split()
        yield Point(int(counted), float(seconds), ran.memory_MB)


def one(name: str, size: int) -> tuple[int, float]:
    """The size as it came out and the seconds of one point, here."""
    growth = GROWTHS[name]
    growth.job(growth.warm)()
    job = growth.job(size)
    times = []
    for _ in range(growth.rounds):
        start = time.perf_counter()
        result = job()
        times.append(time.perf_counter() - start)
    return growth.counted(result) if growth.counted else size, min(times)


def main() -> None:
    """One point as the command line says, or all."""
    if len(sys.argv) == 3:
        print(*one(sys.argv[1], int(sys.argv[2])))
        return
    for name, growth in GROWTHS.items():
        points = []
        for point in measured(name):
            points.append(point)
            size = f"{point.size:>9,} {growth.size_is:14}"
            print(f"{name:10} {size} {point.seconds:9.3f} s {point.memory_MB:6.0f} MB")
        slope = exponent([p.size for p in points], [p.seconds for p in points])
        print(f"{name:10} grows with the power {slope:.2f} over the upper half")


if __name__ == "__main__":
    main()
