"""The brake in use: approach, elevator that goes with it, what happens without, height of a mistake."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from glidewright.base.figure import Figure
from glidewright.base.wording import digits, exact_text, percent_text, plain_text
from glidewright.decisions.gliding.brake import STALL_SHARE, Braking, braking_of
from glidewright.decisions.gliding.handling_edges import elevator_edge_chord_m
from glidewright.decisions.gliding.handling_flow import SEEN, Handled, handled_at
from glidewright.decisions.nouns import Series
from glidewright.decisions.planning.sight import practice as test_practice
from glidewright.decisions.planning.sight import step_up_m
from glidewright.decisions.steering.flight import Flown, practice
from glidewright.decisions.steering.nouns import BrakeStep, BrakeUse, Mistake
from glidewright.decisions.steering.rig import Rig, first_of
from glidewright.domain.geometry_places import Piece, tail_pieces, wing_pieces
from glidewright.models.aero.brake import BRAKE, brake_effect, brake_turn_rad, section_lift_loss, with_brake
from glidewright.models.aero.buildup import brake_drag_area_m2
from glidewright.models.aero.derivatives import linear_balance
from glidewright.models.aero.glide import path_down_rad
from glidewright.models.aero.glider import TAIL_TURN, WING_TURN
from glidewright.models.aero.manoeuvres import stall_height_m
from glidewright.models.aero.polar import drag_coefficients, lift_ceilings
from glidewright.models.aero.shape import Twist
from glidewright.models.aero.steering import edge_travel_m
from glidewright.models.aero.upset import Upset, recovery
from glidewright.models.air.atmosphere import GRAVITY_m_s2

Array = NDArray[np.float64]
SHARES = (0.0, 0.25, 0.5, 0.75, 1.0)
_CURVE = (0.0, 0.125, 0.25, 0.375, 0.5, 0.625, 0.75, 0.875, 1.0)
_FROM_HEIGHT_M = 10.0
_PULLED = 0.9  # of the lift ceiling: a hand does not pull to the stall
_LEAST_LIFT = 0.1
NOTES = (
    "elevator with brake: worked out from the vortex lattice with the lost lift, the moments of blade drag "
    "and lost lift, and a wake on the tail; the sign of the pitch change of a real model is found in flight "
    "alone, so the curve is a first setting for the test and no more",
    "air is still and the approach steady; gusts, wind near the ground and ground effect are left out",
)


@dataclass(frozen=True)
class Opened:
    """The brake at one share of its travel over the first draws, (SEEN,)."""

    opening_rad: Array
    drag: Array
    section_loss: Array
    lift_loss: Array
    path_rad: Array
    elevator_rad: Array
    free_lift: Array


@dataclass(frozen=True)
class _Approach:
    """What every share of the brake is worked out with."""

    flown: Flown
    braking: Braking
    at: Handled
    rig: Rig | None
    airspeed_m_s: float
    level_lift: Array
    lever: Array
    """Pitching-moment coefficient for a drag coefficient of 1 at the blades, nose up."""
    place: Array
    """The same for a section that loses a lift coefficient of 1 at the stated place of its chord."""
    tail_share: Array
    """Share of its effect that the elevator keeps in the wake of the full brake."""


def brake_use(flown: Flown, elevator: Rig | None) -> BrakeUse | str:
    """Everything about the brake, or what is missing for it; elevator: the linkage that compensates."""
    geometry = flown.desk.model.airframe.geometry
    assert geometry is not None  # there is a flow, so there is a shape
    if geometry.spoiler is None:
        return "model.toml states no [spoiler]"
    if not flown.has_elevator:
        return "the shape has no elevator that could compensate"
    approach = _approach(flown)
    curve = [opened(approach, share) for share in _CURVE]
    steps = [curve[_CURVE.index(share)] for share in SHARES]
    full, figure = steps[-1], flown.desk.figure
    braking, stall = approach.braking, flown.desk.found.prediction
    mistakes = tuple(_mistakes(approach, full))
    height = _test_height_m(mistakes)
    return BrakeUse(
        approach_speed=Figure.exact(
            approach.airspeed_m_s, "m/s", "m/s", "typical", f"{STALL_SHARE} times the stall with full brake"
        ),
        stall_open=figure(_stall_open(approach, full), "m/s"),
        stall_closed=stall.figure("stall_speed_m_s", "m/s"),
        nose_down=float(np.mean(full.elevator_rad < 0.0)),
        left_alone=figure(_left_alone(approach, full), "m/s"),
        steps=tuple(_step(approach, share, one, elevator) for share, one in zip(SHARES, steps, strict=True)),
        curve=_series(curve, elevator),
        curve_shares=_CURVE,
        mistakes=mistakes,
        test_height_m=height,
        test=tuple(_test(approach, full, height, elevator)),
        notes=(*NOTES, *_tail_note(braking, approach), _steep(full)),
    )


def _approach(flown: Flown) -> _Approach:
    desk, aero = flown.desk, flown.aero
    geometry = desk.model.airframe.geometry
    assert geometry is not None
    assert geometry.spoiler is not None  # the caller has seen to both
    braking = braking_of(desk.found, flown.flight, aero, geometry.spoiler)
    twists = [Twist(WING_TURN, "wing")]
    if any(surface.name == "tail" for surface in aero.glider.lattice.surfaces):
        twists.append(Twist(TAIL_TURN, "tail"))
    glider = with_brake(aero.glider, braking.blades, twists)
    ones = np.ones_like(flown.flight.stall_m_s)
    opened_stall = braking.stall_m_s(braking.effect(1.0, ones).lift_loss)
    speed = STALL_SHARE * float(np.median(opened_stall))
    at = handled_at(desk.found, flown.flight, glider, np.full_like(flown.stall_m_s, speed))
    spoilers = desk.rigs_of("spoiler")
    reference, blades = glider.reference, braking.blades
    height = _blade_z_m(wing_pieces(geometry), blades.from_y_m, blades.to_y_m) - at.centre_m[:, 2]
    strip = braking.chord_under_m**2 * blades.span_m / (reference.area_m2 * reference.chord_m)
    covered = 0.0
    if geometry.tail is not None:
        half = tail_pieces(geometry.tail)[0].across_m
        covered = max(0.0, min(blades.to_y_m, half) - blades.from_y_m) / half
    return _Approach(
        flown=flown,
        braking=braking,
        at=at,
        rig=first_of(spoilers[0], SEEN) if spoilers else None,
        airspeed_m_s=speed,
        level_lift=flown.level_lift(np.full_like(flown.stall_m_s, speed)),
        lever=height / reference.chord_m,
        place=(flown.first("brake.lost_lift_place") - 0.25) * strip,
        tail_share=1.0 - covered * flown.first("brake.wake_loss"),
    )


def _blade_z_m(pieces: tuple[Piece, ...], from_y_m: float, to_y_m: float) -> float:
    """Height of the upper side of the wing at the middle of the blades, a twelfth of a chord thick."""
    y_m = 0.5 * (from_y_m + to_y_m)
    for piece in pieces:
        if piece.inner.y_m <= y_m <= piece.outer.y_m and piece.across_m > 0.0:
            share = (y_m - piece.inner.y_m) / piece.across_m
            chord = piece.inner.chord_m + share * (piece.outer.chord_m - piece.inner.chord_m)
            return piece.inner.z_m + share * piece.up_m + chord / 12.0
    return pieces[-1].outer.z_m


def opened(approach: _Approach, share: float) -> Opened:
    """The brake at a share of its travel at the approach speed, with the elevator that holds that speed."""
    flown, braking, slopes = approach.flown, approach.braking, approach.at.slopes
    opening = _opening(approach, share)
    height = braking.extra["brake.chord"][:SEEN] * np.sin(opening)
    loss = section_lift_loss(height / braking.chord_under_m, braking.extra["brake.lift"][:SEEN])
    plates = brake_drag_area_m2(braking.blades.span_m, height, braking.extra["brake.plate"][:SEEN])
    effect = brake_effect(braking.braked, approach.level_lift, loss)
    drag = plates / flown.flight.area_m2[:SEEN] + effect.induced_rise
    path = path_down_rad(approach.level_lift, lambda lift: _closed_drag(approach, lift) + drag)
    turned = brake_turn_rad(braking.braked, loss)
    extra = plates / flown.flight.area_m2[:SEEN] * approach.lever + loss * approach.place
    wanted = {
        "lift": slopes.at("lift") + approach.level_lift * (np.cos(path) - 1.0),
        "pitch": slopes.at("pitch") - extra,
    }
    moved = linear_balance(slopes, wanted, ("alpha", "elevator"), {BRAKE: turned})
    real = flown.effect["elevator"] * approach.tail_share
    elevator = moved["elevator"] / real if share > 0.0 else np.zeros_like(loss)
    return Opened(opening, drag, loss, effect.lift_loss, path, elevator, _free_lift(approach, turned, extra))


def _free_lift(approach: _Approach, turned: Array, extra: Array) -> Array:
    """Lift coefficient that the model settles at with the elevator where it was."""
    slopes = approach.at.slopes
    pushed = slopes.of("pitch", BRAKE) * turned + extra
    alpha = -pushed / slopes.of("pitch", "alpha")
    found: Array = (
        approach.level_lift + slopes.of("lift", BRAKE) * turned + slopes.of("lift", "alpha") * alpha
    )
    return found


def _opening(approach: _Approach, share: float) -> Array:
    """Angle of the blades: by the linkage of the first spoiler, else in proportion to the stated opening."""
    stated = approach.braking.extra["brake.opening"][:SEEN]
    if approach.rig is None or share == 0.0:
        return share * stated
    turned, _ = approach.rig.at(2.0 * share - 1.0)
    closed, _ = approach.rig.at(-1.0)
    way = (turned - closed)[:, 0]
    usual = float(np.nanmedian(way))  # where the measures of a draw let its chain bind
    found: Array = np.clip(np.where(np.isfinite(way), way, usual), 0.0, 0.5 * np.pi)
    return found


def _closed_drag(approach: _Approach, lift: Array) -> Array:
    flight = approach.flown.flight
    speed = np.full((approach.level_lift.size, 1), approach.airspeed_m_s)
    found: Array = drag_coefficients(flight.polar[:SEEN], lift[:, None], speed)[:, 0]
    return found + flight.other_drag[:SEEN]


def _stall_open(approach: _Approach, full: Opened) -> Array:
    braking = approach.braking
    flight = replace(
        braking.flight,
        **{name: getattr(braking.flight, name)[:SEEN] for name in vars(braking.flight)},
    )
    return replace(braking, flight=flight).stall_m_s(full.lift_loss)


def _ceiling(approach: _Approach) -> Array:
    """Lift ceiling with the brake closed."""
    speed = np.full((approach.level_lift.size, 1), approach.airspeed_m_s)
    return lift_ceilings(approach.flown.flight.polar[:SEEN], speed)[:, 0]


def _held_lift(approach: _Approach, full: Opened) -> Array:
    """Lift coefficient that it flies with when left alone, no more than the braked wing carries."""
    most = np.maximum(_ceiling(approach) - full.lift_loss, 2.0 * _LEAST_LIFT)
    found: Array = np.clip(full.free_lift, _LEAST_LIFT, most)
    return found


def _left_alone(approach: _Approach, full: Opened) -> Array:
    lift = _held_lift(approach, full)
    found: Array = approach.airspeed_m_s * np.sqrt(approach.level_lift * np.cos(full.path_rad) / lift)
    return found


def _step(approach: _Approach, share: float, one: Opened, elevator: Rig | None) -> BrakeStep:
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


def _mistakes(approach: _Approach, full: Opened) -> Iterator[Mistake]:
    """The brake opened fully and left alone until the pilot reacts, and a stall with the brake full."""
    figure = approach.flown.desk.figure
    height, fastest = _fly(approach, full)
    title = "Opened fully at the approach speed, no elevator with it"
    yield Mistake(title=title, height=figure(height, "m"), fastest=figure(fastest, "m/s"))
    stall, again = _stall_open(approach, full), test_practice("stall_speed_share")
    fall = stall_height_m(stall, again, test_practice("stall_path_rad"))
    yield Mistake(
        title="Stalled with the brake full",
        height=figure(fall, "m"),
        fastest=figure(again * stall, "m/s"),
    )


def _fly(approach: _Approach, full: Opened) -> tuple[Array, Array]:
    """Height and fastest airspeed until the model is level again with the brake in."""
    flown, flight = approach.flown, approach.flown.flight

    def drag(coefficient: Array, speed: Array) -> Array:
        found: Array = drag_coefficients(flight.polar[:SEEN], coefficient[:, None], speed[:, None])[:, 0]
        return found + flight.other_drag[:SEEN]

    found = recovery(
        Upset(
            speed_m_s=np.full_like(full.drag, approach.airspeed_m_s),
            path_rad=np.zeros_like(full.drag),
            left_alone_s=flown.first("steering.reaction_s"),
            closing_s=flown.first("brake.closing_time_s"),
            free_lift=_held_lift(approach, full),
            pulled_lift=_PULLED * _ceiling(approach),
            brake_drag=full.drag,
            loading_N_m2=flight.loading_N_m2[:SEEN],
            density_kg_m3=flight.density_kg_m3[:SEEN],
        ),
        drag,
        GRAVITY_m_s2,
    )
    return found.height_lost_m, found.fastest_m_s


def _test_height_m(mistakes: tuple[Mistake, ...]) -> float:
    """Height to keep in the test: a multiple of the worst mistake, never less than practice."""
    worst = max((one.height.high or 0.0 for one in mistakes), default=0.0)
    return max(test_practice("least_test_height_m"), step_up_m(test_practice("height_reserve") * worst))


def _test(approach: _Approach, full: Opened, height_m: float, elevator: Rig | None) -> Iterator[str]:
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
    wanted = practice("steep_enough", "brake")
    ratio = float(np.median(1.0 / np.tan(full.path_rad)))
    word = "steeper" if ratio < wanted else "flatter"
    return (
        f"full-size sailplanes must come down at a glide ratio of {wanted:.0f} or less with full brake at "
        f"1.3 times the stall; this one, with {digits(ratio, 1)}, is {word}"
    )


def _tail_note(braking: Braking, approach: _Approach) -> Iterator[str]:
    loss = 1.0 - float(np.median(approach.tail_share))
    if loss > 0.0 and braking.blades.from_y_m > 0.0:
        yield (
            f"the blades stand ahead of part of the tail: their wake is taken to cost the elevator "
            f"{percent_text(loss)} of its effect; blades further out would not"
        )
