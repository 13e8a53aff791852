"""The changes that would help most: each is computed through the models, none is written down."""

from collections.abc import Iterator
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from glidewright.base.errors import OutsideModelError
from glidewright.base.figure import Figure, Given
from glidewright.base.wording import chance_text
from glidewright.decisions.balancing.places import MOST_BALLAST_KG, bays_for
from glidewright.decisions.changed_model import with_added, with_part, without_taught
from glidewright.decisions.judgement import judge
from glidewright.decisions.nouns import Change, ChangeKind
from glidewright.decisions.purchase import cost_figure
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.correction import Correction
from glidewright.domain.model import Model
from glidewright.domain.parts import Altimeter, Ballast, Controller, Motor, Pack, Part, Propeller
from glidewright.forecast.kernel_rows import Orders
from glidewright.forecast.predict import Forecast, forecast
from glidewright.forecast.setup import prepare
from glidewright.forecast.spread import Input
from glidewright.rules.drive import DRIVE_TITLE
from glidewright.rules.finding import CHANCE_NEEDED, Finding

SCREEN_DRAWS, JUDGE_DRAWS = 32, 64
JUDGED = 5
TOLD = 3
WORTH_TELLING = 0.05  # of the score: one doubtful limit in twenty draws
HEIGHT_WEIGHT, LAUNCHES_WEIGHT, MASS_WEIGHT = 0.5, 0.5, 0.5
OF_ONE_SLOT = 2
Slot = tuple[type[Part], str]
_SWAPPED: tuple[Slot, ...] = (
    (Motor, "motor"),
    (Controller, "controller"),
    (Pack, "pack"),
    (Propeller, "propeller"),
)


@dataclass(frozen=True)
class Candidate:
    """A changed model, in words; of one slot only the best is told."""

    slot: str
    kind: ChangeKind
    title: str
    model: Model
    part: Part | None = None


@dataclass(frozen=True)
class Merit:
    """What counts for a score: chances of keeping limits by name, and the size of a launch."""

    chances: dict[str, tuple[str, float]]
    height_m: float
    launches: float
    mass_kg: float = field(default=float("nan"))


def best_changes(base: Forecast, rule: ClassLimits | None, correction: Correction) -> tuple[Change, ...]:
    """At most three single changes with the highest gain, each computed on the same draws as the model.

    All candidates are flown over few draws at the climb airspeed of the model as it is; the most promising
    ones again over more draws, each at its own best airspeed and with all launches of a charge.
    """
    model = base.setup.model
    speed = base.orders.climb_speed_m_s if base.orders else None
    screen = _Judge(rule, correction, SCREEN_DRAWS, climb_speed_m_s=speed, like=base.orders)
    start = screen.merit(model)
    if start is None:
        return ()
    screened = []
    for candidate in (*_swaps(model, rule), *_balance(base), *_settings(model, rule)):
        merit = screen.merit(candidate.model, candidate.part)
        if merit is not None and _says_as_much(start, merit):
            screened.append((score(start, merit), candidate))
    screened.sort(key=lambda pair: -pair[0])
    closer = _Judge(rule, correction, JUDGE_DRAWS, with_many=True, like=base.orders)
    start = closer.merit(model)
    assert start is not None  # it could be computed with fewer draws
    judged = []
    for candidate in _one_a_slot([candidate for _, candidate in screened])[:JUDGED]:
        merit = closer.merit(candidate.model, candidate.part)
        if merit is not None:
            judged.append((score(start, merit), candidate, merit))
    judged.sort(key=lambda row: -row[0])
    told: dict[str, Change] = {}
    for gain, candidate, merit in judged:
        if gain > WORTH_TELLING and candidate.slot not in told:
            told[candidate.slot] = _told(start, gain, candidate, merit)
    return tuple(told.values())[:TOLD]


def score(before: Merit, after: Merit) -> float:
    """Chances gained over the limits that both can judge, plus half the relative gain in a launch's size.

    That a seller states a limit is no gain; breaking a limit that was not stated before is a loss.
    """
    gained = 0.0
    for name, (_, chance) in sorted(after.chances.items()):
        if name in before.chances:
            gained += chance - before.chances[name][1]
        else:
            gained += min(0.0, chance - CHANCE_NEEDED)
    relative = HEIGHT_WEIGHT * _share(before.height_m, after.height_m)
    relative += LAUNCHES_WEIGHT * _share(before.launches, after.launches)
    relative -= MASS_WEIGHT * _share(before.mass_kg, after.mass_kg)
    return gained + relative


def _says_as_much(before: Merit, after: Merit) -> bool:
    """Whether a change leaves known what was known: a part without a mass would only hide what is wrong."""
    pairs = ((before.height_m, after.height_m), (before.mass_kg, after.mass_kg))
    return not any(np.isfinite(old) and not np.isfinite(new) for old, new in pairs)


