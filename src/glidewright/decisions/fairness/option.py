"""One option judged: all its answers from the entries that were flown, and which options no other beats."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from glidewright.base.figure import Figure
from glidewright.decisions.fairness.binding import (
    arithmetic,
    binds_of,
    limiter_share,
    removed_of,
    stops_of,
    words_on,
)
from glidewright.decisions.fairness.check import Devices, height_check
from glidewright.decisions.fairness.cost import (
    best_on_hand,
    cheapest,
    competitive,
    cost_new,
    cost_of_illegal,
    cost_to_buy,
    power_parts,
    share_of_best,
    worth_of_parts,
)
from glidewright.decisions.fairness.field import Entry
from glidewright.decisions.fairness.front import beaten_by, in_steps
from glidewright.decisions.fairness.look import Looked, title_of
from glidewright.decisions.fairness.nouns import EntryRow, FairRequest, OptionResult, Role, SensitivityRow
from glidewright.decisions.fairness.spread import Flown, figure_of, gap_of, spread_of
from glidewright.decisions.fairness.words import says_of
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.rule_options import RuleOption

GAP_STEP_m, COST_STEP, FREEDOM_STEP = 0.1, 1.0, 0.01
_ALL = "from parts other than their middles say, each model tuned anew; both entries drawn alike"


@dataclass(frozen=True)
class Found:
    """What was flown for one option: its place, all entries, those that may start, a closer look at two."""

    place: int
    entries: tuple[Entry, ...]
    flown: Flown
    best: Looked
    typical: Looked
    devices: Devices


def option_result(request: FairRequest, option: RuleOption, rule: ClassLimits, found: Found) -> OptionResult:
    """Everything about one option; whether another beats it is not known yet."""
    models, flown = request.models, found.flown
    at = cheapest(models, flown, request.within)
    none = "no competitive entry has a price for every part"
    unpriced = Figure.unknown("money", "money", none)
    owned = best_on_hand(models, flown)
    worth = worth_of_parts(models, found.entries, flown, found.place)
    by_parts = found.best.by_parts_m - found.typical.by_parts_m
    return OptionResult(
        name=option.name,
        note=option.note,
        says=says_of(rule, option),
        arithmetic=arithmetic(rule),
        entries=len(flown.entries),
        builds=len(found.entries),
        height=spread_of(flown.top_m, flown.height_m, "m", "m"),
        climb=spread_of(flown.climb_m_s, np.median(flown.climb_m_s, axis=1), "m/s", "m/s"),
        gap=gap_of(flown),
        gap_by_parts=figure_of(by_parts, "m", "m", _ALL),
        competitive=len(competitive(flown, request.within)),
        cost=unpriced if at is None else cost_new(models, flown.entries[at]),
        cost_to_buy=unpriced if at is None else cost_to_buy(models, flown.entries[at]),
        freedom=_freedom(found),
        stops=stops_of(flown),
        limiter_stops=limiter_share(flown),
        binds=binds_of(flown, rule),
        removed=removed_of(found.entries, found.place),
        on_hand=share_of_best(flown, owned, "no legal and sound build has only parts on hand"),
        parts=worth,
        illegal_cost=cost_of_illegal(models, worth),
        rows=tuple(_rows(request, flown, at, owned)),
        sensitivity=_sensitivity(found),
        check=height_check(flown, rule, models[0].field, found.devices, request.wrong),
        unbeaten=True,
        beaten_by=(),
    )


def _freedom(found: Found) -> Figure:
    """Share of the builds that are sound under some option which may start under this one."""
    sound = [entry for entry in found.entries if any(own is not None for own in entry.launches)]
    share = len(found.flown.entries) / len(sound)
    because = f"{len(found.flown.entries)} of {len(sound)} builds whose parts stay inside their own limits"
    return Figure.exact(share, "1", "%", "typical", because)


def _rows(request: FairRequest, flown: Flown, cheap: int | None, owned: int | None) -> Iterator[EntryRow]:
    named: list[tuple[Role, int | None]] = [
        ("best", flown.best),
        ("typical", flown.typical),
        ("competitive", cheap),
        ("on_hand", owned),
    ]
    for role, place in named:
        if place is not None:
            yield _row(request, flown, role, place)
    best_of: dict[tuple[int, str], int] = {}
    for place, entry in enumerate(flown.entries):
        key = (entry.airframe, entry.build.motor)
        if key not in best_of or flown.height_m[place] > flown.height_m[best_of[key]]:
            best_of[key] = place
    for place in sorted(best_of.values(), key=lambda one: (-float(flown.height_m[one]), one)):
        yield _row(request, flown, "motor", place)


def _row(request: FairRequest, flown: Flown, role: Role, place: int) -> EntryRow:
    entry, own = flown.entries[place], flown.launches[place]
    model = request.models[entry.airframe]
    motor, controller, pack, propeller = (part.id for part in power_parts(model, entry.build))
    return EntryRow(
        role=role,
        airframe=model.name,
        motor=motor,
        controller=controller,
        pack=pack,
        propeller=propeller,
        height=figure_of(flown.top_m[place], "m", "m"),
        climb=figure_of(flown.climb_m_s[place], "m/s", "m/s"),
        climb_speed_m_s=own.climb_speed_m_s,
        throttle=own.duty,
        run_s=own.run_s,
        ballast_kg=own.ballast_kg + entry.balance_kg,
        binds=words_on(own),
        cost_new=cost_new(request.models, entry),
        cost_to_buy=cost_to_buy(request.models, entry),
    )


def _sensitivity(found: Found) -> tuple[SensitivityRow, ...]:
    return tuple(
        SensitivityRow(
            name=name,
            title=title_of(name),
            best=figure_of(draws, "m", "m"),
            typical=figure_of(found.typical.changes_m[name], "m", "m"),
        )
        for name, draws in found.best.changes_m.items()
    )


def judged(results: Sequence[OptionResult]) -> tuple[OptionResult, ...]:
    """The options with those named that beat them: gap and cost as small, freedom as large as may be.

    Compared in the steps in which they are shown; a cost that is not known counts as the highest.
    """
    rows = [
        (
            in_steps(one.gap.value or 0.0, GAP_STEP_m),
            float("inf") if one.cost.value is None else in_steps(one.cost.value, COST_STEP),
            -in_steps(one.freedom.value or 0.0, FREEDOM_STEP),
        )
        for one in results
    ]
    beaten = beaten_by(rows)
    return tuple(
        one.model_copy(update={"unbeaten": not by, "beaten_by": tuple(results[place].name for place in by)})
        for one, by in zip(results, beaten, strict=True)
    )
