"""How far the slopes of the vortex lattice are off: a grid as in use, another lattice, published wings.

    python studies/lattice_error.py     compute and write data/coefficients/lattice_error.toml

Needs ``pip install aerosandbox`` beside glidewright, for the other lattice. Three comparisons:

- grid: the demo, and the tails of ``tests/unit/models/aero/test_joints.py``, on the lattice in use against
  one with four times the strips and twice the boxes along the chord;
- other lattice: the glider of ``tests/worked/test_lattice_oracle.py``, both lattices fine;
- published: Warren-12 planform, swept wing of Weber and Brebner (measured), roll damping of an elliptic wing
  by Swanson and Priddy.

The neutral point of the demo is off by that, by sections of wing and tail that lift more or less than the
tunnels' middle, by the body, and by sweep and tail as built; its band is that of all of these over draws.

The band of a group of slopes is the root of the sum of the squares of the largest difference of each kind:
theory against theory, no flow with viscosity is in it. Slopes of sections at the Reynolds numbers of models
have a table of their own (``studies/section_bias.py``). Half a minute.
"""

import importlib.util
import math
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from types import ModuleType
from typing import TypeVar

import numpy as np
from pydantic import BaseModel

from glidewright.base.figure import Given
from glidewright.data import packaged
from glidewright.domain.model import Model
from glidewright.forecast.aero_inputs import Aero, aero_of
from glidewright.forecast.draws import sobol_column
from glidewright.forecast.spread import Z90, from_band
from glidewright.models.aero.derivatives import Derivatives, derivatives, neutral_point_m
from glidewright.models.aero.glider import Glider, glider_of
from glidewright.models.aero.joints import joined
from glidewright.models.aero.lattice import Flow, Lattice, build_lattice, relaid
from glidewright.models.aero.section_bias import slope_over_thin
from glidewright.models.aero.shape import Section, Surface
from glidewright.models.aero.trim import attitudes, neutral_point
from glidewright.store.reading import read_model
from write_table import REPOSITORY, write_entry

Shape = TypeVar("Shape", bound=BaseModel)
LIFT = 0.6
DRAWS = 1024
BODY_OFF = 0.3  # of its moment, judged: slender-body theory against tests
STATION_M = 0.004  # of a quoted place, as in grades.toml
LONGITUDINAL = (("lift", "alpha"), ("lift", "pitch_rate"), ("pitch", "pitch_rate"))
ROLL = (("roll", "beta"), ("roll", "roll_rate"), ("roll", "yaw_rate"))
YAW = (("side", "beta"), ("yaw", "beta"), ("yaw", "roll_rate"), ("yaw", "yaw_rate"))
GROUPS = {"longitudinal": LONGITUDINAL, "roll": ROLL, "yaw": YAW}
THEIRS = {
    ("lift", "alpha"): "CLa",
    ("lift", "pitch_rate"): "CLq",
    ("pitch", "pitch_rate"): "Cmq",
    ("side", "beta"): "CYb",
    ("roll", "beta"): "Clb",
    ("yaw", "beta"): "Cnb",
    ("roll", "roll_rate"): "Clp",
    ("yaw", "roll_rate"): "Cnp",
    ("roll", "yaw_rate"): "Clr",
    ("yaw", "yaw_rate"): "Cnr",
}


def main() -> None:
    """Compare and write."""
    grid, place_of_grid = grid_differences()
    other, place_of_other = differences_to_the_other_lattice()
    published = published_differences()
    for name, pairs in GROUPS.items():
        kinds = [max(abs(found[pair]) for pair in pairs) for found in (grid, other)]
        kinds += [max(abs(one) for one in published[name])] if published[name] else []
        half = math.sqrt(sum(kind**2 for kind in kinds))
        write_entry(
            "lattice_error",
            name,
            value=1.0,
            low=round(1.0 - half, 3),
            high=round(1.0 + half, 3),
            unit="1",
            valid=f"{name} slopes of wing, tail and fin, sections of 2 pi a radian",
            source="own comparison: grid in use against a fine one, another lattice (aerosandbox)"
            + SOURCES[name],
            where="largest differences " + ", ".join(f"{100 * kind:.1f} %" for kind in kinds),
            method="root of the sum of squares, taken as the 10 % and 90 % ends",
            study="studies/lattice_error.py",
        )
    write_neutral_point(math.hypot(place_of_grid, place_of_other))


