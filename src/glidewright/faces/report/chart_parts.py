"""What all charts have in common: colours, sizes, axes, and a line at a level."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from glidewright.base.units import unit
from glidewright.base.wording import unit_text
from glidewright.faces.report.document import Axis, RuleLine

Spec = dict[str, Any]

# stand-in colours: no mark of Vega's own has them
INK, QUIET, HAIR, ACCENT, WARNING, ALARM, SECOND = (f"#0a0b0{n}" for n in range(1, 8))
PAGE_COLOURS: Mapping[str, str] = {
    INK: "var(--ink)",
    QUIET: "var(--quiet)",
    HAIR: "var(--hair)",
    ACCENT: "var(--accent)",
    WARNING: "var(--warning)",
    ALARM: "var(--alarm)",
    SECOND: "var(--ink-2)",
}
PRINT_COLOURS: Mapping[str, str] = {
    INK: "#1f2326",
    QUIET: "#565a56",
    HAIR: "#d8d2c4",
    ACCENT: "#1f5c78",
    WARNING: "#855400",
    ALARM: "#a12a1d",
    SECOND: "#3d4347",
}
MARK_COLOUR = {"plain": ACCENT, "last": ACCENT, "beyond": QUIET, "warning": WARNING, "alarm": ALARM}
MARK_OPACITY = {"plain": 0.55, "last": 0.9, "beyond": 0.3, "warning": 0.7, "alarm": 0.8}
AXIS_EXTENT = 44
LETTER_WIDTH = 6.8  # the reader's font may be wider than the one the engine measures with
_DIGITS = 5


@dataclass(frozen=True)
class Size:
    """Width and heights of a picture, and the share of its step that an upright bar fills."""

    width: int
    panel_height: int
    bars_height: int
    bar_share: float


def axis_title(axis: Axis) -> str:
    """The title of an axis with its unit."""
    symbol = unit_text(axis.unit)
    return f"{axis.title}, {symbol}" if symbol else axis.title


def shown_number(value: float, symbol: str) -> float:
    """A number in SI in the unit that is shown, in as many digits as a picture can tell."""
    return float(f"{unit(symbol).from_si(value):.{_DIGITS}g}")


def level(rule: RuleLine, y: Axis) -> list[Spec]:
    """A line right across at a level, with its words."""
    data = {"values": [{"level": shown_number(rule.value, y.unit), "name": rule.label}]}
    place = {"y": {"field": "level"}, "x": None}
    return [
        {"data": data, "mark": {"type": "rule", "color": WARNING, "strokeDash": [4, 3], "strokeWidth": 1.5},
         "encoding": place},
        {"data": data, "mark": {"type": "text", "align": "left", "x": 4, "dy": -8, "color": WARNING},
         "encoding": {**place, "text": {"field": "name"}}},
    ]  # fmt: skip


def whole_steps(numbers: Iterable[float]) -> Spec:
    """No step of an axis below 1 where all its numbers are whole: half a launch says nothing.

    >>> whole_steps([3.0, 6.0]), whole_steps([3.0, 6.5])
    ({'tickMinStep': 1}, {})
    """
    return {"tickMinStep": 1} if all(float(number).is_integer() for number in numbers) else {}
