"""Charts as Vega-Lite specifications, and their pictures as SVG.

The specification is plain data in shown units; ``vl_convert`` turns it into a picture without any network.
Colours are named in the specification by stand-ins that ``chart_svg`` replaces by the colours of the page
(custom properties, so that light and dark need one picture) or by fixed ones for print.
"""

import re
from collections.abc import Mapping
from html import escape

from glidewright.faces.report.bar_chart import bar_chart
from glidewright.faces.report.chart_parts import HAIR, INK, PAGE_COLOURS, PRINT_COLOURS, QUIET, Size, Spec
from glidewright.faces.report.document import BarChart, Chart, LineChart
from glidewright.faces.report.line_chart import held, line_chart
from glidewright.faces.report.scatter_chart import scatter_chart

__all__ = ["PAGE_COLOURS", "PRINT_COLOURS", "chart_svg", "held_frame", "specification"]

_NARROW = Size(330, 150, 220, 0.6)
_WIDE = Size(840, 190, 240, 0.4)
_BESIDE = Size(580, 140, 220, 0.5)
_SMALL = Size(330, 92, 220, 0.6)

# the engine gives its groups roles without names; the picture has one role, one name and one description
_EMPTY_ROLES = re.compile(r' (?:role="graphics-[a-z]+"|aria-roledescription="[^"]*")')


def specification(chart: Chart, is_wide: bool = False, is_beside: bool = False) -> Spec:
    """The Vega-Lite specification of a chart, all numbers in shown units."""
    size = _size(chart, is_wide, is_beside)
    return {"background": None, "padding": 4, "config": _config(), **_body(chart, size)}


def _body(chart: Chart, size: Size) -> Spec:
    if isinstance(chart, LineChart):
        return line_chart(chart, size)
    if isinstance(chart, BarChart):
        return bar_chart(chart, size)
    return scatter_chart(chart, size)


def _size(chart: Chart, is_wide: bool, is_beside: bool) -> Size:
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
    ends = [held(axis).get("domain") for axis in axes]
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
