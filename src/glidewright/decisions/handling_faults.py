"""What building faults of one degree ask of the controls, and what the model does with them at rest."""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glidewright.base.figure import Figure
from glidewright.base.wording import plain_text
from glidewright.decisions.handling_edges import (
    elevator_edge_chord_m,
    lift_of_edge_m,
    rudder_edge_chord_m,
)
from glidewright.decisions.handling_flow import FIN_TURN, RIGHT_TIP, RIGHT_WING, Handled
from glidewright.decisions.handling_modes import steady_rolls
from glidewright.decisions.handling_nouns import FaultRow
from glidewright.domain.geometry import Geometry
from glidewright.domain.geometry_places import fin_piece, tail_pieces, wing_pieces
from glidewright.models.aero.derivatives import coefficients, linear_balance
from glidewright.models.aero.glider import TAIL_TURN, WING_TURN, Glider
from glidewright.models.aero.lattice import forces
from glidewright.models.aero.steering import edge_travel_m

Array = NDArray[np.float64]
FAULT_RAD = math.radians(1.0)
_SIDE, _ROLL, _YAW = 2, 3, 5
_HARDLY_RAD_S = math.radians(0.1)
_LEAST_LIFT, _MOST_LIFT = 0.1, 1.2
_BECAUSE = "linear about straight flight at the speed of least sink, over the draws"


@dataclass(frozen=True)
class _Fault:
    title: str
    size_m: float | None
    moves: Array
    """Change of the six coefficients, (draws, 6)."""


def fault_rows(
    handled: Handled, geometry: Geometry, tilted: Glider | None, lift: Array
) -> tuple[FaultRow, ...]:
    """Every fault that the model can have; lift: coefficient of straight flight, (draws,)."""
    rows = [_lateral(handled, geometry, fault) for fault in _crooked(handled, geometry, tilted)]
    return (*rows, *(_pitching(handled, geometry, fault, lift) for fault in _set_wrong(handled, geometry)))


def _moves(handled: Handled, twists: Mapping[str, float]) -> Array:
    slopes = handled.slopes
    parts = [slopes.slope[:, :, slopes.variables.index(name)] * angle for name, angle in twists.items()]
    found: Array = np.sum(parts, axis=0)
    return found


def _crooked(handled: Handled, geometry: Geometry, tilted: Glider | None) -> Iterator[_Fault]:
    wing = wing_pieces(geometry)
    fins = [name for name in handled.slopes.variables if name.startswith(FIN_TURN)]
    if fins:
        chord = max(fin_piece(fin).inner.chord_m for fin in geometry.fins)
        # a positive turn has the nose to the left, because that is the upper side of a fin
        moves = _moves(handled, dict.fromkeys(fins, FAULT_RAD))
        yield _Fault("Fin out of line by 1°, its nose to the left", lift_of_edge_m(chord, FAULT_RAD), moves)
    if tilted is not None and geometry.tail is not None:
        half = tail_pieces(geometry.tail)[0].across_m
        title = "Tail tilted by 1° against the wing, right side down"
        yield _Fault(title, lift_of_edge_m(half, FAULT_RAD), _tilt(handled, tilted))
    root = lift_of_edge_m(wing[0].inner.chord_m, FAULT_RAD)
    yield _Fault("Right wing set 1° higher than the left", root, _moves(handled, {RIGHT_WING: FAULT_RAD}))
    tip = lift_of_edge_m(wing[-1].outer.chord_m, FAULT_RAD)
    title = "Right outer panel twisted, its tip 1° nose up"
    yield _Fault(title, tip, _moves(handled, {RIGHT_TIP: FAULT_RAD}))


def _set_wrong(handled: Handled, geometry: Geometry) -> Iterator[_Fault]:
    root = wing_pieces(geometry)[0].inner.chord_m
    size = lift_of_edge_m(root, FAULT_RAD)
    yield _Fault("Wing incidence 1° more than drawn", size, _moves(handled, {WING_TURN: FAULT_RAD}))
    if TAIL_TURN in handled.slopes.variables and geometry.tail is not None:
        size = lift_of_edge_m(tail_pieces(geometry.tail)[0].inner.chord_m, FAULT_RAD)
        yield _Fault("Tail incidence 1° more than drawn", size, _moves(handled, {TAIL_TURN: FAULT_RAD}))


