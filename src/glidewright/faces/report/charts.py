"""Charts as Vega-Lite specifications, and their pictures as SVG.

The specification is plain data in shown units; ``vl_convert`` turns it into a picture without any network.
Colours are named in the specification by stand-ins that ``chart_svg`` replaces by the colours of the page
(custom properties, so that light and dark need one picture) or by fixed ones for print.
"""

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from html import escape
from typing import Any

from glidewright.base.units import unit
from glidewright.base.wording import unit_text
from glidewright.faces.report.document import (
    Axis,
    Bar,
    BarChart,
    Chart,
    Line,
    LineChart,
    Panel,
    RuleLine,
    Span,
)
from glidewright.faces.report.scatter_chart import scatter, whole_steps

Spec = dict[str, Any]


@dataclass(frozen=True)
class _Size:
    """Width and heights of a picture, and the share of its step that an upright bar fills."""

    width: int
    panel_height: int
    bars_height: int
    bar_share: float


_NARROW = _Size(330, 150, 220, 0.6)
_WIDE = _Size(840, 190, 240, 0.4)
_BESIDE = _Size(580, 140, 220, 0.5)
_SMALL = _Size(330, 92, 220, 0.6)

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
_MARK_COLOUR = {"plain": ACCENT, "last": ACCENT, "beyond": QUIET, "warning": WARNING, "alarm": ALARM}
_MARK_OPACITY = {"plain": 0.55, "last": 0.9, "beyond": 0.3, "warning": 0.7, "alarm": 0.8}
_LINE_STYLES = (
    (ACCENT, [1, 0]),
    (SECOND, [5, 3]),
    (QUIET, [2, 2]),
    (QUIET, [8, 3, 2, 3]),
    (ACCENT, [8, 4]),
    (SECOND, [1, 3]),
)
_LEAST_BAR_WIDTH = 180
_BAR_STEP = 30
_AXIS_EXTENT = 44
# the reader's font may be wider than the one the engine measures with
_LABEL_LETTER, _LABEL_PAD = 6.8, 10.0
_POINTS = 240
# the engine gives its groups roles without names; the picture has one role, one name and one description
_EMPTY_ROLES = re.compile(r' (?:role="graphics-[a-z]+"|aria-roledescription="[^"]*")')
_DIGITS = 5


def specification(chart: Chart, is_wide: bool = False, is_beside: bool = False) -> Spec:
    """The Vega-Lite specification of a chart, all numbers in shown units."""
    size = _size(chart, is_wide, is_beside)
    return {"background": None, "padding": 4, "config": _config(), **_body(chart, size)}


def _body(chart: Chart, size: _Size) -> Spec:
    if isinstance(chart, LineChart):
        return _lines(chart, size)
    if isinstance(chart, BarChart):
        return _bars(chart, size)
    titles = {"x": _axis_title(chart.x), "y": _axis_title(chart.y)}
    return scatter(chart, size.width, size.bars_height, titles, {**_MARK_COLOUR, "ink": INK, "quiet": QUIET})


def _size(chart: Chart, is_wide: bool, is_beside: bool) -> _Size:
    """The size for a place; a chart with held axes is moved by a form that must be seen at the same time."""
    if is_wide or is_beside:
        return _WIDE if is_wide else _BESIDE
    return _SMALL if isinstance(chart, LineChart) and chart.x.span is not None else _NARROW


def chart_svg(
    chart: Chart, colours: Mapping[str, str] = PAGE_COLOURS, is_wide: bool = False, is_beside: bool = False
) -> str:
    """The picture as one SVG element with a role, a name and a description, without any address in it.

    is_wide: for the width of a page or a sheet; is_beside: for what is left of it beside a form; else for
    that of a telephone.
    """
    import vl_convert  # noqa: PLC0415 - the engine takes half a second and only pictures need it

    drawn: str = vl_convert.vegalite_to_svg(specification(chart, is_wide, is_beside), allowed_base_urls=[])
    for stand_in, colour in colours.items():
        drawn = drawn.replace(stand_in, colour)
    drawn = re.sub(
        r'\b(id="|url\(#|href="#)', rf"\g<1>{chart.key}-{_size(chart, is_wide, is_beside).width}-", drawn
    )
    drawn = _EMPTY_ROLES.sub("", drawn)
    box = re.search(r'viewBox="([^"]+)"', drawn)
    inner = drawn[drawn.index(">", drawn.index("<svg")) + 1 :]
    frame = f' viewBox="{box[1]}"' if box else ""
    title = f"<title>{escape(chart.title)}</title><desc>{escape(chart.sentence)}</desc>"
    return f'<svg role="img" aria-label="{escape(chart.title)}"{frame}>{title}{inner}'


