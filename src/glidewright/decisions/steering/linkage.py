"""One linkage in figures: deflection over servo angle, ends, resolution, play, and the length of its rod."""

import math
from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from glidewright.base.figure import Figure
from glidewright.base.wording import plain_text
from glidewright.data import coefficient
from glidewright.decisions.nouns import NamedFigure, Series
from glidewright.decisions.steering.desk import Desk
from glidewright.decisions.steering.loads import load_rows, rod_answer
from glidewright.decisions.steering.nouns import LinkageAnswer, WayEnd
from glidewright.decisions.steering.rig import Rig
from glidewright.decisions.steering.servos import servo_choices
from glidewright.models.aero.steering import edge_travel_m
from glidewright.models.control.fourbar import deflection_for_length
from glidewright.models.control.play import play_parts_rad, root_sum, worst_sum
from glidewright.models.control.servo import signal_band_rad, signal_step_rad, spline_step_rad

Array = NDArray[np.float64]
_STEPS = 21
_QUARTER_TURN_RAD = 0.5 * math.pi
_NO_SHAPE = "the shape of the airframe is not stated"
_CAUSES = ("gears of the servo", "joint at the arm", "joint at the horn")


def linkage_answer(desk: Desk, rig: Rig) -> LinkageAnswer:
    """Everything about one linkage."""
    ratio, lever = _at_rest(rig)
    shares = np.linspace(-1.0, 1.0, _STEPS)
    curve, _ = rig.at(shares)
    parts = play_parts_rad(
        ratio, lever, rig.values["gear_play_rad"], rig.values["play_arm_m"], rig.values["play_horn_m"]
    )[:3]
    first = rig.ways[0]
    return LinkageAnswer(
        label=rig.control.label,
        surface=rig.control.surface,
        servo=rig.servo.title or rig.servo.id if rig.servo else "",
        rod_name=rig.control.rod,
        push_gives=rig.control.push_way,
        stated_travel=desk.figure(rig.throw_rad, "°"),
        servo_rad=tuple(np.median(np.abs(rig.servo_at(shares)) * _sign_of(rig, shares), axis=0).tolist()),
        curve=Series.of_draws("deflection_rad", f"Deflection, {first} positive", "°", curve),
        ways=tuple(_ways(desk, rig)),
        asymmetry=_asymmetry(desk, rig, curve),
        per_tooth=_per_tooth(desk, rig, ratio),
        off_square=_off_square(desk, rig),
        per_step=desk.figure(ratio * signal_step_rad(rig.throw_rad, desk.steps), "°"),
        dead_band=desk.figure(ratio * _dead_band(desk, rig), "°"),
        per_mm=desk.figure(np.abs(deflection_for_length(rig.chain, 0.001))[:, 0], "°"),
        play=desk.figure(root_sum(parts), "°"),
        play_worst=desk.figure(worst_sum(parts), "°"),
        play_edge=edge_figure(desk, rig, root_sum(parts)),
        play_parts=tuple(
            NamedFigure(name=name.replace(" ", "_"), title=name.capitalize(), figure=desk.figure(part, "°"))
            for name, part in zip(_CAUSES, parts, strict=True)
        ),
        stop_share=_stop_share(desk, rig),
        gap_loss=_gap_loss(desk, rig),
        rod=rod_answer(desk, rig),
        loads=load_rows(desk, rig),
        choices=servo_choices(desk, rig, ratio),
        notes=tuple(_notes(rig)),
    )


def _at_rest(rig: Rig) -> tuple[Array, Array]:
    """Ratio and lever of the chain as rigged, (draws,)."""
    _, at = rig.at(-1.0 if rig.is_spoiler else 0.0)
    return np.abs(at.ratio[:, 0]), np.abs(at.lever_m[:, 0])


def _sign_of(rig: Rig, shares: Array) -> Array:
    return np.ones_like(shares) if rig.is_spoiler else np.sign(shares)


def edge_figure(desk: Desk, rig: Rig, angle: Array) -> Figure:
    """A turn of the surface as way of its trailing edge."""
    if rig.hinge is None:
        return Figure.unknown("m", "mm", _NO_SHAPE)
    return desk.figure(edge_travel_m(angle, rig.hinge.edge_chord_m), "mm")


