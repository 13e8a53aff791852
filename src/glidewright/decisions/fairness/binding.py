"""Which limit binds whom: what stops the motor, what holds owners back, and what takes builds out."""

import math
from collections import Counter
from collections.abc import Iterator, Sequence

import numpy as np

from glidewright.base.figure import Figure
from glidewright.base.units import unit
from glidewright.base.wording import exact_text, percent_text
from glidewright.decisions.fairness.field import Entry, Launches
from glidewright.decisions.fairness.flying import own_cut_m, run_limit_s
from glidewright.decisions.fairness.legal import Broken
from glidewright.decisions.fairness.nouns import CountRow, RemovedRow
from glidewright.decisions.fairness.options import CLIMB, ENERGY, HEIGHT, RUN, limit_on
from glidewright.decisions.fairness.spread import Flown
from glidewright.domain.class_limits import ClassLimits
from glidewright.models.launch import layout as ll
from glidewright.models.score.consequences import climb_that_reaches_m_s

_STOPS = {
    ll.CUT_BY_TIME: ("time", "the end of the motor run"),
    ll.CUT_BY_HEIGHT: ("height", "the height of the stop"),
    ll.CUT_BY_LOW_VOLTAGE: ("low_voltage", "the low-voltage cut"),
    ll.CUT_BY_EMPTY_PACK: ("empty", "an empty pack"),
    ll.CUT_BY_GROUND: ("ground", "the ground"),
    ll.CUT_BY_LONGEST_FLIGHT: ("never", "nothing within the longest flight that is computed"),
}


def stops_of(flown: Flown) -> tuple[CountRow, ...]:
    """What stopped the motor, counted over all launches of all entries; the most frequent first."""
    reasons = np.concatenate([own.reason for own in flown.launches])
    counted = Counter(int(one) for one in reasons)
    return tuple(
        CountRow(name=_STOPS[reason][0], title=_STOPS[reason][1], count=count, of=int(reasons.size))
        for reason, count in sorted(counted.items(), key=lambda pair: (-pair[1], pair[0]))
    )


def limiter_share(flown: Flown) -> Figure:
    """Share of the launches that the limiter stops by height: over all entries, and from entry to entry."""
    shares = np.array([np.mean(own.reason == ll.CUT_BY_HEIGHT) for own in flown.launches])
    low, high = (float(one) for one in np.quantile(shares, (0.1, 0.9)))
    mean = float(np.mean(shares))
    return Figure(
        value=mean,
        low=min(low, mean),
        high=max(high, mean),
        unit="1",
        shown="%",
        grade="typical",
        because="from entry to entry: some are stopped in every launch, some in none",
    )


def stopped_by(own: Launches) -> int:
    """What stops most launches of an entry, as the kernel numbers it."""
    return Counter(int(one) for one in own.reason).most_common(1)[0][0]


def binding(own: Launches) -> tuple[str, ...]:
    """Limits of which each alone, if it were lifted, would let the entry launch higher.

    The height where it stops most launches. Else the motor run, or the energy in its place; and the climb
    where its owner had to hold back: without it the same run would bring him higher.
    """
    if stopped_by(own) == ll.CUT_BY_HEIGHT:
        return (HEIGHT,)
    if stopped_by(own) != ll.CUT_BY_TIME:
        return ()
    first = ENERGY if ENERGY in own.held else RUN
    return (first, *((CLIMB,) if CLIMB in own.held else ()))


def binds_of(flown: Flown, rule: ClassLimits) -> tuple[CountRow, ...]:
    """How many entries every limit on the launch binds; those that only slow an entry are told apart."""
    bound = Counter(name for own in flown.launches for name in binding(own))
    slowed = sum(CLIMB in own.held and CLIMB not in binding(own) for own in flown.launches)
    heavy = sum(own.ballast_kg > 0.0 for own in flown.launches)
    count = len(flown.launches)
    rows = []
    for name, title in ((HEIGHT, "Height"), (RUN, "Motor run"), (CLIMB, "Climb"), (ENERGY, "Energy")):
        if bound[name] or _has(rule, name):
            rows.append(CountRow(name=name, title=title, count=bound[name], of=count))
    if slowed:
        title = "Climb, but only slower"
        remark = "held back by the climb limit and still stopped by the height"
        rows.append(CountRow(name="climb_slower", title=title, count=slowed, of=count, remark=remark))
    if heavy:
        rows.append(
            CountRow(name="least_mass", title="Least mass", count=heavy, of=count, remark="with ballast")
        )
    return tuple(rows)


def _has(rule: ClassLimits, name: str) -> bool:
    if name == HEIGHT:
        return math.isfinite(own_cut_m(rule))
    if name == RUN:
        return rule.motor_run_s is not None or limit_on(rule, name) is not None
    return limit_on(rule, name) is not None


