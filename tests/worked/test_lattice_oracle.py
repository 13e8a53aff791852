"""The vortex lattice against an independent one, AeroSandbox: a glider like the demo's, and the demo.

Its rates turn about the origin of its axes, so the centre of gravity lies there. Its strips have their points
in the middle and narrow towards every section, which converges as one over their number, from above: two
lattices, one twice as fine, are continued to an endless number (Richardson). It bends its mesh by twist, ours
lies flat. So they agree to per cent, not to digits. The demo is laid flat for both: at the 6 degrees of its
wing to zero lift their bent mesh has 5 % more of the dihedral effect.
"""

from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from pathlib import Path

import aerosandbox as asb
import numpy as np
import pytest
from outside import held

from glidewright.data import packaged
from glidewright.forecast.aero_inputs import Aero, aero_of
from glidewright.models.aero.derivatives import Derivatives, derivatives, neutral_point_m
from glidewright.models.aero.lattice import Flow, build_lattice
from glidewright.models.aero.shape import Hinge, Reference, Section, Surface
from glidewright.store.reading import read_model

REFERENCE = Reference(area_m2=0.36, span_m=2.0, chord_m=0.184)
INCIDENCE_RAD, ALPHA_RAD, ELEVATOR_RAD = 0.05, 0.02, -0.03
AT_ORIGIN = (0.0, 0.0, 0.0)
# Leading edges and chords, metres, centre of gravity at the origin: a polyhedral wing, tail and fin.
WING = ((-0.07, 0.0, 0.02, 0.2), (-0.07, 0.5, 0.045, 0.2), (-0.02, 0.98, 0.15, 0.12))
TAIL = ((0.68, 0.0, 0.07, 0.11), (0.70, 0.22, 0.07, 0.08))
FIN = ((0.70, 0.0, 0.07, 0.16), (0.75, 0.0, 0.27, 0.10))

ORACLE = "aerosandbox, VortexLatticeMethod, two grids continued to an endless one"
SHAPED = "two lattices that bend their meshes differently agree to per cent"
THREADS = "theirs moves by that much between grids: threads of the wing's wake pass fin and tail"


@cache
def ours() -> Derivatives:
    wing = tuple(Section(x, y, z, c, INCIDENCE_RAD) for x, y, z, c in WING)
    tail, fin = (tuple(Section(*numbers) for numbers in plan) for plan in (TAIL, FIN))
    hinge = ((Hinge("elevator", 1.0),),)
    surfaces = (
        Surface("wing", wing, (10, 10), chordwise=2),
        Surface("tail", tail, (10,), chordwise=2, hinges=hinge),
        Surface("fin", fin, (10,), chordwise=2, symmetric=False),
    )
    lattice = build_lattice(surfaces)
    return derivatives(lattice, REFERENCE, Flow(ALPHA_RAD, inputs={"elevator": ELEVATOR_RAD}), AT_ORIGIN)


def _oracle_wing(
    name: str, plan: tuple[tuple[float, ...], ...], twist_rad: float, mirrored: bool
) -> asb.Wing:
    plate = asb.Airfoil("naca0010")
    stations = [
        asb.WingXSec(xyz_le=[x, y, z], chord=c, twist=float(np.degrees(twist_rad)), airfoil=plate)
        for x, y, z, c in plan
    ]
    return asb.Wing(name=name, symmetric=mirrored, xsecs=stations)


@cache
def theirs() -> dict[str, float]:
    coarse, fine = _their_lattice(8), _their_lattice(16)
    return {name: 2.0 * fine[name] - coarse[name] for name in fine}


def _their_lattice(strips: int) -> dict[str, float]:
    wings = [
        _oracle_wing("wing", WING, INCIDENCE_RAD, mirrored=True),
        _oracle_wing("tail", TAIL, ELEVATOR_RAD, mirrored=True),
        _oracle_wing("fin", FIN, 0.0, mirrored=False),
    ]
    return _their_slopes(wings, REFERENCE, strips)


def _their_slopes(wings: Sequence[asb.Wing], reference: Reference, strips: int) -> dict[str, float]:
    airplane = asb.Airplane(
        xyz_ref=list(AT_ORIGIN),
        wings=list(wings),
        s_ref=reference.area_m2,
        b_ref=reference.span_m,
        c_ref=reference.chord_m,
    )
    state = asb.OperatingPoint(velocity=8.0, alpha=float(np.degrees(ALPHA_RAD)))
    tool = asb.VortexLatticeMethod(airplane, state, spanwise_resolution=strips, chordwise_resolution=2)
    found = tool.run_with_stability_derivatives()
    return _in_stability_axes({name: float(np.squeeze(x)) for name, x in found.items() if np.size(x) == 1})


def _in_stability_axes(found: dict[str, float]) -> dict[str, float]:
    """Rolling and yawing moments, and roll and yaw rates, turned from body axes."""
    cos, sin = np.cos(ALPHA_RAD), np.sin(ALPHA_RAD)
    turn = np.array([[cos, sin], [-sin, cos]])
    rates = turn @ np.array([[found["Clp"], found["Clr"]], [found["Cnp"], found["Cnr"]]]) @ turn.T
    sideslip = turn @ np.array([found["Clb"], found["Cnb"]])
    names = ("Clp", "Clr", "Cnp", "Cnr", "Clb", "Cnb")
    return {**found, **dict(zip(names, (*rates.ravel().tolist(), *sideslip.tolist()), strict=True))}


