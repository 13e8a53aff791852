"""Side and top view of a model to scale, and its balance enlarged, as one SVG of lines.

All lengths in the picture are in its own units: 400 across, so that type is read at the width of a telephone.
Only ``currentColor`` is used, in several strengths, so that light, dark and black-and-white print need one
picture.
"""

import math
import re
from collections.abc import Callable, Iterator, Sequence
from html import escape

from glidewright.base.figure import Figure
from glidewright.base.wording import exact_text, number_text
from glidewright.decisions.drawing_geometry import DrawingGeometry, DrawnItem, Outline, Point
from glidewright.faces.report.drawing_labels import Label, Wanted, placed
from glidewright.faces.report.drawing_strokes import (
    EDGE,
    TYPE,
    WIDTH,
    View,
    bar,
    caption,
    centre_mark,
    chord_scale,
    dot,
    neutral_mark,
    outline_path,
    span_line,
    stations,
    text,
    whole_mm,
)

_LETTER, _ROW = 5.9, 13.0
_PAD = 10.0
_LANE = 30.0
_OFF_CENTRE_M = 0.06  # further from the middle than this an item is shown in the top view
_SAME_UNITS = 1.5  # points nearer than this share a name
_IN_SIDE = ("fuselage", "tail", "power", "radio", "ballast")
_BOXED = ("power", "radio", "ballast")
_ABOVE = ("power", "radio", "ballast")
_SIDE_WORDS = re.compile(r"[-_\s]*\b(?:left|right)\b[-_\s]*", re.IGNORECASE)


def drawing_svg(drawing: DrawingGeometry) -> str:
    """The drawing as one SVG element with role, name and description.

    Side view, nose to the left, with stations in mm below; top view with nose up; last the enlarged balance.
    """
    parts: list[str] = []
    bottom = _side_view(drawing, parts)
    bottom = _top_view(drawing, parts, bottom + 14.0)
    bottom = _balance(drawing, parts, bottom + 16.0)
    title = f"{drawing.title}: side and top view to scale"
    return (
        f'<svg class="drawing" role="img" aria-label="{escape(title)}" viewBox="0 0 {WIDTH:g} {bottom:.0f}" '
        f'font-size="{TYPE:g}" fill="none" stroke="currentColor" '
        'stroke-linejoin="round" stroke-linecap="round">'
        f"<title>{escape(title)}</title><desc>{escape(_description(drawing))}</desc>{''.join(parts)}</svg>"
    )


# ------------------------------------------------------------------ the views


def _side_view(drawing: DrawingGeometry, parts: list[str]) -> float:
    """Draw the side view below the top edge; gives its lower edge."""
    first, last, low, high = _extent(drawing.side, drawing.items)
    scale = (WIDTH - 2.0 * _PAD) / (last - first)
    flat = View(_PAD - scale * first, 0.0, scale)
    shown = [item for item in drawing.items if _is_in_side(item)]
    points = [(item, flat.place((item.x_m, item.z_m))) for item in shown]
    above = _named([pair for pair in points if pair[0].group in _ABOVE])
    below = _named([pair for pair in points if pair[0].group not in _ABOVE])
    below += [_bay_name(outline, flat) for outline in drawing.side if outline.kind == "bay"]
    upper = placed(above, EDGE, WIDTH - EDGE)
    lower = placed(below, EDGE, WIDTH - EDGE)
    head = 16.0
    up_edge = head + _ROW * _rows(upper) + 8.0
    view = View(flat.left, up_edge + scale * high, scale)
    down_edge = view.top - scale * low + 8.0
    parts.append(caption("Side view", head - 5.0))
    _range_band(drawing, view, parts)
    parts += [outline_path(outline, view) for outline in drawing.side]
    parts += _boxes(shown, view)
    parts += [dot(*view.place((item.x_m, item.z_m))) for item in shown]
    shift = view.top
    parts += _labels(upper, shift, lambda row: up_edge - 4.0 - _ROW * row, up_edge)
    parts += _labels(lower, shift, lambda row: down_edge + 10.0 + _ROW * row, down_edge)
    if drawing.neutral is not None and drawing.neutral.value is not None:
        parts.append(neutral_mark(*view.place((drawing.neutral.value, drawing.centre_z_m))))
    if drawing.centre is not None and drawing.centre.value is not None:
        parts.append(centre_mark(*view.place((drawing.centre.value, drawing.centre_z_m))))
    axis = down_edge + _ROW * _rows(lower) + 10.0
    parts += stations(view, axis, first, last)
    return axis + 20.0