def _share(before: float, after: float) -> float:
    """Relative growth; nothing while either is unknown."""
    if not (np.isfinite(before) and np.isfinite(after) and before > 0):
        return 0.0
    return after / before - 1.0


@dataclass(frozen=True)
class _Judge:
    """How closely candidates are computed."""

    rule: ClassLimits | None
    correction: Correction
    draws: int
    with_many: bool = False
    climb_speed_m_s: float | None = None
    like: Orders | None = None
    memo: dict[tuple[str, ...], dict[Input, NDArray[np.float64]]] = field(default_factory=dict)

    def merit(self, model: Model, swapped: Part | None = None) -> Merit | None:
        """Chances and size of a launch of a model; nothing when no model covers a part of it.

        swapped: the part that stands in the place of another, of which the bench has taught nothing.
        """
        correction = self.correction if swapped is None else without_taught(self.correction, type(swapped))
        memo = self.memo.setdefault(correction.names, {})
        try:
            setup = prepare(model, self.rule, self.draws, correction, memo)
        except OutsideModelError:
            return None
        found = forecast(
            setup,
            with_trace=False,
            with_many=self.with_many,
            with_causes=False,
            with_power_curves=False,
            with_glide=self.with_many,
            climb_speed_m_s=self.climb_speed_m_s,
            like=self.like,
        )
        median = {name: _median(found, name) for name in ("height_true_m", "launches", "mass_kg")}
        chances = {_key(f): (f.title, f.chance) for f in judge(found) if f.chance is not None}
        if found.points is not None:  # no finding is made of a motor that turns its propeller in every draw
            chances.setdefault("part:drive", (DRIVE_TITLE, 1.0))
        return Merit(chances, median["height_true_m"], median["launches"], median["mass_kg"])


def _median(found: Forecast, name: str) -> float:
    draws = found.prediction.draws(name)
    return float("nan") if draws is None else float(np.median(draws))


def _key(finding: Finding) -> str:
    return f"{finding.kind}:{finding.name}"


def _swaps(model: Model, rule: ClassLimits | None) -> Iterator[Candidate]:
    """Every other motor, controller, pack and propeller of the drawer in the place of the fitted one.

    Packs of more cells or capacity than the class allows are left out: no gain elsewhere makes them legal.
    """
    for kind, word in _SWAPPED:
        fitted = next(model.of_kind(kind), None)
        if fitted is None:
            continue
        item, old = fitted
        for part in model.drawer:
            if isinstance(part, kind) and part.id != old.id and not _is_beyond(part, rule):
                where = "from the drawer" if part.on_hand else "to be bought"
                title = f"fit {part.name} ({word}, {where}) for {old.name}"
                place = {axis: getattr(item.part, axis) for axis in ("x_m", "y_m", "z_m")}
                placed = part.model_copy(update=place)
                yield Candidate(word, "part", title, with_part(model, item, placed), part)


def _is_beyond(part: Part, rule: ClassLimits | None) -> bool:
    """Whether the label of a pack alone is more than the class allows."""
    if rule is None or not isinstance(part, Pack):
        return False
    labels = {"cells": float(part.cells), "capacity": part.capacity_As.value}
    return any(
        limit.at_most is not None and labels.get(limit.measure, 0.0) > limit.at_most + limit.tolerance
        for limit in rule.limits
    )


def _balance(base: Forecast) -> Iterator[Candidate]:
    """Move the pack, or add ballast at either end, so that the median comes to the middle of the range."""
    model, airframe = base.setup.model, base.setup.model.airframe
    centre, mass = base.prediction.draws("cg_x_m"), base.prediction.draws("mass_kg")
    if centre is None or mass is None or not (airframe.balance_front_x_m and airframe.balance_rear_x_m):
        return
    target = 0.5 * (airframe.balance_front_x_m.value + airframe.balance_rear_x_m.value)
    missing_kg_m = float(np.median(mass)) * (target - float(np.median(centre)))
    yield from _move_pack(model, missing_kg_m)
    places = [item.part.x_m.value for item in model.items if item.part.x_m is not None]
    for end, place in (("nose", min(places)), ("tail", max(places))):
        # the nearer to the middle of the range, the more is needed; there, none is enough
        if 0.0 < missing_kg_m / (place - target or np.inf) <= MOST_BALLAST_KG:
            added = missing_kg_m / (place - target)
            given = Given(value=added, grade="measured", because="computed ballast")
            spot = Given(value=place, grade="measured", because="put exactly there")
            part = Ballast(id=f"ballast-{end}", title="ballast", mass_kg=given, x_m=spot)
            title = f"add {1e3 * added:.0f} g of ballast at the {end} (x = {1e3 * place:.0f} mm)"
            yield Candidate("balance", "ballast", title, with_added(model, f"ballast {end}", part))


