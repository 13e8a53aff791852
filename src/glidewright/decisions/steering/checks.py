"""What no linkage can be: motionless, binding, its horn behind the hinge, beyond its servo's travel."""

import math
from collections.abc import Iterator

import numpy as np

from glidewright.base.errors import Problem
from glidewright.base.wording import plain_text
from glidewright.data import coefficient
from glidewright.decisions.steering.rig import Rig
from glidewright.domain.control import Control

_SAME_RAD = 1e-6
_DEAD_RAD = math.radians(5.0)
_STEPS = 81


def rig_problems(rig: Rig) -> list[Problem]:
    """Everything that is wrong with a linkage at the middle of its measures; rig: one draw."""
    found = list(_as_stated(rig))
    return found or list(_as_it_moves(rig))


def _where(control: Control, key: str) -> str:
    return f"model.toml [[{Control.table}]] {control.label!r}: {key}"


def _as_stated(rig: Rig) -> Iterator[Problem]:
    control, values = rig.control, {name: float(row[0]) for name, row in rig.values.items()}
    ahead, horn = values["horn_ahead_m"], values["horn_m"]
    most = coefficient("control", "horn_behind_share") * horn
    if not rig.is_spoiler and -ahead > most:
        yield Problem(
            _where(control, "horn_ahead_mm"),
            f"must bring the hole over the hinge line; it lies {plain_text(-ahead, 'mm')} behind it, so that "
            "one way moves much more than the other; move or bend the horn forward",
        )
    if abs(values["offset_m"]) >= values["rod_m"]:
        yield Problem(
            _where(control, "offset_mm"),
            f"must be less than the rod is long, {plain_text(values['rod_m'], 'mm')}; "
            f"{plain_text(values['offset_m'], 'mm')} came; correct one of them",
        )
    travel = rig.servo.travel_rad if rig.servo is not None else None
    throw = values["servo_throw_rad"]
    if travel is not None and 2.0 * throw > travel.value + _SAME_RAD:
        yield Problem(
            _where(control, "servo_throw_deg"),
            f"must be at most {plain_text(0.5 * travel.value, '°')} each way, half of what the servo "
            f"{rig.servo.id if rig.servo else ''} turns; {plain_text(throw, '°')} came; lower the travel in "
            "the transmitter or fit another servo",
        )


def _as_it_moves(rig: Rig) -> Iterator[Problem]:
    control = rig.control
    _, rest = rig.at(-1.0 if rig.is_spoiler else 0.0)
    if _is_dead(float(rest.rod_angle_rad[0, 0])):
        yield Problem(
            _where(control, "horn_mm"),
            "must stand across the rod; rod and horn lie in line as rigged, so that nothing can move; turn "
            "the horn or correct horn_mm and horn_ahead_mm",
        )
        return
    if _is_dead(float(rest.arm_rod_angle_rad[0, 0])):
        yield Problem(
            _where(control, "arm_angle_deg"),
            "must stand across the rod; rod and arm lie in line as rigged, so that nothing can move; set the "
            "arm square",
        )
        return
    share = np.linspace(-1.0, 1.0, _STEPS)
    if not rig.is_spoiler:
        share = share[np.argsort(np.abs(share), kind="stable")]
    deflection, at = rig.at(share)
    over = at.arm_lever_m[0] * at.arm_lever_m[0, 0] <= 0.0
    stuck = ~np.isfinite(deflection[0]) | (at.lever_m[0] * at.lever_m[0, 0] <= 0.0) | over
    if not stuck.any():
        return
    line = "arm" if over[int(np.argmax(stuck))] else "horn"
    angle = abs(float(rig.servo_at(share)[0, int(np.argmax(stuck))]))
    end = float(rig.throw_rad[0]) * (2.0 if rig.is_spoiler else 1.0)
    yield Problem(
        _where(control, "arm_mm"),
        f"must let the linkage move over the whole travel, {plain_text(end, '°')} of the servo; it binds at "
        f"{plain_text(angle, '°')}, where rod and {line} lie in line; use a shorter arm, a longer horn or "
        "less travel, and set the arm square",
    )


def _is_dead(angle_rad: float) -> bool:
    return not angle_rad > _DEAD_RAD
