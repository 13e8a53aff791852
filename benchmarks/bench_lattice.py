"""A trimmed 40-speed polar of a new airframe with every derivative, against an independent vortex lattice.

Run as ``python benchmarks/bench_lattice.py``. The other lattice (AeroSandbox) gets the same states, already
trimmed, and about as many boxes; it takes its derivatives by differences, one run for each of five variables.
"""

import importlib
import importlib.util
import time
from collections.abc import Sequence
from typing import Any

import numpy as np

from glidewright.models.aero.derivatives import Derivatives, Trim, derivatives, trim
from glidewright.models.aero.lattice import Flow, build_lattice
from glidewright.models.aero.shape import Hinge, Reference, Section, Surface
from measure import Measured, finish

REFERENCE = Reference(area_m2=0.36, span_m=2.0, chord_m=0.184)
CENTRE = (0.0, 0.0, 0.0)
LIFT = np.linspace(0.15, 0.95, 40)
WING = ((-0.07, 0.0, 0.02, 0.2), (-0.07, 0.5, 0.045, 0.2), (-0.02, 0.98, 0.15, 0.12))
TAIL = ((0.68, 0.0, 0.07, 0.11), (0.70, 0.22, 0.07, 0.08))
FIN = ((0.70, 0.0, 0.07, 0.16), (0.75, 0.0, 0.27, 0.10))
INCIDENCE_RAD, ROUNDS, OTHER_STATES, OTHER_STRIPS, OTHER_CHORDWISE = 0.05, 5, 4, 8, 4


def polar(finer: float = 1.0) -> tuple[int, Trim, Derivatives]:
    """Everything from the geometry on: boxes, trims of all speeds, every derivative at each.

    finer: so many times the strips of each surface.
    """
    strips, few = round(8 * finer), round(6 * finer)
    wing = tuple(Section(*place, INCIDENCE_RAD, -0.04, -0.05) for place in WING)
    surfaces = (
        Surface("wing", wing, (strips, strips)),
        Surface(
            "tail", tuple(Section(*place) for place in TAIL), (few,), hinges=((Hinge("elevator", 1.0),),)
        ),
        Surface(
            "fin", tuple(Section(*p) for p in FIN), (few,), symmetric=False, hinges=((Hinge("rudder", 0.4),),)
        ),
    )
    lattice = build_lattice(surfaces)
    held = trim(lattice, REFERENCE, LIFT, CENTRE)
    flow = Flow(held.alpha_rad, inputs={"elevator": held.deflection_rad})
    return lattice.boxes.strip.size, held, derivatives(lattice, REFERENCE, flow, CENTRE)


def other_polar(held: Trim, states: int) -> tuple[int, float]:
    """Boxes of the other lattice and its seconds for all 40 states, from the first `states` of them."""
    asb: Any = importlib.import_module("aerosandbox")

    def wing(plan: tuple[tuple[float, ...], ...], twist_rad: float, mirrored: bool) -> object:
        plate, twist = asb.Airfoil("naca0010"), float(np.degrees(twist_rad))
        stations = [
            asb.WingXSec(xyz_le=[x, y, z], chord=c, twist=twist, airfoil=plate) for x, y, z, c in plan
        ]
        return asb.Wing(symmetric=mirrored, xsecs=stations)

    boxes, start = 0, time.perf_counter()
    for alpha, elevator in zip(held.alpha_rad[:states], held.deflection_rad[:states], strict=True):
        airplane = asb.Airplane(
            wings=[
                wing(WING, INCIDENCE_RAD, mirrored=True),
                wing(TAIL, float(elevator), mirrored=True),
                wing(FIN, 0.0, mirrored=False),
            ],
            s_ref=REFERENCE.area_m2,
            b_ref=REFERENCE.span_m,
            c_ref=REFERENCE.chord_m,
        )
        state = asb.OperatingPoint(velocity=8.0, alpha=float(np.degrees(alpha)))
        tool = asb.VortexLatticeMethod(
            airplane, state, spanwise_resolution=OTHER_STRIPS, chordwise_resolution=OTHER_CHORDWISE
        )
        tool.run_with_stability_derivatives()
        boxes = 2 * OTHER_CHORDWISE * OTHER_STRIPS * (len(WING) - 1 + len(TAIL) - 1)
        boxes += OTHER_CHORDWISE * OTHER_STRIPS * (len(FIN) - 1)
    return boxes, (time.perf_counter() - start) / states * held.alpha_rad.size


def main() -> dict[str, float]:
    """Measure, print and return seconds and, where the other lattice is installed, their ratio."""
    boxes, held, found = polar()
    best = np.inf
    for _ in range(ROUNDS):
        start = time.perf_counter()
        polar()
        best = min(best, time.perf_counter() - start)
    result = {"polar_s": best, "boxes": float(boxes)}
    variables = len(found.variables)
    print(f"ours: {boxes} boxes, 40 trimmed speeds, {variables} derivatives of 6 coefficients: {best:.4f} s")
    if importlib.util.find_spec("aerosandbox") is None:
        print("The other lattice is not installed (pip install aerosandbox), so no ratio is measured.")
        return result
    other_polar(held, 1)  # imports and first-time work
    other_boxes, other_s = other_polar(held, OTHER_STATES)
    result |= {"other_s": other_s, "other_boxes": float(other_boxes), "ratio": other_s / best}
    print(
        f"other: {other_boxes} boxes, the same speeds (from {OTHER_STATES}), 5 derivatives: {other_s:.2f} s"
    )
    print(f"ratio {result['ratio']:.0f}")
    return result


def measured() -> Sequence[Measured]:
    """The figures of the report."""
    found = main()
    other = found.get("other_s")
    note = f"{found['boxes']:.0f} boxes; the other has {found.get('other_boxes', 0.0):.0f}"
    of = "AeroSandbox's lattice, from 4 of the speeds" if other else "not installed"
    return [Measured("40 trimmed speeds with derivatives", found["polar_s"], "s", other, of, note=note)]


if __name__ == "__main__":
    finish(measured)
