"""The side view of a model to move things in: a handle on the chosen item, marks that follow.

The same strokes as the drawing of the reports. What moves stands at the origin of a group with a class, so
that whoever moves it only sets its place; ``frame`` says how metres become units of the picture.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from html import escape
from typing import Any

from glidewright.decisions.drawing_geometry import DrawingGeometry, DrawnItem
from glidewright.faces.report.drawing_strokes import (
    TYPE,
    WIDTH,
    View,
    caption,
    centre_mark,
    chord_scale,
    dot,
    neutral_mark,
    outline_path,
    stations,
)

_PAD = 24.0  # room for the handle at either end
_HEAD = 34.0
_BELOW = 18.0
_LANE_ROOM = 1.4  # of the allowed range to either side of it
_LEAST_LANE_M = 0.02
_HANDLE = 14.0  # radius: 24 pixels across on a telephone
_MOVED = ("power", "radio", "ballast")


@dataclass(frozen=True)
class DragDrawing:
    """A picture as SVG, and its frame as plain values."""

    svg: str
    frame: dict[str, Any]


def drag_drawing(
    drawing: DrawingGeometry,
    edges_m: tuple[float, float] | None,
    centre_m: float,
    ends_m: tuple[float, float],
) -> DragDrawing:
    """Side view and enlarged balance; edges_m: allowed range; centre_m: its place; ends_m: nose and tail."""
    points = [point for outline in drawing.side for point in outline.points_m]
    first = min(ends_m[0], *(point[0] for point in points))
    last = max(ends_m[1], *(point[0] for point in points))
    high, low = max(point[1] for point in points), min(point[1] for point in points)
    scale = (WIDTH - 2.0 * _PAD) / (last - first)
    view = View(_PAD - scale * first, _HEAD + scale * high, scale)
    floor = view.top - scale * low + _BELOW
    lane, lane_view, bottom = _lane(drawing, edges_m, centre_m, floor + 52.0)
    body = [
        caption("Side view", 12.0),
        *_band(edges_m, view, _HEAD - 10.0, floor),
        *(outline_path(outline, view) for outline in drawing.side),
        *_items(drawing, view),
        *stations(view, floor, first, last),
        *lane,
    ]
    if drawing.neutral is not None and drawing.neutral.value is not None:
        body.append(neutral_mark(*view.place((drawing.neutral.value, drawing.centre_z_m))))
    y = view.place((0.0, drawing.centre_z_m))[1]
    body.append(f'<g class="centre-here" transform="translate(0 {y:.1f})">{centre_mark(0.0, 0.0)}</g>')
    body.append(_handle())
    title = f"{drawing.title}: side view, with a handle on what is moved"
    svg = (
        f'<svg role="group" aria-label="{escape(title)}" viewBox="0 0 {WIDTH:g} {bottom:.0f}" '
        f'font-size="{TYPE:g}" fill="none" stroke="currentColor" stroke-linejoin="round" '
        f'stroke-linecap="round">{"".join(body)}</svg>'
    )
    frame = {
        "left": view.left,
        "scale": view.scale,
        "top": view.top,
        "centre_y": y,
        "lane": {"left": lane_view.left, "scale": lane_view.scale, "y": lane_view.top},
        "width": WIDTH,
        "pad": _PAD,
    }
    return DragDrawing(svg, frame)


def _lane(
    drawing: DrawingGeometry, edges_m: tuple[float, float] | None, centre_m: float, top: float
) -> tuple[list[str], View, float]:
    """The balance enlarged: allowed range, spread of the centre of gravity, mean chord."""
    front, rear = edges_m if edges_m is not None else (centre_m - _LEAST_LANE_M, centre_m + _LEAST_LANE_M)
    room = _LANE_ROOM * max(rear - front, _LEAST_LANE_M)
    first, last = min(front - room, centre_m - 0.5 * room), max(rear + room, centre_m + 0.5 * room)
    scale = (WIDTH - 2.0 * _PAD) / (last - first)
    y = top + 22.0
    view = View(_PAD - scale * first, y, scale)
    parts = [caption("Balance, enlarged", top)]
    if edges_m is not None:
        x, width = view.place((front, 0.0))[0], scale * (rear - front)
        parts.append(
            f'<rect class="range" x="{x:.1f}" y="{y - 12.0:.1f}" width="{width:.1f}" height="24" '
            'stroke-width=".8" fill="currentColor" fill-opacity=".13"/>'
        )
    parts.append('<path class="spread-here" stroke-width="2" d=""/>')
    parts.append(f'<g class="centre-lane" transform="translate(0 {y:.1f})">{centre_mark(0.0, 0.0)}</g>')
    y += 22.0
    chord_front, chord = drawing.chord_front_x_m, drawing.mean_chord_m
    if chord_front is not None and chord is not None and first <= chord_front and chord_front + chord <= last:
        parts += chord_scale(view, chord_front, chord, y + 8.0)
        y += 26.0
    parts += stations(view, y, first, last, tick_m=0.005, named_m=0.02)
    return parts, view, y + 22.0


def _band(edges_m: tuple[float, float] | None, view: View, upper: float, lower: float) -> Iterator[str]:
    if edges_m is None:
        return
    left, right = (view.place((edge, 0.0))[0] for edge in edges_m)
    yield (
        f'<rect class="range" x="{left:.1f}" y="{upper:.1f}" width="{right - left:.1f}" '
        f'height="{lower - upper:.1f}" stroke="none" fill="currentColor" fill-opacity=".13"/>'
    )


def _items(drawing: DrawingGeometry, view: View) -> Iterator[str]:
    """What can be moved, each in a group of its own at its place along x."""
    for item in drawing.items:
        if item.group in _MOVED:
            yield _item(item, view)


def _item(item: DrawnItem, view: View) -> str:
    x, y = view.place((item.x_m, item.z_m))
    box = ""
    if item.length_m > 0.0 and item.height_m > 0.0:
        wide, high = view.scale * item.length_m, view.scale * item.height_m
        box = (
            f'<rect x="{-0.5 * wide:.1f}" y="{-0.5 * high:.1f}" width="{wide:.1f}" height="{high:.1f}" '
            'stroke-width=".6" fill="currentColor" fill-opacity=".1"/>'
        )
    name = escape(item.name, quote=True)
    return (
        f'<g class="item" data-item="{name}" data-y="{y:.1f}" transform="translate({x:.1f} {y:.1f})">'
        f"<title>{name}</title>{box}{dot(0.0, 0.0)}</g>"
    )


def _handle() -> str:
    r = _HANDLE
    return (
        '<g class="handle" role="slider" tabindex="0" aria-label="Place along the model" aria-valuemin="0" '
        'aria-valuemax="0" aria-valuenow="0" aria-orientation="horizontal">'
        f'<circle class="ring" r="{r:g}" stroke-width="1.4" fill="currentColor" fill-opacity=".16"/>'
        f'<path stroke-width="1.4" d="M{-r - 3:g} -4l-4 4l4 4M{r + 3:g} -4l4 4l-4 4"/></g>'
    )
