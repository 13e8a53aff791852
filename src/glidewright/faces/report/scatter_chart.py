"""The picture of things in a plane of two figures, as a part of a Vega-Lite specification."""

from glidewright.base.figure import Figure
from glidewright.faces.report.chart_parts import (
    INK,
    LETTER_WIDTH,
    MARK_COLOUR,
    QUIET,
    Size,
    Spec,
    axis_title,
    shown_number,
    whole_steps,
)
from glidewright.faces.report.document import Axis, Dot, ScatterChart

_DOT_AREA = 70
_ROOM = 10
_RADIUS = 5.0
# where a label may stand: along and above its dot, and how it is aligned; the first free place is taken
_SIDES = {
    "right": (8, 8, "left"),
    "left": (-8, 8, "right"),
    "above": (0, 15, "center"),
    "below": (0, -15, "center"),
}
_TALL = 12.0  # of a line of label
_Box = tuple[float, float, float, float]


def scatter_chart(chart: ScatterChart, size: Size) -> Spec:
    """Dots with whiskers and labels."""
    rows = [row for dot in chart.dots if (row := _row(dot, chart.x, chart.y)) is not None]
    _take_sides(rows, size)
    # room around the outer dots, or half of them would lie on the frame
    scale = {"zero": False, "nice": True, "padding": _ROOM}
    across = {"field": "x", "type": "quantitative", "scale": scale}
    upwards = {"field": "y", "type": "quantitative", "scale": scale}
    rule = {"type": "rule", "color": QUIET, "strokeWidth": 1, "opacity": 0.7}
    return {
        "width": size.width,
        "height": size.bars_height,
        "data": {"values": rows},
        "encoding": {
            "x": {**across, "axis": {"title": axis_title(chart.x), "tickCount": 6, "labelFlush": False,
                          **_steps(rows, "x")}},
            "y": {**upwards, "axis": {"title": axis_title(chart.y), "tickCount": 5, "domain": False,
                           **_steps(rows, "y")}},
        },
        "layer": [
            {"mark": rule, "encoding": {"x": {"field": "x_low"}, "x2": {"field": "x_high"}}},
            {"mark": rule, "encoding": {"y": {"field": "y_low"}, "y2": {"field": "y_high"}}},
            {"mark": {"type": "point", "filled": True, "size": _DOT_AREA, "opacity": 1.0},
             "encoding": {"color": {"field": "colour", "type": "nominal", "scale": None}}},
            *map(_labels, _SIDES),
        ],
    }  # fmt: skip


def _labels(side: str) -> Spec:
    """The labels that stand on one side of their dots."""
    along, above, align = _SIDES[side]
    return {
        "transform": [{"filter": f"datum.side == '{side}'"}],
        "mark": {"type": "text", "align": align, "dx": along, "dy": -above, "color": INK},
        "encoding": {"text": {"field": "label"}},
    }


def _take_sides(rows: list[Spec], size: Size) -> None:
    """Give each label the first place that neither another dot nor an earlier label takes."""
    across, upwards = _stretch(rows, "x") / size.width, _stretch(rows, "y") / size.bars_height
    middles = [(row["x"] / across, row["y"] / upwards) for row in rows]
    taken: list[_Box] = []
    for number, (row, middle) in enumerate(zip(rows, middles, strict=True)):
        dots = [_around(other) for place, other in enumerate(middles) if place != number]
        boxes = {side: _box(side, row["label"], middle) for side in _SIDES}
        free = (side for side, box in boxes.items() if not any(_meet(box, one) for one in (*dots, *taken)))
        row["side"] = next(free, "right")
        taken.append(boxes[row["side"]])


def _box(side: str, label: str, middle: tuple[float, float]) -> _Box:
    """Left, right, low and high end of a label on one side of its dot, in units of the picture."""
    along, above, align = _SIDES[side]
    wide = LETTER_WIDTH * len(label)
    left = middle[0] + along - {"left": 0.0, "center": 0.5, "right": 1.0}[align] * wide
    low = middle[1] + above - 0.5 * _TALL
    return left, left + wide, low, low + _TALL


def _around(middle: tuple[float, float]) -> _Box:
    return middle[0] - _RADIUS, middle[0] + _RADIUS, middle[1] - _RADIUS, middle[1] + _RADIUS


def _meet(one: _Box, other: _Box) -> bool:
    return one[0] < other[1] and other[0] < one[1] and one[2] < other[3] and other[2] < one[3]


def _stretch(rows: list[Spec], name: str) -> float:
    """From the lowest to the highest whisker, in shown units; 1 where all is at one place."""
    ends = [row[f"{name}{end}"] for row in rows for end in ("_low", "_high")]
    return float(max(ends, default=1.0) - min(ends, default=0.0)) or 1.0


def _steps(rows: list[Spec], name: str) -> Spec:
    """Whole steps of an axis along which there are whole numbers alone."""
    return whole_steps(row[f"{name}{end}"] for row in rows for end in ("", "_low", "_high"))


def _row(dot: Dot, x: Axis, y: Axis) -> Spec | None:
    if dot.x.value is None or dot.y.value is None:
        return None
    found: Spec = {"label": dot.label, "colour": MARK_COLOUR[dot.mark]}
    for name, figure, axis in (("x", dot.x, x), ("y", dot.y, y)):
        value, low, high = _ends(figure)
        found |= {
            name: shown_number(value, axis.unit),
            f"{name}_low": shown_number(low, axis.unit),
            f"{name}_high": shown_number(high, axis.unit),
        }
    return found


def _ends(figure: Figure) -> tuple[float, float, float]:
    assert figure.value is not None  # seen by the caller
    low, high = (figure.value if end is None else end for end in (figure.low, figure.high))
    return figure.value, low, high
