"""Numbers and bounds as findings say them."""

from glidewright.base.figure import Figure
from glidewright.base.units import unit
from glidewright.forecast.prediction import Draws


def number_words(value: float, shown: str) -> str:
    """A value in SI, written in the unit shown, with decimals that make sense.

    >>> number_words(0.59, "g"), number_words(2.0, "m"), number_words(3.0, "")
    ('590 g', '2 m', '3')
    """
    wanted = unit(shown)
    # + 0.0 turns a negative zero into zero
    digits = f"{round(wanted.from_si(value), wanted.decimals) + 0.0:.{wanted.decimals}f}"
    text = digits.rstrip("0").rstrip(".") if "." in digits else digits
    return f"{text} {wanted.symbol}".rstrip()


def exact_words(value: float, shown: str) -> str:
    """A stated bound or tolerance in SI, written in the unit shown with all its digits.

    >>> exact_words(0.0075, "mm"), exact_words(2.5, "m"), exact_words(2.54, "in")
    ('7.5 mm', '2.5 m', '100 in')
    """
    wanted = unit(shown)
    return f"{wanted.from_si(value):.6g} {wanted.symbol}".rstrip()


def figure_words(figure: Figure) -> str:
    """A figure with its spread, or that it is not known.

    >>> import numpy as np
    >>> figure_words(Figure.of_draws(np.arange(101.0), "m", "m", "typical", ""))
    '50 m (10 m to 90 m)'
    """
    if figure.value is None or figure.low is None or figure.high is None:
        return "not known"
    middle, low, high = (number_words(x, figure.shown) for x in (figure.value, figure.low, figure.high))
    return middle if low == high else f"{middle} ({low} to {high})"


def spread_words(draws: Draws, shown: str) -> str:
    """Median of some draws in SI with the 10th and 90th percentile.

    >>> import numpy as np
    >>> spread_words(np.arange(101.0), "s")
    '50 s (10 s to 90 s)'
    """
    return figure_words(Figure.of_draws(draws, unit(shown).si, shown, "typical", ""))


def bounds_words(at_least: float | None, at_most: float | None, shown: str, tolerance: float = 0.0) -> str:
    """The bounds of a limit, SI in, unit shown out.

    >>> bounds_words(1.2, 2.0, "g/dm²"), bounds_words(None, 2.0, "mm", 0.005)
    ('12 g/dm² to 20 g/dm²', 'at most 2000 mm, tolerance 5 mm')
    """
    more = f", tolerance {exact_words(tolerance, shown)}" if tolerance > 0.0 else ""
    if at_least is not None and at_most is not None:
        low, high = exact_words(at_least, shown), exact_words(at_most, shown)
        return (f"exactly {low}" if low == high else f"{low} to {high}") + more
    if at_most is not None:
        return f"at most {exact_words(at_most, shown)}{more}"
    return f"at least {exact_words(at_least, shown)}{more}" if at_least is not None else ""


def chance_words(chance: float | None) -> str:
    """A chance as a share in percent; it never claims certainty that rounding made.

    >>> chance_words(0.834), chance_words(0.9999), chance_words(1.0), chance_words(0.0004)
    ('83 %', 'over 99 %', '100 %', 'under 1 %')
    """
    if chance is None:
        return "unknown"
    if 0.995 <= chance < 1.0:
        return "over 99 %"
    if 0.0 < chance < 0.005:
        return "under 1 %"
    return f"{100.0 * chance:.0f} %"
