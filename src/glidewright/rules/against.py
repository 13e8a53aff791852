"""One result of a prediction against one stated limit of a part, or the finding that nobody states it."""

from glidewright.base.figure import Figure, Given
from glidewright.base.units import unit
from glidewright.base.wording import chance_text, number_text
from glidewright.forecast.prediction import Draws, Prediction

from .chance import chance_within
from .finding import Finding, Kind, is_without_spread, judged
from .words import bounds_words


def against(
    prediction: Prediction,
    name: str,
    title: str,
    result: str,
    shown: str,
    *,
    at_most: float | None = None,
    at_least: float | None = None,
    counted: Draws | None = None,
    kind: Kind = "part",
    also: str = "",
    source: str = "",
    consequence: str = "",
) -> Finding:
    """The finding on a stated limit in SI.

    counted: draws, shape (count,), counted for the chance in place of those shown; also: ends the reason.
    """
    figure = prediction.figure(result, shown)
    limit = bounds_words(at_least, at_most, shown)
    draws = prediction.draws(result) if counted is None else counted
    chance = None if draws is None else chance_within(draws, at_least, at_most)
    if chance is None:
        parts = [f"not known: {figure.because}", f"the limit is {limit}"]
    else:
        parts = [f"{number_text(figure)}; {limit}", kept_words(figure, chance)]
        parts += [figure.because] if figure.because else []
    return judged(
        name,
        title,
        figure,
        chance,
        kind=kind,
        limit=limit,
        at_least=at_least,
        at_most=at_most,
        because="; ".join([*parts, also] if also else parts),
        remark=also,
        consequence=consequence,
        source=source,
    )


def kept_words(figure: Figure, chance: float | None) -> str:
    """How often a limit is kept, in words."""
    if chance is None:
        return "nobody knows whether it is kept"
    return f"kept in {chance_text(chance, is_without_spread(figure))} of the draws"


def not_stated(
    prediction: Prediction,
    name: str,
    title: str,
    result: str,
    shown: str,
    what: str,
    *,
    kind: Kind = "part",
    also: str = "",
) -> Finding:
    """The finding where nobody states the limit: what came out is said, nothing is judged."""
    figure = prediction.figure(result, shown)
    parts = [f"{what}; {number_text(figure)} is computed" if figure.value is not None else what]
    because = "; ".join([*parts, also] if also else parts)
    return judged(name, title, figure, None, kind=kind, limit="not stated", because=because)


def certain(
    name: str,
    title: str,
    value: float | None,
    shown: str,
    kept: bool | None,
    because: str,
    *,
    at_least: float | None = None,
    at_most: float | None = None,
    kind: Kind = "part",
    source: str = "",
) -> Finding:
    """A finding without draws: a setting or a count that is what it is; ``kept`` None when not stated."""
    si = unit(shown).si
    figure = (
        Figure.unknown(si, shown, because)
        if value is None
        else Figure.exact(value, si, shown, "quoted", "as stated")
    )
    return judged(
        name,
        title,
        figure,
        None if kept is None else float(kept),
        kind=kind,
        limit=bounds_words(at_least, at_most, shown) or "not stated",
        at_least=at_least,
        at_most=at_most,
        because=because,
        source=source,
    )


def number(given: Given | None) -> float | None:
    """The number of a stated input, or nothing."""
    return None if given is None else given.value