def _move_pack(model: Model, missing_kg_m: float) -> Iterator[Candidate]:
    """The pack moved as far as its bays let it; without bays, between the motor and the front of the wing."""
    found = next(model.of_kind(Pack), None)
    motor = model.first(Motor)
    if found is None or found[1].mass_kg is None or found[1].x_m is None:
        return
    item, pack = found
    assert pack.mass_kg is not None and pack.x_m is not None  # seen above
    wanted = pack.x_m.value + missing_kg_m / pack.mass_kg.value
    spans = [(bay.name, span) for bay, span in bays_for(model, item, pack) if span[0] <= span[1]]
    if not spans:
        foremost = motor.x_m.value if motor is not None and motor.x_m is not None else pack.x_m.value
        spans = [("if the body has room", (foremost, max(0.0, pack.x_m.value)))]
    places = [(round(min(max(wanted, first), last), 3) + 0.0, name) for name, (first, last) in spans]
    place, where = min(places, key=lambda one: abs(one[0] - wanted))  # + 0.0: no negative zero
    if abs(place - pack.x_m.value) < 0.001:
        return
    moved = pack.model_copy(
        update={"x_m": Given(value=place, grade="measured", because="moved to this place")}
    )
    way = "aft" if place > pack.x_m.value else "forward"
    shift_mm = 1e3 * abs(place - pack.x_m.value)
    where = where if where.startswith("if") else f"in the {where}"
    title = f"move the pack {shift_mm:.0f} mm {way}, to x = {1e3 * place:.0f} mm, {where}"
    yield Candidate("balance", "place", title, with_part(model, item, moved))


def _settings(model: Model, rule: ClassLimits | None) -> Iterator[Candidate]:
    """Settings that cost nothing: the limiter at the class height, the best climb speed."""
    for item, altimeter in model.of_kind(Altimeter):
        if not altimeter.stops_motor or rule is None or rule.cut_height_m is None:
            continue
        if altimeter.cut_height_m is None or altimeter.cut_height_m.value != rule.cut_height_m:
            wanted = Given(value=rule.cut_height_m, grade="quoted", because="the class height")
            changed = altimeter.model_copy(update={"cut_height_m": wanted})
            title = f"set {item.name} to {rule.cut_height_m:g} m, the height of the class"
            yield Candidate("limiter", "setting", title, with_part(model, item, changed))
    if model.launch.climb_speed_m_s is not None:
        plan = model.launch.model_copy(update={"climb_speed_m_s": None})
        title = "climb at the best airspeed instead of the stated one"
        yield Candidate("climb speed", "setting", title, model.model_copy(update={"launch": plan}))


def _one_a_slot(candidates: list[Candidate]) -> list[Candidate]:
    """The first few of each slot, in order, so that no slot crowds out the others."""
    seen: dict[str, int] = {}
    kept = []
    for candidate in candidates:
        seen[candidate.slot] = seen.get(candidate.slot, 0) + 1
        if seen[candidate.slot] <= OF_ONE_SLOT:
            kept.append(candidate)
    return kept


def _told(before: Merit, gain: float, candidate: Candidate, after: Merit) -> Change:
    part = candidate.part
    return Change(
        title=candidate.title,
        kind=candidate.kind,
        effects=_effects(before, after),
        score=gain,
        cost=_cost(part),
        ready=_ready(part),
    )


def _effects(before: Merit, after: Merit) -> tuple[str, ...]:
    """What a change does: the greatest gain, then every loss, then the rest, each by its size."""
    sized = []
    for key, (title, chance) in after.chances.items():
        if key in before.chances and abs(moved := chance - before.chances[key][1]) >= WORTH_TELLING:
            was, now = chance_text(before.chances[key][1]), chance_text(chance)
            sized.append((moved, f"{title.lower()}: chance to keep it {was} -> {now}"))
    for words, old, new, form, sign in (
        ("launch height", before.height_m, after.height_m, "{:.0f} m", 1.0),
        ("useful launches", before.launches, after.launches, "{:.0f}", 1.0),
        ("mass", 1e3 * before.mass_kg, 1e3 * after.mass_kg, "{:.0f} g", -1.0),
    ):
        if form.format(old) != form.format(new):
            sized.append((sign * _share(old, new), f"{words} {form.format(old)} -> {form.format(new)}"))
    by_size = sorted(sized, key=lambda pair: -abs(pair[0]))
    gains = [text for size, text in by_size if size > 0.0]
    losses = [text for size, text in by_size if size <= 0.0]
    return (*gains[:1], *losses, *gains[1:])


def _cost(part: Part | None) -> Figure | None:
    """Price and postage of a part that has to be bought."""
    return None if part is None or part.on_hand else cost_figure([part])


def _ready(part: Part | None) -> str:
    if part is None or part.on_hand:
        return "at once"
    if part.lead_time_s is None:
        return "lead time not stated"
    return f"in about {part.lead_time_s.value / 86400.0:.0f} days"
