"""How an owner sets a build up for a rule: airspeed, throttle, timer and limiter for the best legal launch.

A limit on the climb is kept by less throttle at every airspeed that is tried, one on energy by a shorter
motor run, with less throttle or without, one on the height that no device keeps by an earlier stop.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glidewright.decisions.fairness.flying import Flying, Places, merit_of, own_cut_m, run_limit_s, stalls_m_s
from glidewright.decisions.fairness.frame import CENTRE, DAY, Settings
from glidewright.decisions.fairness.options import CLIMB, ENERGY, HEIGHT, bound_of, limit_on
from glidewright.domain.class_limits import ClassLimits, Limit
from glidewright.models.aero.glide import glide_speeds
from glidewright.models.air.atmosphere import GRAVITY_m_s2
from glidewright.models.launch import layout as ll
from glidewright.models.launch.climb_speed import FASTEST_OVER_STALL, SLOWEST_OVER_STALL

Array = NDArray[np.float64]

_HELD_FIRST, _HELD_CLOSER = 8, 5
_LEAST_DUTY, _DUTY_STEPS = 0.25, 4
_ENERGY_DUTIES = (1.0, 0.85, 0.7)
_RUN_STEPS, _CUT_STEPS, _TUNINGS = 3, 3, 5
_UNDER = 0.999  # an owner who tunes to a limit stops a hair below it
_ROOM = (
    0.98  # throw and wind add about so much to the climb of one launch in ten; the tuning sees to the rest
)
_UNDER_DAY = 0.995  # and a little more where launches differ, so that the next tuning ends the matter


@dataclass(frozen=True)
class Targets:
    """What the launch of every build may reach at its centre, infinite for no limit; shape (builds,)."""

    climb_m_s: Array
    energy_J: Array
    counted_m: Array

    def rows(self, places: Places) -> "Targets":
        """Those of some builds."""
        return Targets(self.climb_m_s[places], self.energy_J[places], self.counted_m[places])

    def with_room(self, held: NDArray[np.bool_]) -> "Targets":
        """The same with a little room below the limit on the climb for those who are held by it."""
        climb = np.where(held, _ROOM * self.climb_m_s, self.climb_m_s)
        return Targets(climb, self.energy_J, self.counted_m)


@dataclass(frozen=True)
class Owner:
    """Settings of all builds under one rule, what held their owners back, and their launches.

    held: by measure, shape (builds,): true where the best launch without that limit would break it; outputs:
    from launch to launch, shape (builds, draws, output fields); climb_m_s: as the limit on it takes it,
    shape (builds, draws).
    """

    settings: Settings
    held: dict[str, NDArray[np.bool_]]
    outputs: Array
    climb_m_s: Array


def owner_of(flying: Flying, ballast_kg: Array) -> Owner:
    """The settings of every owner; ballast_kg: carried for a least mass, shape (builds,).

    Targets are the limits themselves first; where too many launches of the tuned model would break one, its
    owner tunes to less, a few times at most.
    """
    base = _free(flying, ballast_kg)
    everybody = np.arange(len(flying.trains))
    targets = _targets(flying)
    settings = flying.best(base)
    held = _held(flying, everybody, settings, targets)
    some = np.flatnonzero(held[CLIMB] | held[ENERGY])
    if some.size:
        targets = targets.with_room(held[CLIMB])
        settings = _with_rows(settings, some, _best_held(flying, some, base.rows(some), targets.rows(some)))
    settings = _own_cut(flying, everybody, settings, targets)
    held[HEIGHT] = settings.cut_m < base.cut_m - 1e-9
    outputs, climb = flying.fly(DAY, everybody, settings)
    for _ in range(_TUNINGS):
        targets, over = _tighter(flying, outputs, climb, targets)
        some = np.flatnonzero(over[CLIMB] | over[ENERGY] | over[HEIGHT])
        if not some.size:
            break
        before = settings.rows(some).having(run_s=base.run_s[some])
        less, _ = _hold(flying, some, before, targets.rows(some))
        lower = _own_cut(flying, some, less, targets.rows(some))
        settings = _with_rows(settings, some, lower)
        outputs[some], climb[some] = flying.fly(DAY, some, lower)
        held = {measure: held[measure] | over[measure] for measure in held}
    return Owner(settings, held, outputs, climb)


def _free(flying: Flying, ballast_kg: Array) -> Settings:
    """Settings before any search: full throttle, the limits of the rule, the glide at least sink."""
    frame, count = flying.frame, len(flying.trains)
    block = frame.blocks[CENTRE]
    mass = np.array([train.mass_kg for train in flying.trains]) + ballast_kg
    area = np.full(count, block.launch[0, ll.WING_AREA_M2])
    density = np.full(count, block.launch[0, ll.GROUND_DENSITY_KG_M3])
    glide = glide_speeds(np.tile(block.polar, (count, 1)), mass, area, density, GRAVITY_m_s2)[0]
    return Settings(
        climb_m_s=glide,
        glide_m_s=glide,
        duty=np.ones(count),
        run_s=np.full(count, run_limit_s(flying.rule)),
        cut_m=np.full(count, own_cut_m(flying.rule)),
        ballast_kg=ballast_kg,
    )


def _targets(flying: Flying) -> Targets:
    count = len(flying.trains)

    def at_most(limit: Limit | None) -> Array:
        bound = bound_of(limit)
        return np.full(count, math.inf if bound is None else bound)

    return Targets(
        at_most(flying.climb), at_most(flying.energy), np.full(count, counted_bound_m(flying.rule))
    )


def counted_bound_m(rule: ClassLimits) -> float:
    """Highest reading that passes where no stop of a device keeps the limit; infinite otherwise."""
    limit = limit_on(rule, HEIGHT)
    bound = bound_of(limit)
    if limit is None or bound is None:
        return math.inf
    kept_by_stop = limit.stop_keeps and rule.cut_height_m is not None and rule.cut_height_m <= bound
    return math.inf if kept_by_stop else bound


def _held(
    flying: Flying, places: Places, settings: Settings, targets: Targets
) -> dict[str, NDArray[np.bool_]]:
    """Builds whose best launch would break the limit on climb or on energy, by measure."""
    nobody = np.zeros(places.size, dtype=np.bool_)
    if flying.climb is None and flying.energy is None:
        return {CLIMB: nobody, ENERGY: nobody}
    outputs, climb = flying.fly(CENTRE, places, settings)
    steep = np.maximum(climb[:, 0], flying.steep_m_s(places, settings))
    return {CLIMB: steep > targets.climb_m_s, ENERGY: _energy_J(outputs)[:, 0] > targets.energy_J}


def _energy_J(outputs: Array) -> Array:
    energy: Array = outputs[..., ll.END_STATE + ll.CHEMICAL_J]
    return energy


def _best_held(flying: Flying, places: Places, base: Settings, targets: Targets) -> Settings:
    """The best airspeed where throttle and run are taken back at every one until the targets are kept."""
    stall = stalls_m_s(flying, places, base)
    low, high = SLOWEST_OVER_STALL * stall, FASTEST_OVER_STALL * stall
    duties = np.array(_ENERGY_DUTIES if np.isfinite(targets.energy_J).any() else (1.0,))
    best_merit = np.full(places.size, -np.inf)
    best = base
    for number in range(2):
        count = _HELD_CLOSER if number else _HELD_FIRST
        speeds = low[:, None] + (high - low)[:, None] * np.linspace(0.0, 1.0, count)
        wide = count * duties.size
        back = np.repeat(np.arange(places.size), wide)
        tried = base.rows(back).having(
            climb_m_s=np.repeat(speeds, duties.size, axis=1).ravel(),
            duty=np.tile(duties, places.size * count),
        )
        tried, outputs = _hold(flying, places[back], tried, targets.rows(back))
        merit = merit_of(outputs).reshape(places.size, wide)
        chosen = np.argmax(merit, axis=1)
        rows = np.arange(places.size)
        is_better = merit[rows, chosen] > best_merit
        best_merit = np.where(is_better, merit[rows, chosen], best_merit)
        better = tried.rows(rows * wide + chosen)
        best = _with_rows(best, np.flatnonzero(is_better), better.rows(np.flatnonzero(is_better)))
        at = chosen // duties.size
        low, high = speeds[rows, np.maximum(at - 1, 0)], speeds[rows, np.minimum(at + 1, count - 1)]
    return best


def _hold(flying: Flying, which: Places, tried: Settings, targets: Targets) -> tuple[Settings, Array]:
    """Throttle, then run, taken back until climb and energy keep the targets; and the launches so flown."""
    if np.isfinite(targets.climb_m_s).any():
        climb = flying.steep_m_s(which, tried)
        over = np.flatnonzero(climb > targets.climb_m_s)
        if over.size:
            duty = _held_duty(flying, which[over], tried.rows(over), targets.climb_m_s[over], climb[over])
            tried = tried.having(duty=_put(tried.duty, over, duty))
    outputs, _ = flying.fly(CENTRE, which, tried)
    for _ in range(_RUN_STEPS):
        energy = _energy_J(outputs)[:, 0]
        over = np.flatnonzero(energy > targets.energy_J)
        if not over.size:
            break
        run = np.minimum(tried.run_s, outputs[:, 0, ll.MOTOR_RUN])[over]
        run = np.maximum(_UNDER * run * targets.energy_J[over] / energy[over], 0.5)
        tried = tried.having(run_s=_put(tried.run_s, over, run))
        outputs = _flown_again(flying, which, tried, over, outputs)
    return tried, outputs


def _held_duty(flying: Flying, which: Places, tried: Settings, target: Array, climb: Array) -> Array:
    """Throttle at which the climb just keeps its target, by the rule of false position from below."""
    low, high = np.full(which.size, _LEAST_DUTY), tried.duty.copy()
    climb_low, climb_high = np.zeros(which.size), climb.copy()
    low = np.minimum(low, high)
    for _ in range(_DUTY_STEPS):
        share = (_UNDER * target - climb_low) / np.maximum(climb_high - climb_low, 1e-9)
        duty = low + np.clip(share, 0.0, 1.0) * (high - low)
        now = flying.steep_m_s(which, tried.having(duty=duty))
        kept = now <= target
        low, climb_low = np.where(kept, duty, low), np.where(kept, now, climb_low)
        high, climb_high = np.where(kept, high, duty), np.where(kept, climb_high, now)
    kept_duty: Array = low
    return kept_duty


def _flown_again(flying: Flying, which: Places, tried: Settings, some: Places, outputs: Array) -> Array:
    again, _ = flying.fly(CENTRE, which[some], tried.rows(some))
    changed = outputs.copy()
    changed[some] = again
    return changed


def _put(values: Array, places: Places, new: Array) -> Array:
    changed = values.copy()
    changed[places] = new
    return changed


def _with_rows(settings: Settings, places: Places, new: Settings) -> Settings:
    return Settings(
        *(_put(getattr(settings, name), places, getattr(new, name)) for name in Settings.__dataclass_fields__)
    )


def _own_cut(flying: Flying, places: Places, settings: Settings, targets: Targets) -> Settings:
    """Stop so low that what still rises after it counts no more than the target, where no stop keeps it."""
    if not np.isfinite(targets.counted_m).any():
        return settings
    top = own_cut_m(flying.rule)
    for _ in range(_CUT_STEPS):
        outputs, _ = flying.fly(CENTRE, places, settings)
        counted = flying.frame.read_m(CENTRE, outputs[:, :, flying.counted])[:, 0]
        by_height = outputs[:, 0, ll.CUT_REASON] == ll.CUT_BY_HEIGHT
        over = counted - _UNDER * targets.counted_m
        move = np.where(by_height | (over > 0.0), over, 0.0)
        settings = settings.having(cut_m=np.clip(settings.cut_m - move, 1.0, top))
    return settings


def _tighter(
    flying: Flying, outputs: Array, climb: Array, targets: Targets
) -> tuple[Targets, dict[str, NDArray[np.bool_]]]:
    """Targets lowered where too many launches of the tuned model would break a limit, and for whom."""
    over = {measure: np.zeros(climb.shape[0], dtype=np.bool_) for measure in (CLIMB, ENERGY, HEIGHT)}
    lowered = {"climb_m_s": targets.climb_m_s, "energy_J": targets.energy_J, "counted_m": targets.counted_m}
    values = launch_values(flying, outputs, climb)
    for measure, name in ((CLIMB, "climb_m_s"), (ENERGY, "energy_J"), (HEIGHT, "counted_m")):
        limit = limit_on(flying.rule, measure)
        bound = bound_of(limit)
        if limit is None or bound is None or not np.isfinite(lowered[name]).any():
            continue
        reached = np.quantile(values[measure], limit.chance_needed, axis=1, method="higher")
        over[measure] = reached > bound
        lower = _UNDER_DAY * lowered[name] * bound / np.maximum(reached, 1e-9)
        lowered[name] = np.where(over[measure], lower, lowered[name])
    return Targets(**lowered), over


def launch_values(flying: Flying, outputs: Array, climb: Array) -> dict[str, Array]:
    """What the limits on a launch are on, by measure, shape (builds, draws), from launch to launch."""
    return {
        CLIMB: climb,
        ENERGY: _energy_J(outputs),
        HEIGHT: flying.frame.read_m(DAY, outputs[:, :, flying.counted]),
    }