def held_frame(chart: LineChart, is_beside: bool = False) -> Spec:
    """Where the lines of a chart with held axes lie in its picture, for whoever redraws them in it.

    width and height of a panel in units of the picture; x and y: ends of the axes in shown units, y for
    each panel. Raises ValueError for a chart with an axis that is not held.
    """
    size = _size(chart, False, is_beside)
    axes = [chart.x, *(panel.y for panel in chart.panels)]
    ends = [_held(axis).get("domain") for axis in axes]
    if None in ends:
        raise ValueError(f"every axis of {chart.key} must be held")
    return {"width": size.width, "height": size.panel_height, "x": ends[0], "y": ends[1:]}


def _config() -> Spec:
    words = {"labelColor": QUIET, "titleColor": QUIET, "labelFontSize": 12, "titleFontSize": 12}
    return {
        "font": "sans-serif",
        "aria": False,
        "view": {"stroke": None},
        "axis": {
            **words,
            "titleFontWeight": "normal",
            "grid": True,
            "gridColor": HAIR,
            "domainColor": QUIET,
            "ticks": False,
            "labelPadding": 6,
            "titlePadding": 8,
        },
        "text": {"color": INK, "fontSize": 12},
    }


def _axis_title(axis: Axis) -> str:
    symbol = unit_text(axis.unit)
    return f"{axis.title}, {symbol}" if symbol else axis.title


def _number(value: float, symbol: str) -> float:
    return float(f"{unit(symbol).from_si(value):.{_DIGITS}g}")


def _lines(chart: LineChart, size: _Size) -> Spec:
    last = len(chart.panels) - 1
    shown = enumerate(chart.panels)
    panels = [_panel(panel, chart.x, size, number, number == last) for number, panel in shown]
    return panels[0] if len(panels) == 1 else {"vconcat": panels, "spacing": 16}


def _panel(panel: Panel, x: Axis, size: _Size, number: int, is_last: bool) -> Spec:
    layers: list[Spec] = [layer for span in panel.spans for layer in _span(span, x)]
    for place, (line, (colour, dash)) in enumerate(zip(panel.lines, _LINE_STYLES, strict=False)):
        data = {"values": _points(line, x, panel.y)}
        if line.low:
            layers.append(
                {"name": f"panel{number}band{place}", "data": data,
                 "mark": {"type": "area", "color": colour, "opacity": 0.18},
                 "encoding": {"y": {"field": "low"}, "y2": {"field": "high"}}}
            )  # fmt: skip
        layers.append(
            {"name": f"panel{number}line{place}", "data": data,
             "mark": {"type": "line", "color": colour, "strokeWidth": 2, "strokeDash": dash},
             "encoding": {"y": {"field": "value"}}}
        )  # fmt: skip
        if len(panel.lines) > 1:
            layers.append(_line_name(line, colour, data["values"]))
    for rule in panel.rules:
        layers.extend(_level(rule, panel.y))
    return {
        "width": size.width,
        "height": size.panel_height,
        "encoding": {
            "x": {"field": "x", "type": "quantitative", "scale": {"nice": False, **_held(x)},
                  "axis": {"title": _axis_title(x) if is_last else None, "grid": False, "tickCount": 7,
                           **whole_steps(number for line in panel.lines for number in line.x)}},
            "y": {"type": "quantitative", "scale": {"zero": False, "nice": True, **_held(panel.y)},
                  "axis": {"title": _axis_title(panel.y), "tickCount": 5, "domain": False,
                           "minExtent": _AXIS_EXTENT, "maxExtent": _AXIS_EXTENT}},
        },
        "layer": layers,
    }  # fmt: skip


def _held(axis: Axis) -> Spec:
    """The domain of an axis whose ends are held."""
    if axis.span is None:
        return {}
    return {"domain": [_number(end, axis.unit) for end in axis.span], "nice": False}