def _top_view(drawing: DrawingGeometry, parts: list[str], top: float) -> float:
    """Draw the top view below a line; gives its lower edge."""
    first, last, low, high = _extent(drawing.top, ())
    half = max(abs(low), abs(high))
    scale = (WIDTH - 2.0 * _PAD) / (2.0 * half)
    view = View(0.5 * WIDTH, top + 14.0 - scale * first, scale, turned=True)
    shown = [item for item in drawing.items if not _is_in_side(item)]
    points = [(item, view.place((item.x_m, item.y_m))) for item in _one_of_pairs(shown)]
    wing = [outline for outline in drawing.top if outline.kind == "wing"]
    edge = max(view.place(point)[1] for outline in wing for point in outline.points_m) + 6.0
    left = _named([pair for pair in points if pair[0].y_m < 0.0])
    right = _named([pair for pair in points if pair[0].y_m >= 0.0])
    middle = 0.5 * WIDTH
    names = (*placed(left, EDGE, middle - _PAD), *placed(right, middle + _PAD, WIDTH - EDGE))
    parts.append(caption("Top view", top))
    parts += [outline_path(outline, view) for outline in drawing.top]
    parts += [dot(*view.place((item.x_m, item.y_m))) for item in shown]
    parts += _labels(names, 0.0, lambda row: edge + 10.0 + _ROW * row, edge)
    if drawing.centre is not None and drawing.centre.value is not None:
        parts.append(centre_mark(*view.place((drawing.centre.value, 0.0))))
    bottom = max(view.top + scale * last, edge + _ROW * _rows(names)) + 10.0
    parts += span_line(view, half, bottom)
    return bottom + 14.0


def _balance(drawing: DrawingGeometry, parts: list[str], top: float) -> float:
    """Draw the balance enlarged, one lane for each of range, centre of gravity and neutral point."""
    lanes = list(_lanes(drawing))
    numbers = [number for _, low, high, _ in lanes for number in (low, high)]
    front, chord = drawing.chord_front_x_m, drawing.mean_chord_m
    if front is not None and chord is not None:
        numbers += [front, front + chord]
    if not numbers or max(numbers) <= min(numbers):
        return top
    first, last = min(numbers), max(numbers)
    scale = (WIDTH - 2.0 * _PAD - 8.0) / (last - first)
    view = View(_PAD + 4.0 - scale * first, 0.0, scale)
    parts.append(caption("Balance, enlarged", top))
    y = top + 8.0
    for words, low, high, middle in lanes:
        y += _LANE
        parts.append(text(words, _PAD, y - 14.0))
        parts.append(bar(view.place((low, 0.0))[0], view.place((high, 0.0))[0], y - 3.0, middle is None))
        if middle is not None:
            x = view.place((middle, 0.0))[0]
            is_centre = drawing.centre is not None and middle == drawing.centre.value
            parts.append(centre_mark(x, y - 3.0) if is_centre else neutral_mark(x, y - 3.0))
    if front is not None and chord is not None:
        parts += chord_scale(view, front, chord, y + 12.0)
        y += 26.0
    parts += stations(view, y + 12.0, first, last, tick_m=0.01, named_m=0.02)
    return y + 36.0


def _lanes(drawing: DrawingGeometry) -> Iterator[tuple[str, float, float, float | None]]:
    """Words, ends and middle of each lane."""
    if drawing.range_front_m is not None and drawing.range_rear_m is not None:
        front, rear = drawing.range_front_m, drawing.range_rear_m
        words = f"allowed range {exact_text(front, 'mm').removesuffix(' mm')} to {exact_text(rear, 'mm')}"
        yield words, front, rear, None
    for name, figure in (("centre of gravity", drawing.centre), ("neutral point", drawing.neutral)):
        if figure is not None and figure.value is not None:
            low = figure.low if figure.low is not None else figure.value
            high = figure.high if figure.high is not None else figure.value
            yield f"{name} {_in_mm(figure)}", low, high, figure.value


def _in_mm(figure: Figure) -> str:
    return number_text(figure.model_copy(update={"shown": "mm"}))


# ------------------------------------------------------------------ items and their names


def _is_in_side(item: DrawnItem) -> bool:
    return item.group in _IN_SIDE and abs(item.y_m) < _OFF_CENTRE_M


def _one_of_pairs(items: Sequence[DrawnItem]) -> list[DrawnItem]:
    """Items with the left one of each mirrored pair left out, and the right one named for both."""
    kept: list[DrawnItem] = []
    for item in items:
        twins = [one for one in items if one is not item and _are_mirrored(one, item)]
        if not twins:
            kept.append(item)
        elif item.y_m > 0.0:
            kept.append(item.model_copy(update={"name": f"{_without_side(item.name)} \u00d72"}))
    return kept


