"""Natural modes against a textbook airplane and closed forms."""

import math
from dataclasses import replace

import numpy as np
import pytest
from outside import held, held_all

from glidewright.models.aero.modes import (
    Body,
    PitchSlopes,
    SideSlopes,
    lateral_matrix,
    lateral_modes,
    longitudinal_matrix,
    longitudinal_modes,
    to_stability_axes,
)
from glidewright.models.aero.shape import Reference

# The Navion, a light airplane, at 176 ft/s at sea level: R. C. Nelson, Flight Stability and Automatic Control
# (2nd ed.), appendix B (coefficients from memory, held below against the dimensional derivatives of G. L.
# Teper, Aircraft Stability and Control Data, NASA CR-96008, 1969). Etkin's body has no thrust, Nelson leaves
# CLq out: so do we.
FOOT, SLUG, G = 0.3048, 14.59390, 32.174
BODY = Body(
    mass_kg=2750.0 / G * SLUG,
    roll_kg_m2=1048.0 * SLUG * FOOT**2,
    pitch_kg_m2=3000.0 * SLUG * FOOT**2,
    yaw_kg_m2=3530.0 * SLUG * FOOT**2,
    product_kg_m2=0.0,
    speed_m_s=176.0 * FOOT,
    density_kg_m3=0.002378 * SLUG / FOOT**3,
    gravity_m_s2=G * FOOT,
)
NAVION = Reference(area_m2=184.0 * FOOT**2, span_m=33.4 * FOOT, chord_m=5.7 * FOOT)
PITCH = PitchSlopes(
    lift=0.41,
    drag=0.05,
    lift_alpha=4.44,
    drag_alpha=0.33,
    pitch_alpha=-0.683,
    pitch_rate=-9.96,
    pitch_lag=-4.36,
)
# Lateral dimensional derivatives of the same report, in ft and s: Yv -0.2543, Lbeta -15.982, Lp -8.402, Lr
# 2.193, Nbeta 4.495, Np -0.3498, Nr -0.7605, over m, Ix and Iz.
PRESSURE, SPEED = 0.5 * 0.002378 * 176.0**2, 176.0
PER_ROLL, PER_YAW = 1048.0 / (PRESSURE * 184.0 * 33.4), 3530.0 / (PRESSURE * 184.0 * 33.4)
RATE = 2.0 * SPEED / 33.4
SIDE = SideSlopes(
    side_beta=-0.2543 * 2750.0 / G * SPEED / (PRESSURE * 184.0),
    roll_beta=-15.982 * PER_ROLL,
    yaw_beta=4.495 * PER_YAW,
    roll_roll=-8.402 * PER_ROLL * RATE,
    yaw_roll=-0.3498 * PER_YAW * RATE,
    roll_yaw=2.193 * PER_ROLL * RATE,
    yaw_yaw=-0.7605 * PER_YAW * RATE,
)

# NASA CR-96008, in ft and s: Xu -0.0451, Xw 0.03607, Zu -0.3697, Zw -2.0244, Mw -0.04997, Mw' -0.005165, Mq
# -2.0767; the lateral ones are those above.
LAG = -0.005165
PRINTED = np.array(
    [
        [-0.0451, 0.03607, 0.0, -G],
        [-0.3697, -2.0244, SPEED, 0.0],
        [-0.3697 * LAG, -0.04997 - 2.0244 * LAG, -2.0767 + SPEED * LAG, 0.0],
        [0.0, 0.0, 1.0, 0.0],
    ]
)
PRINTED_SIDE = np.array(
    [
        [-0.2543, 0.0, -1.0, G / SPEED],
        [-15.982, -8.402, 2.193, 0.0],
        [4.495, -0.3498, -0.7605, 0.0],
        [0.0, 1.0, 0.0, 0.0],
    ]
)


def next_terms(matrix: np.ndarray, root: complex) -> list[complex]:
    """A root that leaves terms out, and after one and two steps of Newton on the whole quartic."""
    quartic, found = np.poly(matrix), [root]
    for _ in range(2):
        found.append(found[-1] - np.polyval(quartic, found[-1]) / np.polyval(np.polyder(quartic), found[-1]))
    return found


def left_out(terms: list[float]) -> float:
    """How far the steps move a number, added up."""
    return float(np.sum(np.abs(np.diff(terms))))


def test_longitudinal_matrix_of_the_navion() -> None:
    found = longitudinal_matrix(PITCH, BODY, NAVION)
    expected = PRINTED
    in_feet = np.diag([1.0, 1.0, FOOT, FOOT]) @ found @ np.diag([1.0, 1.0, 1.0 / FOOT, 1.0 / FOOT])
    held_all(
        "longitudinal matrix of the Navion, in ft and s",
        in_feet,
        expected,
        rel=0.01,
        abs=2e-4,
        source="Teper, NASA CR-96008, dimensional derivatives",
        because="two or three digits of the coefficients that it is made of",
    )


