"""Lift, drag and moment of an aerofoil section by angle of attack, Reynolds number and state of the surface.

Straight interpolation between the nodes of the section's table: in the angle of attack, in the logarithm of
the Reynolds number, and between free transition (``rough`` 0: smooth and true) and transition forced at a
tenth of the chord (``rough`` 1: turbulator, dirt, a step at the edge of the covering). Beyond the nodes the
nearest node holds; ``outside`` tells where. Arguments may be arrays of finite numbers; shapes broadcast.

The tables are those of ``section_table``, computed by ``studies/sections.py``. Tunnels find more drag and
an earlier stall: multiply drag by ``drag_factor`` and the highest lift by ``highest_lift_factor``.
"""

from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from .section_bias import Factor, drag_factor, highest_lift_factor, slope_over_thin, zero_lift_shift_rad
from .section_table import CD, CL, CM, CONFIDENCE, FORCED, FREE, Section, grid, names, section, section_of

__all__ = [
    "Factor",
    "Section",
    "alpha_of_cl",
    "cd_of_cl",
    "coefficients",
    "confidence",
    "drag_factor",
    "highest_lift",
    "highest_lift_factor",
    "lift_slope",
    "lowest_lift",
    "names",
    "outside",
    "section",
    "section_of",
    "slope_over_thin",
    "zero_lift_angle",
    "zero_lift_shift_rad",
]

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]
# Lift that falls by this much below what it had reached is a stall, not a kink of the table; so is lift that
# grows by less than this over so many nodes: thin plates stall softly and creep up again far behind.
_STALL_DROP = 0.03
_STALL_GROWTH, _STALL_NODES = 0.02, 6


def coefficients(
    section: Section, alpha_rad: ArrayLike, reynolds: ArrayLike, rough: ArrayLike = 0.0
) -> tuple[Array, Array, Array]:
    """Section lift, drag and quarter-chord moment coefficients (cl, cd, cm), each of the common shape.

    alpha_rad: against the chord line; reynolds: on the chord; rough: 0 to 1, clipped.

    >>> cl, cd, cm = coefficients(section("SD7037"), np.radians(4.0), 1.0e5)
    >>> bool(0.6 < cl < 0.8), bool(0.01 < cd < 0.02), bool(cm < 0.0)
    (True, True, True)
    """
    found = _looked_up(section, alpha_rad, reynolds, rough)
    return found[..., CL], found[..., CD], found[..., CM]


def confidence(section: Section, alpha_rad: ArrayLike, reynolds: ArrayLike, rough: ArrayLike = 0.0) -> Array:
    """The computing tool's own confidence in these coefficients, 0 to 1; below 0.9 they deserve doubt.

    >>> bool(confidence(section("SD7037"), 0.05, 2.0e5) > 0.9)
    True
    """
    found: Array = _looked_up(section, alpha_rad, reynolds, rough)[..., CONFIDENCE]
    return found


def outside(section: Section, alpha_rad: ArrayLike, reynolds: ArrayLike) -> Mask:
    """Where the tables say nothing, or where no tunnel data was there to hold them against.

    >>> outside(section("AG35"), np.radians([2.0, 25.0, 2.0]), [1e5, 1e5, 3e4])
    array([False,  True,  True])
    """
    alpha, re = np.asarray(alpha_rad), np.asarray(reynolds)
    nodes = grid().alpha_rad
    beyond_angle = (alpha < nodes[0]) | (alpha > nodes[-1])
    found: Mask = beyond_angle | (re < section.reynolds_low) | (re > section.reynolds_high)
    return found


def highest_lift(section: Section, reynolds: ArrayLike, rough: ArrayLike = 0.0) -> tuple[Array, Array]:
    """Lift coefficient where lift first stops to grow with angle of attack, and that angle in rad.

    Lift that rises again behind the stall does not count.

    >>> cl, alpha_rad = highest_lift(section("SD7037"), 2.0e5)
    >>> bool(1.1 < cl < 1.5), bool(8.0 < np.degrees(alpha_rad) < 15.0)
    (True, True)
    """
    lift = _lift_curves(section, reynolds, rough)
    at = _peak(lift[..., _start() :]) + _start()
    return np.take_along_axis(lift, at[..., None], -1)[..., 0], grid().alpha_rad[at]


