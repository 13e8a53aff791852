"""Which servo of the drawer suits a surface, and what all servos together ask of their supply."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from glidewright.base.figure import Figure
from glidewright.base.units import unit
from glidewright.base.wording import digits, percent_text
from glidewright.decisions.steering.desk import Desk
from glidewright.decisions.steering.loads import (
    blocked_current_A,
    dive_loads,
    held_current_A,
    idle_current_A,
    margin_of,
    needed_margin,
)
from glidewright.decisions.steering.nouns import ServoChoice, SupplyAnswer
from glidewright.decisions.steering.rig import Rig
from glidewright.domain.model import Model
from glidewright.domain.parts import Controller, Receiver, Servo
from glidewright.models.control.servo import spline_step_rad
from glidewright.models.power.typical import typical_receiver_current

Array = NDArray[np.float64]
SURE = 0.9
_TOLD = 4
_NO_SHAPE = "the shape of the airframe is not stated"


def servo_choices(desk: Desk, rig: Rig, ratio: Array) -> tuple[ServoChoice, ...]:
    """Servos of the drawer for a surface: strong enough first, then light, on hand, cheap."""
    loads = dive_loads(desk, rig)
    rows = [_choice(desk, rig, servo, None if loads is None else loads.torque_Nm, ratio)
            for servo in _servos(desk.model)]  # fmt: skip
    rows.sort(key=lambda row: _rank(row, desk.model))
    kept = rows[:_TOLD] + [row for row in rows[_TOLD:] if row.is_fitted]
    return tuple(kept)


def _servos(model: Model) -> Iterator[Servo]:
    found = {part.id: part for part in model.drawer if isinstance(part, Servo)}
    found |= {part.id: part for _, part in model.of_kind(Servo) if part.id not in found}
    yield from found.values()


def _rank(row: ServoChoice, model: Model) -> tuple[bool, float, bool, float]:
    part = model.from_drawer(row.part)
    price = part.price.value if part is not None and part.price is not None else float("inf")
    mass = float("inf") if row.mass.value is None else row.mass.value
    return row.chance is None or row.chance < SURE, mass, not row.on_hand, price


def _choice(desk: Desk, rig: Rig, servo: Servo, torque: Array | None, ratio: Array) -> ServoChoice:
    margin = None if torque is None else margin_of(desk, servo, torque)
    chance = None if margin is None else float(np.mean(margin >= needed_margin()))
    shown = Figure.unknown("1", "", _NO_SHAPE if torque is None else "its part states no torque")
    if margin is not None:
        shown = desk.figure(margin, "")
    mass = servo.mass_kg
    tooth = Figure.unknown("rad", "°", "its part states no splines")
    if servo.splines is not None:
        tooth = desk.figure(ratio * spline_step_rad(servo.splines), "°")
    fitted = rig.servo is not None and rig.servo.id == servo.id
    return ServoChoice(
        part=servo.id,
        title=servo.title or servo.id,
        mass=Figure.unknown("kg", "g", "its part states no mass")
        if mass is None
        else Figure.exact(mass.value, "kg", "g", mass.grade, "as its part states"),
        margin=shown,
        chance=chance,
        tooth=tooth,
        on_hand=servo.on_hand,
        is_fitted=fitted,
        because=_because(shown, chance, tooth),
    )


def _because(margin: Figure, chance: float | None, tooth: Figure) -> str:
    if chance is None:
        return margin.because
    strong = f"{digits(margin.value or 0.0, 1)} times the torque needed"
    if chance < SURE:
        strong += f", enough with a chance of {percent_text(chance)} only"
    fine = "" if tooth.value is None else f"; one tooth {digits(unit('°').from_si(tooth.value), 1)}°"
    return strong + fine


def supply_answer(desk: Desk) -> SupplyAnswer | None:
    """Servos and receiver at rest, surfaces held in a dive, all servos blocked; nothing without servos."""
    servos = [part for _, part in desk.model.of_kind(Servo)]
    if not servos:
        return None
    receiver = desk.model.first(Receiver)
    stated = receiver.current_A if receiver is not None else None
    listening = typical_receiver_current().value if stated is None else stated.value
    quiet = listening + sum(map(idle_current_A, servos))
    controller = desk.model.first(Controller)
    limit = controller.servo_supply_current_A if controller is not None else None
    held = held_all_A(desk, listening)
    blocked = [blocked_current_A(desk, servo) for servo in servos]
    known = [row for row in blocked if row is not None]
    why = "a servo's part states neither stall_current_mA nor torque and speed"
    all_blocked = listening + np.sum(known, axis=0) if len(known) == len(servos) else None
    return SupplyAnswer(
        limit=Figure.unknown("A", "A", "the controller's part states no servo_supply_current_A")
        if limit is None
        else Figure.exact(limit.value, "A", "A", limit.grade, "as the controller's part states"),
        quiet=Figure.exact(quiet, "A", "mA", "typical", "sum of what the parts state or usual values"),
        held=Figure.unknown("A", "A", why) if held is None else desk.figure(held, "A"),
        blocked=Figure.unknown("A", "A", why) if all_blocked is None else desk.figure(all_blocked, "A"),
        because="currents of servos that hold go with their torque; blocked ones from torque and speed where "
        "the seller states none",
    )


def held_all_A(desk: Desk, listening_A: float) -> Array | None:
    """Current of receiver and servos with every surface held fully deflected in a dive."""
    total: Array | None = None
    for rig in desk.rigs:
        loads = dive_loads(desk, rig)
        own = None if loads is None else held_current_A(desk, rig.servo, loads.torque_Nm)
        if own is None:
            return None
        total = own if total is None else total + own
    return None if total is None else total + listening_A
