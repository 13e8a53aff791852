"""How roots become named modes, and state matrices of a lattice."""

import numpy as np
import pytest

from glidewright.models.aero.derivatives import derivatives, trim
from glidewright.models.aero.lattice import Flow, build_lattice
from glidewright.models.aero.modes import (
    Body,
    apparent_mass,
    lateral_matrix,
    lateral_modes,
    longitudinal_matrix,
    longitudinal_modes,
    pitch_slopes,
    side_slopes,
)
from glidewright.models.aero.shape import Hinge, Reference, Section, Surface


def matrix_of(*roots: complex) -> np.ndarray:
    """A real matrix with these roots, pairs given once, mixed by a fixed change of variables."""
    blocks = np.zeros((4, 4))
    place = 0
    for root in roots:
        if root.imag:
            blocks[place : place + 2, place : place + 2] = [[root.real, root.imag], [-root.imag, root.real]]
            place += 2
        else:
            blocks[place, place] = root.real
            place += 1
    mix = np.random.default_rng(1).standard_normal((4, 4)) + 2.0 * np.eye(4)
    found: np.ndarray = mix @ blocks @ np.linalg.inv(mix)
    return found


@pytest.mark.parametrize(
    ("roots", "names"),
    [
        ((-3 + 4j, -0.1 + 1j), ("short period", "phugoid")),
        ((-0.1 + 1j, -3 + 4j), ("short period", "phugoid")),
        ((-9, -5, -0.1 + 1j), ("pitch subsidence", "pitch subsidence", "phugoid")),
        ((-3 + 4j, -0.5, 0.1), ("short period", "speed subsidence", "speed divergence")),
        ((-5, 2, -0.1 + 1j), ("pitch subsidence", "pitch divergence", "phugoid")),
        (
            (-9, -5, -0.5, 0.1),
            ("pitch subsidence", "pitch subsidence", "speed subsidence", "speed divergence"),
        ),
    ],
)
def test_longitudinal_names(roots: tuple[complex, ...], names: tuple[str, ...]) -> None:
    assert tuple(mode.name for mode in longitudinal_modes(matrix_of(*map(complex, roots)))) == names


@pytest.mark.parametrize(
    ("roots", "names"),
    [
        ((-20, -1 + 4j, 0.05), ("roll subsidence", "Dutch roll", "spiral")),
        ((-3, -1 + 4j, -0.05), ("Dutch roll", "roll subsidence", "spiral")),
        ((-2 + 5j, -0.3 + 0.2j), ("Dutch roll", "roll and spiral joined")),
        ((-20, -4, -2, 0.05), ("roll subsidence", "yaw subsidence", "yaw subsidence", "spiral")),
    ],
)
def test_lateral_names(roots: tuple[complex, ...], names: tuple[str, ...]) -> None:
    assert tuple(mode.name for mode in lateral_modes(matrix_of(*map(complex, roots)))) == names


def test_times_of_a_mode() -> None:
    short, phugoid = longitudinal_modes(matrix_of(-3 + 4j, 0.1 + 1j))
    assert short.natural_rad_per_s == pytest.approx(5.0)
    assert short.damping_ratio == pytest.approx(0.6)
    assert short.period_s == pytest.approx(2.0 * np.pi / 4.0)
    assert short.time_to_half_s == pytest.approx(np.log(2.0) / 3.0)
    assert short.time_to_double_s is None
    assert phugoid.time_to_half_s is None
    assert phugoid.time_to_double_s == pytest.approx(np.log(2.0) / 0.1)
    spiral = lateral_modes(matrix_of(-20, -1 + 4j, 0.05))[-1]
    assert (spiral.period_s, spiral.damping_ratio) == (None, None)


def test_a_light_glider_flies_like_one() -> None:
    wing = tuple(
        Section(0.0, y, z, 0.18, 0.03, -0.04, -0.05) for y, z in ((0.0, 0.0), (0.5, 0.02), (1.0, 0.12))
    )
    tail = Section(0.8, 0.0, 0.05, 0.1), Section(0.8, 0.22, 0.05, 0.08)
    fin = Section(0.85, 0.0, 0.06, 0.14), Section(0.88, 0.0, 0.26, 0.1)
    lattice = build_lattice(
        (
            Surface("wing", wing, (4, 4), chordwise=2),
            Surface("tail", tail, (4,), chordwise=2, hinges=((Hinge("elevator", 0.4),),)),
            Surface("fin", fin, (4,), chordwise=2, symmetric=False),
        )
    )
    reference, centre = Reference(0.36, 2.0, 0.18), (0.06, 0.0, 0.0)
    held = trim(lattice, reference, 0.6, centre)
    found = derivatives(
        lattice, reference, Flow(held.alpha_rad, inputs={"elevator": held.deflection_rad}), centre
    )
    speed = float(np.sqrt(2.0 * 0.5 * 9.81 / (1.2 * 0.36 * 0.6)))
    body = Body(0.5, 0.035, 0.025, 0.058, -0.002, speed, 1.2, 9.81, -0.06)
    heavy = Body(
        0.5, 0.035, 0.025, 0.058, -0.002, speed, 1.2, 9.81, -0.06, 1.2 * apparent_mass(lattice, centre)
    )
    sides = [lateral_modes(lateral_matrix(side_slopes(found, 0), one, reference)) for one in (body, heavy)]
    assert [mode.name for mode in sides[0]] == ["roll subsidence", "Dutch roll", "spiral"]
    assert sides[1][0].time_to_half_s > 1.2 * sides[0][0].time_to_half_s  # the air rolls with the wing
    slow = longitudinal_modes(longitudinal_matrix(pitch_slopes(found, 0, 0.015), body, reference))[-1]
    assert slow.name == "phugoid"
    # Heavily damped in pitch, it swings slower than Lanchester's pi sqrt 2 V / g by the root of static over
    # manoeuvre margin (W. F. Phillips, Phugoid approximation for conventional airplanes, 2000; from memory).
    static = -float(found.of("pitch", "alpha")[0])
    damping = -float(found.of("pitch", "pitch_rate")[0]) * float(found.of("lift", "alpha")[0])
    manoeuvre = static + damping * 1.2 * 0.36 * 0.18 / (4.0 * 0.5)
    expected = np.pi * np.sqrt(2.0) * speed / 9.81 * np.sqrt(manoeuvre / static)
    assert slow.period_s == pytest.approx(expected, rel=0.1)
    assert slow.time_to_half_s is not None