def lowest_lift(section: Section, reynolds: ArrayLike, rough: ArrayLike = 0.0) -> tuple[Array, Array]:
    """Least lift coefficient before the stall of the lower side, and its angle in rad.

    >>> cl, alpha_rad = lowest_lift(section("NACA 0009"), 1.0e5)
    >>> bool(cl < -0.6), bool(alpha_rad < 0.0)
    (True, True)
    """
    lift = _lift_curves(section, reynolds, rough)
    at = _start() - _peak(-lift[..., _start() :: -1])
    return np.take_along_axis(lift, at[..., None], -1)[..., 0], grid().alpha_rad[at]


def alpha_of_cl(
    section: Section, cl: ArrayLike, reynolds: ArrayLike, rough: ArrayLike = 0.0
) -> tuple[Array, Mask]:
    """Angle of attack in rad that gives this lift below the stall, and where no such angle exists.

    Where it does not exist, the angle of the highest or lowest lift is given. Where the lift wavers with the
    angle, the angle nearest to the middle of the range counts, seen from there.

    >>> one = section("SD7037")
    >>> angle, beyond = alpha_of_cl(one, [0.5, 3.0], 1.0e5)
    >>> beyond, round(float(coefficients(one, angle[0], 1.0e5)[0]), 6)
    (array([False,  True]), 0.5)
    """
    wanted, re, state = np.broadcast_arrays(*(np.asarray(x, dtype=np.float64) for x in (cl, reynolds, rough)))
    lift = _lift_curves(section, re, state)
    start, nodes = _start(), grid().alpha_rad
    rising = wanted >= lift[..., start]
    steps, beyond = np.empty(wanted.shape), np.empty(wanted.shape, dtype=np.bool_)
    steps[rising], beyond[rising] = _crossing(lift[rising, start:], wanted[rising])
    back, beyond[~rising] = _crossing(-lift[~rising, start::-1], -wanted[~rising])
    steps[~rising] = -back
    # the last node must not come out beyond itself by rounding
    angle: Array = np.clip(nodes[start] + (nodes[1] - nodes[0]) * steps, nodes[0], nodes[-1])
    return angle, beyond


def cd_of_cl(
    section: Section, cl: ArrayLike, reynolds: ArrayLike, rough: ArrayLike = 0.0
) -> tuple[Array, Mask]:
    """Drag coefficient at a lift coefficient below the stall, and where lift or Reynolds number are outside.

    Lift beyond the ceiling gets the drag at the ceiling and is flagged.

    >>> cd, beyond = cd_of_cl(section("SD7037"), [0.6, 2.0], 1.0e5)
    >>> bool(cd[0] < cd[1]), beyond
    (True, array([False,  True]))
    """
    angle, beyond = alpha_of_cl(section, cl, reynolds, rough)
    drag = _looked_up(section, angle, reynolds, rough)[..., CD]
    flagged: Mask = beyond | outside(section, angle, reynolds)
    return drag, flagged


def zero_lift_angle(section: Section, reynolds: ArrayLike, rough: ArrayLike = 0.0) -> Array:
    """Angle of attack in rad, against the chord line, at which the section gives no lift.

    >>> bool(-5.0 < np.degrees(zero_lift_angle(section("SD7037"), 2.0e5)) < -2.0)
    True
    """
    return alpha_of_cl(section, 0.0, reynolds, rough)[0]


def lift_slope(
    section: Section,
    reynolds: ArrayLike,
    rough: ArrayLike = 0.0,
    first_rad: float = 0.0,
    last_rad: float = 0.12217,
) -> Array:
    """Growth of lift per radian: least-squares line from first_rad to last_rad, 0 to 7 degrees unless given.

    Thin aerofoils in ideal flow have 2 pi (Anderson, Fundamentals of Aerodynamics, equation 4.33).

    >>> bool(5.0 < lift_slope(section("SD7037"), 2.0e5) < 6.8)
    True
    """
    nodes = grid().alpha_rad
    inside = (nodes >= first_rad - 1e-9) & (nodes <= last_rad + 1e-4)
    away = nodes[inside] - nodes[inside].mean()
    slope: Array = _lift_curves(section, reynolds, rough)[..., inside] @ (away / (away @ away))
    return slope


