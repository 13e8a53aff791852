"""The picture of bars with their ranges, upright or lying, as a specification."""

from glidewright.faces.report.chart_parts import (
    AXIS_EXTENT,
    INK,
    LETTER_WIDTH,
    MARK_COLOUR,
    MARK_OPACITY,
    WARNING,
    Size,
    Spec,
    axis_title,
    level,
    shown_number,
)
from glidewright.faces.report.document import Bar, BarChart

_LEAST_BAR_WIDTH = 180
_BAR_STEP = 30
_LABEL_PAD = 10.0
_LEAST_SHARE = 0.3  # of the width for the bars, however long a note is


def bar_chart(chart: BarChart, size: Size) -> Spec:
    """Bars with whiskers and notes."""
    symbol = chart.y.unit
    rows = [_bar(place, bar, symbol) for place, bar in enumerate(chart.bars) if bar.figure.value is not None]
    scale: Spec = {"zero": True, "nice": chart.largest is None}
    if chart.largest is not None:
        scale["domain"] = [0, shown_number(chart.largest, symbol)]
    names = [bar.label for bar in chart.bars]
    along = {"field": "label", "type": "nominal", "sort": names, "scale": {"domain": names}}
    amount = {"field": "value", "type": "quantitative", "scale": scale}
    marks = {"color": {"field": "colour", "type": "nominal", "scale": None},
             "opacity": {"field": "opacity", "type": "quantitative", "scale": None}}  # fmt: skip
    if chart.is_upright:
        return _upright(chart, size, rows, along, amount, marks)
    return _lying(chart, size, rows, along, amount, marks)


def _bar(place: int, bar: Bar, symbol: str) -> Spec:
    figure = bar.figure
    value = figure.value if figure.value is not None else 0.0
    low, high = (value if n is None else n for n in (figure.low, figure.high))
    return {
        "place": place,
        "label": bar.label,
        "value": shown_number(value, symbol),
        "low": shown_number(low, symbol),
        "high": shown_number(high, symbol),
        "note": bar.note,
        "colour": MARK_COLOUR[bar.mark],
        "opacity": MARK_OPACITY[bar.mark],
    }


def _whisker(axis: str) -> list[Spec]:
    has_spread = [{"filter": "datum.low < datum.high"}]
    ends = {axis: {"field": "low", "type": "quantitative"}, f"{axis}2": {"field": "high"}}
    return [
        {"transform": has_spread, "mark": {"type": "rule", "color": INK, "strokeWidth": 1.5},
         "encoding": ends},
        *(
            {"transform": has_spread, "mark": {"type": "tick", "color": INK, "thickness": 1.5, "size": 8},
             "encoding": {axis: {"field": end, "type": "quantitative"}}}
            for end in ("low", "high")
        ),
    ]  # fmt: skip


def _upright(chart: BarChart, size: Size, rows: list[Spec], along: Spec, amount: Spec, marks: Spec) -> Spec:
    y_axis = {"title": axis_title(chart.y), "domain": False, "tickCount": 5,
              "minExtent": AXIS_EXTENT, "maxExtent": AXIS_EXTENT}  # fmt: skip
    note = {
        "mark": {"type": "text", "dy": -8, "baseline": "bottom", "fontSize": 11, "lineBreak": "\n"},
        "encoding": {"y": {"field": "high", "type": "quantitative"}, "text": {"field": "note"}},
    }
    layers: list[Spec] = [
        {"mark": {"type": "bar", "width": {"band": size.bar_share}},
         "encoding": {"y": {**amount, "axis": y_axis}, **marks}},
        *_whisker("y"),
        note,
    ]  # fmt: skip
    for rule in chart.rules:
        layers.extend(level(rule, chart.y))
    x_axis = {"title": chart.x_title or None, "labelAngle": 0, "grid": False}
    return {
        "width": size.width,
        "height": size.bars_height,
        "data": {"values": rows},
        "encoding": {"x": {**along, "axis": x_axis}},
        "layer": layers,
    }


def _lying(chart: BarChart, size: Size, rows: list[Spec], along: Spec, amount: Spec, marks: Spec) -> Spec:
    axis = {"title": axis_title(chart.y), "domain": False, "tickCount": 5, "labelFlush": False}
    extent = max(LETTER_WIDTH * len(bar.label) for bar in chart.bars) + _LABEL_PAD
    note = {
        "mark": {"type": "text", "align": "left", "dx": 8},
        "encoding": {"x": {"field": "high", "type": "quantitative"}, "text": {"field": "note"}},
    }
    layers: list[Spec] = [
        {"mark": {"type": "bar", "height": {"band": 0.5}},
         "encoding": {"x": {**amount, "axis": axis}, **marks}},
        *_whisker("x"),
        note,
    ]  # fmt: skip
    layers.extend(
        {"data": {"values": [{"level": shown_number(rule.value, chart.y.unit)}]},
         "mark": {"type": "rule", "color": WARNING, "strokeDash": [4, 3]},
         "encoding": {"x": {"field": "level", "type": "quantitative"}}}
        for rule in chart.rules
    )  # fmt: skip
    width = max(size.width - extent, _LEAST_BAR_WIDTH)
    if chart.largest is None:
        amount["scale"]["domainMax"] = max(row["high"] / _share_left(row["note"], width) for row in rows)
    return {
        "width": width,
        "height": {"step": _BAR_STEP},
        "data": {"values": rows},
        "encoding": {
            "y": {**along, "axis": {"title": None, "grid": False, "domain": False, "labelLimit": 0,
                                    "labelColor": INK, "minExtent": extent, "maxExtent": extent}}
        },
        "layer": layers,
    }  # fmt: skip


def _share_left(note: str, width: float) -> float:
    """The share of the width that a note behind the end of a whisker leaves."""
    return max(1.0 - (LETTER_WIDTH * len(note) + _LABEL_PAD) / width, _LEAST_SHARE)
