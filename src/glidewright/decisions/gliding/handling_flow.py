"""The flow of a model for all that handling asks of it: one lattice, with building faults as twists."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from glidewright.base.figure import Figure
from glidewright.base.units import unit
from glidewright.decisions.gliding.flight import Flight
from glidewright.decisions.gliding.handling_spread import Spread, body_yaw_input
from glidewright.domain.geometry_places import body_rings
from glidewright.forecast.aero_inputs import Aero, turn_of_wing_rad
from glidewright.forecast.predict import Forecast
from glidewright.models.aero.derivatives import Derivatives, derivatives
from glidewright.models.aero.glide import glide_at
from glidewright.models.aero.glider import TAIL_TURN, WING_TURN, Glider
from glidewright.models.aero.lattice import Flow, relaid
from glidewright.models.aero.modes import Body, apparent_mass, to_stability_axes
from glidewright.models.aero.shape import Twist, tilted
from glidewright.models.aero.steering import body_yaw_volume_m3
from glidewright.models.aero.trim import attitudes
from glidewright.models.air.atmosphere import GRAVITY_m_s2

Array = NDArray[np.float64]
SEEN = 128
"""Draws that handling is worked out for; the first ones are as evenly spread as all."""
RIGHT_WING, RIGHT_TIP, FIN_TURN = "right wing incidence", "right tip twist", "fin turned"
RIGHT_WARP = "right warp"
_SMALL_LIFT = 0.02


@dataclass(frozen=True)
class Handled:
    """A model trimmed at one airspeed, over ``SEEN`` draws.

    slopes: with the body in pitch and yaw, and of real models where there is a spread, else of thin flaps on
    the nominal shape; bodies: mass and inertia in stability axes, one a draw; drag, drag_alpha: all drag and
    its growth with the angle of attack.
    """

    glider: Glider
    airspeed_m_s: Array
    flow: Flow
    centre_m: Array
    slopes: Derivatives
    bodies: tuple[Body, ...]
    drag: Array
    drag_alpha: Array
    spread: Spread | None = None

    def figure(self, draws: Array, shown: str, instead: str) -> Figure:
        """Draws as a figure with what its spread comes from; instead: the reason where nobody traced it."""
        if self.spread is not None:
            return self.spread.figure(draws, shown)
        return Figure.of_draws(draws, unit(shown).si, shown, "typical", instead)


def with_faults(aero: Aero) -> Glider:
    """The same glider on a lattice that also knows a crooked wing half, wing tip and fin."""
    surfaces = aero.glider.lattice.surfaces
    tip = len(surfaces[0].sections) - 2
    twists = [
        Twist(WING_TURN, "wing"),
        Twist(RIGHT_WING, "wing", side="right"),
        Twist(RIGHT_TIP, "wing", parts=(tip,), side="right", at_inner=0.0),
    ]
    for part in range(tip):
        beyond = tuple(range(part + 1, tip + 1))
        own = Twist(f"{RIGHT_WARP} {part + 1} itself", "wing", parts=(part,), side="right", at_inner=0.0)
        twists += [own, Twist(f"{RIGHT_WARP} {part + 1} beyond", "wing", parts=beyond, side="right")]
    names = [surface.name for surface in surfaces]
    if "tail" in names:
        twists.append(Twist(TAIL_TURN, "tail"))
    twists += [Twist(f"{FIN_TURN} {name}", name) for name in names if name.startswith("fin")]
    return replace(aero.glider, lattice=relaid(aero.glider.lattice, surfaces, twists))


def with_tilted_tail(aero: Aero, angle_rad: float) -> Glider | None:
    """The glider with its tail tilted about the middle of its root, right side down; None without a tail."""
    surfaces = list(aero.glider.lattice.surfaces)
    place = next((i for i, surface in enumerate(surfaces) if surface.name == "tail"), None)
    if place is None:
        return None
    surfaces[place] = tilted(surfaces[place], angle_rad, 0.0, surfaces[place].sections[0].z_m)
    return replace(aero.glider, lattice=relaid(aero.glider.lattice, surfaces, [Twist(WING_TURN, "wing")]))


def handled_at(
    found: Forecast, flight: Flight, glider: Glider, airspeed_m_s: Array, spread: Spread | None = None
) -> Handled:
    """Trim every draw at its airspeed, (SEEN,), and take all slopes there.

    A neutral point further aft acts as a balance further forward by as much: so its error moves the centre.
    spread: what the lattice and the shape are uncertain by, where it is to be in the slopes.
    """
    seen = slice(SEEN)
    items = found.items
    assert items is not None  # the mass is known where handling is asked for
    setup, reference = found.setup, glider.reference
    centre = items.now.centre_m[seen].copy()
    centre[:, 0] -= reference.chord_m * setup["airframe.neutral_point"][seen]
    centre[:, 1] = 0.0
    lift = flight.lift_at(np.ones((flight.mass_kg.size, 1)))[seen, 0] / airspeed_m_s**2
    turned = turn_of_wing_rad(setup.values)[seen]
    yaw = spread.values.get("lattice.body_yaw") if spread else None

    def flow_of(other: Glider) -> Flow:
        trimmed = attitudes(other, lift, centre, turned)
        inputs: dict[str, ArrayLike] = {WING_TURN: turned}
        if other.trims:
            inputs["elevator"] = trimmed.elevator_rad
        return Flow(alpha_rad=trimmed.alpha_rad, inputs=inputs)

    def slopes_of(other: Glider) -> Derivatives:
        raw = derivatives(other.lattice, reference, flow_of(other), centre)
        return _with_body(found, other, raw, body_yaw_input().value if yaw is None else yaw)

    flow, slopes = flow_of(glider), slopes_of(glider)
    if spread is not None:
        slopes = spread.on(slopes, slopes_of)
    alpha = np.asarray(flow.alpha_rad)
    drag, drag_alpha = _drag(flight, lift, slopes)
    density = flight.density_kg_m3[seen]
    air = apparent_mass(glider.lattice, tuple(np.median(centre, axis=0)))
    bodies = tuple(
        _body(
            items.now.inertia_kg_m2[i],
            float(alpha[i]),
            mass_kg=float(flight.mass_kg[i]),
            speed_m_s=float(airspeed_m_s[i]),
            density_kg_m3=float(density[i]),
            path_rad=-float(np.arctan(drag[i] / lift[i])),
            apparent=air * density[i],
        )
        for i in range(lift.size)
    )
    return Handled(glider, airspeed_m_s, flow, centre, slopes, bodies, drag, drag_alpha, spread)


def _body(inertia_kg_m2: Array, alpha_rad: float, **known: float | Array) -> Body:
    roll, pitch, yaw, product = to_stability_axes(inertia_kg_m2, alpha_rad)
    return Body(
        roll_kg_m2=roll,
        pitch_kg_m2=pitch,
        yaw_kg_m2=yaw,
        product_kg_m2=product,
        gravity_m_s2=GRAVITY_m_s2,
        **known,  # type: ignore[arg-type] # numbers by name, the array only as `apparent`
    )


def _with_body(found: Forecast, glider: Glider, slopes: Derivatives, yaw: ArrayLike) -> Derivatives:
    """The slopes of the lattice with what the body does in pitch and in yaw; yaw: share of the latter."""
    reference = glider.reference
    slope = slopes.slope.copy()
    alpha, beta = (slopes.variables.index(name) for name in ("alpha", "beta"))
    slope[:, 4, alpha] += glider.body_moment_m3 / (reference.area_m2 * reference.chord_m)
    geometry = found.setup.model.airframe.geometry
    if geometry is not None and geometry.body is not None:
        rings = body_rings(geometry.body)
        station, height = (np.array([getattr(ring, key) for ring in rings]) for key in ("x_m", "height_m"))
        volume = body_yaw_volume_m3(station, height) / (reference.area_m2 * reference.span_m)
        slope[:, 5, beta] -= np.asarray(yaw) * volume
    return replace(slopes, slope=slope)


def _drag(flight: Flight, lift: Array, slopes: Derivatives) -> tuple[Array, Array]:
    """Drag coefficient and its growth with the angle of attack, from the polar of each draw."""
    seen = slice(SEEN)
    around = lift[:, None] + _SMALL_LIFT * np.array([-1.0, 0.0, 1.0])
    loading, density = flight.loading_N_m2[seen], flight.density_kg_m3[seen]
    _, _, ratio = glide_at(flight.polar[seen], around, loading, density, flight.other_drag[seen])
    drag = around / ratio
    rise = (drag[:, 2] - drag[:, 0]) / (2.0 * _SMALL_LIFT)
    return drag[:, 1], rise * slopes.of("lift", "alpha")
