"""Builds in words and figures: what changes, what each goal comes to, what must be bought."""

import math
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol

from glidewright.base.figure import Figure
from glidewright.base.units import unit
from glidewright.base.wording import digits, percent_text
from glidewright.decisions.choosing.axes import AXES, Axes
from glidewright.decisions.choosing.builds import Build, parts_of, to_buy
from glidewright.decisions.choosing.goals import GOALS, Goal
from glidewright.decisions.choosing.loads import LOADS
from glidewright.decisions.choosing.nouns import BrokenLimit, Choice, PartRecord, Purchase
from glidewright.decisions.choosing.settle import Settled, build_of, compared, given_away
from glidewright.decisions.choosing.sieve import Kept, Sieve
from glidewright.decisions.choosing.simulate import OF_AIRFRAME, Flown
from glidewright.decisions.nouns import NamedFigure
from glidewright.decisions.purchase import cost_figure, ready_figure
from glidewright.domain.model import Model
from glidewright.domain.parts import Motor, Pack, Part, Servo
from glidewright.rules.finding import Finding

_AT_MIDDLE = "the number is at the middle of every input, its range over the draws"
SINGLE_TITLES = ("motor", "controller", "pack", "propeller")


@dataclass(frozen=True)
class Answerer:
    """Turns rows of a search into choices."""

    model: Model
    sieve: Sieve
    flown: Mapping[int, Flown]

    @property
    def axes(self) -> Axes:
        """The axes of the search."""
        return self.sieve.axes

    def choice(self, kept: Kept, row: int, equals: int = 0) -> Choice:
        """One row that was flown."""
        build = build_of(self.axes, self.sieve.frame.places, kept, row)
        middles = {name: float(column[row]) for name, column in kept.values.items()}
        return self.told(build, middles, self.flown[int(kept.flat[row])], equals)

    def told(self, build: Build, middles: Mapping[str, float], found: Flown, equals: int = 0) -> Choice:
        """A build with its values at the middle by column, and what its flights showed."""
        bought = to_buy(self.model, build)
        place = int(middles["margin_by"])
        least = min(_decided(found.findings), key=lambda one: one.chance or 0.0, default=None)
        return Choice(
            build=build,
            parts=tuple(self._names(build)),
            does=tuple(self._does(build)),
            values=tuple(_values(middles, found, bought)),
            purchases=tuple(_purchases(bought)),
            margin_by=LOADS[place].title if math.isfinite(middles["margin"]) else "",
            chance_balance=found.chance_balance,
            least_chance=None if least is None else least.chance,
            least_chance_of="" if least is None else least.title,
            not_stated=tuple(
                one.title
                for one in found.findings
                if one.severity == "unknown" and one.name not in OF_AIRFRAME and one.kind != "field"
            ),
            equals=equals,
        )

    def _names(self, build: Build) -> Iterator[str]:
        parts = {part.id: part for part in parts_of(self.model, build)}
        for role in SINGLE_TITLES:
            name = parts[getattr(build, role)].name
            yield (
                f"{name}, on the yoke of {parts[build.yoke].name}"
                if role == "propeller" and build.yoke
                else name
            )
        count = Counter(build.servos)
        yield ", ".join(f"{number} x {parts[part_id].name}" for part_id, number in count.items())

    def _does(self, build: Build) -> Iterator[str]:
        """What to do, in words: parts, then places, then ballast."""
        parts = {part.id: part for part in parts_of(self.model, build)}
        fitted = self.axes.fitted
        for role in SINGLE_TITLES:
            new = getattr(build, role)
            if new != getattr(fitted, role):
                yield f"fit {_named(parts[new])} as {role}"
        if build.yoke:
            yield f"put its blades on the yoke of {_named(parts[build.yoke])}"
        items = [item.name for item, _ in self.model.of_kind(Servo)]
        changed: dict[str, list[str]] = {}
        for name, old, new in zip(items, fitted.servos, build.servos, strict=True):
            if old != new:
                changed.setdefault(new, []).append(name)
        for part_id, names in changed.items():
            yield f"fit {_named(parts[part_id])} as {' and '.join(names)}"
        for kind, x_m in ((Motor, build.motor_x_m), (Pack, build.pack_x_m)):
            item = next((own for own, _ in self.model.of_kind(kind)), None)
            if x_m is not None and item is not None and item.part.x_m is not None:
                yield _moved(item.name, item.part.x_m.value, x_m)
        for end, mass_kg in (("nose", build.nose_ballast_kg), ("tail", build.tail_ballast_kg)):
            if mass_kg > 0.0:
                yield f"{digits(1e3 * mass_kg, 1)} g of ballast at the {end}"

    def records(self) -> Iterator[PartRecord]:
        """What became of the sets of every option, in the order of the axes."""
        tests: list[Titled] = [*self.sieve.labels, *self.sieve.flown]
        for (role, _), options, table in zip(
            AXES, self.axes.options, self.sieve.tally.by_option, strict=True
        ):
            for option, counts in zip(options, table, strict=True):
                if option.is_catalogue or not counts.sum():
                    continue
                yield PartRecord(
                    role=role,
                    part=" + ".join(part.id for part in option.parts),
                    name=option.title,
                    on_hand=option.purchases == 0,
                    sets=int(counts.sum()),
                    kept=int(counts[-1]),
                    broke=counted(zip(tests, counts[:-1].tolist(), strict=True)),
                )

    def broken(self) -> tuple[BrokenLimit, ...]:
        """How many sets each limit took out."""
        tests: list[Titled] = [*self.sieve.labels, *self.sieve.flown]
        return counted(zip(tests, self.sieve.tally.by_test[:-1].tolist(), strict=True))


