"""What building faults of one degree ask of the controls, and what the model does with them at rest."""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glidewright.base.figure import Figure
from glidewright.base.wording import plain_text
from glidewright.decisions.gliding.handling_edges import (
    elevator_edge_chord_m,
    lift_of_edge_m,
    rudder_edge_chord_m,
)
from glidewright.decisions.gliding.handling_flow import FIN_TURN, RIGHT_TIP, RIGHT_WARP, RIGHT_WING, Handled
from glidewright.decisions.gliding.handling_modes import steady_rolls
from glidewright.decisions.gliding.handling_nouns import FaultRow
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
class Fault:
    """One building fault of one degree: what it is at an edge, and what it changes.

    name: short, for those who look for it; pitches: whether it asks for elevator, else for rudder; moves:
    change of the six coefficients, (draws, 6).
    """

    name: str
    title: str
    size_m: float | None
    pitches: bool
    moves: Array


@dataclass(frozen=True)
class Held:
    """What holds a model straight with a fault: control, empty where none can, its angles (draws,), words.

    angle_rad: nothing without a control; chord_m: from its hinge to its edge.
    """

    control: str
    angle_rad: Array | None
    chord_m: float | None
    tendency: str


def fault_rows(
    handled: Handled, geometry: Geometry, tilted: Glider | None, lift: Array
) -> tuple[FaultRow, ...]:
    """Every fault that the model can have; lift: coefficient of straight flight, (draws,)."""
    return tuple(
        _row(handled, fault, held_against(handled, geometry, fault, lift))
        for fault in faults_of(handled, geometry, tilted)
    )


def faults_of(handled: Handled, geometry: Geometry, tilted: Glider | None) -> tuple[Fault, ...]:
    """Every fault that the model can have: crooked things first, then what is set wrong."""
    return (*_crooked(handled, geometry, tilted), *_set_wrong(handled, geometry))


def held_against(handled: Handled, geometry: Geometry, fault: Fault, lift: Array) -> Held:
    """What a fault asks for; lift: coefficient of straight flight, (draws,)."""
    return _pitching(handled, geometry, fault, lift) if fault.pitches else _lateral(handled, geometry, fault)


def _moves(handled: Handled, twists: Mapping[str, float]) -> Array:
    slopes = handled.slopes
    parts = [slopes.slope[:, :, slopes.variables.index(name)] * angle for name, angle in twists.items()]
    found: Array = np.sum(parts, axis=0)
    return found


def _crooked(handled: Handled, geometry: Geometry, tilted: Glider | None) -> Iterator[Fault]:
    wing = wing_pieces(geometry)
    fins = [name for name in handled.slopes.variables if name.startswith(FIN_TURN)]
    if fins:
        chord = max(fin_piece(fin).inner.chord_m for fin in geometry.fins)
        # a positive turn has the nose to the left, because that is the upper side of a fin
        moves = _moves(handled, dict.fromkeys(fins, FAULT_RAD))
        title = "Fin out of line by 1°, its nose to the left"
        yield Fault("fin", title, lift_of_edge_m(chord, FAULT_RAD), pitches=False, moves=moves)
    if tilted is not None and geometry.tail is not None:
        half = tail_pieces(geometry.tail)[0].across_m
        title = "Tail tilted by 1° against the wing, right side down"
        size = lift_of_edge_m(half, FAULT_RAD)
        yield Fault("tail tilt", title, size, pitches=False, moves=_tilt(handled, tilted))
    root = lift_of_edge_m(wing[0].inner.chord_m, FAULT_RAD)
    title = "Right wing set 1° higher than the left"
    yield Fault("right wing", title, root, pitches=False, moves=_moves(handled, {RIGHT_WING: FAULT_RAD}))
    for number, piece in enumerate(wing[:-1], 1):
        title = f"Right panel {number} twisted, its outer end and all beyond 1° nose up"
        twists = [name for name in handled.slopes.variables if name.startswith(f"{RIGHT_WARP} {number} ")]
        moves = _moves(handled, dict.fromkeys(twists, FAULT_RAD))
        size = lift_of_edge_m(piece.outer.chord_m, FAULT_RAD)
        yield Fault(f"right panel {number}", title, size, pitches=False, moves=moves)
    tip = lift_of_edge_m(wing[-1].outer.chord_m, FAULT_RAD)
    title = "Right outer panel twisted, its tip 1° nose up"
    yield Fault("right tip", title, tip, pitches=False, moves=_moves(handled, {RIGHT_TIP: FAULT_RAD}))


