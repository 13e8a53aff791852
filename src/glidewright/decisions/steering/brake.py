"""The brake in use: approach, elevator that goes with it, what happens without, height of a mistake."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from glidewright.base.figure import Figure
from glidewright.base.wording import digits, exact_text, percent_text, plain_text
from glidewright.data import coefficient
from glidewright.decisions.gliding.brake import STALL_SHARE, Braking
from glidewright.decisions.gliding.handling_edges import elevator_edge_chord_m
from glidewright.decisions.nouns import Series
from glidewright.decisions.planning.sight import height_to_keep_m
from glidewright.decisions.steering.flight import Flown
from glidewright.decisions.steering.nouns import BrakeStep, BrakeUse, Mistake
from glidewright.decisions.steering.open_brake import (
    Approach,
    Opened,
    approach_of,
    left_alone_m_s,
    mistake_flown,
    opened,
    stall_open_m_s,
)
from glidewright.decisions.steering.rig import Rig, first_of
from glidewright.models.aero.manoeuvres import stall_height_m
from glidewright.models.aero.steering import edge_travel_m

Array = NDArray[np.float64]
SHARES = (0.0, 0.25, 0.5, 0.75, 1.0)
_CURVE = (0.0, 0.125, 0.25, 0.375, 0.5, 0.625, 0.75, 0.875, 1.0)
_FROM_HEIGHT_M = 10.0
NOTES = (
    "elevator with brake: worked out from the vortex lattice with the lost lift, the moments of blade drag "
    "and lost lift, and a wake on the tail; the sign of the pitch change of a real model is found in flight "
    "alone, so the curve is a first setting for the test and no more",
    "air is still and the approach steady; gusts, wind near the ground and ground effect are left out",
)


def brake_use(flown: Flown, elevator: Rig | None) -> BrakeUse | str:
    """Everything about the brake, or what is missing for it; elevator: the linkage that compensates."""
    geometry = flown.desk.model.airframe.geometry
    assert geometry is not None  # there is a flow, so there is a shape
    if geometry.spoiler is None:
        return "model.toml states no [spoiler]"
    if not flown.has_elevator:
        return "the shape has no elevator that could compensate"
    approach = approach_of(flown)
    curve = [opened(approach, share) for share in _CURVE]
    steps = [curve[_CURVE.index(share)] for share in SHARES]
    full, figure = steps[-1], flown.desk.figure
    braking, stall = approach.braking, flown.desk.found.prediction
    mistakes = tuple(_mistakes(approach, full))
    height = height_to_keep_m(max((one.height.high or 0.0 for one in mistakes), default=0.0))
    return BrakeUse(
        approach_speed=Figure.exact(
            approach.airspeed_m_s, "m/s", "m/s", "typical", f"{STALL_SHARE} times the stall with full brake"
        ),
        stall_open=figure(stall_open_m_s(approach, full), "m/s"),
        stall_closed=stall.figure("stall_speed_m_s", "m/s"),
        nose_down=float(np.mean(full.elevator_rad < 0.0)),
        left_alone=figure(left_alone_m_s(approach, full), "m/s"),
        steps=tuple(_step(approach, share, one, elevator) for share, one in zip(SHARES, steps, strict=True)),
        curve=_series(curve, elevator),
        curve_shares=_CURVE,
        mistakes=mistakes,
        test_height_m=height,
        test=tuple(_test(approach, full, height, elevator)),
        notes=(*NOTES, *_tail_note(braking, approach), _steep(full)),
    )


def _step(approach: Approach, share: float, one: Opened, elevator: Rig | None) -> BrakeStep:
    figure, speed = approach.flown.desk.figure, approach.airspeed_m_s
    ratio = 1.0 / np.tan(one.path_rad)
    edge = elevator_edge_chord_m(approach.flown.desk.model.airframe.geometry)
    assert edge is not None  # there is an elevator
    travel = travel_of(elevator, one.elevator_rad)
    return BrakeStep(
        share=share,
        opening=figure(one.opening_rad, "°"),
        compensation=figure(one.elevator_rad, "°"),
        edge=figure(edge_travel_m(one.elevator_rad, edge), "mm"),
        travel=Figure.unknown("1", "%", "no linkage of the elevator is stated")
        if travel is None
        else figure(travel, "%"),
        ratio=figure(ratio, ""),
        slope=figure(one.path_rad, "°"),
        sink=figure(speed * np.sin(one.path_rad), "m/s"),
        reach=figure(_FROM_HEIGHT_M * ratio, "m"),
    )


def travel_of(elevator: Rig | None, down_rad: Array) -> Array | None:
    """Share of the elevator's stated travel for a deflection, down positive, (SEEN,); nothing without it."""
    if elevator is None:
        return None
    rig = first_of(elevator, down_rad.size)
    sign = rig.sign_of("down")
    found: Array = sign * rig.share_for(sign * down_rad[:, None])[:, 0]
    return found


