"""Coefficients of a model and their slopes about a centre of gravity, neutral point, and trim.

Stability axes: they turn with the angle of attack but not with sideslip (Etkin and Reid, Dynamics of Flight,
3rd ed., section 4.3). Coefficients and rates are made of plain numbers as there: moments by area and span
(roll, yaw) or chord (pitch), rates as p b / 2V, q c / 2V, r b / 2V, rate of the angle of attack as c / 2V
times it. Only what a lattice knows enters: drag is induced drag, bodies and profile drag are added by others.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from glidewright.base.errors import InputError, OutsideModelError, nearest
from glidewright.models.aero.lattice import Flow, Forces, Lattice, forces
from glidewright.models.aero.shape import Reference

Array = NDArray[np.float64]
Numbers = NDArray[Any]
COEFFICIENTS = ("lift", "drag", "side", "roll", "pitch", "yaw")
STATES = ("alpha", "beta", "roll_rate", "pitch_rate", "yaw_rate", "lag")
_STEP = 1e-30  # of the complex step: no difference is taken, so nothing is lost (Squire and Trapp 1998)
_ROUNDS = 30
_CLOSE = 1e-11


@dataclass(frozen=True)
class Derivatives:
    """value: (n, 6) in the order of ``COEFFICIENTS``; slope: (n, 6, variables), a radian or a plain rate.

    variables: ``STATES`` and then the names of controls and twists.
    """

    variables: tuple[str, ...]
    value: Array
    slope: Array

    def of(self, coefficient: str, variable: str) -> Array:
        """One slope, shape (n,), such as ``of("pitch", "alpha")``."""
        return self.slope[:, _place(coefficient, COEFFICIENTS), _place(variable, self.variables)]

    def at(self, coefficient: str) -> Array:
        """One coefficient, shape (n,)."""
        return self.value[:, _place(coefficient, COEFFICIENTS)]


def coefficients(found: Forces, reference: Reference) -> Numbers:
    """Forces and moments as coefficients (n, 6) in the order of ``COEFFICIENTS``."""
    area, volume = reference.area_m2, reference.area_m2 * reference.span_m
    columns = (
        found.lift_m2 / area,
        found.drag_m2 / area,
        found.side_m2 / area,
        found.roll_m3 / volume,
        found.pitch_m3 / (area * reference.chord_m),
        found.yaw_m3 / volume,
    )
    return np.stack(columns, axis=1)


def derivatives(lattice: Lattice, reference: Reference, flow: Flow, centre_m: ArrayLike) -> Derivatives:
    """Coefficients and every slope at flight states, exact for the lattice.

    centre_m: (3,) or (n, 3), centre of gravity. Slopes with alpha and beta turn the wind and leave the rates.

    >>> from glidewright.models.aero.lattice import build_lattice
    >>> from glidewright.models.aero.shape import Section, Surface
    >>> plan = Section(0.0, 0.0, 0.0, 0.2), Section(0.0, 1.0, 0.0, 0.2)
    >>> wing = build_lattice([Surface("wing", plan, (10,))])
    >>> d = derivatives(wing, Reference(0.4, 2.0, 0.2), Flow(alpha_rad=0.05), (0.05, 0.0, 0.0))
    >>> bool(d.of("roll", "roll_rate")[0] < -0.4), round(float(d.of("lift", "alpha")[0]), 2)
    (True, 4.82)
    """
    half = {
        "roll_rad_per_m": 2.0 / reference.span_m,
        "pitch_rad_per_m": 2.0 / reference.chord_m,
        "yaw_rad_per_m": 2.0 / reference.span_m,
        "lag_rad_per_m": 2.0 / reference.chord_m,
    }
    slopes = []
    for name in ("alpha_rad", "beta_rad", *half):
        step = half.get(name, 1.0) * _STEP * 1j
        changed: dict[str, Any] = {name: np.asarray(getattr(flow, name)) + step}
        stepped = replace(flow, **changed)
        slopes.append(coefficients(forces(lattice, stepped, centre_m), reference).imag / _STEP)
    for name in lattice.inputs:
        inputs = {**flow.inputs, name: np.asarray(flow.inputs.get(name, 0.0)) + _STEP * 1j}
        stepped = replace(flow, inputs=inputs)
        slopes.append(coefficients(forces(lattice, stepped, centre_m), reference).imag / _STEP)
    value = coefficients(forces(lattice, flow, centre_m), reference)
    return Derivatives((*STATES, *lattice.inputs), value, np.stack(slopes, axis=2))


def neutral_point_m(found: Derivatives, reference: Reference, centre_m: ArrayLike) -> Array:
    """Place along x at which the model would be neutral, controls held, shape (n,).

    x_n = x - c (dCm/dalpha) / (dCL/dalpha): Etkin and Reid, equation 2.3,2; metres. centre_m: as given for
    `found`.

    >>> from glidewright.models.aero.lattice import build_lattice
    >>> from glidewright.models.aero.shape import Section, Surface
    >>> plan = Section(0.0, 0.0, 0.0, 0.2), Section(0.0, 1.0, 0.0, 0.2)
    >>> reference, centre = Reference(0.4, 2.0, 0.2), (0.1, 0.0, 0.0)
    >>> found = derivatives(build_lattice([Surface("wing", plan, (10,))]), reference, Flow(), centre)
    >>> round(float(neutral_point_m(found, reference, centre)[0]) / 0.2, 2)  # near the quarter chord
    0.24
    """
    place: Array = np.atleast_2d(np.asarray(centre_m, dtype=np.float64))[:, 0]
    return place - reference.chord_m * found.of("pitch", "alpha") / found.of("lift", "alpha")


@dataclass(frozen=True)
class Trim:
    """Angle of attack (of the x axis) and control deflection, rad, shape (n,)."""

    alpha_rad: Array
    deflection_rad: Array


def trim(
    lattice: Lattice,
    reference: Reference,
    lift_coefficient: ArrayLike,
    centre_m: ArrayLike,
    control: str = "elevator",
    flow: Flow | None = None,
    extra_pitch: ArrayLike = 0.0,
) -> Trim:
    """Angle of attack and deflection that hold a lift coefficient without pitching moment.

    lift_coefficient: (n,) or a number; flow: other inputs and rates held; extra_pitch: pitching-moment
    coefficient of what the lattice does not know (body, drag high or low). Newton's method (any textbook of
    numerical analysis); `OutsideModelError` when the control hardly moves the moment.

    >>> from glidewright.models.aero.lattice import build_lattice
    >>> from glidewright.models.aero.shape import Hinge, Section, Surface
    >>> wing = Surface("wing", (Section(0.0, 0.0, 0.0, 0.2), Section(0.0, 1.0, 0.0, 0.2)), (10,))
    >>> plan = Section(0.8, 0.0, 0.05, 0.1), Section(0.8, 0.25, 0.05, 0.1)
    >>> tail = Surface("tail", plan, (6,), hinges=((Hinge("elevator", 0.35),),))
    >>> both = build_lattice([wing, tail])
    >>> found = trim(both, Reference(0.4, 2.0, 0.2), 0.6, (0.07, 0.0, 0.0))
    >>> np.degrees(found.alpha_rad).round(1).tolist(), np.degrees(found.deflection_rad).round(1).tolist()
    ([6.9], [-4.5])
    """
    held = Flow() if flow is None else flow
    place = lattice.input_index(control)
    wanted, centre = np.atleast_1d(np.asarray(lift_coefficient, dtype=np.float64)), np.asarray(centre_m)
    count = max(wanted.size, np.atleast_2d(centre).shape[0], np.size(extra_pitch))
    alpha, turn = np.zeros(count), np.zeros(count)
    for _ in range(_ROUNDS):
        sides = []
        for step in ((0.0, 0.0), (_STEP, 0.0), (0.0, _STEP)):
            inputs = {**held.inputs, lattice.inputs[place]: turn + 1j * step[1]}
            state = replace(held, alpha_rad=alpha + 1j * step[0], inputs=inputs)
            sides.append(coefficients(forces(lattice, state, centre), reference)[:, [0, 4]])
        miss = sides[0].real - np.stack(np.broadcast_arrays(wanted, -np.asarray(extra_pitch)), axis=-1)
        slope = np.stack([sides[1].imag, sides[2].imag], axis=2) / _STEP
        size = np.abs(np.linalg.det(slope))
        if not np.all(size > 1e-6):
            raise OutsideModelError.at(
                control, "it hardly moves the pitching moment, so it cannot trim this model"
            )
        move = np.linalg.solve(slope, miss[..., None])[..., 0]
        alpha, turn = alpha - move[:, 0], turn - move[:, 1]
        if np.max(np.abs(move)) < _CLOSE:
            return Trim(alpha, turn)
    raise OutsideModelError.at(control, "no trim was found; the balance point or the tail is far from usual")


def linear_balance(
    found: Derivatives,
    wanted: Mapping[str, ArrayLike],
    free: Sequence[str],
    given: Mapping[str, ArrayLike] | None = None,
) -> dict[str, Array]:
    """Small changes of the free variables that bring coefficients to wanted values, (n,) each.

    wanted: coefficient -> value; free: as many variables; given: variable -> change made (a fault, a turn
    rate). Straight flight with a crooked fin: wanted roll and yaw zero, free beta and rudder, given the fin's
    twist. Coefficients are plain numbers, angles rad; linear, so for small changes alone.

    >>> slope = np.zeros((1, 6, 2))
    >>> slope[0, 3], slope[0, 5] = (-0.10, 0.02), (0.10, -0.05)  # roll and yaw with beta and rudder
    >>> known = Derivatives(("beta", "rudder"), np.zeros((1, 6)), slope)
    >>> moved = linear_balance(known, {"roll": 0.0, "yaw": 0.003}, ("beta", "rudder"))
    >>> [round(float(moved[name][0]), 3) for name in ("beta", "rudder")]
    [-0.02, -0.1]
    """
    if len(wanted) != len(free):
        raise InputError.at(
            "balance", f"{len(wanted)} coefficients need as many free variables, here {len(free)}"
        )
    rows = [_place(name, COEFFICIENTS) for name in wanted]
    columns = [_place(name, found.variables) for name in free]
    missing = np.stack(np.broadcast_arrays(*wanted.values(), found.value[:, 0]), axis=-1)[..., :-1]
    missing = missing - found.value[:, rows]
    for name, change in (given or {}).items():
        missing = (
            missing - found.slope[:, rows, _place(name, found.variables)] * np.asarray(change)[..., None]
        )
    moves = np.linalg.solve(found.slope[:, rows][:, :, columns], missing[..., None])[..., 0]
    return {name: moves[:, column] for column, name in enumerate(free)}


def _place(name: str, known: Sequence[str]) -> int:
    if name not in known:
        raise InputError.at(name, f"no coefficient or variable is called so; {nearest(name, known)}")
    return list(known).index(name)