def test_longitudinal_modes_of_the_navion() -> None:
    # Nelson, example 4.3 (from memory): phugoid -0.0171 +- 0.213i, short period -2.51 +- 2.59i, 1/s; half
    # after 40.3 s and 0.28 s, periods 29.5 s and 2.42 s.
    short, phugoid = longitudinal_modes(longitudinal_matrix(PITCH, BODY, NAVION))
    assert (short.name, phugoid.name) == ("short period", "phugoid")
    book = {"source": "Nelson, Flight Stability and Automatic Control, example 4.3, from memory"}
    book["because"] = "half of the last printed digit"
    root = short.root_per_s
    held("short period, real part", root.real, -2.51, abs=0.005, unit="1/s", **book)
    held("short period, imaginary part", root.imag, 2.59, abs=0.005, unit="1/s", **book)
    held("phugoid, real part", phugoid.root_per_s.real, -0.0171, abs=5e-5, unit="1/s", **book)
    held("phugoid, imaginary part", phugoid.root_per_s.imag, 0.213, abs=5e-4, unit="1/s", **book)
    held("half after, short period", short.time_to_half_s, 0.28, abs=0.005, unit="s", **book)
    held("short period", short.period_s, 2.42, abs=0.005, unit="s", **book)
    held("period of the phugoid", phugoid.period_s, 29.5, abs=0.05, unit="s", **book)
    # 40.3 s is 0.69 over 0.0171, printed with three digits
    printed = 0.05 + 40.3 * (5e-5 / 0.0171 + abs(0.69 / math.log(2.0) - 1.0))
    book["because"] = "half of the last digits of 40.3 and 0.0171, and 0.69 for the logarithm of 2"
    held("half after, phugoid", phugoid.time_to_half_s, 40.3, abs=printed, unit="s", **book)
    assert short.time_to_double_s is None


def test_lateral_modes_of_the_navion() -> None:
    # Nelson, example 5.4: spiral -0.00877, roll -8.435, Dutch roll -0.487 +- 2.335i, 1/s (the same roots are
    # quoted in the tests of an open-source program).
    roll, dutch, spiral = lateral_modes(lateral_matrix(SIDE, BODY, NAVION))
    assert (roll.name, dutch.name, spiral.name) == ("roll subsidence", "Dutch roll", "spiral")
    book = {"source": "Nelson, Flight Stability and Automatic Control, example 5.4"}
    book["because"] = "half of the last printed digit"
    held("roll", roll.root_per_s.real, -8.435, abs=5e-4, unit="1/s", **book)
    held("Dutch roll, real part", dutch.root_per_s.real, -0.487, abs=5e-4, unit="1/s", **book)
    held("Dutch roll, imaginary part", dutch.root_per_s.imag, 2.335, abs=5e-4, unit="1/s", **book)
    book["because"] = "half of the last digits of it and of the derivatives: it is a difference of products"
    printed = 5e-6 + by_digits(spiral.root_per_s.real)
    held("spiral", spiral.root_per_s.real, -0.00877, abs=printed, unit="1/s", **book)


def by_digits(root: float) -> float:
    """How far half of the last digits of the printed lateral derivatives move a real root, added up."""
    half = np.zeros((4, 4))
    half[0, 0], half[1, :3], half[2, :3] = 5e-5, (5e-4, 5e-4, 5e-4), (5e-4, 5e-5, 5e-5)
    moved = 0.0
    for place in zip(*np.nonzero(half), strict=True):
        changed = PRINTED_SIDE.copy()
        changed[place] += half[place]
        roots = np.linalg.eigvals(changed)
        moved += float(np.min(np.abs(roots - root)))
    return moved


def test_dimensional_and_plain_lateral_slopes_of_the_navion_agree() -> None:
    # The plain coefficients of Nelson's appendix B (from memory, two or three digits): the step between them
    # and the dimensional ones is the step from `SideSlopes` to the matrix. The spiral, a difference of
    # near-equal products, is 7 % off on those digits.
    plain = SideSlopes(-0.564, -0.074, 0.071, -0.410, -0.0575, 0.107, -0.125)
    for name in ("side_beta", "roll_beta", "yaw_beta", "roll_roll", "yaw_roll", "roll_yaw", "yaw_yaw"):
        assert getattr(plain, name) == pytest.approx(getattr(SIDE, name), rel=0.015)
    exact, rounded = (lateral_modes(lateral_matrix(side, BODY, NAVION)) for side in (SIDE, plain))
    assert rounded[0].root_per_s == pytest.approx(exact[0].root_per_s, rel=0.01)
    assert rounded[1].root_per_s == pytest.approx(exact[1].root_per_s, rel=0.01)