def words_on(own: Launches) -> str:
    """What ends the launches of an entry and what holds its owner back."""
    reason = stopped_by(own)
    share = float(np.mean(own.reason == reason))
    words = f"{_STOPS[reason][1]} ends {percent_text(share)} of its launches"
    if own.held:
        named = {CLIMB: "the climb limit", ENERGY: "the energy limit", HEIGHT: "the height limit"}
        words += f"; {' and '.join(named[one] for one in own.held)} holds its owner back"
    return words


def removed_of(entries: Sequence[Entry], place: int) -> tuple[RemovedRow, ...]:
    """Every limit that takes builds out under a rule, the one that takes most first."""
    rows = [entry.broken[place] for entry in entries if entry.broken[place]]
    kinds = {(one.name, one.of_class): one for row in rows for one in row}
    found = []
    for key, sample in kinds.items():
        own = [one for row in rows for one in row if (one.name, one.of_class) == key]
        having = [row for row in rows if any((one.name, one.of_class) == key for one in row)]
        alone = sum(len({(one.name, one.of_class) for one in row}) == 1 for row in having)
        found.append(
            RemovedRow(
                name=sample.name,
                title=sample.title,
                of_class=sample.of_class,
                builds=len(having),
                alone=alone,
                nearest=_nearest(own),
            )
        )
    return tuple(sorted(found, key=lambda row: (-row.builds, row.name)))


def _nearest(own: Sequence[Broken]) -> str:
    one = min(own, key=lambda broken: broken.miss)
    if one.value is None or one.bound is None:
        return one.words
    word = "at most" if one.value > one.bound else "at least"
    return f"{_digits_beside(one.value, one.bound, one.shown)}, {word} {exact_text(one.bound, one.shown)}"


def _digits_beside(value: float, bound: float, shown: str) -> str:
    """A number close to a bound, with so many digits that it does not look like it.

    >>> _digits_beside(5.2163, 5.2, "m/s"), _digits_beside(5.6, 5.2, "m/s")
    ('5.22 m/s', '5.6 m/s')
    """
    in_unit = unit(shown)
    for digits in range(2, 7):
        text = exact_text(in_unit.to_si(float(f"{in_unit.from_si(value):.{digits}g}")), shown)
        if text != exact_text(bound, shown):
            break
    return text


def nearest_miss(entries: Sequence[Entry], place: int) -> tuple[Entry, Broken] | None:
    """The build that comes nearest to being legal and sound: fewest broken limits, then the least miss."""
    known = [entry for entry in entries if entry.broken[place]]
    if not known:
        return None
    entry = min(known, key=lambda one: (len(one.broken[place]), max(b.miss for b in one.broken[place])))
    return entry, max(entry.broken[place], key=lambda broken: broken.miss)


def arithmetic(rule: ClassLimits) -> tuple[str, ...]:
    """How motor run, height and climb of a rule agree, by hand: no wind, no zoom, the climb held throughout.

    >>> from glidewright.domain.class_limits import ClassLimits, Limit
    >>> climb = Limit(measure="climb_rate", at_most=5.0, unit="m/s", shown="m/s")
    >>> rule = ClassLimits(id="t", title="T", motor_run_s=30.0, cut_height_m=120.0, limits=(climb,))
    >>> for line in arithmetic(rule): print(line)
    A mean climb of 4 m/s or more reaches 120 m within 30 s
    5 m/s for 30 s is 150 m: at the fastest legal climb the height stops the motor after 24 s
    """
    return tuple(_arithmetic(rule))


def _arithmetic(rule: ClassLimits) -> Iterator[str]:
    run_s, cut_m = run_limit_s(rule), own_cut_m(rule)
    limit = limit_on(rule, CLIMB)
    climb = None if limit is None else limit.at_most
    has_run = rule.motor_run_s is not None
    run, cut = exact_text(run_s, "s"), exact_text(cut_m, "m") if math.isfinite(cut_m) else ""
    if cut and has_run:
        needed = climb_that_reaches_m_s(cut_m, run_s)
        yield f"A mean climb of {exact_text(round(needed, 2), 'm/s')} or more reaches {cut} within {run}"
    if climb is None or not has_run:
        return
    reach = climb * run_s
    said = f"{exact_text(climb, 'm/s')} for {run} is {exact_text(round(reach, 1), 'm')}"
    if not cut:
        yield f"{said}: no legal climb brings more before the zoom"
    elif math.isclose(reach, cut_m, rel_tol=1e-9):
        yield f"{said}: run, height and climb bind together"
    elif reach > cut_m:
        after = exact_text(round(cut_m / climb, 1), "s")
        yield f"{said}: at the fastest legal climb the height stops the motor after {after}"
    else:
        yield f"{said}: no legal climb reaches {cut}; climb and run bind, the height never does"
