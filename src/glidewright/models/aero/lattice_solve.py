"""Forces of the vortex lattice from its unit solutions: near the bound vortices and in the far wake."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from glidewright.models.aero.lattice_flow import (
    far_wake_flux,
    far_wake_normalwash,
    horseshoes,
    leg_wash,
    leg_wash_over,
)
from glidewright.models.aero.lattice_mesh import Boxes, Strips, winds

Array = NDArray[np.float64]
MOTIONS = ("wind_x", "wind_y", "wind_z", "roll", "pitch", "yaw", "lag")
CORE = 0.25  # leg cores that other surfaces feel, over the box width: a wake is a sheet, not threads
_TOUCH = 0.02  # of the chord: edges nearer than this are glued together


def leg_cores(strips: Strips, boxes: Boxes) -> Array:
    """Square of the core radius with which a box (column) is felt at the points of another (row), m2.

    Zero on the same surface and between surfaces that touch, where legs of both cancel in the joint; else a
    wake's leg may by chance run into a point of a surface behind, and its core keeps the wash that of a
    sheet.
    """
    count = int(strips.surface.max()) + 1
    joined = np.array([[a == b or _touch(strips, a, b) for b in range(count)] for a in range(count)])
    owner = strips.surface[boxes.strip]
    core = np.broadcast_to((CORE * strips.width_m[boxes.strip]) ** 2, (owner.size, owner.size))
    return np.where(joined[owner[:, None], owner[None, :]], 0.0, core)


def sheet_wash(influence: Array, strips: Strips, boxes: Boxes, core: Array) -> Array:
    """The influence with wakes of other surfaces as they pass whole strips, where they do not touch.

    A wake is a sheet; of its threads one may come near a point behind by chance. So what the legs of a
    surface do to the strips of another is the mean over the strip, not the value at its point.
    """
    found = influence.copy()
    owner = strips.surface[boxes.strip]
    for one in np.unique(owner):
        rows = owner == one
        for other in np.unique(owner):
            columns = owner == other
            block = np.ix_(rows, columns)
            if one == other or not np.all(core[block] > 0.0):
                continue
            mine, theirs = boxes.strip[rows], (boxes.left_m[columns], boxes.right_m[columns])
            point, squared = boxes.control_m[rows], core[block]
            ends = strips.left_m[mine], strips.right_m[mine]
            over = leg_wash_over(ends, point, *theirs, squared)
            found[block] += over - leg_wash(point, strips.normal[mine], *theirs, squared)
    return found


def slope_losses(strips: Strips, boxes: Boxes, over_thin: Sequence[float]) -> Array:
    """Angle that a strip's own circulation costs where its section lifts less than 2 pi a radian, 1/m.

    over_thin: lift slope over 2 pi of each surface. A strip of lift coefficient 2 Gamma / c needs
    (1 / k - 1) Gamma / (pi c) more angle; Gamma is that of all its boxes together.
    """
    slope = np.asarray(over_thin, dtype=np.float64)[strips.surface[boxes.strip]]
    lost = (1.0 / slope - 1.0) / (np.pi * strips.chord_m[boxes.strip])
    same = boxes.strip[:, None] == boxes.strip[None, :]
    found: Array = np.where(same, lost[:, None], 0.0)
    return found


def _touch(strips: Strips, first: int, second: int) -> bool:
    """Whether an edge of a strip of one surface lies on the other, seen along x and within its chord."""
    for one, other in ((first, second), (second, first)):
        a, b = strips.surface == one, strips.surface == other
        ends = np.concatenate([strips.left_m[a], strips.right_m[a]])
        along = (strips.right_m - strips.left_m)[b, 1:]
        away = ends[:, None, 1:] - strips.left_m[None, b, 1:]
        share = np.clip((away * along).sum(axis=2) / (along * along).sum(axis=1), 0.0, 1.0)
        gap = np.linalg.norm(away - share[:, :, None] * along, axis=2)
        chord = strips.chord_m[b]
        behind = ends[:, None, 0] - strips.left_m[None, b, 0]
        if np.any((gap < _TOUCH * chord) & (np.abs(behind) < chord)):
            return True
    return False


def late_wash(foreign: Array, boxes: Boxes, circulation: Array) -> Array:
    """Wash of the wake that left other surfaces earlier, for a unit rate of the angle of attack.

    A wake reaches a point behind after distance / speed, so wash lags by its slope times that: the reasoning
    of Etkin and Reid, Dynamics of Flight (3rd ed.), section 5.5, box by box. Growing lift itself (apparent
    mass and starting vortices) is left out, as there.
    """
    behind = boxes.control_m[:, None, 0] - boxes.bound_m[None, :, 0]
    found: Array = -(foreign * np.maximum(behind, 0.0)) @ circulation
    return found


def near_field(
    boxes: Boxes, circulation: Array, core: Array, owner: NDArray[np.int64], surfaces: int
) -> tuple[Array, Array]:
    """Kutta and Joukowski on the bound vortices, with the velocity that is there, as quadratic forms."""
    middle, bound = boxes.bound_m, boxes.right_m - boxes.left_m
    velocity = np.stack(
        [part @ circulation for part in horseshoes(middle, boxes.left_m, boxes.right_m, core)]
    )
    velocity[:, :, :6] += np.moveaxis(winds(middle), 1, 0)
    push = np.cross(velocity, bound.T[:, :, None], axis=0)
    place = 0.5 * (boxes.left_m + boxes.right_m)
    turn = np.cross(place.T[:, :, None], push, axis=0)
    force = np.empty((surfaces, 3, circulation.shape[1], circulation.shape[1]))
    moment = np.empty_like(force)
    for number in range(surfaces):
        rows = owner == number
        weight = 2.0 * circulation[rows].T
        force[number] = weight @ push[:, rows]
        moment[number] = weight @ turn[:, rows]
    return force, moment


def add_section_moments(moment: Array, strips: Strips, input_moment: Array) -> None:
    """Add what aerofoils and flaps twist about their quarter chords to the quadratic forms of moments.

    They feel the wind along x at their strip, turning of the model included.
    """
    lever = (strips.chord_m**2 * strips.width_m)[:, None] * strips.span_direction
    along = winds(strips.point_m)[:, 0, :]
    for number in range(moment.shape[0]):
        rows = strips.surface == number
        own = lever[rows] * strips.moment_c4[rows, None]
        moment[number, :, :6, :6] += np.einsum("sk,sa,sb->kab", own, along[rows], along[rows])
        turned = np.einsum("sk,sa,si->kai", lever[rows], along[rows], input_moment[rows])
        moment[number, :, :6, len(MOTIONS) :] += turned


def trefftz(strips: Strips, boxes: Boxes, circulation: Array) -> Array:
    """Induced drag as a quadratic form, m2: circulation times the flow across its strip far behind.

    Katz and Plotkin, Low-Speed Aerodynamics (2nd ed.), equation 8.146. A surface's own wake is met at the
    points of its strips, the wakes of others over their whole width.
    """
    own = strips.surface[:, None] == strips.surface[None, :]
    ends = strips.left_m, strips.right_m
    wash = far_wake_normalwash(strips.point_m, strips.normal, *ends, np.zeros(own.shape))
    core = np.broadcast_to((CORE * strips.width_m) ** 2, own.shape)
    flux = np.where(own, wash * strips.width_m[:, None], far_wake_flux(*ends, *ends, core))
    total = np.zeros((strips.chord_m.size, circulation.shape[1]))
    np.add.at(total, boxes.strip, circulation)
    found: Array = -total.T @ (flux @ total)
    return found


def upwash(wash: Array, strips: Strips, boxes: Boxes, owner: NDArray[np.int64], surfaces: int) -> Array:
    """Mean upwash of other surfaces at each surface, over area; wash: (boxes, numbers) along the normals."""
    area = (strips.chord_m * strips.width_m)[boxes.strip]
    rows = [owner == number for number in range(surfaces)]
    return np.stack([area[chosen] @ wash[chosen] / area[chosen].sum() for chosen in rows])