def _series(curve: list[Opened], elevator: Rig | None) -> Series:
    rows = [travel_of(elevator, one.elevator_rad) for one in curve]
    known = [row for row in rows if row is not None]
    if known:
        return Series.of_draws("compensation", "Elevator, down positive", "%", np.stack(known, axis=1))
    turned = np.stack([one.elevator_rad for one in curve], axis=1)
    return Series.of_draws("compensation_rad", "Elevator, down positive", "°", turned)


def _mistakes(approach: Approach, full: Opened) -> Iterator[Mistake]:
    """The brake opened fully and left alone until the pilot reacts, and a stall with the brake full."""
    figure = approach.flown.desk.figure
    height, fastest = mistake_flown(approach, full)
    title = "Opened fully at the approach speed, no elevator with it"
    yield Mistake(title=title, height=figure(height, "m"), fastest=figure(fastest, "m/s"))
    stall, again = stall_open_m_s(approach, full), coefficient("test_practice", "stall_speed_share")
    fall = stall_height_m(stall, again, coefficient("test_practice", "stall_path_rad"))
    yield Mistake(
        title="Stalled with the brake full",
        height=figure(fall, "m"),
        fastest=figure(again * stall, "m/s"),
    )


def _test(approach: Approach, full: Opened, height_m: float, elevator: Rig | None) -> Iterator[str]:
    """The flight test that sets the compensation, with this model's numbers."""
    speed = exact_text(round(approach.airspeed_m_s, 1), "m/s")
    travel = travel_of(elevator, full.elevator_rad)
    if travel is not None and not np.isfinite(travel).all():
        travel = None  # the linkage does not reach that far in every draw
    turned = full.elevator_rad if travel is None else travel
    middle = float(np.median(turned))
    size = plain_text(abs(middle), "°") if travel is None else f"{percent_text(abs(middle))} of its travel"
    way = "up" if middle < 0.0 else "down"
    yield (
        f"The computed value at full brake is {size} {way}: start with half of it, and check on the ground "
        f"that the elevator goes {way} when the brake opens."
    )
    yield (
        f"Never below {exact_text(height_m, 'm')}, straight into the wind at {speed}, hands off: open a "
        "quarter for two seconds, close; then half, then full."
    )
    yield (
        "Nose drops: more up elevator at that share of the brake; nose rises: less. Set the quarter, the "
        "half and the full point one by one: it is rarely a straight line."
    )
    yield (
        "Leave the nose slightly down with full brake: it keeps the speed above the higher stall and tells "
        "that the brake is out. Last, stall once with full brake at that height."
    )
    yield "Near the ground close the brake slowly or not at all: it gives height that is no longer wanted."


def _steep(full: Opened) -> str:
    """How the full brake stands to what full-size sailplanes must reach."""
    wanted = coefficient("brake", "steep_enough")
    ratio = float(np.median(1.0 / np.tan(full.path_rad)))
    word = "steeper" if ratio < wanted else "flatter"
    return (
        f"full-size sailplanes must come down at a glide ratio of {wanted:.0f} or less with full brake at "
        f"1.3 times the stall; this one, with {digits(ratio, 1)}, is {word}"
    )


def _tail_note(braking: Braking, approach: Approach) -> Iterator[str]:
    loss = 1.0 - float(np.median(approach.tail_share))
    if loss > 0.0 and braking.blades.from_y_m > 0.0:
        yield (
            f"the blades stand ahead of part of the tail: their wake is taken to cost the elevator "
            f"{percent_text(loss)} of its effect; blades further out would not"
        )