def _are_mirrored(one: DrawnItem, other: DrawnItem) -> bool:
    places = (one.x_m - other.x_m, one.y_m + other.y_m, one.z_m - other.z_m)
    is_mirrored = all(abs(apart) < 1e-6 for apart in places) and one.y_m != 0.0
    return is_mirrored and _without_side(one.name) == _without_side(other.name)


def _without_side(name: str) -> str:
    return _SIDE_WORDS.sub(" ", name).strip()


def _named(points: Sequence[tuple[DrawnItem, Point]]) -> list[Wanted]:
    """One name a point; points that fall together share it."""
    groups: list[tuple[Point, list[str]]] = []
    for item, point in points:
        name = item.name.replace("-", " ").replace("_", " ")
        same = next((names for at, names in groups if math.dist(at, point) < _SAME_UNITS), None)
        if same is None:
            groups.append((point, [name]))
        else:
            same.append(name)
    return [Wanted(words := ", ".join(names), x, y, _LETTER * len(words)) for (x, y), names in groups]


def _bay_name(bay: Outline, view: View) -> Wanted:
    """The name of a bay, for the point a third along its lower edge, clear of what lies in its middle."""
    along, across = ([point[axis] for point in bay.points_m] for axis in (0, 1))
    x, y = view.place((min(along) + (max(along) - min(along)) / 3.0, min(across)))
    return Wanted(bay.name, x, y, _LETTER * len(bay.name))


def _rows(labels: Sequence[Label]) -> int:
    return max((label.row for label in labels), default=-1) + 1


# ------------------------------------------------------------------ what lies in a view


def _extent(outlines: Sequence[Outline], items: Sequence[DrawnItem]) -> tuple[float, float, float, float]:
    """First and last x, lowest and highest of the other axis; items count along x only."""
    points = [point for outline in outlines for point in outline.points_m]
    along = [point[0] for point in points] + [item.x_m for item in items]
    across = [point[1] for point in points]
    return min(along), max(along), min(across), max(across)


def _boxes(items: Sequence[DrawnItem], view: View) -> Iterator[str]:
    """Sizes of parts that can be moved, so that one sees what fits where."""
    for item in items:
        if item.group in _BOXED and item.length_m > 0.0 and item.height_m > 0.0:
            x, y = view.place((item.x_m - 0.5 * item.length_m, item.z_m + 0.5 * item.height_m))
            wide, high = view.scale * item.length_m, view.scale * item.height_m
            yield (
                f'<rect x="{x:.1f}" y="{y:.1f}" width="{wide:.1f}" height="{high:.1f}" stroke-width=".6" '
                'fill="currentColor" fill-opacity=".1"/>'
            )


def _labels(
    labels: Sequence[Label], shift: float, baseline: Callable[[int], float], edge: float
) -> Iterator[str]:
    for label in labels:
        want, y = label.wanted, baseline(label.row)
        end = y + 1.5 if y < edge else y - 8.0
        yield (
            f'<path stroke-width=".5" opacity=".7" d="M{want.x:.1f} {want.y + shift:.1f}'
            f'L{label.line_x:.1f} {edge:.1f}V{end:.1f}"/>'
        )
        yield text(
            want.text, label.right if label.is_back else label.left, y, "end" if label.is_back else "start"
        )


def _range_band(drawing: DrawingGeometry, view: View, parts: list[str]) -> None:
    """The allowed range as an upright band over the body."""
    if drawing.range_front_m is None or drawing.range_rear_m is None:
        return
    heights = [z_m for outline in drawing.side if outline.kind == "body" for _, z_m in outline.points_m]
    if not heights:
        return
    left, upper = view.place((drawing.range_front_m, max(heights)))
    right, lower = view.place((drawing.range_rear_m, min(heights)))
    parts.append(
        f'<rect class="range" x="{left:.1f}" y="{upper - 6.0:.1f}" width="{right - left:.1f}" '
        f'height="{lower - upper + 12.0:.1f}" stroke-width=".5" fill="currentColor" fill-opacity=".16"/>'
    )


# ------------------------------------------------------------------ words for those who do not see it


def _description(drawing: DrawingGeometry) -> str:
    first, last, _, _ = _extent(drawing.top, ())
    _, _, low, high = _extent(drawing.top, ())
    words = [f"Span {whole_mm(high - low)}, length {whole_mm(last - first)}."]
    words += [f"{lane[0][0].upper()}{lane[0][1:]}." for lane in _lanes(drawing)]
    items = sorted(drawing.items, key=lambda item: item.x_m)
    named = ", ".join(f"{item.name} {whole_mm(item.x_m)}" for item in items)
    return " ".join([*words, f"Items from nose to tail: {named}."] if named else words)
