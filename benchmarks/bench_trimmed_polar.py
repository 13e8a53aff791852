"""A new airframe to its trimmed polar at 40 speeds with every derivative.

Run as ``python benchmarks/bench_trimmed_polar.py``. The airframe is that of the demo, with another first
chord each round, so that nothing of it is kept; the first round reads the section tables too.
"""

import time
from collections.abc import Sequence
from pathlib import Path

import numpy as np

from glidewright.data import packaged
from glidewright.domain.geometry import Geometry
from glidewright.models.aero.derivatives import derivatives
from glidewright.models.aero.glider import glider_of
from glidewright.models.aero.lattice import Flow
from glidewright.models.aero.trim import trimmed_polar
from glidewright.store.reading import read_model
from measure import Measured, finish

ROUNDS, SPEEDS = 9, np.linspace(5.0, 15.0, 40)
CENTRE = np.array([0.07, 0.0, 0.0])


def changed(shape: Geometry, number: int) -> Geometry:
    """The shape with a first chord that no round had before."""
    chord = shape.panels[0].root_chord_m
    assert chord is not None  # a first panel has one
    other = chord.model_copy(update={"value": chord.value + 1e-4 * number})
    first = shape.panels[0].model_copy(update={"root_chord_m": other})
    return shape.model_copy(update={"panels": (first, *shape.panels[1:])})


def one(shape: Geometry) -> dict[str, float]:
    """Seconds of each part for one airframe."""
    start = time.perf_counter()
    glider = glider_of(shape)
    laid = time.perf_counter()
    polar = trimmed_polar(
        glider, SPEEDS, mass_kg=0.6, centre_m=CENTRE, density_kg_m3=1.2, viscosity_Pa_s=1.8e-5
    )
    flown = time.perf_counter()
    flow = Flow(polar.alpha_rad, inputs={"elevator": polar.elevator_rad})
    derivatives(glider.lattice, glider.reference, flow, CENTRE)
    end = time.perf_counter()
    return {"lattice_s": laid - start, "polar_s": flown - laid, "slopes_s": end - flown, "all_s": end - start}


def main() -> dict[str, float]:
    """Measure, print and return the middle and the best of the rounds."""
    shape = read_model(Path(str(packaged("demo", "hill-demo")))).airframe.geometry
    assert shape is not None  # the demo states its shape
    rounds = [one(changed(shape, number)) for number in range(ROUNDS)]
    found = {name: float(np.median([r[name] for r in rounds[1:]])) for name in rounds[0]}
    found["first_s"], found["best_s"] = rounds[0]["all_s"], min(r["all_s"] for r in rounds)
    for name, seconds in found.items():
        print(f"{name.removesuffix('_s'):8s} {seconds * 1e3:8.1f} ms")
    return found


def measured() -> Sequence[Measured]:
    """The figures of the report."""
    found = main()
    note = f"middle of {ROUNDS - 1} shapes, best {found['best_s']:.3f} s, the first {found['first_s']:.2f} s"
    return [Measured("40 trimmed speeds of a new airframe", found["all_s"], "s", goal=0.2, note=note)]


if __name__ == "__main__":
    finish(measured)