def _start() -> int:
    """The node at zero angle of attack, from which both stalls are looked for."""
    return int(np.argmin(np.abs(grid().alpha_rad)))


def _peak(lift: Array) -> NDArray[np.intp]:
    """Place of the highest value before the stall, along the last axis."""
    reached = np.maximum.accumulate(lift, axis=-1)
    stalled = reached - lift > _STALL_DROP
    growth = reached[..., _STALL_NODES:] - reached[..., :-_STALL_NODES]
    stalled[..., _STALL_NODES:] |= growth < _STALL_GROWTH
    stalled = np.logical_or.accumulate(stalled, axis=-1)
    place: NDArray[np.intp] = np.argmax(np.where(stalled, -np.inf, lift), axis=-1)
    return place


def _crossing(lift: Array, wanted: Array) -> tuple[Array, Mask]:
    """Place in steps where lift first reaches `wanted`, at most the peak; and where it never does."""
    peak = _peak(lift)
    reached = np.maximum.accumulate(lift, axis=-1)
    at = np.argmax(reached >= wanted[..., None], axis=-1)
    top = np.take_along_axis(lift, peak[..., None], -1)[..., 0]
    beyond: Mask = wanted > top
    at = np.clip(at, 1, None)
    after = np.take_along_axis(lift, at[..., None], -1)[..., 0]
    before = np.take_along_axis(lift, at[..., None] - 1, -1)[..., 0]
    rise = np.where(after > before, after - before, 1.0)
    place: Array = np.where(beyond, peak, at - 1 + np.clip((wanted - before) / rise, 0.0, 1.0))
    return place, beyond


def _looked_up(section: Section, alpha_rad: ArrayLike, reynolds: ArrayLike, rough: ArrayLike) -> Array:
    """All columns at the given points, shape (..., 4)."""
    alpha, re, state = np.broadcast_arrays(
        *(np.asarray(x, dtype=np.float64) for x in (alpha_rad, reynolds, rough))
    )
    nodes = grid().alpha_rad
    i, share_i = _place(alpha, nodes[0], nodes[1] - nodes[0], nodes.size)
    j, share_j = _reynolds_place(re)
    table, low, high = section.table, 1.0 - share_i, share_i
    mixed: Any = 0.0
    for k, share_k in _states(state):
        near = low * table[k, j, i] + high * table[k, j, i + 1]
        far = low * table[k, j + 1, i] + high * table[k, j + 1, i + 1]
        mixed = mixed + share_k[..., None] * ((1.0 - share_j) * near + share_j * far)
    found: Array = mixed
    return found


def _lift_curves(section: Section, reynolds: ArrayLike, rough: ArrayLike) -> Array:
    """Lift at every node of the angle of attack at the given Reynolds numbers, shape (..., angles)."""
    re, state = np.broadcast_arrays(*(np.asarray(x, dtype=np.float64) for x in (reynolds, rough)))
    j, share_j = _reynolds_place(re)
    lift = section.table[..., CL]
    mixed: Any = 0.0
    for k, share_k in _states(state):
        mixed = mixed + share_k[..., None] * ((1.0 - share_j) * lift[k, j] + share_j * lift[k, j + 1])
    found: Array = mixed
    return found


def _states(rough: Array) -> tuple[tuple[int, Array], ...]:
    """The states of transition that take part, each with its share."""
    forced = np.clip(rough, 0.0, 1.0)
    if not forced.any():  # the common case costs half
        return ((FREE, 1.0 - forced),)
    return (FREE, 1.0 - forced), (FORCED, forced)


def _reynolds_place(reynolds: Array) -> tuple[NDArray[np.intp], Array]:
    nodes = grid().reynolds
    low, step = np.log(nodes[0]), np.log(nodes[1] / nodes[0])
    return _place(np.log(np.maximum(reynolds, nodes[0])), low, step, nodes.size)


def _place(value: Array, low: float, step: float, count: int) -> tuple[NDArray[np.intp], Array]:
    """Node before the value, and the share of the way to the next, with a last axis for the columns."""
    steps = np.clip((value - low) / step, 0.0, count - 1.0)
    before = np.minimum(steps.astype(np.intp), count - 2)
    share: Array = (steps - before)[..., None]
    return before, share
