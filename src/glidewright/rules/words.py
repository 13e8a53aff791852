"""Bounds and draws as findings say them; the digits come from ``base.wording``."""

from glidewright.base.figure import Figure
from glidewright.base.units import unit
from glidewright.base.wording import exact_text, number_text
from glidewright.forecast.prediction import Draws


def spread_words(draws: Draws, shown: str) -> str:
    """Median of some draws in SI with the 10th and 90th percentile.

    >>> import numpy as np
    >>> spread_words(np.arange(101.0), "s")
    '50 (10 to 90) s'
    """
    return number_text(Figure.of_draws(draws, unit(shown).si, shown, "typical", ""))


def bounds_words(at_least: float | None, at_most: float | None, shown: str, tolerance: float = 0.0) -> str:
    """The bounds of a limit, SI in, unit shown out.

    >>> bounds_words(1.2, 2.0, "g/dm²"), bounds_words(None, 2.0, "mm", 0.005)
    ('12 to 20 g/dm²', 'at most 2000 mm, tolerance 5 mm')
    """
    more = f", tolerance {exact_text(tolerance, shown)}" if tolerance > 0.0 else ""
    if at_least is not None and at_most is not None:
        low, high = exact_text(at_least, shown), exact_text(at_most, shown)
        return (f"exactly {low}" if low == high else f"{low.split(' ', 1)[0]} to {high}") + more
    if at_most is not None:
        return f"at most {exact_text(at_most, shown)}{more}"
    return f"at least {exact_text(at_least, shown)}{more}" if at_least is not None else ""
