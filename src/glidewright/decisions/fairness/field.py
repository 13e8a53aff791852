"""The field: every build of a drawer on one airframe, set up by its owner for every rule, and flown.

The work is cut into shares of builds. A share knows nothing of the others, so that any executor may run them
in any order, on any machine, with the same numbers.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glidewright.decisions.choosing.builds import Build
from glidewright.decisions.fairness.build import (
    Memo,
    Ready,
    broken_on_ground,
    least_mass_ballast_kg,
    measured,
    ready_of,
)
from glidewright.decisions.fairness.flying import Flying, Known
from glidewright.decisions.fairness.frame import DAY, Frame
from glidewright.decisions.fairness.legal import OF_LAUNCH, OF_MASS, Broken, broken_in_flight
from glidewright.decisions.fairness.parts import broken_parts
from glidewright.decisions.fairness.setup import Owner, owner_of
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.model import Model
from glidewright.forecast.setup import prepare
from glidewright.models.launch import layout as ll

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Share:
    """A piece of the work: some builds on one airframe under all rules; all of it can be sent elsewhere."""

    airframe: int
    model: Model
    builds: tuple[Build, ...]
    rules: tuple[ClassLimits, ...]
    draws: int


@dataclass(frozen=True)
class Launches:
    """One entry flown under one rule from launch to launch: its settings, and draws, shape (draws,).

    top_m: highest point over ground, where the glide begins; counted_m: as the class counts it, on a device
    without an error; reason: what stopped the motor, as the kernel numbers it; held: limits on the launch
    that held the owner back.
    """

    climb_speed_m_s: float
    glide_speed_m_s: float
    duty: float
    run_s: float
    cut_m: float
    ballast_kg: float
    held: tuple[str, ...]
    top_m: Array
    counted_m: Array
    climb_m_s: Array
    run_flown_s: Array
    zoom_m: Array
    reason: NDArray[np.int8]


@dataclass(frozen=True)
class Entry:
    """A build on an airframe: what it breaks under every rule, and its launches where it is legal and sound.

    broken, launches: one place a rule; balance_kg: ballast at nose or tail that brings it into its range.
    """

    airframe: int
    build: Build
    mass_kg: float
    balance_kg: float
    broken: tuple[tuple[Broken, ...], ...]
    launches: tuple[Launches | None, ...]


def fly_share(share: Share) -> tuple[Entry, ...]:
    """All entries of a share, in the order of its builds.

    Rules that ask the same of a launch are flown once.
    """
    memo: Memo = {}
    ready = [ready_of(share.model, build, share.rules, memo) for build in share.builds]
    sound = [one for one in ready if one.train is not None]
    frame = None if not sound else Frame(prepare(sound[0].model, None, share.draws))
    values = [measured(one, share.rules) for one in ready]
    static = [
        {id(one): broken_on_ground(one, own, rule) for one, own in zip(ready, values, strict=True)}
        for rule in share.rules
    ]
    flown: dict[tuple[object, ...], dict[int, _Outcome]] = {}
    known: Known = {}
    for rule, legal in zip(share.rules, static, strict=True):
        places = [id(one) for one in sound if not legal[id(one)]]
        flown.setdefault(_asked(rule), {}).update(dict.fromkeys(places))
    for key, outcomes in flown.items():
        rule = next(rule for rule in share.rules if _asked(rule) == key)
        alive = [one for one in sound if id(one) in outcomes]
        if frame is not None and alive:
            outcomes.update(_under(frame, alive, rule, known))
    rows = [
        [
            _entry_under(one, legal, flown[_asked(rule)])
            for rule, legal in zip(share.rules, static, strict=True)
        ]
        for one in ready
    ]
    return tuple(
        Entry(
            share.airframe,
            one.build,
            one.mass_kg,
            one.balance_kg,
            tuple(broken for broken, _ in row),
            tuple(launches for _, launches in row),
        )
        for one, row in zip(ready, rows, strict=True)
    )


def _asked(rule: ClassLimits) -> tuple[object, ...]:
    """All that a rule says of a launch and of the mass that it is made with."""
    own = (*OF_LAUNCH, *OF_MASS)
    limits = tuple(limit for limit in rule.limits if limit.measure in own)
    return (rule.motor_run_s, rule.motor_run_from, rule.cut_height_m, rule.height, limits)


_Outcome = tuple[list[Broken], Launches | None] | None


def _entry_under(
    one: Ready, legal: dict[int, list[Broken]], flown: dict[int, _Outcome]
) -> tuple[tuple[Broken, ...], Launches | None]:
    broken, outcome = legal[id(one)], flown.get(id(one))
    if broken or outcome is None:
        return tuple(broken), None
    return tuple(outcome[0]), outcome[1]


def _under(frame: Frame, alive: Sequence[Ready], rule: ClassLimits, known: Known) -> dict[int, _Outcome]:
    """What every build breaks in flight under a rule, and its launches where it breaks nothing."""
    flying = Flying(frame, [one.train for one in alive if one.train is not None], rule, known)
    owner = owner_of(flying, np.array([least_mass_ballast_kg(one, rule) for one in alive]))
    in_flight = broken_in_flight(flying, owner)
    of_parts = broken_parts(flying, [one.model for one in alive], owner.settings)
    counted = frame.perfect_m(DAY, owner.outputs[:, :, flying.counted])
    found: dict[int, _Outcome] = {}
    for row, one in enumerate(alive):
        broken = [*in_flight[row], *of_parts[row]]
        found[id(one)] = (broken, None if broken else _launches(owner, row, counted[row]))
    return found


def _launches(owner: Owner, row: int, counted_m: Array) -> Launches:
    settings, own = owner.settings, owner.outputs[row]
    return Launches(
        climb_speed_m_s=float(settings.climb_m_s[row]),
        glide_speed_m_s=float(settings.glide_m_s[row]),
        duty=float(settings.duty[row]),
        run_s=float(settings.run_s[row]),
        cut_m=float(settings.cut_m[row]),
        ballast_kg=float(settings.ballast_kg[row]),
        held=tuple(measure for measure, held in owner.held.items() if held[row]),
        top_m=own[:, ll.TOP_HEIGHT].copy(),
        counted_m=counted_m,
        climb_m_s=own[:, ll.MEAN_CLIMB].copy(),
        run_flown_s=own[:, ll.MOTOR_RUN].copy(),
        zoom_m=own[:, ll.ZOOM_GAIN].copy(),
        reason=own[:, ll.CUT_REASON].astype(np.int8),
    )
