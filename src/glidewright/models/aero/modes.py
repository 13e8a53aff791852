"""Natural motions of a model in straight flight: state matrices, roots and what they are called.

Linear equations of motion in stability axes, Etkin and Reid, Dynamics of Flight (3rd ed.), equations 4.9,18
(longitudinal: u, w, q, theta) and 4.9,19 (lateral: v, p, r, phi), dimensional derivatives after tables 4.4
and 4.5, for a model without thrust. Apparent mass of the air, which light models feel, may be added (the
inertia terms of Theodorsen, NACA report 496, strip by strip).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glidewright.models.aero.derivatives import Derivatives
from glidewright.models.aero.lattice import Lattice
from glidewright.models.aero.lattice_mesh import winds
from glidewright.models.aero.shape import Reference

Array = NDArray[np.float64]
_REAL = 1e-9  # of the size of a root: below it an imaginary part is rounding


@dataclass(frozen=True)
class Body:
    """Mass and inertia (kg m2, about the centre of gravity, stability axes) of a model in straight flight.

    product_kg_m2: integral of x z dm with x forward and z down. path_rad: flight path against the horizon,
    down negative. apparent: (6, 6), air moved along, from :func:`apparent_mass` times the air's density;
    zeros leave it out.
    """

    mass_kg: float
    roll_kg_m2: float
    pitch_kg_m2: float
    yaw_kg_m2: float
    product_kg_m2: float
    speed_m_s: float
    density_kg_m3: float
    gravity_m_s2: float
    path_rad: float = 0.0
    apparent: Array | None = None


@dataclass(frozen=True)
class PitchSlopes:
    """Longitudinal coefficients and slopes: total drag included; rates c / 2V; zero where unknown."""

    lift: float
    drag: float
    lift_alpha: float
    drag_alpha: float
    pitch_alpha: float
    pitch_rate: float
    pitch_lag: float = 0.0
    lift_rate: float = 0.0
    lift_lag: float = 0.0
    lift_speed: float = 0.0
    drag_speed: float = 0.0
    pitch_speed: float = 0.0


@dataclass(frozen=True)
class SideSlopes:
    """Lateral slopes: side force, rolling and yawing moment with beta and with p b / 2V, r b / 2V."""

    side_beta: float
    roll_beta: float
    yaw_beta: float
    roll_roll: float
    yaw_roll: float
    roll_yaw: float
    yaw_yaw: float
    side_roll: float = 0.0
    side_yaw: float = 0.0


@dataclass(frozen=True)
class Mode:
    """One natural motion. A root is 1/s; period and damping ratio exist only where it swings.

    time_to_half_s or time_to_double_s: whichever applies, the other is None; both None for a neutral root.
    """

    name: str
    root_per_s: complex
    natural_rad_per_s: float
    damping_ratio: float | None
    period_s: float | None
    time_to_half_s: float | None
    time_to_double_s: float | None


def pitch_slopes(
    found: Derivatives, row: int, profile_drag: float, profile_drag_alpha: float = 0.0
) -> PitchSlopes:
    """Longitudinal slopes of one flight state, with the drag that the lattice does not know."""
    return PitchSlopes(
        lift=float(found.at("lift")[row]),
        drag=float(found.at("drag")[row]) + profile_drag,
        lift_alpha=float(found.of("lift", "alpha")[row]),
        drag_alpha=float(found.of("drag", "alpha")[row]) + profile_drag_alpha,
        pitch_alpha=float(found.of("pitch", "alpha")[row]),
        pitch_rate=float(found.of("pitch", "pitch_rate")[row]),
        pitch_lag=float(found.of("pitch", "lag")[row]),
        lift_rate=float(found.of("lift", "pitch_rate")[row]),
        lift_lag=float(found.of("lift", "lag")[row]),
    )


def side_slopes(found: Derivatives, row: int) -> SideSlopes:
    """Lateral slopes of one flight state of the lattice."""

    def of(coefficient: str, variable: str) -> float:
        return float(found.of(coefficient, variable)[row])

    return SideSlopes(
        side_beta=of("side", "beta"),
        roll_beta=of("roll", "beta"),
        yaw_beta=of("yaw", "beta"),
        roll_roll=of("roll", "roll_rate"),
        yaw_roll=of("yaw", "roll_rate"),
        roll_yaw=of("roll", "yaw_rate"),
        yaw_yaw=of("yaw", "yaw_rate"),
        side_roll=of("side", "roll_rate"),
        side_yaw=of("side", "yaw_rate"),
    )


def longitudinal_matrix(slopes: PitchSlopes, body: Body, reference: Reference) -> Array:
    """State matrix (4, 4) of u (m/s), w (m/s), q (rad/s), theta (rad); Etkin and Reid, equation 4.9,18."""
    v, m, g = body.speed_m_s, body.mass_kg, body.gravity_m_s2
    force = 0.5 * body.density_kg_m3 * v * reference.area_m2  # dynamic pressure times area, over speed
    arm, slow = reference.chord_m, reference.chord_m / (2.0 * v)
    x_u, x_w = -force * (slopes.drag_speed + 2.0 * slopes.drag), force * (slopes.lift - slopes.drag_alpha)
    z_u, z_w = -force * (slopes.lift_speed + 2.0 * slopes.lift), -force * (slopes.lift_alpha + slopes.drag)
    z_q, z_lag = -force * v * slow * slopes.lift_rate, -force * slow * slopes.lift_lag
    m_u, m_w = force * arm * slopes.pitch_speed, force * arm * slopes.pitch_alpha
    m_q, m_lag = force * v * arm * slow * slopes.pitch_rate, force * arm * slow * slopes.pitch_lag
    air = np.zeros((6, 6)) if body.apparent is None else body.apparent
    inertia = np.diag([m, m - z_lag, body.pitch_kg_m2, 1.0])
    inertia[2, 1] = -m_lag
    inertia[1:3, 1:3] += air[np.ix_((2, 4), (2, 4))]
    cos, sin = math.cos(body.path_rad), math.sin(body.path_rad)
    right = np.array(
        [
            [x_u, x_w, 0.0, -m * g * cos],
            [z_u, z_w, z_q + m * v, -m * g * sin],
            [m_u, m_w, m_q, 0.0],
            [0.0, 0.0, 1.0, 0.0],
        ]
    )
    return np.linalg.solve(inertia, right)


def lateral_matrix(slopes: SideSlopes, body: Body, reference: Reference) -> Array:
    """State matrix (4, 4) of v (m/s), p (rad/s), r (rad/s), phi (rad); Etkin and Reid, equation 4.9,19."""
    v, m, g = body.speed_m_s, body.mass_kg, body.gravity_m_s2
    force = 0.5 * body.density_kg_m3 * v * reference.area_m2
    arm, slow = reference.span_m, 0.5 * reference.span_m
    air = np.zeros((6, 6)) if body.apparent is None else body.apparent
    inertia = np.diag([m, body.roll_kg_m2, body.yaw_kg_m2, 1.0])
    inertia[1, 2] = inertia[2, 1] = -body.product_kg_m2
    inertia[:3, :3] += air[np.ix_((1, 3, 5), (1, 3, 5))]
    cos, tan = math.cos(body.path_rad), math.tan(body.path_rad)
    right = np.array(
        [
            [slopes.side_beta, slow * slopes.side_roll, slow * slopes.side_yaw, 0.0],
            [arm * slopes.roll_beta, arm * slow * slopes.roll_roll, arm * slow * slopes.roll_yaw, 0.0],
            [arm * slopes.yaw_beta, arm * slow * slopes.yaw_roll, arm * slow * slopes.yaw_yaw, 0.0],
            [0.0, 0.0, 0.0, 0.0],
        ]
    )
    right *= force
    right[0, 2] -= m * v
    right[0, 3] = m * g * cos
    right[3, 1], right[3, 2] = 1.0, tan
    return np.linalg.solve(inertia, right)


def longitudinal_modes(matrix: Array) -> tuple[Mode, ...]:
    """Modes of :func:`longitudinal_matrix`, fastest first.

    Two swinging pairs are the short period and the phugoid. Where a pair has split into real roots, the fast
    ones are the pitch subsidence or divergence, the slow ones the speed subsidence or divergence (Etkin and
    Reid, section 6.2, for the names of the pairs).

    >>> matrix = np.zeros((4, 4))
    >>> matrix[:2, :2], matrix[2:, 2:] = [[-3.0, 5.0], [-5.0, -3.0]], [[-0.02, 0.6], [-0.6, -0.02]]
    >>> [(mode.name, round(mode.period_s, 2)) for mode in longitudinal_modes(matrix)]
    [('short period', 1.26), ('phugoid', 10.47)]
    """
    groups = _groups(matrix)
    if len(groups) == 2:
        return _mode("short period", groups[0]), _mode("phugoid", groups[1])
    fast = 0
    found = []
    for root in groups:
        swings = root.imag > 0.0
        quick = fast < 2
        fast += 2 if swings else 1
        if swings:
            found.append(_mode("short period" if quick and fast == 2 else "phugoid", root))
        else:
            kind = "divergence" if root.real > 0.0 else "subsidence"
            found.append(_mode(f"{'pitch' if quick else 'speed'} {kind}", root))
    return tuple(found)


def lateral_modes(matrix: Array) -> tuple[Mode, ...]:
    """Modes of :func:`lateral_matrix`, fastest first.

    Usually roll subsidence, Dutch roll (a pair) and spiral. Two pairs are the Dutch roll and a slow swing of
    roll and spiral joined; four real roots hold two yaw subsidences in place of the Dutch roll.

    >>> matrix = np.diag([-0.02, -4.0, -0.5, -0.5])
    >>> matrix[2:, 2:] += [[0.0, 3.0], [-3.0, 0.0]]
    >>> [mode.name for mode in lateral_modes(matrix)]
    ['roll subsidence', 'Dutch roll', 'spiral']
    """
    groups = _groups(matrix)
    if len(groups) == 2:
        return _mode("Dutch roll", groups[0]), _mode("roll and spiral joined", groups[1])
    real = [root for root in groups if root.imag == 0.0]
    found = []
    for root in groups:
        if root.imag > 0.0:
            name = "Dutch roll"
        elif root is real[0]:
            name = "roll subsidence"
        else:
            name = "spiral" if root is real[-1] else "yaw subsidence"
        found.append(_mode(name, root))
    return tuple(found)


def apparent_mass(lattice: Lattice, centre_m: Sequence[float]) -> Array:
    """Air that moves with the surfaces, a unit density: (6, 6) for u, v, w, p, q, r about the centre.

    Each strip moves pi/4 c2 of air a span along its normal, at its middle chord (Theodorsen, NACA report 496,
    inertia terms; Bisplinghoff, Ashley and Halfman, equation 5-311). Plane flow: the ends move less. Entries
    are m3, m4 and m5: times a density kg, kg m and kg m2. centre_m: (3,).

    >>> from glidewright.models.aero.lattice import build_lattice
    >>> from glidewright.models.aero.shape import Section, Surface
    >>> plank = Surface("wing", (Section(0.0, 0.0, 0.0, 1.0), Section(0.0, 5.0, 0.0, 1.0)), (8,))
    >>> round(float(apparent_mass(build_lattice([plank]), (0.5, 0.0, 0.0))[2, 2]), 3)  # pi / 4 times 10 m
    7.854
    """
    strips = lattice.strips
    middle = 0.5 * (strips.left_m + strips.right_m)
    middle[:, 0] += 0.25 * strips.chord_m
    motion = np.einsum("si,sik->sk", strips.normal, winds(middle - np.asarray(centre_m)))
    motion[:, 1] *= -1.0  # wind to the right is flight to the left
    motion[:, 0] = 0.0
    volume = 0.25 * np.pi * strips.chord_m**2 * strips.width_m
    found: Array = (motion * volume[:, None]).T @ motion
    return found


def to_stability_axes(inertia_kg_m2: Array, alpha_rad: float) -> tuple[float, float, float, float]:
    """Roll, pitch, yaw inertia and product of x forward and z down, kg m2, in stability axes.

    inertia_kg_m2: (3, 3) about the centre of gravity, in the axes of the model (x aft, y right, z up).
    Etkin and Reid, equations 4.5,9.

    >>> [round(value, 3) for value in to_stability_axes(np.diag([1.0, 2.0, 3.0]), 0.1)]
    [1.02, 2.0, 2.98, -0.199]
    """
    cos, sin = math.cos(alpha_rad), math.sin(alpha_rad)
    # product of x and z is the same for aft and up as for forward and down
    a, c, product = float(inertia_kg_m2[0, 0]), float(inertia_kg_m2[2, 2]), -float(inertia_kg_m2[0, 2])
    roll = a * cos * cos + c * sin * sin - 2.0 * product * sin * cos
    yaw = a * sin * sin + c * cos * cos + 2.0 * product * sin * cos
    mixed = product * (cos * cos - sin * sin) + (a - c) * sin * cos
    return roll, float(inertia_kg_m2[1, 1]), yaw, mixed


def _groups(matrix: Array) -> list[complex]:
    """Roots, one for each swinging pair (its imaginary part above zero) and each real root, largest first."""
    roots: NDArray[Any] = np.linalg.eigvals(matrix)
    found = [complex(root) for root in roots]
    kept = []
    for root in found:
        real = abs(root.imag) <= _REAL * abs(root)
        if real or root.imag > 0.0:
            kept.append(complex(root.real, 0.0) if real else root)
    return sorted(kept, key=abs, reverse=True)


def _mode(name: str, root: complex) -> Mode:
    size, swings, still = abs(root), root.imag > 0.0, root.real == 0.0
    time = None if still else math.log(2.0) / abs(root.real)
    return Mode(
        name=name,
        root_per_s=root,
        natural_rad_per_s=size,
        damping_ratio=-root.real / size if swings else None,
        period_s=2.0 * math.pi / root.imag if swings else None,
        time_to_half_s=time if root.real < 0.0 else None,
        time_to_double_s=time if root.real > 0.0 else None,
    )