def test_short_period_and_roll_by_closed_forms() -> None:
    # The approximations of the same book (chapters 4 and 5): speed held, s^2 - (Mq + Mlag + Zw) s + (Zw Mq -
    # u0 Mw) = 0; roll alone, s = Lp. With the dimensional derivatives of CR-96008.
    short = longitudinal_modes(longitudinal_matrix(PITCH, BODY, NAVION))[0]
    stiffness = 2.0244 * 2.0767 + SPEED * 0.04997
    damping = 2.0767 - SPEED * LAG + 2.0244
    book = {
        "source": "approximations of Nelson, chapters 4 and 5, derivatives of NASA CR-96008",
        "because": "what the approximation leaves out: two steps of Newton from it on the printed quartic",
    }
    natural = math.sqrt(stiffness)
    roots = next_terms(PRINTED, complex(-0.5 * damping, math.sqrt(stiffness - 0.25 * damping**2)))
    held(
        "natural frequency of the short period",
        short.natural_rad_per_s,
        natural,
        abs=left_out([abs(root) for root in roots]),
        unit="1/s",
        **book,
    )
    held(
        "damping ratio of the short period",
        short.damping_ratio,
        damping / (2.0 * natural),
        abs=left_out([-root.real / abs(root) for root in roots]),
        **book,
    )
    roll = lateral_modes(lateral_matrix(SIDE, BODY, NAVION))[0]
    alone = [root.real for root in next_terms(PRINTED_SIDE, complex(-8.402))]
    held("roll alone", roll.root_per_s.real, -8.402, abs=left_out(alone), unit="1/s", **book)


def test_phugoid_of_lanchester() -> None:
    # Lanchester 1908 (Etkin and Reid, equation 6.3,6): no drag, stiff in pitch: period pi sqrt 2 V / g.
    # Three stiffnesses, each twice the one before, continued to an endless one, as what is left halves.
    free = replace(PITCH, drag=0.0, drag_alpha=0.0, pitch_rate=-30.0, pitch_lag=0.0)
    weight = (
        2.0 * BODY.mass_kg * BODY.gravity_m_s2 / (BODY.density_kg_m3 * BODY.speed_m_s**2 * NAVION.area_m2)
    )
    stiff = [replace(free, lift=weight, pitch_alpha=alpha) for alpha in (-300.0, -600.0, -1200.0)]
    periods = [longitudinal_modes(longitudinal_matrix(one, BODY, NAVION))[1].period_s for one in stiff]
    before, endless = (2.0 * periods[i + 1] - periods[i] for i in (0, 1))
    held(
        "period of a phugoid without drag, stiff in pitch",
        endless,
        math.pi * math.sqrt(2.0) * BODY.speed_m_s / BODY.gravity_m_s2,
        abs=abs(endless - before),
        unit="s",
        source="Lanchester 1908, pi sqrt 2 V / g (Etkin and Reid, equation 6.3,6)",
        because="three stiffnesses continued to an endless one: what the last doubling moves",
    )


def test_spiral_limit() -> None:
    # Etkin and Reid, equation 6.8,6: the spiral is neutral where Clbeta Cnr = Cnbeta Clr (level flight); more
    # dihedral makes it stable, less lets it diverge.
    neutral = SIDE.yaw_beta * SIDE.roll_yaw / SIDE.yaw_yaw
    roots = []
    for share in (1.2, 1.0, 0.8):
        modes = lateral_modes(lateral_matrix(replace(SIDE, roll_beta=share * neutral), BODY, NAVION))
        roots.append(modes[-1].root_per_s.real)
    assert roots[0] < -1e-3
    held(
        "spiral at the limit Clbeta Cnr = Cnbeta Clr",
        roots[1],
        0.0,
        abs=1e-12,
        unit="1/s",
        source="Etkin and Reid, equation 6.8,6",
        because="rounding",
    )
    assert roots[2] > 1e-3


def test_inertia_turned_into_stability_axes_against_a_rotation() -> None:
    # A symmetric matrix turned by an orthogonal one: numpy, in axes x forward, z down.
    aft_up = np.array([[1.0, 0.0, 0.12], [0.0, 2.0, 0.0], [0.12, 0.0, 2.7]])
    forward = np.diag([-1.0, 1.0, -1.0]) @ aft_up @ np.diag([-1.0, 1.0, -1.0])
    a = 0.15
    turn = np.array([[math.cos(a), 0.0, math.sin(a)], [0.0, 1.0, 0.0], [-math.sin(a), 0.0, math.cos(a)]])
    expected = turn @ forward @ turn.T
    found = to_stability_axes(aft_up, a)
    held_all(
        "inertia turned into stability axes",
        found,
        [expected[0, 0], expected[1, 1], expected[2, 2], -expected[0, 2]],
        rel=1e-7,
        unit="kg m2",
        source="a matrix turned by an orthogonal one, numpy",
        because="rounding",
    )
