"""What parts cost with their postage and when they are there: numbers for a search, figures for an answer."""

import math
from collections import Counter
from collections.abc import Sequence

from glidewright.base.figure import Figure, worst_grade
from glidewright.domain.parts import Part
from glidewright.forecast.spread import from_field


def cost_of(parts: Sequence[Part]) -> float:
    """Price of every piece and postage of every different part; not a number where a price is not stated."""
    if any(part.price is None for part in parts):
        return math.nan
    pieces = sum(part.price.value for part in parts if part.price is not None)
    different = {part.id: part for part in parts}.values()
    return pieces + sum(part.postage.value for part in different if part.postage is not None)


def cost_figure(parts: Sequence[Part], of_none: str = "nothing to buy") -> Figure:
    """The same with its spread; not known while a price is not.

    Pieces of one part have one price, which is as wrong for each of them; different prices and postages count
    as independent. of_none: what is said where there are no parts.
    """
    unpriced = dict.fromkeys(part.name for part in parts if part.price is None)
    if unpriced:
        return Figure.unknown("money", "money", f"no price is stated of {', '.join(unpriced)}")
    if not parts:
        return Figure.exact(0.0, "money", "money", "measured", of_none)
    prices = Counter(from_field(part, "price", part.id, part.name) for part in parts)
    different = {part.id: part for part in parts}.values()
    posted = [from_field(one, "postage", one.id, one.name) for one in different if one.postage is not None]
    rows = [*prices.items(), *((one, 1) for one in posted)]
    value = sum(number * one.value for one, number in rows)
    down = math.hypot(*(number * (one.value - one.low) for one, number in rows))
    up = math.hypot(*(number * (one.high - one.value) for one, number in rows))
    return Figure(
        value=value,
        low=max(value - down, 0.0),
        high=value + up,
        unit="money",
        shown="money",
        grade=worst_grade([one.grade for one, _ in rows]),
        because="prices move between looking and buying; one postage for each different part",
    )


def lead_times_s(parts: Sequence[Part]) -> tuple[float, float]:
    """The longest lead time and the longest 90th percentile of one; not numbers where one is not stated."""
    if any(part.lead_time_s is None for part in parts):
        return math.nan, math.nan
    inputs = [from_field(part, "lead_time_s", "lead_time", "lead time") for part in parts]
    return max((one.value for one in inputs), default=0.0), max((one.high for one in inputs), default=0.0)


def ready_figure(parts: Sequence[Part]) -> Figure:
    """Until the last of the parts is there."""
    if any(part.lead_time_s is None for part in parts):
        names = ", ".join(dict.fromkeys(part.name for part in parts if part.lead_time_s is None))
        return Figure.unknown("s", "days", f"no lead time is stated of {names}")
    if not parts:
        return Figure.exact(0.0, "s", "days", "measured", "nothing to wait for")
    inputs = [from_field(part, "lead_time_s", "lead_time", "lead time") for part in parts]
    return Figure(
        value=max(one.value for one in inputs),
        low=max(one.low for one in inputs),
        high=max(one.high for one in inputs),
        unit="s",
        shown="days",
        grade=worst_grade([one.grade for one in inputs]),
        because="the longest lead time",
    )
