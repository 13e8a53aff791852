"""Vortex lattice of a whole model: solved once, then a flight state is a product of small matrices.

The flow condition on the flat lattice is linear in wind, rates, incidence, controls and twists (Katz and
Plotkin, Low-Speed Aerodynamics, sections 9.4 and 12.1). So circulations are a sum of unit solutions, one for
each of these `motions` and `inputs`, forces by Kutta and Joukowski are an exact quadratic form in the same
numbers, and so is induced drag in the Trefftz plane. The wind comes at its real angles; deflections and
twists are small angles (the sine of 0.35 rad is 2 % smaller). Wakes leave along x, stiff. Thin surfaces, no
viscosity, no stall, air without compression. Axes: x aft, y right, z up; forces and moments a dynamic
pressure, so areas and volumes.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from glidewright.base.errors import InputError, nearest
from glidewright.models.aero.lattice_flow import horseshoes
from glidewright.models.aero.lattice_mesh import Boxes, Strips, lay_boxes, lay_inputs, lay_strips, winds
from glidewright.models.aero.lattice_solve import (
    MOTIONS,
    add_section_moments,
    late_wash,
    leg_cores,
    near_field,
    sheet_wash,
    slope_losses,
    trefftz,
    upwash,
)
from glidewright.models.aero.shape import Surface, Twist

Array = NDArray[np.float64]
Numbers = NDArray[Any]  # float, or complex where derivatives are taken by a complex step


@dataclass(frozen=True)
class Lattice:
    """Everything that a flight state needs; made by :func:`build_lattice`.

    inputs: names of controls, then of twists; circulation_m: (boxes, numbers), for a unit of each of
    ``MOTIONS`` and then of each input; force: (surfaces, 3, numbers, numbers), m2; moment: the same about the
    origin of the axes, m3; drag: (numbers, numbers), m2, induced drag of all together; upwash: (surfaces,
    numbers), mean upwash angle that the other surfaces cause at the control points, along the normal, over
    area; twists, section_slope: as they were asked for.
    """

    surfaces: tuple[Surface, ...]
    inputs: tuple[str, ...]
    strips: Strips
    boxes: Boxes
    circulation_m: Array
    force: Array
    moment: Array
    drag: Array
    upwash: Array
    input_angle: Array
    twists: tuple[Twist, ...] = ()
    section_slope: Mapping[str, float] = field(default_factory=dict)

    def surface_index(self, name: str) -> int:
        """Place of a surface, or an `InputError` with the nearest names."""
        return _index(name, [surface.name for surface in self.surfaces], "surface")

    def input_index(self, name: str) -> int:
        """Place of a control or twist among ``inputs``, or an `InputError` with the nearest names."""
        return _index(name, list(self.inputs), "control or twist")


@dataclass(frozen=True)
class Flow:
    """Flight states; every field a number or an array, all of one shape (n,) after broadcasting.

    Angles of attack (of the x axis) and sideslip (wind from the right positive) in rad. Rates are those of
    the stability axes, over speed, in rad/m: right wing down, nose up, nose right positive. lag_rad_per_m:
    rate of the angle of attack over speed, felt by surfaces behind in the wake of earlier. inputs: rad by
    name, else zero.
    """

    alpha_rad: ArrayLike = 0.0
    beta_rad: ArrayLike = 0.0
    roll_rad_per_m: ArrayLike = 0.0
    pitch_rad_per_m: ArrayLike = 0.0
    yaw_rad_per_m: ArrayLike = 0.0
    lag_rad_per_m: ArrayLike = 0.0
    inputs: Mapping[str, ArrayLike] = field(default_factory=dict)


@dataclass(frozen=True)
class Forces:
    """Forces (m2) and moments (m3) a dynamic pressure, shape (n,).

    Stability axes, moments about the stated centre: lift up across the wind, side to the right, drag the
    induced drag of the Trefftz plane, near_drag the same from the bound vortices (less exact); roll right
    wing down, pitch nose up, yaw nose right.
    """

    lift_m2: Numbers
    side_m2: Numbers
    drag_m2: Numbers
    near_drag_m2: Numbers
    roll_m3: Numbers
    pitch_m3: Numbers
    yaw_m3: Numbers


def build_lattice(
    surfaces: Sequence[Surface],
    twists: Sequence[Twist] = (),
    section_slope: Mapping[str, float] | None = None,
) -> Lattice:
    """Lay boxes, solve every unit flow at once.

    section_slope: lift slope of the sections of a surface over 2 pi, by its name, where it is not 1; a
    section that lifts less wants a larger angle for its lift, and the lattice gives it. Raises `InputError`
    for a twist of an unknown surface; `shape.Surface` refuses other bad geometry itself.

    A rectangle of aspect ratio 8: Glauert's lifting line gives 4.84 per radian, a lifting surface less:

    >>> from glidewright.models.aero.shape import Section
    >>> plan = Section(0.0, 0.0, 0.0, 0.25), Section(0.0, 1.0, 0.0, 0.25)
    >>> wing = build_lattice([Surface("wing", plan, (12,), chordwise=1)])
    >>> lift = forces(wing, Flow(alpha_rad=0.01)).lift_m2
    >>> round(float(lift[0]) / 0.5 / 0.01, 1)
    4.6
    """
    strips = lay_strips(surfaces)
    boxes = lay_boxes(surfaces, strips)
    inputs, input_angle, input_moment = lay_inputs(surfaces, strips, twists)
    count, owner = len(MOTIONS) + len(inputs), strips.surface[boxes.strip]
    normal, angle = strips.normal[boxes.strip], strips.angle_rad[boxes.strip]
    core = leg_cores(strips, boxes)

    _, side, up = horseshoes(boxes.control_m, boxes.left_m, boxes.right_m, core)
    at_points = side * normal[:, None, 1] + up * normal[:, None, 2]
    influence = sheet_wash(at_points, strips, boxes, core)
    if section_slope:
        influence -= slope_losses(strips, boxes, [section_slope.get(one.name, 1.0) for one in surfaces])
    condition = np.zeros((owner.size, count))
    motion = winds(boxes.control_m)
    condition[:, :6] = np.einsum("ni,nik->nk", normal, motion) + angle[:, None] * motion[:, 0, :]
    condition[:, len(MOTIONS) :] = input_angle[boxes.strip]
    circulation = np.asarray(-np.linalg.solve(influence, condition), dtype=np.float64)
    foreign = np.where(owner[:, None] == owner[None, :], 0.0, influence)
    circulation[:, 6] = -np.linalg.solve(influence, late_wash(foreign, boxes, circulation[:, 2]))

    force, moment = near_field(boxes, circulation, core, owner, len(surfaces))
    add_section_moments(moment, strips, input_moment)
    return Lattice(
        surfaces=tuple(surfaces),
        inputs=inputs,
        strips=strips,
        boxes=boxes,
        circulation_m=circulation,
        force=force,
        moment=moment,
        drag=trefftz(strips, boxes, circulation),
        upwash=upwash(foreign @ circulation, strips, boxes, owner, len(surfaces)),
        input_angle=input_angle,
        twists=tuple(twists),
        section_slope=dict(section_slope or {}),
    )


def relaid(
    lattice: Lattice,
    surfaces: Sequence[Surface] | None = None,
    twists: Sequence[Twist] | None = None,
    section_slope: Mapping[str, float] | None = None,
) -> Lattice:
    """The lattice laid anew with other surfaces, twists or section slopes; what is not given stays."""
    return build_lattice(
        lattice.surfaces if surfaces is None else surfaces,
        lattice.twists if twists is None else twists,
        lattice.section_slope if section_slope is None else section_slope,
    )


def numbers_of(lattice: Lattice, flow: Flow, centre_m: ArrayLike = (0.0, 0.0, 0.0)) -> Numbers:
    """A flight state as the numbers of the lattice: the motions about the origin, then inputs; (n, numbers).

    centre_m: (3,) or (n, 3), the point about which the model turns and that flies along the wind.
    """
    states = [flow.alpha_rad, flow.beta_rad, flow.roll_rad_per_m, flow.pitch_rad_per_m, flow.yaw_rad_per_m]
    given = {lattice.input_index(name): value for name, value in flow.inputs.items()}
    centre = np.atleast_2d(np.asarray(centre_m))
    rows = np.broadcast_arrays(*states, flow.lag_rad_per_m, *given.values(), centre[:, 0])
    alpha, beta, roll_s, pitch, yaw_s, lag, *rest, _ = (np.atleast_1d(np.asarray(row)) for row in rows)
    roll = roll_s * np.cos(alpha) - yaw_s * np.sin(alpha)
    yaw = yaw_s * np.cos(alpha) + roll_s * np.sin(alpha)
    found = np.zeros((alpha.size, len(MOTIONS) + len(lattice.inputs)), dtype=np.result_type(*rows))
    # the origin moves with the centre and turns about it: wind there = wind + turn cross centre
    found[:, 0] = np.cos(alpha) * np.cos(beta) + pitch * centre[:, 2] + yaw * centre[:, 1]
    found[:, 1] = -np.sin(beta) - yaw * centre[:, 0] + roll * centre[:, 2]
    found[:, 2] = np.sin(alpha) * np.cos(beta) - roll * centre[:, 1] - pitch * centre[:, 0]
    found[:, 3], found[:, 4], found[:, 5], found[:, 6] = roll, pitch, yaw, lag
    for (place, _), value in zip(given.items(), rest, strict=True):
        found[:, len(MOTIONS) + place] = value * np.cos(alpha) * np.cos(beta)
    return found


def forces(
    lattice: Lattice, flow: Flow, centre_m: ArrayLike = (0.0, 0.0, 0.0), surface: str | None = None
) -> Forces:
    """Forces and moments of the whole model, or of one surface among the others (its drag then is near_drag).

    centre_m: (3,) or (n, 3): moments and rates are about it.

    A rectangle of aspect ratio 10 at 0.1 rad, lift and induced drag over area:

    >>> from glidewright.models.aero.shape import Section
    >>> plan = Section(0.0, 0.0, 0.0, 0.2), Section(0.0, 1.0, 0.0, 0.2)
    >>> found = forces(build_lattice([Surface("wing", plan, (10,))]), Flow(alpha_rad=0.1))
    >>> round(float(found.lift_m2[0]) / 0.4, 3), round(float(found.drag_m2[0]) / 0.4, 4)
    (0.482, 0.0077)
    """
    numbers = numbers_of(lattice, flow, centre_m)
    chosen = list(range(len(lattice.surfaces))) if surface is None else [lattice.surface_index(surface)]
    force = _quadratic(lattice.force[chosen].sum(axis=0), numbers)
    moment = _quadratic(lattice.moment[chosen].sum(axis=0), numbers)
    moment = moment - np.cross(np.broadcast_to(np.atleast_2d(np.asarray(centre_m)), force.shape), force)
    alpha = np.broadcast_to(np.asarray(flow.alpha_rad), force.shape[:1])
    beta = np.broadcast_to(np.asarray(flow.beta_rad), force.shape[:1])
    cos, sin = np.cos(alpha), np.sin(alpha)
    along = force[:, 0] * cos + force[:, 2] * sin
    near = along * np.cos(beta) - force[:, 1] * np.sin(beta)
    return Forces(
        lift_m2=force[:, 2] * cos - force[:, 0] * sin,
        side_m2=force[:, 1],
        drag_m2=_quadratic(lattice.drag[None], numbers)[:, 0] if surface is None else near,
        near_drag_m2=near,
        roll_m3=-moment[:, 0] * cos - moment[:, 2] * sin,
        pitch_m3=moment[:, 1],
        yaw_m3=-moment[:, 2] * cos + moment[:, 0] * sin,
    )


def strip_lift(lattice: Lattice, flow: Flow, centre_m: ArrayLike = (0.0, 0.0, 0.0)) -> Array:
    """Lift coefficients of all strips, (n, strips) as in ``lattice.strips``: for drag and lift ceiling.

    Each is made with the chord of its own strip and the flight speed.
    """
    numbers = numbers_of(lattice, flow, centre_m)
    circulation = np.zeros((lattice.strips.chord_m.size, lattice.circulation_m.shape[1]))
    np.add.at(circulation, lattice.boxes.strip, lattice.circulation_m)
    lift: Array = 2.0 * (numbers @ circulation.T) / lattice.strips.chord_m
    return lift


def downwash_slope(lattice: Lattice, surface: str) -> float:
    """Downwash angle at a surface from all others, for a radian of angle of attack: d epsilon / d alpha.

    The mean over the area of the surface at its control points (Etkin and Reid, Dynamics of Flight, section
    2.3, has it as one number).

    >>> from glidewright.models.aero.shape import Section
    >>> wing = Surface("wing", (Section(0.0, 0.0, 0.0, 0.2), Section(0.0, 1.0, 0.0, 0.2)), (10,))
    >>> tail = Surface("tail", (Section(0.8, 0.0, 0.05, 0.1), Section(0.8, 0.25, 0.05, 0.1)), (6,))
    >>> round(downwash_slope(build_lattice([wing, tail]), "tail"), 2)
    0.26
    """
    return -float(lattice.upwash[lattice.surface_index(surface), 2])


def _index(name: str, known: list[str], what: str) -> int:
    if name not in known:
        raise InputError.at(name, f"no {what} of this model is called so; {nearest(name, known)}")
    return known.index(name)


def _quadratic(form: Array, numbers: Numbers) -> Numbers:
    """Values of quadratic forms (k, numbers, numbers) at (n, numbers); shape (n, k)."""
    found: Numbers = np.einsum("kna,na->nk", np.matmul(numbers, form), numbers)
    return found