def _points(line: Line, x: Axis, y: Axis) -> list[dict[str, float]]:
    rows = zip(line.x, line.value, *((line.low, line.high) if line.low else ()), strict=True)
    known = [i for i, row in enumerate(rows) if all(map(math.isfinite, row))]
    step = max(1, -(-len(known) // _POINTS))
    picked = known if step == 1 else [*known[:-1:step], known[-1]]
    points = []
    for i in picked:
        point = {"x": _number(line.x[i], x.unit), "value": _number(line.value[i], y.unit)}
        if line.low:
            point |= {"low": _number(line.low[i], y.unit), "high": _number(line.high[i], y.unit)}
        points.append(point)
    return points


def _line_name(line: Line, colour: str, values: list[dict[str, float]]) -> Spec:
    return {
        "data": {"values": [{**values[-1], "name": line.name}]},
        "mark": {"type": "text", "align": "right", "dy": -9, "color": colour},
        "encoding": {"text": {"field": "name"}, "y": {"field": "value"}},
    }


def _span(span: Span, x: Axis) -> list[Spec]:
    ends = {"from": _number(span.start, x.unit), "to": _number(span.end, x.unit), "name": span.label}
    place = {"x": {"field": "from", "type": "quantitative"}, "y": None}
    return [
        {"data": {"values": [ends]}, "mark": {"type": "rect", "color": ACCENT, "opacity": 0.14},
         "encoding": {**place, "x2": {"field": "to"}}},
        {"data": {"values": [ends]},
         "mark": {"type": "text", "align": "left", "baseline": "top", "y": 2, "dx": 2, "color": QUIET},
         "encoding": {**place, "text": {"field": "name"}}},
    ]  # fmt: skip


def _level(rule: RuleLine, y: Axis) -> list[Spec]:
    data = {"values": [{"level": _number(rule.value, y.unit), "name": rule.label}]}
    place = {"y": {"field": "level"}, "x": None}
    return [
        {"data": data, "mark": {"type": "rule", "color": WARNING, "strokeDash": [4, 3], "strokeWidth": 1.5},
         "encoding": place},
        {"data": data, "mark": {"type": "text", "align": "left", "x": 4, "dy": -8, "color": WARNING},
         "encoding": {**place, "text": {"field": "name"}}},
    ]  # fmt: skip


def _bars(chart: BarChart, size: _Size) -> Spec:
    symbol = chart.y.unit
    rows = [_bar(place, bar, symbol) for place, bar in enumerate(chart.bars) if bar.figure.value is not None]
    scale: Spec = {"zero": True, "nice": chart.largest is None}
    if chart.largest is not None:
        scale["domain"] = [0, _number(chart.largest, symbol)]
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
        "value": _number(value, symbol),
        "low": _number(low, symbol),
        "high": _number(high, symbol),
        "note": bar.note,
        "colour": _MARK_COLOUR[bar.mark],
        "opacity": _MARK_OPACITY[bar.mark],
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


def _upright(chart: BarChart, size: _Size, rows: list[Spec], along: Spec, amount: Spec, marks: Spec) -> Spec:
    y_axis = {"title": _axis_title(chart.y), "domain": False, "tickCount": 5,
              "minExtent": _AXIS_EXTENT, "maxExtent": _AXIS_EXTENT}  # fmt: skip
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
        layers.extend(_level(rule, chart.y))
    x_axis = {"title": chart.x_title or None, "labelAngle": 0, "grid": False}
    return {
        "width": size.width,
        "height": size.bars_height,
        "data": {"values": rows},
        "encoding": {"x": {**along, "axis": x_axis}},
        "layer": layers,
    }


def _lying(chart: BarChart, size: _Size, rows: list[Spec], along: Spec, amount: Spec, marks: Spec) -> Spec:
    axis = {"title": _axis_title(chart.y), "domain": False, "tickCount": 5, "labelFlush": False}
    extent = max(_LABEL_LETTER * len(bar.label) for bar in chart.bars) + _LABEL_PAD
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
        {"data": {"values": [{"level": _number(rule.value, chart.y.unit)}]},
         "mark": {"type": "rule", "color": WARNING, "strokeDash": [4, 3]},
         "encoding": {"x": {"field": "level", "type": "quantitative"}}}
        for rule in chart.rules
    )  # fmt: skip
    return {
        "width": max(size.width - extent, _LEAST_BAR_WIDTH),
        "height": {"step": _BAR_STEP},
        "data": {"values": rows},
        "encoding": {
            "y": {**along, "axis": {"title": None, "grid": False, "domain": False, "labelLimit": 0,
                                    "labelColor": INK, "minExtent": extent, "maxExtent": extent}}
        },
        "layer": layers,
    }  # fmt: skip