def _tilt(handled: Handled, tilted: Glider) -> Array:
    """What the tilted tail changes at the same flow."""
    straight, crooked = (
        coefficients(forces(glider.lattice, handled.flow, handled.centre_m), glider.reference)
        for glider in (handled.glider, tilted)
    )
    found: Array = crooked - straight
    return found


def _lateral(handled: Handled, geometry: Geometry, fault: _Fault) -> FaultRow:
    slopes = handled.slopes
    rolls = steady_rolls(handled, fault.moves[:, [_SIDE, _ROLL, _YAW]])
    way = "right" if np.median(rolls) > 0.0 else "left"
    rate = abs(float(np.median(rolls)))
    tendency = f"rolls {way} at first with {plain_text(rate, '°/s')} and turns that way"
    if rate < _HARDLY_RAD_S:
        tendency = "hardly rolls or turns"
    if "rudder" not in slopes.variables:
        unknown = Figure.unknown("rad", "°", "the shape has no rudder")
        edge = Figure.unknown("m", "mm", "the shape has no rudder")
        return FaultRow(
            title=fault.title, size_m=fault.size_m, control="", angle=unknown, edge=edge, tendency=tendency
        )
    wanted = {
        name: slopes.at(name) - fault.moves[:, place] for name, place in (("roll", _ROLL), ("yaw", _YAW))
    }
    held = linear_balance(slopes, wanted, ("beta", "rudder"))
    slip = float(np.median(held["beta"]))
    if abs(slip) > FAULT_RAD:
        tendency += f"; held straight it slips by {plain_text(abs(slip), '°')}"
    return _row(fault, "rudder", held["rudder"], rudder_edge_chord_m(geometry), tendency)


def _pitching(handled: Handled, geometry: Geometry, fault: _Fault, lift: Array) -> FaultRow:
    slopes = handled.slopes
    turned = -fault.moves[:, 4] / slopes.of("pitch", "alpha")
    new = lift + fault.moves[:, 0] + slopes.of("lift", "alpha") * turned
    tendency = _speed_words(handled, float(np.median(lift)), float(np.median(new)))
    wanted = {name: slopes.at(name) - fault.moves[:, place] for name, place in (("lift", 0), ("pitch", 4))}
    if "elevator" not in slopes.variables:
        unknown = Figure.unknown("rad", "°", "the shape has no elevator")
        edge = Figure.unknown("m", "mm", "the shape has no elevator")
        return FaultRow(
            title=fault.title, size_m=fault.size_m, control="", angle=unknown, edge=edge, tendency=tendency
        )
    held = linear_balance(slopes, wanted, ("alpha", "elevator"))
    return _row(fault, "elevator", held["elevator"], elevator_edge_chord_m(geometry), tendency)


def _speed_words(handled: Handled, lift: float, new: float) -> str:
    speed = float(np.median(handled.airspeed_m_s))
    if new < _LEAST_LIFT:
        return "with the elevator at rest it dives"
    if new > _MOST_LIFT:
        return "with the elevator at rest it pitches up into the stall"
    word = "faster" if new < lift else "slower"
    flies = plain_text(speed * math.sqrt(lift / new), "m/s")
    return f"with the elevator at rest it flies {word}, {flies} in place of {plain_text(speed, 'm/s')}"


def _row(fault: _Fault, control: str, angle: Array, chord_m: float | None, tendency: str) -> FaultRow:
    edge = Figure.unknown("m", "mm", "the moving chord is not stated")
    if chord_m is not None:
        edge = Figure.of_draws(edge_travel_m(angle, chord_m), "m", "mm", "typical", _BECAUSE)
    return FaultRow(
        title=fault.title,
        size_m=fault.size_m,
        control=control,
        angle=Figure.of_draws(angle, "rad", "°", "typical", _BECAUSE),
        edge=edge,
        tendency=tendency,
    )