def _set_wrong(handled: Handled, geometry: Geometry) -> Iterator[Fault]:
    root = wing_pieces(geometry)[0].inner.chord_m
    size = lift_of_edge_m(root, FAULT_RAD)
    moves = _moves(handled, {WING_TURN: FAULT_RAD})
    yield Fault("wing incidence", "Wing incidence 1° more than drawn", size, pitches=True, moves=moves)
    if TAIL_TURN in handled.slopes.variables and geometry.tail is not None:
        size = lift_of_edge_m(tail_pieces(geometry.tail)[0].inner.chord_m, FAULT_RAD)
        moves = _moves(handled, {TAIL_TURN: FAULT_RAD})
        yield Fault("tail incidence", "Tail incidence 1° more than drawn", size, pitches=True, moves=moves)


def _tilt(handled: Handled, tilted: Glider) -> Array:
    """What the tilted tail changes at the same flow."""
    straight, crooked = (
        coefficients(forces(glider.lattice, handled.flow, handled.centre_m), glider.reference)
        for glider in (handled.glider, tilted)
    )
    found: Array = crooked - straight
    return found


def _lateral(handled: Handled, geometry: Geometry, fault: Fault) -> Held:
    slopes = handled.slopes
    rolls = steady_rolls(handled, fault.moves[:, [_SIDE, _ROLL, _YAW]])
    way = "right" if np.median(rolls) > 0.0 else "left"
    rate = abs(float(np.median(rolls)))
    tendency = f"rolls {way} at first with {plain_text(rate, '°/s')} and turns that way"
    if rate < _HARDLY_RAD_S:
        tendency = "hardly rolls or turns"
    if "rudder" not in slopes.variables:
        return Held("", None, None, tendency)
    wanted = {
        name: slopes.at(name) - fault.moves[:, place] for name, place in (("roll", _ROLL), ("yaw", _YAW))
    }
    held = linear_balance(slopes, wanted, ("beta", "rudder"))
    slip = float(np.median(held["beta"]))
    if abs(slip) > FAULT_RAD:
        tendency += f"; held straight it slips by {plain_text(abs(slip), '°')}"
    return Held("rudder", held["rudder"], rudder_edge_chord_m(geometry), tendency)


def _pitching(handled: Handled, geometry: Geometry, fault: Fault, lift: Array) -> Held:
    slopes = handled.slopes
    turned = -fault.moves[:, 4] / slopes.of("pitch", "alpha")
    new = lift + fault.moves[:, 0] + slopes.of("lift", "alpha") * turned
    tendency = _speed_words(handled, float(np.median(lift)), float(np.median(new)))
    wanted = {name: slopes.at(name) - fault.moves[:, place] for name, place in (("lift", 0), ("pitch", 4))}
    if "elevator" not in slopes.variables:
        return Held("", None, None, tendency)
    held = linear_balance(slopes, wanted, ("alpha", "elevator"))
    return Held("elevator", held["elevator"], elevator_edge_chord_m(geometry), tendency)


def _speed_words(handled: Handled, lift: float, new: float) -> str:
    speed = float(np.median(handled.airspeed_m_s))
    if new < _LEAST_LIFT:
        return "with the elevator at rest it dives"
    if new > _MOST_LIFT:
        return "with the elevator at rest it pitches up into the stall"
    word = "faster" if new < lift else "slower"
    flies = plain_text(speed * math.sqrt(lift / new), "m/s")
    return f"with the elevator at rest it flies {word}, {flies} in place of {plain_text(speed, 'm/s')}"


def _row(handled: Handled, fault: Fault, held: Held) -> FaultRow:
    lacks = f"the shape has no {'elevator' if fault.pitches else 'rudder'}"
    angle, edge = Figure.unknown("rad", "°", lacks), Figure.unknown("m", "mm", lacks)
    if held.angle_rad is not None:
        angle = handled.figure(held.angle_rad, "°", _BECAUSE)
        edge = Figure.unknown("m", "mm", "the moving chord is not stated")
        if held.chord_m is not None:
            travel = edge_travel_m(held.angle_rad, held.chord_m)
            edge = handled.figure(travel, "mm", _BECAUSE)
    return FaultRow(
        title=fault.title,
        size_m=fault.size_m,
        control=held.control,
        angle=angle,
        edge=edge,
        tendency=held.tendency,
    )