def _ways(desk: Desk, rig: Rig) -> Iterator[WayEnd]:
    ends = ((rig.ways[0], 1.0),) if rig.is_spoiler else tuple(zip(rig.ways, (1.0, -1.0), strict=True))
    for way, share in ends:
        deflection, at = rig.at(share)
        size = np.abs(deflection[:, 0])
        yield WayEnd(
            way=way,
            servo=desk.figure(np.abs(rig.servo_at(share)[:, 0]), "°"),
            deflection=desk.figure(size, "°"),
            edge=edge_figure(desk, rig, size),
            ratio=desk.figure(np.abs(at.ratio[:, 0]), ""),
            rod_angle=desk.figure(least_rod_angle(rig, share), "°"),
        )


def least_rod_angle(rig: Rig, share: float) -> Array:
    """The smaller of the angles of the rod with horn and arm at a share of the travel, (draws,)."""
    _, at = rig.at(share)
    found: Array = np.minimum(at.rod_angle_rad[:, 0], at.arm_rod_angle_rad[:, 0])
    return found


def _asymmetry(desk: Desk, rig: Rig, curve: Array) -> Figure:
    if rig.is_spoiler:
        return Figure.unknown("1", "%", "it opens one way")
    one, other = np.abs(curve[:, -1]), np.abs(curve[:, 0])
    return desk.figure(np.maximum(one, other) / np.minimum(one, other) - 1.0, "%")


def _per_tooth(desk: Desk, rig: Rig, ratio: Array) -> Figure:
    if rig.servo is None or rig.servo.splines is None:
        return Figure.unknown("rad", "°", "the servo's part states no splines")
    return desk.figure(ratio * spline_step_rad(rig.servo.splines), "°")


def _off_square(desk: Desk, rig: Rig) -> Figure:
    if rig.servo is None or rig.servo.splines is None:
        return Figure.unknown("m", "mm", "the servo's part states no splines")
    half = 0.5 * spline_step_rad(rig.servo.splines)
    return desk.figure(rig.values["arm_m"] * math.sin(half), "mm")


def _dead_band(desk: Desk, rig: Rig) -> Array:
    band = rig.values["dead_band_s"]
    return signal_band_rad(_QUARTER_TURN_RAD, desk["control.pulse_s"], band)


def _stop_share(desk: Desk, rig: Rig) -> Figure:
    stop = rig.control.stop_rad
    if stop is None:
        return Figure.unknown("1", "%", "stop_deg is not stated")
    ends = (stop.value,) if rig.is_spoiler else (stop.value, -stop.value)
    share = np.abs(np.concatenate([rig.share_for(np.array([[end]])) for end in ends], axis=1))
    share[np.isnan(share)] = np.inf
    least = share.min(axis=1)
    if not np.isfinite(least).all():
        return Figure.unknown("1", "%", "the linkage never reaches the stop")
    return desk.figure(least, "%")


def _gap_loss(desk: Desk, rig: Rig) -> Figure:
    gap = rig.control.hinge_gap_m
    if gap is None:
        return Figure.unknown("1", "%", "hinge_gap_mm is not stated")
    if rig.hinge is None or rig.is_spoiler:
        return Figure.unknown("1", "%", _NO_SHAPE if rig.hinge is None else "a blade has no hinge gap")
    reference = coefficient("control", "gap_reference")
    return desk.figure(gap.value / rig.hinge.chord_m / reference * desk["control.gap_loss"], "%")


def _notes(rig: Rig) -> Iterator[str]:
    control = rig.control
    if control.servo == "":
        yield f"{control.label}: no servo is named, so torque, splines and its place are not known"
    if not control.push_gives and not rig.is_spoiler:
        yield f"{control.label}: push_gives is not stated; a push is taken to move it {rig.ways[0]}"
    if control.rod_material == "line":
        yield (
            f"{control.label}: a line can only pull; a spring or the wind must bring the surface back, and "
            "the spring's force comes on top of the torque shown"
        )
    if rig.is_spoiler:
        half = plain_text(float(np.median(rig.throw_rad)), "°")
        yield (
            f"{control.label}: travel is told from -100 % (closed) to 100 % (full), {half} of the servo "
            "either side of the middle"
        )
