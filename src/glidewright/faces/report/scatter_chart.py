"""The picture of things in a plane of two figures, as a part of a Vega-Lite specification."""

from glidewright.base.figure import Figure
from glidewright.faces.report.chart_parts import (
    INK,
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
_DX = {"right": 8, "left": -8}  # of a label from its dot
_TAKEN = 24.0  # a dot that is as near, right and above, lies on the label


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
            *map(_labels, _DX),
        ],
    }  # fmt: skip


def _labels(side: str) -> Spec:
    """The labels that stand on one side of their dots."""
    align = "left" if _DX[side] > 0 else "right"
    return {
        "transform": [{"filter": f"datum.side == '{side}'"}],
        "mark": {"type": "text", "align": align, "dx": _DX[side], "dy": -8, "color": INK},
        "encoding": {"text": {"field": "label"}},
    }


def _take_sides(rows: list[Spec], size: Size) -> None:
    """Put a label to the left of its dot where another dot lies at its usual place, above to the right."""
    across, upwards = _stretch(rows, "x") / size.width, _stretch(rows, "y") / size.bars_height
    for row in rows:
        apart = [((one["x"] - row["x"]) / across, (one["y"] - row["y"]) / upwards) for one in rows]
        is_taken = any(0.0 < right < _TAKEN and -_DX["right"] < up < _TAKEN for right, up in apart)
        row["side"] = "left" if is_taken else "right"


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
