"""The approach with the brake at some share: path, elevator that holds the airspeed, what happens without."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from glidewright.decisions.gliding.brake import STALL_SHARE, Braking, braking_of
from glidewright.decisions.gliding.handling_flow import SEEN, Handled, handled_at
from glidewright.decisions.steering.flight import Flown
from glidewright.decisions.steering.rig import Rig, first_of
from glidewright.domain.geometry_places import Piece, tail_pieces, wing_pieces
from glidewright.models.aero.brake import BRAKE, brake_effect, brake_turn_rad, section_lift_loss, with_brake
from glidewright.models.aero.buildup import brake_drag_area_m2
from glidewright.models.aero.derivatives import linear_balance
from glidewright.models.aero.glide import path_down_rad
from glidewright.models.aero.glider import TAIL_TURN, WING_TURN
from glidewright.models.aero.polar import drag_coefficients, lift_ceilings
from glidewright.models.aero.shape import Twist
from glidewright.models.aero.upset import Upset, recovery
from glidewright.models.air.atmosphere import GRAVITY_m_s2

Array = NDArray[np.float64]
_PULLED = 0.9  # of the lift ceiling: a hand does not pull to the stall; our judgement
_LEAST_LIFT = 0.1  # a model left alone is not looked at below this lift coefficient; our judgement


@dataclass(frozen=True)
class Opened:
    """The brake at one share of its travel over the first draws, (SEEN,).

    drag, section_loss, lift_loss: coefficients; path_rad: downwards; elevator_rad: that holds the airspeed,
    down positive; free_lift: lift coefficient that the model settles at without it.
    """

    opening_rad: Array
    drag: Array
    section_loss: Array
    lift_loss: Array
    path_rad: Array
    elevator_rad: Array
    free_lift: Array


@dataclass(frozen=True)
class Approach:
    """What every share of the brake is worked out with, over the first draws, (SEEN,).

    rig: the linkage of the first spoiler; level_lift: lift coefficient of level flight at the airspeed;
    lever: pitching-moment coefficient for a drag coefficient of 1 at the blades, nose up; place: the same for
    a section that loses a lift coefficient of 1 at the stated place of its chord; tail_share: share of its
    effect that the elevator keeps in the wake of the full brake.
    """

    flown: Flown
    braking: Braking
    at: Handled
    rig: Rig | None
    airspeed_m_s: float
    level_lift: Array
    lever: Array
    place: Array
    tail_share: Array


def approach_of(flown: Flown) -> Approach:
    """The approach at its usual airspeed; the shape must state a spoiler."""
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
    return Approach(
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


def opened(approach: Approach, share: float) -> Opened:
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


def _free_lift(approach: Approach, turned: Array, extra: Array) -> Array:
    """Lift coefficient that the model settles at with the elevator where it was."""
    slopes = approach.at.slopes
    pushed = slopes.of("pitch", BRAKE) * turned + extra
    alpha = -pushed / slopes.of("pitch", "alpha")
    found: Array = (
        approach.level_lift + slopes.of("lift", BRAKE) * turned + slopes.of("lift", "alpha") * alpha
    )
    return found


def _opening(approach: Approach, share: float) -> Array:
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


def _closed_drag(approach: Approach, lift: Array) -> Array:
    flight = approach.flown.flight
    speed = np.full((approach.level_lift.size, 1), approach.airspeed_m_s)
    found: Array = drag_coefficients(flight.polar[:SEEN], lift[:, None], speed)[:, 0]
    return found + flight.other_drag[:SEEN]


def stall_open_m_s(approach: Approach, full: Opened) -> Array:
    """Stalling speed with the brake full."""
    braking = approach.braking
    flight = replace(
        braking.flight,
        **{name: getattr(braking.flight, name)[:SEEN] for name in vars(braking.flight)},
    )
    return replace(braking, flight=flight).stall_m_s(full.lift_loss)


def _ceiling(approach: Approach) -> Array:
    """Lift ceiling with the brake closed."""
    speed = np.full((approach.level_lift.size, 1), approach.airspeed_m_s)
    return lift_ceilings(approach.flown.flight.polar[:SEEN], speed)[:, 0]


def _held_lift(approach: Approach, full: Opened) -> Array:
    """Lift coefficient that it flies with when left alone, no more than the braked wing carries."""
    most = np.maximum(_ceiling(approach) - full.lift_loss, 2.0 * _LEAST_LIFT)
    found: Array = np.clip(full.free_lift, _LEAST_LIFT, most)
    return found


def left_alone_m_s(approach: Approach, full: Opened) -> Array:
    """Airspeed that the model settles at with the brake full and the elevator where it was."""
    lift = _held_lift(approach, full)
    found: Array = approach.airspeed_m_s * np.sqrt(approach.level_lift * np.cos(full.path_rad) / lift)
    return found


def mistake_flown(approach: Approach, full: Opened) -> tuple[Array, Array]:
    """Height lost in m and fastest airspeed in m/s until the model is level again, (SEEN,).

    The brake is opened fully at the approach airspeed without any elevator, and closed as the pilot reacts.
    """
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
