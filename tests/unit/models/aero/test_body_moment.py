"""The pitching moment of a body: Munk's where no wing bends the flow, more ahead of a wing, less behind."""

import numpy as np
import pytest

from glidewright.models.aero.body_moment import body_moment_volume_m3
from glidewright.models.aero.lattice import Lattice, build_lattice
from glidewright.models.aero.shape import Section, Surface


@pytest.fixture(scope="module")
def wing() -> Lattice:
    plan = Section(0.0, 0.0, 0.0, 0.2), Section(0.0, 1.0, 0.0, 0.2)
    return build_lattice([Surface("wing", plan, (12,))])


def tube(first_m: float, last_m: float, width_m: float = 0.05, height_m: float = 0.03) -> np.ndarray:
    x = np.linspace(first_m, last_m, 21)
    return np.column_stack([x, np.full_like(x, width_m), np.full_like(x, height_m)])


def test_far_from_the_wing_it_is_twice_the_volume(wing: Lattice) -> None:
    # M. Munk, NACA report 184: dM/dalpha = 2 q V for a slender body of revolution
    volume = np.pi / 4.0 * 0.05**2 * 0.8
    assert body_moment_volume_m3(tube(-500.0, -499.2), wing, (0.0, 0.2)) == pytest.approx(
        2.0 * volume, rel=1e-4
    )


def test_ahead_of_the_wing_it_is_more_and_behind_less(wing: Lattice) -> None:
    free = 2.0 * np.pi / 4.0 * 0.05**2 * 0.4
    ahead = body_moment_volume_m3(tube(-0.45, -0.05), wing, (0.0, 0.2))
    behind = body_moment_volume_m3(tube(0.25, 0.65), wing, (0.0, 0.2))
    assert ahead > 1.05 * free
    assert 0.0 < behind < 0.8 * free


def test_between_the_edges_of_the_wing_nothing_counts(wing: Lattice) -> None:
    assert body_moment_volume_m3(tube(0.01, 0.19), wing, (0.0, 0.2)) == 0.0


def test_it_grows_with_the_square_of_the_width(wing: Lattice) -> None:
    one = body_moment_volume_m3(tube(-0.4, 0.6), wing, (0.0, 0.2))
    two = body_moment_volume_m3(tube(-0.4, 0.6, 0.1), wing, (0.0, 0.2))
    assert two == pytest.approx(4.0 * one)
