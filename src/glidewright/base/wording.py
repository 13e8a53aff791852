"""Figures and numbers as people read them: one place, so that findings, text and page show the same digits.

A figure is rounded so that its spread is about eight steps wide or more: 118 (104 to 131) m and never
118.2734 m; with a wide spread three leading digits stay at most. Whole numbers stay whole. A number
without spread shows the decimals of its unit, more when it would lose over half a percent.
"""

import math

from glidewright.base.figure import Figure
from glidewright.base.units import Unit, unit

NOT_KNOWN = "not known"
_STEPS_IN_SPREAD = 8.0
_MOST_EXTRA_DECIMALS = 2
_LARGEST_LOSS = 0.005
_LEADING_DIGITS = 3
_SURE = 0.995


def decimals_for(value: float, width: float, shown: Unit) -> int:
    """Decimals (negative: tens, hundreds) for a value and its spread, both in the shown unit.

    >>> decimals_for(118.27, 27.0, unit("m")), decimals_for(5967.0, 1200.0, unit("rpm"))
    (0, -1)
    >>> decimals_for(0.1837, 0.0, unit("m"))
    3
    """
    most = shown.decimals + _MOST_EXTRA_DECIMALS
    if width > 0.0:
        by_spread = -math.floor(math.log10(width / _STEPS_IN_SPREAD))
        leading = math.floor(math.log10(max(abs(value), width)))
        return min(max(by_spread, min(0, _LEADING_DIGITS - 1 - leading)), most)
    decimals = shown.decimals
    while decimals < most and abs(value - round(value, decimals)) > _LARGEST_LOSS * abs(value):
        decimals += 1
    return decimals


def digits(number: float, decimals: int) -> str:
    """A number with so many decimals; no negative zero.

    >>> digits(-0.04, 1), digits(5967.0, -2)
    ('0.0', '6000')
    """
    text = f"{round(number, decimals):.{max(decimals, 0)}f}"
    return text.removeprefix("-") if float(text) == 0.0 else text


def spread_digits(figure: Figure, shown: str | None = None) -> tuple[str, str, str] | None:
    """Value, low and high as digits in the shown unit; nothing when the figure is not known.

    Raises ValueError when the shown unit is none of the figure's.
    """
    if figure.value is None:
        return None
    in_unit = unit(figure.shown if shown is None else shown)
    if in_unit.si != figure.unit:
        raise ValueError(f"a figure in {figure.unit} cannot be shown in {in_unit.symbol or 'no unit'}")
    numbers = [
        in_unit.from_si(figure.value if n is None else n) for n in (figure.value, figure.low, figure.high)
    ]
    value, low, high = numbers
    decimals = decimals_for(value, high - low, in_unit)
    if all(math.isclose(n, round(n), rel_tol=1e-9, abs_tol=1e-9) for n in numbers):
        decimals = min(0, decimals)
    return digits(value, decimals), digits(low, decimals), digits(high, decimals)


def unit_text(shown: str, currency: str = "") -> str:
    """The unit as it stands after a number; money has its currency, or none where a column names it."""
    return currency if shown == "money" else shown


def space_before(symbol: str) -> str:
    """What stands between a number and its unit: nothing before the degree of an angle (ISO 80000-1)."""
    return "" if symbol in ("", "°") else " "


def with_symbol(text: str, symbol: str) -> str:
    """A number with its unit.

    >>> with_symbol("12 (9 to 15)", "°"), with_symbol("21", "°C"), with_symbol("5.8", "")
    ('12 (9 to 15)°', '21 °C', '5.8')
    """
    return f"{text}{space_before(symbol)}{symbol}"


def number_text(figure: Figure, shown: str | None = None, with_unit: bool = True, currency: str = "") -> str:
    """A figure in words: value, spread in brackets, unit.

    >>> height = {"value": 118.2, "low": 104.1, "high": 131.4, "unit": "m", "shown": "m"}
    >>> number_text(Figure(**height, grade="typical", because=""))
    '118 (104 to 131) m'
    >>> number_text(Figure.unknown("m", "m", "no motor"))
    'not known'
    """
    found = spread_digits(figure, shown)
    if found is None:
        return NOT_KNOWN
    value, low, high = found
    text = value if low == high == value else f"{value} ({low} to {high})"
    symbol = unit_text(figure.shown if shown is None else shown, currency)
    return with_symbol(text, symbol) if with_unit else text


def median_text(figure: Figure) -> str:
    """The value of a figure alone, with the digits that its spread leaves.

    >>> height = {"value": 118.2, "low": 104.1, "high": 131.4, "unit": "m", "shown": "m"}
    >>> median_text(Figure(**height, grade="typical", because=""))
    '118 m'
    """
    found = spread_digits(figure)
    return NOT_KNOWN if found is None else with_symbol(found[0], unit_text(figure.shown))


def plain_text(number: float, shown: str, with_unit: bool = True) -> str:
    """A number without spread, SI in, words out.

    >>> plain_text(1980.0, "mAh"), plain_text(2.0, "m")
    ('550 mAh', '2.0 m')
    """
    in_unit = unit(shown)
    value = in_unit.from_si(number)
    text = digits(value, decimals_for(value, 0.0, in_unit))
    symbol = unit_text(shown)
    return with_symbol(text, symbol) if with_unit else text


def sentence(words: str) -> str:
    """Words as a sentence: a capital in front, a full stop behind.

    >>> sentence("the highest point counts"), sentence("Done."), sentence("")
    ('The highest point counts.', 'Done.', '')
    """
    if not words:
        return ""
    return words[0].upper() + words[1:] + ("" if words.endswith((".", "!", "?")) else ".")


def exact_text(number: float, shown: str) -> str:
    """A stated bound or setting, SI in, with all its digits out.

    >>> exact_text(0.0075, "mm"), exact_text(2.5, "m"), exact_text(2.54, "in")
    ('7.5 mm', '2.5 m', '100 in')
    """
    return with_symbol(f"{unit(shown).from_si(number):.6g}", unit_text(shown))


def count_text(count: int) -> str:
    """A count in groups of three digits that no line break parts, as ISO 80000-1 has them.

    >>> count_text(54900).replace("\u00a0", "_"), count_text(133)
    ('54_900', '133')
    """
    return f"{count:,}".replace(",", "\u00a0")


def percent_text(share: float) -> str:
    """A share as whole per cents.

    >>> percent_text(0.5)
    '50 %'
    """
    return f"{share * 100.0:.0f} %"


def chance_text(chance: float | None, is_exact: bool = False) -> str:
    """A chance as a percentage; one that was counted from draws never claims certainty.

    >>> chance_text(0.996), chance_text(1.0), chance_text(0.0), chance_text(0.873)
    ('over 99 %', 'over 99 %', 'under 1 %', '87 %')
    >>> chance_text(1.0, is_exact=True), chance_text(0.0, is_exact=True)
    ('100 %', '0 %')
    """
    if chance is None:
        return NOT_KNOWN
    if not is_exact and chance >= _SURE:
        return f"over {percent_text(0.99)}"
    if not is_exact and chance < 1.0 - _SURE:
        return f"under {percent_text(0.01)}"
    return percent_text(chance)
