"""Loads of a linkage: hinge moment, torque and current of the servo, force in the rod and what it stands."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glidewright.base.figure import Figure
from glidewright.data import coefficient
from glidewright.decisions.steering.desk import LINE, Desk, diameter_of
from glidewright.decisions.steering.hinges import Hinge
from glidewright.decisions.steering.nouns import LoadRow, Rod
from glidewright.decisions.steering.rig import Rig
from glidewright.domain.parts import Controller, Servo
from glidewright.forecast.kernel_rows import air
from glidewright.forecast.power_inputs import SUPPLY_VOLTAGE_V
from glidewright.models.control.hinge import all_moving_moment_Nm, blade_moment_Nm, flap_moment_Nm
from glidewright.models.control.rod import (
    buckling_force_N,
    second_moment_m4,
    stretch_m,
    warmth_growth_m,
)
from glidewright.models.control.servo import holding_current_A, stall_current_A, torque_at_servo_Nm
from glidewright.models.power.typical import typical_servo_current

Array = NDArray[np.float64]
_SHARES = np.linspace(-1.0, 1.0, 17)
_WARMER_K = 10.0
_EXACT_RAD = float(np.radians(0.5))
_NO_TORQUE = "the servo's part states no torque"
_NO_SERVO = "no servo is named"
_NO_SHAPE = "the shape of the airframe is not stated"


@dataclass(frozen=True)
class Loads:
    """A surface at its largest load at one airspeed, (draws,)."""

    deflection_rad: Array
    hinge_Nm: Array
    torque_Nm: Array
    rod_N: Array


def loads_at(desk: Desk, rig: Rig, airspeed_m_s: Array, travel: float = 1.0) -> Loads | None:
    """The most that any deflection within a share of the travel asks for; nothing without a shape.

    A spoiler is always opened fully. Draws that the chain does not reach are left out of the search.
    """
    if rig.hinge is None:
        return None
    deflection, at = rig.at(_SHARES if rig.is_spoiler else travel * _SHARES)
    turned = np.abs(deflection)
    stop = rig.control.stop_rad
    if stop is not None:
        turned = np.minimum(turned, stop.value)
    moment = moment_Nm(desk, rig.hinge, turned, airspeed_m_s)
    torque = torque_at_servo_Nm(moment, at.ratio, desk["control.friction"][:, None])
    torque = np.where(np.isfinite(torque), torque, 0.0)
    with np.errstate(divide="ignore", invalid="ignore"):
        force = np.where(np.isfinite(at.lever_m), moment / np.abs(at.lever_m), 0.0)
    worst = np.argmax(torque, axis=1)[:, None]
    return Loads(
        deflection_rad=np.take_along_axis(turned, worst, axis=1)[:, 0],
        hinge_Nm=np.take_along_axis(moment, worst, axis=1)[:, 0],
        torque_Nm=torque.max(axis=1),
        rod_N=force.max(axis=1),
    )


def moment_Nm(desk: Desk, hinge: Hinge, deflection_rad: Array, airspeed_m_s: Array) -> Array:
    """Size of the hinge moment, (draws, any), gusts on top of the deflection."""
    density, _ = air(desk.found.setup)
    pressure = (0.5 * density * airspeed_m_s**2)[:, None]
    gust = np.abs(desk["control.tail_alpha_rad"])[:, None]
    if hinge.is_blade:
        plate = desk["brake.plate"][:, None]
        moment = blade_moment_Nm(hinge.span_m, hinge.chord_m, plate, pressure)
        return np.broadcast_to(moment, deflection_rad.shape).copy()
    if hinge.slopes is None:
        off = np.abs(desk["control.pivot_off"])[:, None] * hinge.chord_m
        slope = coefficient("control", "all_moving_lift_slope")
        moment = all_moving_moment_Nm(hinge.area_m2, slope, off, deflection_rad + gust, pressure)
    else:
        factor = desk["control.hinge_factor"][:, None]
        moment = flap_moment_Nm(hinge.strip_m3, hinge.slopes, deflection_rad, gust, pressure, factor)
    return np.abs(moment)


def dive_loads(desk: Desk, rig: Rig) -> Loads | None:
    """Loads at the dive speed, with the share of the travel that is used there."""
    return loads_at(desk, rig, desk["steering.dive_speed_m_s"], _dive_share())


def load_rows(desk: Desk, rig: Rig) -> tuple[LoadRow, ...]:
    """Approach, launch where it is known, and dive; a spoiler is not opened in a launch."""
    return tuple(_row(desk, rig, *where) for where in _conditions(desk, rig))


def _conditions(desk: Desk, rig: Rig) -> Iterator[tuple[str, Array, float]]:
    stall = desk.found.prediction.draws("stall_speed_m_s")
    launch = desk.found.prediction.draws("highest_airspeed_m_s")
    if stall is not None:
        yield "approach", coefficient("control", "loads_over_stall") * stall, 1.0
    if launch is not None and not rig.is_spoiler:
        yield "launch", launch, 1.0
    yield "dive", desk["steering.dive_speed_m_s"], _dive_share()


def _dive_share() -> float:
    return coefficient("control", "dive_share")


def _row(desk: Desk, rig: Rig, title: str, speed: Array, travel: float) -> LoadRow:
    found = loads_at(desk, rig, speed, travel)
    airspeed = desk.figure(speed, "m/s")
    if found is None:
        unknown = {name: Figure.unknown(si, shown, _NO_SHAPE) for name, si, shown in _UNKNOWN}
        return LoadRow(title=title, airspeed=airspeed, **unknown)
    ratio = margin_of(desk, rig.servo, found.torque_Nm)
    return LoadRow(
        title=title,
        airspeed=airspeed,
        deflection=desk.figure(found.deflection_rad, "°"),
        hinge_moment=desk.figure(found.hinge_Nm, "N·cm"),
        torque=desk.figure(found.torque_Nm, "N·cm"),
        margin=Figure.unknown("1", "", why_no_torque(rig)) if ratio is None else desk.figure(ratio, ""),
        current=_current_figure(desk, rig, found.torque_Nm),
    )


_UNKNOWN = (
    ("deflection", "rad", "°"),
    ("hinge_moment", "N m", "N·cm"),
    ("torque", "N m", "N·cm"),
    ("margin", "1", ""),
    ("current", "A", "mA"),
)


def why_no_torque(rig: Rig) -> str:
    """What is missing for a margin of the servo."""
    return _NO_SERVO if rig.servo is None else _NO_TORQUE


def margin_of(desk: Desk, servo: Servo | None, torque_Nm: Array) -> Array | None:
    """Stall torque over the needed one, (draws,); nothing where the part states no torque."""
    if servo is None or servo.torque_Nm is None:
        return None
    found: Array = desk[f"servo:{servo.id}:torque_Nm"] / torque_Nm
    return found


def _current_figure(desk: Desk, rig: Rig, torque_Nm: Array) -> Figure:
    draws = held_current_A(desk, rig.servo, torque_Nm)
    if draws is None:
        return Figure.unknown("A", "mA", f"{why_no_torque(rig)} and speed, or no stall_current_mA")
    return desk.figure(draws, "mA")


def idle_current_A(servo: Servo) -> float:
    """Supply current of a servo at rest, as stated or usual."""
    stated = servo.idle_current_A
    return typical_servo_current(working=False).value if stated is None else stated.value


def blocked_current_A(desk: Desk, servo: Servo) -> Array | None:
    """Stall current: stated, or from torque and speed; nothing where neither is known."""
    if servo.stall_current_A is not None:
        return desk[f"servo:{servo.id}:stall_current_A"]
    if servo.torque_Nm is None or servo.speed_s_per_rad is None:
        return None
    controller = desk.model.first(Controller)
    stated = controller.servo_supply_voltage_V if controller is not None else None
    torque, speed = (desk[f"servo:{servo.id}:{name}"] for name in ("torque_Nm", "speed_s_per_rad"))
    volts = (stated or SUPPLY_VOLTAGE_V).value
    return stall_current_A(torque, speed, volts, desk["control.gear_efficiency"])


def held_current_A(desk: Desk, servo: Servo | None, torque_Nm: Array) -> Array | None:
    """Current of a servo that holds a torque."""
    blocked = None if servo is None else blocked_current_A(desk, servo)
    if servo is None or blocked is None or servo.torque_Nm is None:
        return None
    return holding_current_A(torque_Nm, desk[f"servo:{servo.id}:torque_Nm"], blocked, idle_current_A(servo))


def rod_answer(desk: Desk, rig: Rig) -> Rod:
    """Length, exactness and stiffness of the rod at the dive speed."""
    _, at = rig.at(-1.0 if rig.is_spoiler else 0.0)
    lever = np.abs(at.lever_m[:, 0])
    loads = dive_loads(desk, rig)
    push = None if loads is None else loads.rod_N
    buckles = _buckles_at(desk, rig)
    why = _why_no_strength(rig)
    give = _give(desk, rig, push, lever)
    warm = _warmth(desk, rig, lever)
    is_line = rig.control.rod_material == LINE
    margin = None if push is None or buckles is None else buckles / push
    return Rod(
        needed=_needed(desk, rig),
        stated=_stated(desk, rig),
        exact=desk.figure(_EXACT_RAD * lever, "mm"),
        push=Figure.unknown("N", "N", _NO_SHAPE) if push is None else desk.figure(push, "N"),
        buckles_at=Figure.unknown("N", "N", why) if buckles is None else desk.figure(buckles, "N"),
        margin=Figure.unknown("1", "", why if buckles is None or is_line else _NO_SHAPE)
        if margin is None
        else desk.figure(margin, ""),
        give=Figure.unknown("rad", "°", why) if give is None else desk.figure(give, "°"),
        warmth=Figure.unknown("rad", "°", "rod_material is not stated, or a line")
        if warm is None
        else desk.figure(warm, "°"),
    )


def _needed(desk: Desk, rig: Rig) -> Figure:
    if rig.needed_m is None:
        return Figure.unknown("m", "mm", "the place of servo or hinge is not known")
    return desk.figure(rig.needed_m, "mm")


def _stated(desk: Desk, rig: Rig) -> Figure:
    if rig.control.rod_length_m is None:
        return Figure.unknown("m", "mm", "rod_length_mm is not stated")
    return desk.figure(rig.values["rod_length_m"], "mm")


def _why_no_strength(rig: Rig) -> str:
    if rig.control.rod_material == LINE:
        return "a line can only pull"
    if rig.control.rod_material == "":
        return "rod_material is not stated"
    return "the rod's part states no diameter" if rig.rod is not None else "no rod is named"


def _stiffness(desk: Desk, rig: Rig) -> tuple[Array, Array, float] | None:
    """Modulus, diameter and bore, or nothing where one is unknown."""
    diameter = diameter_of(desk, rig.rod)
    material = rig.control.rod_material
    if diameter is None or material in ("", LINE):
        return None
    bore = rig.control.rod_inner_m
    return desk[f"rod:{material}:modulus"], diameter, 0.0 if bore is None else bore.value


def _buckles_at(desk: Desk, rig: Rig) -> Array | None:
    known = _stiffness(desk, rig)
    if known is None:
        return None
    modulus, diameter, bore = known
    guide = rig.control.guide_m
    free = rig.values["rod_m"] if guide is None else np.minimum(rig.values["rod_m"], guide.value)
    return buckling_force_N(modulus, second_moment_m4(diameter, bore), free)


def _give(desk: Desk, rig: Rig, push: Array | None, lever: Array) -> Array | None:
    known = _stiffness(desk, rig)
    if known is None or push is None:
        return None
    modulus, diameter, bore = known
    found: Array = stretch_m(push, rig.values["rod_m"], modulus, diameter, bore) / lever
    return found


def _warmth(desk: Desk, rig: Rig, lever: Array) -> Array | None:
    material = rig.control.rod_material
    if material in ("", LINE):
        return None
    grown = warmth_growth_m(rig.values["rod_m"], desk[f"rod:{material}:expansion"], _WARMER_K)
    found: Array = np.abs(grown) / lever
    return found


def needed_margin() -> float:
    """Torque margin that flyers keep to."""
    return coefficient("control", "torque_margin")
