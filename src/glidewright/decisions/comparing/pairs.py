"""Lines of a comparison from the draws of every model: figures, differences, and who is better."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from glidewright.base.figure import Figure
from glidewright.base.units import unit
from glidewright.decisions.comparing.draws import Flown
from glidewright.decisions.comparing.figures import Kind
from glidewright.decisions.comparing.nouns import Difference, Line
from glidewright.forecast.causes import Causes
from glidewright.forecast.spread import Input

Array = NDArray[np.float64]
Draws = Array | str

_SAME = 1e-9  # of the size: what rounding leaves of nothing


@dataclass(frozen=True)
class Drawn:
    """Inputs and scores of one model by the column that they were drawn from."""

    inputs: dict[str, Input]
    scores: dict[str, Array]

    @classmethod
    def of(cls, flown: Flown) -> "Drawn":
        """Those behind its forecast."""
        setup = flown.found.setup
        return cls(
            {column: setup.inputs[name] for name, column in flown.columns.items()},
            {column: setup.scores[name] for name, column in flown.columns.items()},
        )


@dataclass(frozen=True)
class Pair:
    """Two models by letter, and what the spread of a difference between them comes from."""

    first: str
    second: str
    drawn: tuple[Drawn, Drawn]

    @cached_property
    def causes(self) -> Causes:
        """Every input of both once; one that each has for itself bears the letter."""
        one, other = self.drawn
        entries = {}
        for letter, own, rest in ((self.first, one, other), (self.second, other, one)):
            for column, entry in own.inputs.items():
                title = entry.title if column in rest.inputs else f"{entry.title} of {letter}"
                entries[column] = replace(entry, name=column, title=title)
        return Causes(entries, one.scores | other.scores)


def line_of(kind: Kind, draws: Sequence[Draws], figures: Sequence[Figure], pairs: Sequence[Pair]) -> Line:
    """One line: draws of every model in the order of the letters, the pairs of the first with each other."""
    letters = (pairs[0].first, *(pair.second for pair in pairs))
    differences = tuple(
        difference(kind, draws[0], other, pair) for other, pair in zip(draws[1:], pairs, strict=True)
    )
    best, sure = leaders(draws, letters, kind)
    return Line(
        name=kind.name,
        title=kind.title,
        group=kind.group,
        wanted=kind.wanted,
        alike=kind.alike,
        shown=kind.shown,
        figures=tuple(figures),
        differences=differences,
        best=best,
        sure=sure,
    )


def difference(kind: Kind, first: Draws, second: Draws, pair: Pair) -> Difference:
    """The second less the first, draw by draw; where one is not known, so is the difference."""
    if isinstance(first, str) or isinstance(second, str):
        letter, why = (pair.first, first) if isinstance(first, str) else (pair.second, second)
        return unknown_difference(kind.shown, pair, f"not known of {letter}: {why}")
    count = min(first.size, second.size)
    one, other = first[:count], second[:count]
    both = np.isfinite(one) & np.isfinite(other)
    apart = np.where(both, other - one, np.nan)
    apart = np.where(np.abs(apart) <= _SAME * np.maximum(np.abs(one), np.abs(other)), 0.0, apart)
    because, grade = pair.causes.sentence(apart)
    figure = Figure.of_draws(apart, unit(kind.shown).si, kind.shown, grade, because)
    if figure.value is None:
        return unknown_difference(kind.shown, pair, "no draw gives both a number")
    middle = abs(float(np.median(one[both])))
    if middle > 0.0:
        share = Figure.of_draws(apart / middle, "1", "%", grade, because)
    else:
        share = Figure.unknown("1", "%", f"{pair.first} has none")
    more, less = (float(np.mean(sign * apart[both] > kind.alike)) for sign in (1.0, -1.0))
    better, sure = "", None
    if kind.wanted != "neither":
        wins = (
            {pair.second: more, pair.first: less}
            if kind.wanted == "more"
            else {pair.second: less, pair.first: more}
        )
        best = max(wins, key=lambda letter: wins[letter])
        better, sure = (best, wins[best]) if wins[best] > 0.0 else ("", None)
    return Difference(
        of=pair.second,
        against=pair.first,
        figure=figure,
        share=share,
        chance_more=more,
        chance_less=less,
        better=better,
        sure=sure,
    )


def unknown_difference(shown: str, pair: Pair, why: str) -> Difference:
    """The difference that nobody can state."""
    return Difference(
        of=pair.second,
        against=pair.first,
        figure=Figure.unknown(unit(shown).si, shown, why),
        share=Figure.unknown("1", "%", why),
        chance_more=None,
        chance_less=None,
        better="",
        sure=None,
    )


def leaders(
    draws: Sequence[Draws], letters: Sequence[str], kind: Kind
) -> tuple[tuple[str, ...], float | None]:
    """Who is most often the best among the models that are known, and how often no other is better.

    Several where they are the same in every draw; nobody where all are, or where fewer than two are known.
    """
    known = [(letter, one) for letter, one in zip(letters, draws, strict=True) if not isinstance(one, str)]
    if kind.wanted == "neither" or len(known) < 2:
        return (), None
    count = min(one.size for _, one in known)
    table = np.stack([one[:count] for _, one in known])
    table = table[:, np.isfinite(table).all(axis=0)]
    if not table.size:
        return (), None
    top = table.max(axis=0) if kind.wanted == "more" else table.min(axis=0)
    is_top = np.abs(table - top) <= np.maximum(kind.alike, _SAME * np.abs(top))
    shares = is_top.mean(axis=1)
    if is_top.all():
        return (), None
    first = int(np.argmax(shares))
    best = [
        letter for (letter, _), row in zip(known, is_top, strict=True) if np.array_equal(row, is_top[first])
    ]
    return tuple(best), float(shares[first])
