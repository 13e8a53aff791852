"""The trimmed polar of a whole glider: attitude, elevator, drag by cause and lift ceiling in straight flight.

Lift and pitching moment come from the vortex lattice, factored once; profile drag from the section tables
at every strip's own lift and Reynolds number; induced drag from the Trefftz plane; the rest from the
build-up. The lift of a strip is that of the lattice, whose sections lift as tunnels found at these Reynolds
numbers; a deflected flap is taken as a section at the same lift, with the drag that flaps add. Stall: the
first strip of the wing whose lift reaches its section's highest, at its own Reynolds number. Sources are
those of the modules that are called; here lift equals weight and the pitching moment is zero (Etkin and
Reid, Dynamics of Flight, chapter 2).
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from glidewright.data import coefficients
from glidewright.models.aero.buildup import flap_drag_coefficient, rest_drag_area_m2
from glidewright.models.aero.derivatives import derivatives, neutral_point_m, trim
from glidewright.models.aero.glider import Glider
from glidewright.models.aero.lattice import Flow, forces, strip_lift

Array = NDArray[np.float64]
MEASURED_FROM_REYNOLDS = 60_000.0
"""Lowest Reynolds number of the tunnel runs in ``studies/section_bias.py``: results below it are marked."""
PARASITE_LIFT = 0.2
"""Lift coefficient near which the drag that is not of lift is told: the bottom of cambered sections."""
USUAL_LIFT = 0.6
"""Lift coefficient in the middle of what is flown."""
_BODY_ROUNDS = 2


@dataclass(frozen=True)
class Attitudes:
    """Trimmed states by lift coefficient, all (n,): what does not depend on speed.

    strip_lift: (n, strips) of the glider; induced_drag: coefficient; elevator_rad: trailing edge down
    positive, zero where there is no elevator to trim with.
    """

    lift_coefficient: Array
    alpha_rad: Array
    elevator_rad: Array
    induced_drag: Array
    strip_lift: Array

    def some(self, rows: slice) -> "Attitudes":
        """Some of the states."""
        return Attitudes(**{name: column[rows] for name, column in vars(self).items()})


@dataclass(frozen=True)
class TrimmedPolar:
    """Straight flight by airspeed, all (n,), SI.

    profile_drag, induced_drag, rest_drag: coefficients on the reference area; stalled: the lift is above the
    ceiling; below_measured: some wing strip flies below ``MEASURED_FROM_REYNOLDS``.
    """

    airspeed_m_s: Array
    lift_coefficient: Array
    alpha_rad: Array
    elevator_rad: Array
    profile_drag: Array
    induced_drag: Array
    rest_drag: Array
    lift_ceiling: Array
    stalled: NDArray[np.bool_]
    below_measured: NDArray[np.bool_]

    @property
    def drag_coefficient(self) -> Array:
        """All drag together."""
        total: Array = self.profile_drag + self.induced_drag + self.rest_drag
        return total

    @property
    def glide_ratio(self) -> Array:
        """Lift over drag."""
        ratio: Array = self.lift_coefficient / self.drag_coefficient
        return ratio

    @property
    def sink_m_s(self) -> Array:
        """Sink for small glide angles, V CD / CL."""
        sink: Array = self.airspeed_m_s / self.glide_ratio
        return sink


@dataclass(frozen=True)
class Factors:
    """Uncertain shares and factors of the polar; each a number.

    rough: 0 smooth to 1 transition forced near the nose; the others multiply profile drag, induced drag,
    build-up and lift ceiling.
    """

    rough: float = 0.3
    profile: float = 1.0
    induced: float = 1.0
    rest: float = 1.0
    ceiling: float = 1.0


@dataclass(frozen=True)
class Balance:
    """What the lattice says of balance at a usual lift coefficient, centre of gravity where it was asked.

    neutral_point_m: x; per_radian: growth of the elevator deflection that trims, (lift coefficients,), for a
    radian of wing incidence at the same lift; per_metre: for a metre of centre of gravity, aft positive.
    """

    neutral_point_m: float
    per_radian: Array
    per_metre: Array


def attitudes(
    glider: Glider, lift_coefficient: ArrayLike, centre_m: ArrayLike, wing_turn_rad: ArrayLike = 0.0
) -> Attitudes:
    """Trim at lift coefficients, (n,), about a centre of gravity, (3,).

    wing_turn_rad: error of the wing's incidence against the tail, a number or (n,). Raises OutsideModelError
    when the elevator hardly turns the model.
    """
    lift = np.atleast_1d(np.asarray(lift_coefficient, dtype=np.float64))
    twisted: dict[str, ArrayLike] = {"wing incidence": wing_turn_rad}
    if glider.trims:
        body = glider.body_moment_m3 / (glider.reference.area_m2 * glider.reference.chord_m)
        extra: Any = 0.0
        for _ in range(_BODY_ROUNDS):
            found = trim(
                glider.lattice,
                glider.reference,
                lift,
                centre_m,
                flow=Flow(inputs=twisted),
                extra_pitch=extra,
            )
            extra = body * found.alpha_rad
        alpha, elevator = found.alpha_rad, found.deflection_rad
        flow = Flow(alpha_rad=alpha, inputs={"elevator": elevator, **twisted})
    else:
        alpha, elevator = alpha_for(glider, lift, twisted), np.zeros_like(lift)
        flow = Flow(alpha_rad=alpha, inputs=twisted)
    return Attitudes(
        lift_coefficient=lift,
        alpha_rad=alpha,
        elevator_rad=elevator,
        induced_drag=forces(glider.lattice, flow).drag_m2 / glider.reference.area_m2,
        strip_lift=strip_lift(glider.lattice, flow)[:, glider.strip],
    )


def alpha_for(glider: Glider, lift: Array, inputs: Mapping[str, ArrayLike]) -> Array:
    """Angle of attack that gives a lift coefficient, elevator at rest, (n,); inputs: of the lattice, held.

    By the chord method: the lift is nearly straight in the angle.
    """
    alpha = np.zeros_like(lift)
    step = 1e-3
    for _ in range(6):
        here = forces(glider.lattice, Flow(alpha, inputs=inputs)).lift_m2 / glider.reference.area_m2
        there = forces(glider.lattice, Flow(alpha + step, inputs=inputs)).lift_m2 / glider.reference.area_m2
        alpha = alpha + step * (lift - here) / (there - here)
    return alpha


def profile_drag(glider: Glider, strip_lift: Array, reynolds_per_m: Array) -> Array:
    """Profile drag coefficient of the whole glider, (states, ...), smooth and rough surface.

    strip_lift: (..., strips); reynolds_per_m: (...), airspeed over kinematic viscosity.
    """
    strips = glider.lattice.strips
    chord = strips.chord_m[glider.strip]
    area = chord * strips.width_m[glider.strip] * glider.weight
    drag = glider.sections.drag_coefficient(strip_lift, reynolds_per_m[..., None] * chord)
    found: Array = drag @ area / glider.reference.area_m2
    return found


def control_drag(glider: Glider, elevator_rad: Array) -> Array:
    """Profile drag coefficient that the turned elevator adds, shape of elevator_rad.

    An all-moving tail adds none here: its sections have their lift and drag at their own angle.
    """
    strips, total = glider.lattice.strips, np.zeros_like(elevator_rad)
    for number, surface in enumerate(glider.lattice.surfaces):
        for part, hinges in enumerate(surface.hinges):
            rows = (strips.surface == number) & (strips.part == part)
            area = float(strips.chord_m[rows] @ strips.width_m[rows]) / glider.reference.area_m2
            for hinge in hinges:
                if hinge.control == "elevator" and hinge.chord_fraction < 1.0:
                    total += flap_drag_coefficient(hinge.chord_fraction, area, hinge.gain * elevator_rad)
    return total


def surfaces_drag_area_m2(glider: Glider, near_zero: Attitudes, reynolds_per_m: Array) -> Array:
    """Drag area of wing, tail and fins near zero lift, of usual roughness; shape of reynolds_per_m.

    near_zero: one state, trimmed at ``PARASITE_LIFT``.
    """
    rough = coefficients("airframe_drag")["roughness"]["value"]
    lift = near_zero.strip_lift[0]
    everywhere = np.broadcast_to(lift, (*reynolds_per_m.shape, lift.size))
    smooth, forced = profile_drag(glider, everywhere, reynolds_per_m)
    found: Array = glider.reference.area_m2 * ((1.0 - rough) * smooth + rough * forced)
    return found


def lift_ceiling(glider: Glider, known: Attitudes, reynolds_per_m: Array) -> Array:
    """Lift coefficient of the glider at which its first wing strip stalls, (states, speeds).

    The lift of every strip grows straight with that of the glider (trimmed, at small angles): a line through
    the states nearest to the lift coefficients 0 and 1.2. reynolds_per_m: (speeds,), airspeed over kinematic
    viscosity.
    """
    low, high = (int(np.argmin(np.abs(known.lift_coefficient - at))) for at in (0.0, 2.0 * USUAL_LIFT))
    wing = glider.wing
    first, last = known.strip_lift[low, wing], known.strip_lift[high, wing]
    growth = (last - first) / (known.lift_coefficient[high] - known.lift_coefficient[low])
    chord = glider.lattice.strips.chord_m[glider.strip]
    highest = glider.sections.highest_lift(reynolds_per_m[:, None] * chord)[..., wing]
    reached = known.lift_coefficient[low] + (highest - first) / growth
    found: Array = np.where(growth > 0.0, reached, np.inf).min(axis=-1)
    return found


def trimmed_polar(
    glider: Glider,
    airspeed_m_s: ArrayLike,
    *,
    mass_kg: float,
    centre_m: ArrayLike,
    density_kg_m3: float,
    viscosity_Pa_s: float,
    gravity_m_s2: float = 9.80665,
    factors: Factors | None = None,
) -> TrimmedPolar:
    """Steady straight flight at a row of airspeeds, lift equal to weight, no pitching moment.

    airspeed_m_s: (n,), above 0. Raises OutsideModelError when the elevator cannot trim.
    """
    by = factors or Factors()
    speed = np.atleast_1d(np.asarray(airspeed_m_s, dtype=np.float64))
    area = glider.reference.area_m2
    lift = 2.0 * mass_kg * gravity_m_s2 / (density_kg_m3 * speed**2 * area)
    per_metre = speed * density_kg_m3 / viscosity_Pa_s
    every = attitudes(glider, [*lift, 0.0, 2.0 * USUAL_LIFT, PARASITE_LIFT], centre_m)
    flown, two, near_zero = (every.some(part) for part in (slice(-3), slice(-3, -1), slice(-1, None)))
    smooth, rough = profile_drag(glider, flown.strip_lift, per_metre)
    clean, dirty = lift_ceiling(glider, two, per_metre)
    surfaces = surfaces_drag_area_m2(glider, near_zero, per_metre)
    turned = control_drag(glider, flown.elevator_rad)
    ceiling = by.ceiling * ((1.0 - by.rough) * clean + by.rough * dirty)
    chord = glider.lattice.strips.chord_m[glider.strip][glider.wing]
    return TrimmedPolar(
        airspeed_m_s=speed,
        lift_coefficient=lift,
        alpha_rad=flown.alpha_rad,
        elevator_rad=flown.elevator_rad,
        profile_drag=by.profile * ((1.0 - by.rough) * smooth + by.rough * rough + turned),
        induced_drag=by.induced * flown.induced_drag,
        rest_drag=by.rest * rest_drag_area_m2(glider.rest, per_metre, surfaces) / area,
        lift_ceiling=ceiling,
        stalled=lift > ceiling,
        below_measured=per_metre * chord.min() < MEASURED_FROM_REYNOLDS,
    )


def neutral_point(glider: Glider, centre_m: ArrayLike) -> float:
    """Station in m of the neutral point of wing, tail and body, controls held, at a lift coefficient of 0.6.

    That of the lattice (``neutral_point_m``), moved by the body's moment over the slope of the lift.
    """
    flow = Flow(alpha_rad=attitudes(glider, USUAL_LIFT, centre_m).alpha_rad)
    found = derivatives(glider.lattice, glider.reference, flow, centre_m)
    of_body = glider.body_moment_m3 / (glider.reference.area_m2 * found.of("lift", "alpha")[0])
    return float(neutral_point_m(found, glider.reference, centre_m)[0] - of_body)


def balance_of(glider: Glider, known: Attitudes, centre_m: ArrayLike) -> Balance:
    """Neutral point, and how the trimming elevator answers to a wing set wrong and to the balance."""
    turn, move = 0.01, 0.005
    centre = np.asarray(centre_m, dtype=np.float64)
    lift = known.lift_coefficient
    turned = attitudes(glider, lift, centre, turn)
    moved = attitudes(glider, lift, centre + np.array([move, 0.0, 0.0]))
    return Balance(
        neutral_point(glider, centre),
        (turned.elevator_rad - known.elevator_rad) / turn,
        (moved.elevator_rad - known.elevator_rad) / move,
    )
