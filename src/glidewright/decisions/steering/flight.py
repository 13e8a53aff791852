"""What elevator and rudder must do in flight: deflections over the first draws, from lattice and trim."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glidewright.data import coefficient
from glidewright.decisions.gliding.flight import Flight, flight_of
from glidewright.decisions.gliding.handling_flow import SEEN, Handled, handled_at, with_faults
from glidewright.decisions.gliding.handling_modes import TURN_TIME_S, lateral_of, push_of
from glidewright.decisions.steering.desk import Desk
from glidewright.forecast.aero_inputs import NO_SHAPE, Aero, aero_of
from glidewright.forecast.elevator import elevator_rad
from glidewright.models.aero.derivatives import linear_balance
from glidewright.models.aero.glider import Glider
from glidewright.models.aero.steering import response
from glidewright.models.air.atmosphere import GRAVITY_m_s2

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Flown:
    """The model in flight; everything of the first draws alone, (SEEN,), but `flight`.

    faulty: the glider whose lattice knows building faults; slow, approach, fast: trimmed at least sink and at
    the multiples of the stalling speed that control.toml states, thin flaps on the nominal shape; effect: of
    a real elevator and a real rudder over thin ones, 1 for a surface that turns as a whole.
    """

    desk: Desk
    flight: Flight
    aero: Aero
    faulty: Glider
    slow: Handled
    approach: Handled
    fast: Handled
    effect: Mapping[str, Array]

    @property
    def stall_m_s(self) -> Array:
        """Stalling speed with the brake closed."""
        return self.flight.stall_m_s[:SEEN]

    def first(self, name: str) -> Array:
        """The first draws of an input of the desk."""
        return self.desk[name][:SEEN]

    @property
    def has_elevator(self) -> bool:
        """Whether the lattice has an elevator."""
        return "elevator" in self.slow.slopes.variables

    @property
    def has_rudder(self) -> bool:
        """Whether the lattice has a rudder."""
        return "rudder" in self.slow.slopes.variables

    def trim_rad(self, airspeed_m_s: Array) -> Array:
        """Elevator of real flaps that holds an airspeed, (SEEN,) for (SEEN,), down positive."""
        found, values = self.desk.found, self.desk.found.prediction.values
        speed = np.full((found.setup.count, 1), np.nan)
        speed[:SEEN, 0] = airspeed_m_s
        turned = elevator_rad(found.setup, self.aero, values["mass_kg"], values["cg_x_m"], speed)
        found_rad: Array = turned[:SEEN, 0] / self.effect["elevator"]
        return found_rad

    def pull_rad(self, handled: Handled, load: float) -> Array:
        """Elevator for more load factor at a held airspeed, turning included, (SEEN,), down positive.

        Steady pull-up: B. Etkin and L. D. Reid, Dynamics of Flight, section 3.1 (elevator angle per g).
        """
        slopes = handled.slopes
        lift = self.level_lift(handled.airspeed_m_s)
        chord = handled.glider.reference.chord_m
        rate = GRAVITY_m_s2 * load / handled.airspeed_m_s**2 * 0.5 * chord
        wanted = {"lift": slopes.at("lift") + load * lift, "pitch": slopes.at("pitch")}
        moved = linear_balance(slopes, wanted, ("alpha", "elevator"), {"pitch_rate": rate})
        found: Array = moved["elevator"] / self.effect["elevator"]
        return found

    def level_lift(self, airspeed_m_s: Array) -> Array:
        """Lift coefficient of level flight, (SEEN,) for (SEEN,)."""
        at_one = self.flight.lift_at(np.ones((self.flight.mass_kg.size, 1)))[:SEEN, 0]
        found: Array = at_one / airspeed_m_s**2
        return found

    def bank_per_rudder(self) -> Array:
        """Bank after ``TURN_TIME_S`` for a radian of real rudder moved at once, (SEEN,)."""
        slopes = self.slow.slopes
        push = np.stack([slopes.of(name, "rudder") for name in ("side", "roll", "yaw")], axis=1)
        banks = [
            response(lateral_of(self.slow, row), push_of(self.slow, row, push[row]), TURN_TIME_S)[3]
            for row in range(push.shape[0])
        ]
        found: Array = np.abs(np.array(banks)) * self.effect["rudder"]
        return found


def flown_of(desk: Desk) -> Flown | str:
    """The model in flight, or the sentence that says what is missing for it."""
    found = desk.found
    values = found.prediction.values
    if "mass_kg" not in values:
        return f"it needs the mass: {found.prediction.why_unknown('mass_kg')}"
    flow = aero_of(desk.model.airframe, desk.model.field)
    if isinstance(flow, str):
        return (
            "model.toml must state the shape of the airframe: [[panel]], [tail], [[fin]]"
            if flow == NO_SHAPE
            else flow
        )
    if "static_margin" not in values or found.items is None:
        return f"it needs the balance: {found.prediction.why_unknown('static_margin')}"
    flight = flight_of(found)
    faulty = with_faults(flow)
    slow = values["speed_sink_least_m_s"][:SEEN]
    stall = flight.stall_m_s[:SEEN]
    flaps = desk["control.flap_effect"][:SEEN]
    effect = {
        name: flaps if faulty.has_flap(name) else np.ones_like(flaps) for name in ("elevator", "rudder")
    }
    shares = (coefficient("control", "approach_over_stall"), coefficient("control", "fast_over_stall"))
    speeds = (slow, *(share * stall for share in shares))
    handled = [handled_at(found, flight, faulty, speed) for speed in speeds]
    return Flown(desk, flight, flow, faulty, handled[0], handled[1], handled[2], effect)


def slowest_m_s(flown: Flown) -> Array:
    """The slowest airspeed that the elevator must hold, just above the stall."""
    return coefficient("control", "slowest_over_stall") * flown.stall_m_s
