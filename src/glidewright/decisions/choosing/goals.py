"""Goals and needs: what a flyer wants more or less of, what must be reached, and what counts as equal."""

import math
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glidewright.base.errors import InputError, Problem, nearest
from glidewright.base.units import unit
from glidewright.base.wording import digits, unit_text
from glidewright.data import coefficient

Array = NDArray[np.float64]

_NEED = re.compile(r"(?P<name>[a-z]+)\s*(?P<sign><=|>=)\s*(?P<number>[-+]?\d+(?:\.\d+)?)")


@dataclass(frozen=True)
class Goal:
    """One quantity that builds are compared by.

    name: as typed; column: of the screen; shown: unit in which people state and read it; is_more: more is
    better; step: values are compared in whole numbers of it, SI; aim: in words.
    """

    name: str
    title: str
    column: str
    shown: str
    is_more: bool
    step: float
    aim: str

    def compared(self, values: Array) -> Array:
        """Whole steps, the less the better; what is not known counts as worst."""
        steps = np.round(values / self.step)
        signed = -steps if self.is_more else steps
        return np.where(np.isfinite(values), signed, math.inf)

    def text(self, value: float) -> str:
        """A value with the digits of its step.

        >>> GOALS["height"].text(98.4), GOALS["launches"].text(6.0), GOALS["mass"].text(0.5956)
        ('98 m', '6', '596 g')
        """
        number = unit(self.shown).from_si(self.step * round(value / self.step))
        decimals = 2 if self.shown == "money" else 0
        return f"{digits(number, decimals)} {unit_text(self.shown)}".rstrip()


def _step(name: str) -> float:
    return coefficient("choose", name)


def _goals() -> Mapping[str, Goal]:
    found = (
        Goal(
            "height", "Launch height", "height_m", "m", True, _step("height_step"), "has the highest launch"
        ),
        Goal(
            "launches", "Launches per charge", "launches", "", True, 1.0, "has the most launches per charge"
        ),
        Goal("mass", "Mass", "mass_kg", "g", False, _step("mass_step"), "is the lightest"),
        Goal("cost", "Cost of new parts", "cost", "money", False, _step("cost_step"), "is the cheapest"),
        Goal("days", "Ready in", "ready_s", "days", False, 86400.0, "is ready soonest"),
        Goal("purchases", "New parts", "purchases", "", False, 1.0, "needs the fewest new parts"),
        Goal("margin", "Least margin", "margin", "%", True, _step("margin_step"), "has the most margin"),
    )
    return {goal.name: goal for goal in found}


GOALS = _goals()
USUAL = ("height", "launches", "cost")


@dataclass(frozen=True)
class Need:
    """A bound on a goal's quantity that every build must keep, SI."""

    goal: Goal
    is_least: bool
    bound: float

    @property
    def words(self) -> str:
        """The need as it may be typed."""
        number = unit(self.goal.shown).from_si(self.bound)
        sign = ">=" if self.is_least else "<="
        return f"{self.goal.name} {sign} {number:g} {unit_text(self.goal.shown)}".rstrip()

    def excess(self, values: Array) -> Array:
        """How far values miss the bound, relative to it; above zero is missed, what is not known too."""
        missed = self.bound - values if self.is_least else values - self.bound
        relative = missed / max(abs(self.bound), self.goal.step)
        return np.where(np.isfinite(values), relative, 1.0)


def goals_of(names: Iterable[str]) -> tuple[Goal, ...]:
    """The goals with these names, the usual ones for none; raises InputError for unknown or repeated ones."""
    asked = tuple(names) or USUAL
    problems = [
        Problem("goal", f"must be one of the goals; {name!r} came; {nearest(name, list(GOALS))}")
        for name in asked
        if name not in GOALS
    ]
    problems += [
        Problem("goal", f"must be stated once; {name!r} came {asked.count(name)} times; leave one")
        for name in dict.fromkeys(asked)
        if asked.count(name) > 1 and name in GOALS
    ]
    if problems:
        raise InputError(problems)
    return tuple(GOALS[name] for name in asked)


def needs_of(texts: Sequence[str]) -> tuple[Need, ...]:
    """Needs such as ``height>=100``; raises InputError where one cannot be read or two exclude each other."""
    problems: list[Problem] = []
    found: list[Need] = []
    for text in texts:
        match = _NEED.fullmatch(text.strip())
        if match is None:
            example = "launches>=8 or mass<=550"
            problems.append(
                Problem("need", f"must be a goal, >= or <=, and a number; {text!r} came; write {example}")
            )
        elif match["name"] not in GOALS:
            known = nearest(match["name"], list(GOALS))
            problems.append(Problem("need", f"must bound one of the goals; {match['name']!r} came; {known}"))
        else:
            goal = GOALS[match["name"]]
            bound = unit(goal.shown).to_si(float(match["number"]))
            found.append(Need(goal, match["sign"] == ">=", bound))
    problems += _excluding(found)
    if problems:
        raise InputError(problems)
    return tuple(found)


def _excluding(needs: Sequence[Need]) -> Iterable[Problem]:
    for least in (need for need in needs if need.is_least):
        for most in (need for need in needs if not need.is_least and need.goal is least.goal):
            if most.bound < least.bound:
                yield Problem(
                    "need",
                    f"must leave something between its bounds; {least.words} and {most.words} exclude each "
                    "other; loosen one",
                )
