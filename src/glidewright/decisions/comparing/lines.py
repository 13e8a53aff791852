"""All lines of a comparison: launch, glide, wind, mass, balance, cost, hours and skill."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from glidewright.base.figure import Figure
from glidewright.base.units import unit
from glidewright.decisions.comparing.cost import Money, same_unpriced
from glidewright.decisions.comparing.draws import Flown
from glidewright.decisions.comparing.figures import LINES, Kind, figures_of
from glidewright.decisions.comparing.nouns import Line
from glidewright.decisions.comparing.pairs import Drawn, Pair, line_of, unknown_difference
from glidewright.decisions.mass_answer import balance_range
from glidewright.domain.model import Model, Skill
from glidewright.forecast.causes import Causes

Array = NDArray[np.float64]

_INSIDE = Kind("chance_balanced", "Chance to be in range", "Balance", "%", "more")
_COST = Kind("cost", "Cost with postage", "Cost", "money", "less", 0.5)
_TO_BUY = Kind("cost_to_buy", "Money still to be paid", "Cost", "money", "less", 0.5)
_HOURS = Kind("build_time_s", "Hours to build", "Work", "h", "less", 1800.0)
_SKILL = Kind("skill", "Skill asked", "Work", "", "less")
_SKILLS: tuple[Skill, ...] = ("beginner", "improver", "experienced", "expert")
_NO_SKILL = "not stated"


def pairs_of(drawn: Sequence[Drawn], letters: Sequence[str]) -> list[Pair]:
    """The first with each of the others."""
    return [
        Pair(letters[0], letter, (drawn[0], other))
        for letter, other in zip(letters[1:], drawn[1:], strict=True)
    ]


def lines_of(
    flown: Sequence[Flown], money: Sequence[Money], letters: Sequence[str], headwind_m_s: float
) -> tuple[Line, ...]:
    """Every line in its order; the first model is the one that the others are compared with."""
    draws = [figures_of(one.found, headwind_m_s) for one in flown]
    pairs = pairs_of([Drawn.of(one) for one in flown], letters)
    found = []
    for kind in LINES:
        own = [one[kind.name] for one in draws]
        figures = [
            one.found.figure(row, kind.shown) if not isinstance(row, str) else _unknown(kind, row)
            for one, row in zip(flown, own, strict=True)
        ]
        found.append(line_of(kind, own, figures, pairs))
        if kind.name == "cg_x_m":
            found.append(_inside(flown, pairs))
    models = [one.entrant.model for one in flown]
    return (*found, *_money_lines(models, money, letters), _skill(models, letters))


def _unknown(kind: Kind, why: str) -> Figure:
    return Figure.unknown(unit(kind.shown).si, kind.shown, why)


def _inside(flown: Sequence[Flown], pairs: Sequence[Pair]) -> Line:
    """The chance that the centre of gravity lies in the range: one number a model, counted from draws."""
    figures: list[Figure] = []
    draws: list[Array | str] = []
    for one in flown:
        front, _, chance, _ = balance_range(one.found)
        if chance is None:
            why = front.because if front.value is None else one.found.prediction.why_unknown("cg_x_m")
            figures.append(_unknown(_INSIDE, why))
            draws.append(why)
        else:
            because = "the share of the draws inside"
            figures.append(Figure.exact(chance, "1", "%", "typical", because))
            draws.append(np.full(1, chance))
    line = line_of(_INSIDE, draws, figures, pairs)
    plain = tuple(one.model_copy(update={"sure": None}) for one in line.differences)
    return line.model_copy(update={"differences": plain, "sure": None})


def _money_lines(models: Sequence[Model], money: Sequence[Money], letters: Sequence[str]) -> tuple[Line, ...]:
    """Cost of everything, what of it is to be paid still, and hours.

    Where other items have no price in one model than in the first, their costs cannot be compared.
    """
    pairs = pairs_of([Drawn(one.inputs, one.scores) for one in money], letters)
    found = []
    for kind, rows in (
        (_COST, [one.everything for one in money]),
        (_TO_BUY, [one.to_buy for one in money]),
        (_HOURS, [one.build_time_s for one in money]),
    ):
        figures = [_of_money(one, row, kind) for one, row in zip(money, rows, strict=True)]
        line = line_of(kind, rows, figures, pairs)
        found.append(line if kind is _HOURS else _where_prices_are_alike(line, models, pairs))
    return tuple(found)


def _where_prices_are_alike(line: Line, models: Sequence[Model], pairs: Sequence[Pair]) -> Line:
    """The line without the differences that missing prices would falsify."""
    differences = tuple(
        own
        if own.figure.value is None or same_unpriced((models[0], model))
        else unknown_difference(line.shown, pair, "items without a price differ")
        for own, model, pair in zip(line.differences, models[1:], pairs, strict=True)
    )
    if same_unpriced(models):
        return line
    return line.model_copy(update={"differences": differences, "best": (), "sure": None})


def _of_money(money: Money, draws: Array | str, kind: Kind) -> Figure:
    if isinstance(draws, str):
        return _unknown(kind, draws)
    because, grade = Causes(money.inputs, money.scores).sentence(draws)
    return Figure.of_draws(draws, unit(kind.shown).si, kind.shown, grade, because)


def _skill(models: Sequence[Model], letters: Sequence[str]) -> Line:
    """The skill that each asks, in words; the least is best."""
    ranks = {
        letter: _SKILLS.index(one.skill) for letter, one in zip(letters, models, strict=True) if one.skill
    }
    least = min(ranks.values(), default=0)
    best = tuple(letter for letter, rank in ranks.items() if rank == least)
    is_open = len(ranks) < len(models) or len(best) == len(models)
    return Line(
        name=_SKILL.name,
        title=_SKILL.title,
        group=_SKILL.group,
        wanted=_SKILL.wanted,
        shown=_SKILL.shown,
        words=tuple(one.skill or _NO_SKILL for one in models),
        best=() if is_open else best,
    )
