"""What must hold of linkages, servos and supply, each as a finding with its chance."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from glidewright.base.figure import Figure
from glidewright.base.units import unit
from glidewright.base.wording import digits, percent_text, plain_text
from glidewright.data import coefficient
from glidewright.decisions.steering.desk import Desk
from glidewright.decisions.steering.linkage import least_rod_angle
from glidewright.decisions.steering.loads import dive_loads, margin_of
from glidewright.decisions.steering.nouns import LinkageAnswer, SupplyAnswer, Throw
from glidewright.decisions.steering.rig import Rig
from glidewright.rules.chance import chance_of_figure
from glidewright.rules.finding import Finding, judged

Array = NDArray[np.float64]


def findings(
    desk: Desk,
    linkages: tuple[LinkageAnswer, ...],
    throws: tuple[Throw, ...],
    supply: SupplyAnswer | None,
) -> tuple[Finding, ...]:
    """Torque, binding, stops, play, rods, throws and supply; what is not known is not made a finding of."""
    found: list[Finding] = []
    for rig, answer in zip(desk.rigs, linkages, strict=True):
        found += _of_linkage(desk, rig, answer)
    found += _throws(throws)
    if supply is not None:
        found += _supply(supply)
    return tuple(found)


def _finding(
    name: str,
    title: str,
    value: Figure,
    chance: float | None,
    *,
    limit: str,
    consequence: str,
    at_least: float | None = None,
    at_most: float | None = None,
) -> Finding:
    return judged(
        name,
        title,
        value,
        chance,
        limit=limit,
        at_least=at_least,
        at_most=at_most,
        because=value.because,
        consequence=consequence,
        source="common practice",
    )


def _of_linkage(desk: Desk, rig: Rig, answer: LinkageAnswer) -> Iterator[Finding]:
    label = rig.control.label
    name = label.replace(" ", "_")
    yield from _torque(desk, rig, name, label)
    least = coefficient("control", "least_rod_angle_rad")
    ends = (1.0,) if rig.is_spoiler else (1.0, -1.0)
    angles = np.stack([least_rod_angle(rig, end) for end in ends])
    angle = np.nan_to_num(angles, nan=0.0).min(axis=0)
    yield _finding(
        f"{name}_binding",
        f"Free movement of the {label}",
        desk.figure(angle, "°"),
        float(np.mean(angle >= least)),
        limit=f"at least {plain_text(least, '°')} between rod and horn or arm",
        at_least=least,
        consequence="rod and horn nearly in line bind: use a longer horn, a shorter arm or less travel",
    )
    yield from _stop(rig, answer, name, label)
    yield from _play(rig, answer, name, label)
    yield from _rod(answer, name, label)


def _torque(desk: Desk, rig: Rig, name: str, label: str) -> Iterator[Finding]:
    loads = dive_loads(desk, rig)
    margin = None if loads is None else margin_of(desk, rig.servo, loads.torque_Nm)
    if margin is None:
        return
    wanted = coefficient("control", "torque_margin")
    yield _finding(
        f"{name}_torque",
        f"Torque margin of the {label} servo",
        desk.figure(margin, ""),
        float(np.mean(margin >= wanted)),
        limit=f"at least {digits(wanted, 0)} in a dive",
        at_least=wanted,
        consequence="a servo near its stall is slow, hot and hungry: use a stronger one or a shorter arm",
    )


def _stop(rig: Rig, answer: LinkageAnswer, name: str, label: str) -> Iterator[Finding]:
    share = answer.stop_share
    if share.value is None or share.low is None:
        return
    stop = rig.control.stop_rad
    assert stop is not None  # its share is known
    yield _finding(
        f"{name}_stop",
        f"Travel before the stop of the {label}",
        share,
        chance_of_figure(share, 1.0, None),
        limit="at least 100 % of the stated travel",
        at_least=1.0,
        consequence=f"the surface touches at {plain_text(stop.value, '°')} and the servo stalls: limit the "
        f"travel to {percent_text(max(share.low, 0.0))} or move the rod further out on the horn",
    )


def _play(rig: Rig, answer: LinkageAnswer, name: str, label: str) -> Iterator[Finding]:
    rows = {"elevator": "elevator_play_rad", "v-tail": "elevator_play_rad", "rudder": "rudder_play_rad"}
    row = rows.get(rig.control.surface)
    play = answer.play
    if row is None or play.value is None:
        return
    most = coefficient("control", row)
    yield _finding(
        f"{name}_play",
        f"Play of the {label}",
        play,
        chance_of_figure(play, None, most),
        limit=f"at most {plain_text(most, '°')}",
        at_most=most,
        consequence="the model wanders and may flutter: fit closer clevises, a longer horn or a better servo",
    )


def _rod(answer: LinkageAnswer, name: str, label: str) -> Iterator[Finding]:
    margin = answer.rod.margin
    if margin.value is None:
        return
    wanted = coefficient("control", "buckling_margin")
    yield _finding(
        f"{name}_rod",
        f"Buckling margin of the {label} rod",
        margin,
        chance_of_figure(margin, wanted, None),
        limit=f"at least {digits(wanted, 0)} times the push in a dive",
        at_least=wanted,
        consequence="the rod buckles and the surface gives way: set guides closer or use a stiffer rod",
    )


def _throws(throws: tuple[Throw, ...]) -> Iterator[Finding]:
    for throw in throws:
        if throw.chance is None:
            continue
        yield _finding(
            f"{throw.control}_{throw.way}_throw",
            f"Throw of the {throw.control}, {throw.way}",
            throw.travel,
            throw.chance,
            limit="at most 100 % of the stated travel",
            at_most=1.0,
            consequence="the linkage does not reach what the model needs: longer arm or shorter horn",
        )


def _supply(supply: SupplyAnswer) -> Iterator[Finding]:
    limit = supply.limit.value
    if limit is None or supply.held.value is None:
        return
    yield _finding(
        "servo_supply_held",
        "Servo supply with all surfaces held in a dive",
        supply.held,
        chance_of_figure(supply.held, None, limit),
        limit=f"at most {digits(unit('A').from_si(limit), 1)} A",
        at_most=limit,
        consequence="the receiver may drop out: use a controller with a stronger supply or lighter servos",
    )
