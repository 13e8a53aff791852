"""The picture of lines with their bands over one axis, in panels below each other, as a specification."""

import math

from glidewright.faces.report.chart_parts import (
    ACCENT,
    AXIS_EXTENT,
    LETTER_WIDTH,
    QUIET,
    SECOND,
    Size,
    Spec,
    axis_title,
    level,
    shown_number,
    whole_steps,
)
from glidewright.faces.report.document import Axis, Line, LineChart, Panel, Span

_LINE_STYLES = (
    (ACCENT, [1, 0]),
    (SECOND, [5, 3]),
    (QUIET, [2, 2]),
    (QUIET, [8, 3, 2, 3]),
    (ACCENT, [8, 4]),
    (SECOND, [1, 3]),
)
_POINTS = 240
_MOST_TICKS, _TICK_ROOM = 7, 75


def line_chart(chart: LineChart, size: Size) -> Spec:
    """Panels of lines with bands, spans and levels."""
    last = len(chart.panels) - 1
    shown = enumerate(chart.panels)
    panels = [_panel(panel, chart.x, size, number, number == last) for number, panel in shown]
    return panels[0] if len(panels) == 1 else {"vconcat": panels, "spacing": 16}


def _panel(panel: Panel, x: Axis, size: Size, number: int, is_last: bool) -> Spec:
    layers: list[Spec] = [_shade(span, x) for span in panel.spans]
    if number == 0:
        layers += [_span_name(span, x) for span in _named(panel, x, size.width)]
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
        layers.extend(level(rule, panel.y))
    steps = min(_MOST_TICKS, size.width // _TICK_ROOM)
    return {
        "width": size.width,
        "height": size.panel_height,
        "encoding": {
            "x": {"field": "x", "type": "quantitative", "scale": {"nice": False, **held(x)},
                  "axis": {"title": axis_title(x) if is_last else None, "grid": False, "tickCount": steps,
                           **whole_steps(number for line in panel.lines for number in line.x)}},
            "y": {"type": "quantitative", "scale": {"zero": False, "nice": True, **held(panel.y)},
                  "axis": {"title": axis_title(panel.y), "tickCount": 5, "domain": False,
                           "minExtent": AXIS_EXTENT, "maxExtent": AXIS_EXTENT}},
        },
        "layer": layers,
    }  # fmt: skip


def held(axis: Axis) -> Spec:
    """The scale of an axis whose ends are held; empty for one whose ends follow from what is drawn."""
    if axis.span is None:
        return {}
    return {"domain": [shown_number(end, axis.unit) for end in axis.span], "nice": False}


def _points(line: Line, x: Axis, y: Axis) -> list[dict[str, float]]:
    rows = zip(line.x, line.value, *((line.low, line.high) if line.low else ()), strict=True)
    known = [i for i, row in enumerate(rows) if all(map(math.isfinite, row))]
    step = max(1, -(-len(known) // _POINTS))
    picked = known if step == 1 else [*known[:-1:step], known[-1]]
    points = []
    for i in picked:
        point = {"x": shown_number(line.x[i], x.unit), "value": shown_number(line.value[i], y.unit)}
        if line.low:
            point |= {"low": shown_number(line.low[i], y.unit), "high": shown_number(line.high[i], y.unit)}
        points.append(point)
    return points


def _line_name(line: Line, colour: str, values: list[dict[str, float]]) -> Spec:
    return {
        "data": {"values": [{**values[-1], "name": line.name}]},
        "mark": {"type": "text", "align": "right", "dy": -9, "color": colour},
        "encoding": {"text": {"field": "name"}, "y": {"field": "value"}},
    }


def _shade(span: Span, x: Axis) -> Spec:
    ends = {"from": shown_number(span.start, x.unit), "to": shown_number(span.end, x.unit)}
    return {"data": {"values": [ends]}, "mark": {"type": "rect", "color": ACCENT, "opacity": 0.14},
            "encoding": {"x": {"field": "from", "type": "quantitative"}, "y": None,
                         "x2": {"field": "to"}}}  # fmt: skip


def _span_name(span: Span, x: Axis) -> Spec:
    """The name of a span above the picture, where no line crosses it."""
    place = {"from": shown_number(span.start, x.unit), "name": span.label}
    return {"data": {"values": [place]},
            "mark": {"type": "text", "align": "left", "baseline": "bottom", "y": -3, "color": QUIET},
            "encoding": {"x": {"field": "from", "type": "quantitative"}, "y": None,
                         "text": {"field": "name"}}}  # fmt: skip


def _named(panel: Panel, x: Axis, width: float) -> list[Span]:
    """The spans that can be named without one name running into another; the first of a crowd is."""
    ends = [end for span in panel.spans for end in (span.start, span.end)]
    ends += [place for line in panel.lines for place in line.x]
    first, last = x.span or (min(ends, default=0.0), max(ends, default=0.0))
    scale = width / (last - first) if last > first else 0.0
    found: list[Span] = []
    free = -math.inf
    for span in sorted(panel.spans, key=lambda one: one.start):
        start = (span.start - first) * scale
        if span.label and start >= free:
            found.append(span)
            free = start + LETTER_WIDTH * (len(span.label) + 1)
    return found
