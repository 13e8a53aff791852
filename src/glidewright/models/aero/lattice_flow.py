"""Velocities that horseshoe vortices cause: a bound segment and two legs that leave along x, to infinity.

Biot and Savart; Katz and Plotkin, Low-Speed Aerodynamics (2nd ed.), equation 2.72 for the straight segment
and its limit for a half-infinite one. Circulation runs in from the left leg, along the bound vortex to the
right and out along the right leg.
"""

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
_ON_BOUND = 1e-12  # of the product of the ways to both ends: a point on a bound vortex feels none of it
_SMALL = 1e-12  # of a squared length: keeps points on a leg finite, where its velocity is zero
_BLOCK = 8192  # pairs at a time, so that the work stays in the processor's cache


def horseshoes(point_m: Array, left_m: Array, right_m: Array, core_m2: Array) -> tuple[Array, Array, Array]:
    """Velocity for unit circulation, in 1/m: x, y and z parts, each of shape (points, vortices).

    point_m: (points, 3); left_m, right_m: (vortices, 3), ends of the bound vortex; core_m2: (points,
    vortices), square of the core radius of the legs, zero or above: within it a leg's velocity falls to zero.

    A point far back in the wake feels two endless vortices that turn against each other:

    >>> ends = np.array([[0.0, -0.5, 0.0]]), np.array([[0.0, 0.5, 0.0]])
    >>> _, _, down = horseshoes(np.array([[1e3, 0.0, 0.0]]), *ends, np.zeros((1, 1)))
    >>> round(float(down[0, 0]) * np.pi, 4)  # -2 / (2 pi 0.5), times pi
    -2.0
    """
    shape = point_m.shape[0], left_m.shape[0]
    found = np.empty(shape), np.empty(shape), np.empty(shape)
    step = max(1, _BLOCK // max(1, shape[1]))
    for start in range(0, shape[0], step):
        rows = slice(start, start + step)
        parts = _block(point_m[rows], left_m, right_m, core_m2[rows])
        for whole, part in zip(found, parts, strict=True):
            whole[rows] = part
    return found


def _block(point_m: Array, left_m: Array, right_m: Array, core_m2: Array) -> tuple[Array, Array, Array]:
    first = [point_m[:, None, i] - left_m[None, :, i] for i in range(3)]
    second = [point_m[:, None, i] - right_m[None, :, i] for i in range(3)]
    to_first = np.sqrt(first[0] ** 2 + first[1] ** 2 + first[2] ** 2)
    to_second = np.sqrt(second[0] ** 2 + second[1] ** 2 + second[2] ** 2)
    inner = first[0] * second[0] + first[1] * second[1] + first[2] * second[2]
    product = to_first * to_second
    apart = product + inner
    free = apart > _ON_BOUND * product
    bound = np.where(free, (to_first + to_second) / (np.where(free, apart, 1.0) * product + 1e-300), 0.0)
    factor = bound / (4.0 * np.pi)
    x = factor * (first[1] * second[2] - first[2] * second[1])
    y = factor * (first[2] * second[0] - first[0] * second[2])
    z = factor * (first[0] * second[1] - first[1] * second[0])
    for sign, arm, far in ((-1.0, first, to_first), (1.0, second, to_second)):
        across = arm[1] ** 2 + arm[2] ** 2
        leg = (far + arm[0]) / (far * (across + core_m2 + _SMALL * far * far) + 1e-300)
        leg *= sign / (4.0 * np.pi)
        y -= leg * arm[2]
        z += leg * arm[1]
    return x, y, z


def leg_wash(point_m: Array, normal: Array, left_m: Array, right_m: Array, core_m2: Array) -> Array:
    """The legs' part of :func:`horseshoes` along the normals of the points, 1/m; (points, vortices)."""
    found = np.zeros((point_m.shape[0], left_m.shape[0]))
    for sign, end in ((-1.0, left_m), (1.0, right_m)):
        arm = [point_m[:, None, i] - end[None, :, i] for i in range(3)]
        across = arm[1] * normal[:, None, 2] - arm[2] * normal[:, None, 1]
        found += sign * _so_far(arm) * across / (arm[1] ** 2 + arm[2] ** 2 + core_m2 + 1e-300)
    wash: Array = found / (4.0 * np.pi)
    return wash


def leg_wash_over(
    ends_m: tuple[Array, Array], point_m: Array, left_m: Array, right_m: Array, core_m2: Array
) -> Array:
    """The mean of :func:`leg_wash` over strips across x, from their left to their right ends; same shape.

    ends_m: left and right ends of the strips, upper side to the left of the way between them seen from
    behind; point_m: where along x. The stream function makes the mean over a strip exact wherever a leg
    passes, and that over neighbouring strips too; how much of a leg has gone by is taken at the point.

    >>> ends = np.array([[1e3, -1.0, 0.0]]), np.array([[1e3, 1.0, 0.0]])
    >>> vortex = np.array([[0.0, -0.5, 0.0]]), np.array([[0.0, 0.5, 0.0]])
    >>> wash = leg_wash_over(ends, np.array([[1e3, 0.0, 0.0]]), *vortex, np.zeros((1, 1)))
    >>> flux = far_wake_flux(*ends, *vortex, np.zeros((1, 1)))
    >>> round(float(wash[0, 0] * 2.0 / flux[0, 0]), 6)
    1.0
    """
    width = np.hypot(*(ends_m[1] - ends_m[0])[:, 1:].T)
    found = np.zeros((point_m.shape[0], left_m.shape[0]))
    for turn, end in ((-1.0, left_m), (1.0, right_m)):
        flux = np.zeros_like(found)
        for sign, strip_end in ((1.0, ends_m[1]), (-1.0, ends_m[0])):
            away = [strip_end[:, None, i] - end[None, :, i] for i in (1, 2)]
            flux += sign * np.log(away[0] ** 2 + away[1] ** 2 + core_m2 + 1e-300)
        found += turn * flux * _so_far([point_m[:, None, i] - end[None, :, i] for i in range(3)])
    wash: Array = found / (8.0 * np.pi * width[:, None])
    return wash


def _so_far(arm: list[Array]) -> Array:
    """1 plus the cosine between a leg and the way from its start to a point: 2 far behind, 0 far ahead."""
    far = np.sqrt(arm[0] ** 2 + arm[1] ** 2 + arm[2] ** 2)
    found: Array = 1.0 + arm[0] / (far + 1e-300)
    return found


def far_wake_normalwash(
    point_m: Array, normal: Array, left_m: Array, right_m: Array, core_m2: Array
) -> Array:
    """Velocity along the strips' normals far behind, for unit circulation, 1/m; shape (strips, strips).

    Two-dimensional vortices, Gamma / (2 pi r): the Trefftz plane (Katz and Plotkin, section 8.2.4).
    """
    found = np.zeros((point_m.shape[0], left_m.shape[0]))
    for sign, end in ((-1.0, left_m), (1.0, right_m)):
        y = point_m[:, None, 1] - end[None, :, 1]
        z = point_m[:, None, 2] - end[None, :, 2]
        across = y * normal[:, None, 2] - z * normal[:, None, 1]
        found += sign * across / (y * y + z * z + core_m2 + 1e-300)
    wash: Array = found / (2.0 * np.pi)
    return wash


def far_wake_flux(
    strip_left_m: Array, strip_right_m: Array, left_m: Array, right_m: Array, core_m2: Array
) -> Array:
    """Flow across strips far behind to their upper side, for unit circulation, 1; shape (strips, vortices).

    The stream function of a two-dimensional vortex, Gamma / (2 pi) ln r, between the strip's ends: exact
    where :func:`far_wake_normalwash` looks at one point, so a vortex may pass close by. Same arguments
    otherwise.

    >>> place = np.array([[0.0, -1.0, 0.0]]), np.array([[0.0, 1.0, 0.0]])
    >>> round(float(far_wake_flux(*place, *(0.5 * p for p in place), np.zeros((1, 1)))[0, 0] * np.pi), 4)
    -1.0986
    """
    found = np.zeros((strip_left_m.shape[0], left_m.shape[0]))
    for sign, strip_end in ((1.0, strip_right_m), (-1.0, strip_left_m)):
        for turn, end in ((-1.0, left_m), (1.0, right_m)):
            y = strip_end[:, None, 1] - end[None, :, 1]
            z = strip_end[:, None, 2] - end[None, :, 2]
            found += sign * turn * np.log(y * y + z * z + core_m2 + 1e-300)
    flux: Array = found / (4.0 * np.pi)
    return flux
