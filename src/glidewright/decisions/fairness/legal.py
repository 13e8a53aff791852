"""Which limits a build breaks: on parts and sizes by what its owner measures, on a launch by chance."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glidewright.decisions.fairness.flying import Flying
from glidewright.decisions.fairness.options import CLIMB, ENERGY, HEIGHT, RUN, bound_of, limit_on
from glidewright.decisions.fairness.setup import Owner, counted_bound_m, launch_values
from glidewright.domain.class_limits import ClassLimits, Limit
from glidewright.forecast.prediction import Prediction
from glidewright.rules.chance import chance_within
from glidewright.rules.measures import MEASURES

Array = NDArray[np.float64]
OF_LAUNCH = (RUN, HEIGHT, CLIMB, ENERGY)
OF_MASS = ("mass", "wing_loading", "total_loading")
_SAME = 1e-9
Measured = dict[str, float | tuple[str, ...] | str]


@dataclass(frozen=True)
class Broken:
    """One limit that a build breaks.

    name, title: of the measure or the finding; of_class: false for a limit of a part; value, bound: SI, none
    for words; miss: how far beyond, as a share of the bound, infinite where that is no number.
    """

    name: str
    title: str
    of_class: bool
    value: float | None
    bound: float | None
    shown: str
    words: str
    miss: float


def static_values(prediction: Prediction, limits: set[str]) -> Measured:
    """What a build is on every measure that no launch changes: a number in SI, words, or why not known.

    prediction: with one draw at the centre; limits: names of measures.
    """
    found: Measured = {}
    for name in limits - set(OF_LAUNCH):
        measure = MEASURES[name]
        if measure.stated is not None:
            found[name] = measure.stated(prediction)
            continue
        assert measure.predicted is not None  # the constructor of Measure sees to it
        draws = measure.predicted(prediction, Limit(measure=name))
        found[name] = draws if isinstance(draws, str) else float(draws[0])
    return found


def broken_static(rule: ClassLimits, values: Measured) -> Iterator[Broken]:
    """Limits of a class that a build breaks before it flies; what is not known breaks none."""
    for limit in rule.limits:
        value = values.get(limit.measure)
        if value is None or isinstance(value, str):
            continue
        if isinstance(value, tuple):
            strange = sorted({_plain(word) for word in value} - {_plain(word) for word in limit.allowed})
            if strange:
                yield _broken(limit, None, None, ", ".join(strange))
            continue
        low = None if limit.at_least is None else limit.at_least - limit.tolerance
        high = bound_of(limit)
        if low is not None and value < low - _SAME * abs(low):
            yield _broken(limit, value, low, "")
        elif high is not None and value > high + _SAME * abs(high):
            yield _broken(limit, value, high, "")


def _plain(word: str) -> str:
    return word.strip().casefold().removesuffix("s")


def _broken(limit: Limit, value: float | None, bound: float | None, words: str) -> Broken:
    measure = MEASURES[limit.measure]
    miss = np.inf
    if value is not None and bound is not None:
        miss = abs(value - bound) / max(abs(bound), _SAME)
    shown = limit.shown or measure.shown
    return Broken(measure.name, measure.title, True, value, bound, shown, words, float(miss))


def broken_in_flight(flying: Flying, owner: Owner) -> list[list[Broken]]:
    """Limits on the launch that each tuned model breaks too often from launch to launch."""
    limits = [one for name in OF_LAUNCH if (one := limit_on(flying.rule, name)) is not None and name != RUN]
    found: list[list[Broken]] = [[] for _ in flying.trains]
    values = launch_values(flying, owner.outputs, owner.climb_m_s)
    for limit in limits:
        if limit.measure == HEIGHT and not _is_read(flying.rule):
            continue
        for row, draws in enumerate(values[limit.measure]):
            chance = chance_within(draws, limit.at_least, limit.at_most, limit.tolerance)
            if chance is not None and chance < limit.chance_needed:
                reached = float(np.quantile(draws, limit.chance_needed, method="higher"))
                low = limit.at_least
                is_low = low is not None and reached < low
                found[row].append(_broken(limit, reached, low if is_low else bound_of(limit), ""))
    return found


def _is_read(rule: ClassLimits) -> bool:
    """Whether the reading decides on the launch height, and no stop of a device."""
    return bool(np.isfinite(counted_bound_m(rule))) or _has_least(rule)


def _has_least(rule: ClassLimits) -> bool:
    limit = limit_on(rule, HEIGHT)
    return limit is not None and limit.at_least is not None


def ballast_for_least_kg(rule: ClassLimits, mass_kg: float, wing_m2: float, tail_m2: float | None) -> float:
    """Ballast in kg that brings a mass to the least one, or the least loading, of a class.

    >>> from glidewright.domain.class_limits import ClassLimits, Limit
    >>> least = ClassLimits(id="t", title="T", limits=(Limit(measure="wing_loading", at_least=1.2),))
    >>> round(ballast_for_least_kg(least, 0.42, 0.36, None), 3)
    0.012
    """
    area = {"mass": 1.0, "wing_loading": wing_m2, "total_loading": wing_m2 + (tail_m2 or 0.0)}
    needed = [
        limit.at_least * area[limit.measure]
        for limit in rule.limits
        if limit.measure in area and limit.at_least is not None
    ]
    return max(0.0, max(needed, default=0.0) - mass_kg)