SOURCES = {
    "longitudinal": ", Warren-12 planform, swept wing of Weber and Brebner (ARC R&M 2882, 1958)",
    "roll": ", roll damping after Swanson and Priddy (NACA ARR L5F23, 1945)",
    "yaw": "; nothing published was there",
}


def write_neutral_point(numbers: float) -> None:
    """The band of the neutral point over the chord; numbers: half width from grid and lattice."""
    model, aero = demo()
    geometry, area = model.airframe.geometry, model.airframe.wing_area_m2.value
    assert geometry is not None and geometry.tail is not None
    chord = aero.glider.reference.chord_m

    def place(glider: Glider) -> float:
        held = replace(glider, reference=aero.glider.reference)
        return (neutral_point(held, aero.centre_m) - nominal) / chord

    nominal = neutral_point(aero.glider, aero.centre_m)
    halves = {"grid and other lattice": numbers}
    without = replace(aero.glider, body_moment_m3=(1.0 - BODY_OFF) * aero.glider.body_moment_m3)
    halves["body"] = abs(place(without))
    count = len(geometry.panels)
    swept = tuple(moved(panel, "sweep_m", STATION_M / count) for panel in geometry.panels)
    halves["sweep"] = abs(place(glider_of(geometry.model_copy(update={"panels": swept}), area)))
    tail = moved(geometry.tail, "x_m", STATION_M)
    halves["tail"] = abs(place(glider_of(geometry.model_copy(update={"tail": tail}), area)))
    scores = [sobol_column(number, DRAWS) for number in range(len(halves) + 2)]
    total = np.sum([half * z / Z90 for half, z in zip(halves.values(), scores[2:], strict=True)], axis=0)
    of_sections = places_by_slope(aero, place)
    found = slope_over_thin(1.0e5)
    given = Given(value=float(found.value), low=float(found.low), high=float(found.high))
    wing, tails = (from_band("k", "", given, "factor").draws(z) for z in scores[:2])
    total = total + np.array([of_sections(a, b) for a, b in zip(wing, tails, strict=True)])
    low, middle, high = np.quantile(total, (0.1, 0.5, 0.9))
    print(f"neutral point: {low:+.4f} {middle:+.4f} {high:+.4f} of the chord")
    write_entry(
        "lattice_error",
        "neutral_point",
        value=0.0,
        low=round(float(low), 3),
        high=round(float(high), 3),
        unit="1",
        valid="neutral point of lattice and body off the true one, shares of the mean chord, shape as quoted",
        source="own comparison, and lift slopes of sections in tunnels (section_bias), wing and tail apart",
        where=", ".join(f"{name} {100 * half:.1f} %" for name, half in halves.items())
        + ", sections the rest",
        method="10 % and 90 % of draws on the demo; its median, next to nothing, left out",
        study="studies/lattice_error.py",
    )


def places_by_slope(aero: Aero, place: Callable[[Glider], float]) -> Callable[[float, float], float]:
    """Neutral point by the section slopes of wing and of tail, between a few of each."""
    nodes = (0.72, 0.8, 0.9, 1.0, 1.12)
    table = np.empty((len(nodes), len(nodes)))
    for i, wing in enumerate(nodes):
        for j, tail in enumerate(nodes):
            slopes = {**aero.glider.lattice.section_slope, "wing": wing, "tail": tail}
            lattice = relaid(aero.glider.lattice, section_slope=slopes)
            table[i, j] = place(replace(aero.glider, lattice=lattice))

    def between(wing: float, tail: float) -> float:
        rows = [np.interp(tail, nodes, row) for row in table]
        return float(np.interp(wing, nodes, rows))

    return between


def moved(noun: Shape, name: str, by: float) -> Shape:
    """A noun of the shape with one number changed."""
    given = getattr(noun, name)
    return noun.model_copy(update={name: Given(value=given.value + by, grade=given.grade)})


def demo() -> tuple[Model, Aero]:
    """The demo and its flow."""
    model = read_model(Path(str(packaged("demo", "hill-demo"))))
    aero = aero_of(model.airframe, model.field)
    assert isinstance(aero, Aero)
    return model, aero


