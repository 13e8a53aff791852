"""Letters of plain text: our signs in ASCII, and numbers that hold together with their unit."""

import re

from glidewright.base.units import BY_SYMBOL

_ASCII = str.maketrans(
    {
        "²": "2", "³": "3", "·": " ", "°": " deg", "Ω": "ohm", "–": "-", "—": "-", "×": "x", "±": "+-",
        "≤": "<=", "≥": ">=", "’": "'", "‘": "'", "“": '"', "”": '"', "…": "...", "→": "->", "µ": "u",
        "\u00a0": " ", "\u202f": " ", "✓": "+", "▲": "?", "✕": "X", "─": "-", "━": "=", "•": "-",
    }
)  # fmt: skip
# the spaces of "(104 to 131) m/s" and "88 %" must not break; this letter of nobody holds their place
_JOINT = "\ue000"
_SPACED_DEGREE = re.compile("[ \u00a0\ue000]°")  # the sign brings its own space as a word
_SYMBOLS = "|".join(re.escape(symbol) for symbol in sorted(BY_SYMBOL, key=len, reverse=True) if symbol)
_UNBROKEN = re.compile(
    rf"(?<=\d) (?=to -?\d[\d.]*\))|(?<=\d to) (?=-?\d[\d.]*\))|(?<=[\d)]) (?=(?:{_SYMBOLS})(?!\w))"
)


def ascii_text(text: str) -> str:
    """Text with our own signs and units in ASCII; letters of a name stay.

    >>> ascii_text("2.5 °, 2.5°")
    '2.5 deg, 2.5 deg'
    >>> ascii_text("20 °C, 62 mΩ, 36 dm² – kept ✓")
    '20 C, 62 mohm, 36 dm2 - kept +'
    """
    return _SPACED_DEGREE.sub("°", text.replace("°C", "C")).translate(_ASCII)


def held_together(text: str) -> str:
    """Text whose ranges and units cannot be torn apart by a line break; ``let_go`` undoes it.

    >>> len(held_together("118 (104 to 131) m").split())
    2
    """
    return _UNBROKEN.sub(_JOINT, text)


def unbroken(text: str) -> str:
    """The same with spaces that a page does not break.

    >>> unbroken("118 (104 to 131) m").count("\u00a0")
    3
    """
    return held_together(text).replace(_JOINT, "\u00a0")


def let_go(text: str) -> str:
    """The text with its spaces back.

    >>> let_go(held_together("118 (104 to 131) m"))
    '118 (104 to 131) m'
    """
    return text.replace(_JOINT, " ")