@pytest.mark.parametrize(
    ("theirs_name", "coefficient", "variable", "within"),
    [
        ("CLa", "lift", "alpha", 0.02),
        ("Cma", "pitch", "alpha", 0.02),
        ("CLq", "lift", "pitch_rate", 0.02),
        ("Cmq", "pitch", "pitch_rate", 0.02),
        ("Clp", "roll", "roll_rate", 0.02),
        ("Clb", "roll", "beta", 0.02),
        ("CYb", "side", "beta", 0.02),
        ("Cnb", "yaw", "beta", 0.02),
        ("Clr", "roll", "yaw_rate", 0.02),
        ("Cnr", "yaw", "yaw_rate", 0.02),
        ("Cnp", "yaw", "roll_rate", 0.02),
        ("CYr", "side", "yaw_rate", 0.03),
        ("CYp", "side", "roll_rate", 0.04),
    ],
)
def test_slopes(theirs_name: str, coefficient: str, variable: str, within: float) -> None:
    expected, found = theirs()[theirs_name], ours().of(coefficient, variable)[0]
    what = f"slope of {coefficient} with {variable.replace('_', ' ')}"
    held(what, found, expected, rel=within, source=ORACLE, because=SHAPED)


def test_lift_and_neutral_point() -> None:
    held("lift coefficient", ours().at("lift")[0], theirs()["CL"], rel=0.02, source=ORACLE, because=SHAPED)
    place = neutral_point_m(ours(), REFERENCE, AT_ORIGIN)[0]
    held(
        "neutral point",
        place,
        theirs()["x_np"],
        abs=0.005 * REFERENCE.chord_m,
        unit="m",
        source=ORACLE,
        because="half a per cent of the mean chord; meshes bend differently",
    )


def test_pitching_moment_at_rest() -> None:
    found, expected = ours().at("pitch")[0], theirs()["Cm"]
    held("pitching moment at rest", found, expected, abs=0.005, source=ORACLE, because=SHAPED)


@cache
def demo_glider() -> Aero:
    model = read_model(Path(str(packaged("demo", "hill-demo"))))
    aero = aero_of(model.airframe, model.field)
    assert isinstance(aero, Aero)
    return aero


@cache
def demo_ours() -> Derivatives:
    glider, (x, _, z) = demo_glider().glider, demo_glider().centre_m

    def flat(section: Section) -> Section:
        return Section(section.x_m - x, section.y_m, section.z_m - z, section.chord_m)

    surfaces = [
        replace(one, sections=tuple(map(flat, one.sections)), hinges=(), chordwise=2)
        for one in glider.lattice.surfaces
    ]
    return derivatives(build_lattice(surfaces), glider.reference, Flow(ALPHA_RAD), AT_ORIGIN)


@cache
def demo_theirs() -> dict[str, float]:
    glider, (x, _, z) = demo_glider().glider, demo_glider().centre_m
    wing, tail, upper, lower = (
        tuple((s.x_m - x, s.y_m, s.z_m - z, s.chord_m) for s in one.sections)
        for one in glider.lattice.surfaces
    )
    wings = [
        _oracle_wing("wing", wing, 0.0, mirrored=True),
        _oracle_wing("tail", tail, 0.0, mirrored=True),
        _oracle_wing("fin", (*lower, *upper[1:]), 0.0, mirrored=False),
    ]
    coarse, fine = (_their_slopes(wings, glider.reference, strips) for strips in (8, 16))
    return {name: 2.0 * fine[name] - coarse[name] for name in fine}


@pytest.mark.parametrize(
    ("theirs_name", "coefficient", "variable", "within", "because"),
    [
        ("CLa", "lift", "alpha", 0.01, SHAPED),
        ("CLq", "lift", "pitch_rate", 0.01, SHAPED),
        ("Cmq", "pitch", "pitch_rate", 0.01, SHAPED),
        ("Clp", "roll", "roll_rate", 0.01, SHAPED),
        ("Clb", "roll", "beta", 0.01, SHAPED),
        ("Clr", "roll", "yaw_rate", 0.01, SHAPED),
        ("Cnr", "yaw", "yaw_rate", 0.02, SHAPED),
        ("CYb", "side", "beta", 0.08, THREADS),
        ("Cnb", "yaw", "beta", 0.08, THREADS),
    ],
)
def test_slopes_of_the_demo(
    theirs_name: str, coefficient: str, variable: str, within: float, because: str
) -> None:
    expected, found = demo_theirs()[theirs_name], demo_ours().of(coefficient, variable)[0]
    what = f"demo, slope of {coefficient} with {variable.replace('_', ' ')}"
    held(what, found, expected, rel=within, source=ORACLE, because=because)


def test_neutral_point_of_the_demo() -> None:
    reference = demo_glider().glider.reference
    held(
        "demo, neutral point of wing, tail and fin",
        neutral_point_m(demo_ours(), reference, AT_ORIGIN)[0],
        demo_theirs()["x_np"],
        abs=0.01 * reference.chord_m,
        unit="m",
        source=ORACLE,
        because="one per cent of the mean chord; grid in use",
    )