def grid_differences() -> tuple[dict[tuple[str, str], float], float]:
    """Slopes in use over those of a fine grid, less 1, the largest of some models; neutral points apart.

    The latter of the demo alone, over the chord.
    """
    _, aero = demo()
    glider, centre = aero.glider, aero.centre_m

    def slopes(lattice: Lattice) -> Derivatives:
        known = attitudes(replace(glider, lattice=lattice), LIFT, centre)
        flow = Flow(known.alpha_rad, inputs={"elevator": known.elevator_rad})
        return derivatives(lattice, glider.reference, flow, centre)

    coarse, exact = slopes(glider.lattice), slopes(finer(glider.lattice))
    found = ratios(coarse, exact)
    told(found, "grid in use against a fine one, demo")
    joints = _test_module("unit/models/aero/test_joints.py")
    for name, layout in joints.LAYOUTS.items():
        lattice = build_lattice(joined([joints.WING, *layout]))
        both = [derivatives(one, joints.REFERENCE, Flow(alpha_rad=0.04), (0.06, 0.0, 0.0))
                for one in (lattice, finer(lattice))]  # fmt: skip
        other = ratios(*both)
        told(other, f"the same, {name}")
        found = {pair: max(off, other[pair], key=abs) for pair, off in found.items()}
    places = [neutral_point_m(one, glider.reference, centre)[0] for one in (coarse, exact)]
    return found, float(abs(places[0] - places[1])) / glider.reference.chord_m


def finer(lattice: Lattice) -> Lattice:
    """The same surfaces with four times the strips and twice the boxes along the chord."""
    more = [
        replace(one, spanwise=tuple(4 * count for count in one.spanwise), chordwise=2 * one.chordwise)
        for one in lattice.surfaces
    ]
    return relaid(lattice, more)


def ratios(one: Derivatives, other: Derivatives) -> dict[tuple[str, str], float]:
    """Slopes over those of another lattice, less 1."""
    return {pair: float(one.of(*pair)[0] / other.of(*pair)[0]) - 1.0 for pair in (*LONGITUDINAL, *ROLL, *YAW)}


def differences_to_the_other_lattice() -> tuple[dict[tuple[str, str], float], float]:
    """Ours over the other lattice, less 1, for a glider like the demo; neutral points apart by its chord."""
    oracle = _test_module("worked/test_lattice_oracle.py")
    ours, theirs = oracle.ours(), oracle.theirs()
    found = {pair: float(ours.of(*pair)[0] / theirs[name]) - 1.0 for pair, name in THEIRS.items()}
    told(found, "against the other lattice")
    place = float(neutral_point_m(ours, oracle.REFERENCE, oracle.AT_ORIGIN)[0])
    return found, abs(place - theirs["x_np"]) / oracle.REFERENCE.chord_m


def published_differences() -> dict[str, list[float]]:
    """Ours over published numbers, less 1, by group."""
    worked = _test_module("worked/test_lattice_worked.py")
    half, sweep = math.sqrt(2.0), math.tan(math.radians(53.54))
    plan = Section(0.0, 0.0, 0.0, 1.5), Section(half * sweep, half, 0.0, 0.5)
    warren = build_lattice([Surface("wing", plan, (16,), chordwise=6)])
    swept, area = worked.swept_wing((16,), 8)
    slope = worked.lift_slope(swept, area)
    wing, reference = worked.elliptic_wing(6.0)
    roll = derivatives(wing, reference, Flow(), (0.0, 0.0, 0.0)).of("roll", "roll_rate")[0]
    line = -(2.0 * np.pi / 8.0) * 6.0 / 10.0
    found = {
        "longitudinal": [
            worked.lift_slope(warren, 2.0 * half) / 2.743 - 1.0,
            slope / (0.238 / math.radians(4.2)) - 1.0,
        ],
        "roll": [float(roll / (0.87 * line)) - 1.0],
        "yaw": [],
    }
    print("published", {name: [f"{100 * one:+.1f} %" for one in rows] for name, rows in found.items()})
    return found


def told(found: dict[tuple[str, str], float], title: str) -> None:
    """Print differences in per cent."""
    words = ", ".join(f"{a} with {b} {100.0 * off:+.1f}" for (a, b), off in found.items())
    print(f"{title}, per cent: {words}")


def _test_module(path: str) -> ModuleType:
    """A module of the tests, whose geometry serves here too."""
    tests = REPOSITORY / "tests"
    sys.path.insert(0, str(tests / "support"))
    name = Path(path).stem
    spec = importlib.util.spec_from_file_location(name, tests / path)
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[name] = module
    spec.loader.exec_module(module)
    return module


if __name__ == "__main__":
    main()
