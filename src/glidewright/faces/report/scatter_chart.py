"""The picture of things in a plane of two figures, as a part of a Vega-Lite specification."""

from collections.abc import Iterable, Mapping
from typing import Any

from glidewright.base.figure import Figure
from glidewright.base.units import unit
from glidewright.faces.report.document import Axis, Dot, ScatterChart

Spec = dict[str, Any]

_DIGITS = 5
_DOT_AREA = 70
_ROOM = 10


def scatter(
    chart: ScatterChart, width: int, height: int, title: Mapping[str, str], colours: Mapping[str, str]
) -> Spec:
    """Dots with whiskers and labels.

    title: of the axes ``x`` and ``y``; colours: of the marks by their word, and of ``ink`` and ``quiet``.
    """
    rows = [row for dot in chart.dots if (row := _row(dot, chart.x, chart.y, colours)) is not None]
    # room around the outer dots, or half of them would lie on the frame
    scale = {"zero": False, "nice": True, "padding": _ROOM}
    across = {"field": "x", "type": "quantitative", "scale": scale}
    upwards = {"field": "y", "type": "quantitative", "scale": scale}
    rule = {"type": "rule", "color": colours["quiet"], "strokeWidth": 1, "opacity": 0.7}
    return {
        "width": width,
        "height": height,
        "data": {"values": rows},
        "encoding": {
            "x": {**across, "axis": {"title": title["x"], "tickCount": 6, **_steps(rows, "x")}},
            "y": {**upwards, "axis": {"title": title["y"], "tickCount": 5, "domain": False,
                           **_steps(rows, "y")}},
        },
        "layer": [
            {"mark": rule, "encoding": {"x": {"field": "x_low"}, "x2": {"field": "x_high"}}},
            {"mark": rule, "encoding": {"y": {"field": "y_low"}, "y2": {"field": "y_high"}}},
            {"mark": {"type": "point", "filled": True, "size": _DOT_AREA, "opacity": 1.0},
             "encoding": {"color": {"field": "colour", "type": "nominal", "scale": None}}},
            {"mark": {"type": "text", "align": "left", "dx": 8, "dy": -8, "color": colours["ink"]},
             "encoding": {"text": {"field": "label"}}},
        ],
    }  # fmt: skip


def _steps(rows: list[Spec], name: str) -> Spec:
    """Whole steps of an axis along which there are whole numbers alone."""
    return whole_steps(row[f"{name}{end}"] for row in rows for end in ("", "_low", "_high"))


def whole_steps(numbers: Iterable[float]) -> Spec:
    """No step of an axis below 1 where all its numbers are whole: half a launch says nothing.

    >>> whole_steps([3.0, 6.0]), whole_steps([3.0, 6.5])
    ({'tickMinStep': 1}, {})
    """
    return {"tickMinStep": 1} if all(float(number).is_integer() for number in numbers) else {}


def _row(dot: Dot, x: Axis, y: Axis, colours: Mapping[str, str]) -> Spec | None:
    if dot.x.value is None or dot.y.value is None:
        return None
    found: Spec = {"label": dot.label, "colour": colours[dot.mark]}
    for name, figure, axis in (("x", dot.x, x), ("y", dot.y, y)):
        value, low, high = _ends(figure)
        found |= {
            name: _number(value, axis.unit),
            f"{name}_low": _number(low, axis.unit),
            f"{name}_high": _number(high, axis.unit),
        }
    return found


def _ends(figure: Figure) -> tuple[float, float, float]:
    assert figure.value is not None  # seen by the caller
    low, high = (figure.value if end is None else end for end in (figure.low, figure.high))
    return figure.value, low, high


def _number(value: float, symbol: str) -> float:
    return float(f"{unit(symbol).from_si(value):.{_DIGITS}g}")