class Titled(Protocol):
    """Anything that names a limit."""

    @property
    def title(self) -> str:
        """Its name."""

    @property
    def limit(self) -> str:
        """What it allows, in words."""


def counted(pairs: Iterable[tuple[Titled, int]]) -> tuple[BrokenLimit, ...]:
    """Counts of limits by their title, the most first."""
    count: Counter[str] = Counter()
    limits: dict[str, str] = {}
    for test, number in pairs:
        limits.setdefault(test.title, test.limit)
        count[test.title] += number
    return tuple(
        BrokenLimit(limit=title, allowed=limits[title], sets=number)
        for title, number in sorted(count.items(), key=lambda pair: (-pair[1], pair[0]))
        if number
    )


def _decided(findings: Sequence[Finding]) -> list[Finding]:
    """Findings that a build decides, with a chance."""
    return [
        one
        for one in findings
        if one.chance is not None and one.name not in OF_AIRFRAME and one.name != "balance"
    ]


def _named(part: Part) -> str:
    return part.name if part.on_hand else f"{part.name} (to be bought)"


def _moved(name: str, old_m: float, new_m: float) -> str:
    way = "aft" if new_m > old_m else "forward"
    return f"move the {name} {1e3 * abs(new_m - old_m):.0f} mm {way}, to x = {1e3 * new_m:.0f} mm"


def _values(middles: Mapping[str, float], found: Flown, bought: Sequence[Part]) -> Iterator[NamedFigure]:
    """Every goal's quantity: what is compared, with its range."""
    for goal in GOALS.values():
        yield NamedFigure(name=goal.name, title=goal.title, figure=_value(goal, middles, found, bought))


def _value(goal: Goal, middles: Mapping[str, float], found: Flown, bought: Sequence[Part]) -> Figure:
    si = unit(goal.shown).si
    if goal.name == "cost":
        return cost_figure(bought)
    if goal.name == "days":
        return ready_figure(bought)
    middle = middles[goal.column]
    if goal.name == "purchases":
        return Figure.exact(middle, si, goal.shown, "quoted", "counted")
    spread = found.figures.get(goal.column)
    if spread is None or spread.low is None or spread.high is None or not math.isfinite(middle):
        return Figure.unknown(
            si, goal.shown, "nobody states a limit" if goal.name == "margin" else "not flown"
        )
    because = f"{_AT_MIDDLE}; {spread.because}"
    low, high = min(spread.low, middle), max(spread.high, middle)
    return Figure(
        value=middle, low=low, high=high, unit=si, shown=goal.shown, grade=spread.grade, because=because
    )


def _purchases(bought: Sequence[Part]) -> Iterator[Purchase]:
    pieces = Counter(part.id for part in bought)
    for part in {part.id: part for part in bought}.values():
        own = [part] * pieces[part.id]
        yield Purchase(
            part=part.id,
            name=part.name,
            pieces=pieces[part.id],
            cost=cost_figure(own),
            ready=ready_figure(own),
        )


def why_first(settled: Settled, goals: Sequence[Goal]) -> str:
    """Why the first row is recommended: what it gives away, and by which rule."""
    if not settled.rows:
        return ""
    if len(settled.rows) == 1:
        return "nothing else is left that is better in any goal"
    if len(goals) == 1:
        return f"it {goals[0].aim}"
    values = compared(settled.kept, goals)[list(settled.rows)]
    shares = given_away(values)[0]
    worst = int(shares.argmax())
    leads = [goal.aim for goal, share in zip(goals, shares, strict=True) if share == 0.0]
    lead = f"it {', '.join(leads)}, and " if leads else "it "
    return (
        f"{lead}gives away least: of the way from the best to the worst of this set at most "
        f"{percent_text(float(shares[worst]))} on any goal ({goals[worst].title.lower()})"
    )
