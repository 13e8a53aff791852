"""What models cost: prices and postage of everything that is fitted, hours to build, with their spreads."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from glidewright.base.errors import InputError, Problem, nearest
from glidewright.decisions.comparing.draws import Columns
from glidewright.domain.model import Model
from glidewright.domain.parts import Part
from glidewright.forecast.draws import standard_draws
from glidewright.forecast.spread import Input, from_field

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Money:
    """Cost of one model, in the currency of the comparison.

    everything, to_buy: draws (n,), or the sentence that says why there are none; without_price: fitted items
    whose price nobody stated; inputs and scores by column: what the spread comes from.
    """

    everything: Array | str
    to_buy: Array | str
    without_price: tuple[str, ...]
    build_time_s: Array | str
    inputs: dict[str, Input]
    scores: dict[str, Array]


def rates_for(models: Sequence[Model], rates: Mapping[str, float]) -> dict[str, float]:
    """What one unit of each model's currency is worth in that of the first.

    Raises InputError for a currency with prices and without a rate, and for a rate of no use.
    """
    home = models[0].currency
    foreign = {model.currency for model in models if model.currency != home}
    problems = [
        Problem(
            f"--rate {name}",
            f"must be a currency of these models other than the first one's; {name} came; "
            f"{nearest(name, sorted(foreign)) if foreign else f'all prices are in {home}, leave it out'}",
        )
        for name in rates
        if name not in foreign
    ]
    problems += [
        Problem(
            f"--rate {name}",
            f"must be a number above 0; {rate:g} came; write what one {name} costs in {home}",
        )
        for name, rate in rates.items()
        if not (np.isfinite(rate) and rate > 0)
    ]
    has_prices = any(_priced(model) for model in models if model.currency == home)
    for model in models:
        if model.currency in foreign - set(rates) and has_prices and _priced(model):
            came = f"{model.name} has prices in {model.currency}, {models[0].name} in {home}"
            problems.append(
                Problem("--rate", f"must say what money is worth; {came}; add --rate {model.currency}=NUMBER")
            )
    if problems:
        raise InputError(list(dict.fromkeys(problems)))
    return {home: 1.0, **rates}


def _priced(model: Model) -> list[Part]:
    return [item.part for item in model.items if item.part.price is not None]


def money_of(model: Model, family: int, columns: Columns, rate: float | None, count: int) -> Money:
    """Cost and hours of a model on its columns; the price of a part counts each time, its postage once.

    rate: worth of one unit of its money; None where no other model has a price to compare with.
    """
    entries: list[tuple[Input, object]] = []
    amounts: list[tuple[Input, float, bool]] = []
    parts = _priced(model)
    fitted = Counter(part.id for part in parts)
    for part in {part.id: part for part in parts}.values():
        price = from_field(part, "price", f"price:{part.id}", f"price of {part.id}")
        entries.append((price, (part.id, part.price)))
        amounts.append((price, float(fitted[part.id]), part.on_hand))
    posted = {part.id: part for part in parts if part.postage is not None}
    for part in posted.values():
        postage = from_field(part, "postage", f"postage:{part.id}", f"postage of {part.id}")
        entries.append((postage, (part.id, part.postage)))
        amounts.append((postage, 1.0, part.on_hand))
    hours = None
    if model.build_time_s is not None:
        hours = from_field(model, "build_time_s", "build_time", "hours to build")
        entries.append((hours, (family, model.build_time_s)))
    column = {entry.name: columns.name(entry.name, thing) for entry, thing in entries}
    scores = standard_draws(column.values(), count)
    drawn = {entry.name: entry.draws(scores[column[entry.name]]) for entry, _ in entries}
    zero = np.zeros(count)
    unpriced = "no fitted part states a price" if rate is not None else "no price can be compared with it"
    known = bool(parts) and rate is not None
    worth = 1.0 if rate is None else rate
    total = sum((n * drawn[entry.name] for entry, n, _ in amounts), zero) * worth
    to_buy = sum((n * drawn[entry.name] for entry, n, is_owned in amounts if not is_owned), zero) * worth
    return Money(
        everything=total if known else unpriced,
        to_buy=to_buy if known else unpriced,
        without_price=tuple(item.name for item in model.items if item.part.price is None),
        build_time_s="model.toml states no build_hours" if hours is None else drawn[hours.name],
        inputs={column[entry.name]: replace(entry, name=column[entry.name]) for entry, _ in entries},
        scores=scores,
    )


def same_unpriced(models: Sequence[Model]) -> bool:
    """Whether the items without a price are the same in all models, so that their cost cancels."""
    lists = [
        sorted((item.name, item.part.id) for item in model.items if item.part.price is None)
        for model in models
    ]
    return all(one == lists[0] for one in lists)
