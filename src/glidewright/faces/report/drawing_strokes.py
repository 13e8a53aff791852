"""Strokes of a drawing in the text's own colour: outlines, marks, words and scales, all as pieces of SVG."""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from html import escape

from glidewright.decisions.drawing_geometry import Outline, Point

WIDTH, EDGE = 400.0, 6.0
TYPE, _SMALL = 11.0, 10.0
_TICK_M, _NAMED_TICK_M = 0.1, 0.2
_MARK_RADIUS = 5.0
_STYLES: Mapping[str, str] = {
    "body": 'stroke-width="1.1"',
    "wing": 'stroke-width="1.1"',
    "tail": 'stroke-width="1"',
    "fin": 'stroke-width="1"',
    "hinge": 'stroke-width=".7" opacity=".75"',
    "spoiler": 'stroke-width=".7" opacity=".8"',
    "bay": 'stroke-width=".8" stroke-dasharray="3 2" opacity=".85"',
}


@dataclass(frozen=True)
class View:
    """From metres to the picture: place of the origin, units a metre; turned: x runs down, y to the right."""

    left: float
    top: float
    scale: float
    turned: bool = False

    def place(self, point: Point) -> Point:
        """The point of the picture for a point (x, z) or (x, y) in metres."""
        x_m, other_m = point
        if self.turned:
            return self.left + self.scale * other_m, self.top + self.scale * x_m
        return self.left + self.scale * x_m, self.top - self.scale * other_m


def outline_path(outline: Outline, view: View) -> str:
    """An outline of the drawing."""
    path = "L".join(f"{x:.1f} {y:.1f}" for x, y in map(view.place, outline.points_m))
    return f'<path {_STYLES[outline.kind]} d="M{path}{"Z" if outline.closed else ""}"/>'


def text(words: str, x: float, y: float, anchor: str = "start", size: float = TYPE) -> str:
    """Words at a point; anchor: start, middle or end."""
    where = f'x="{x:.1f}" y="{y:.1f}"'
    return (
        f'<text {where} text-anchor="{anchor}" font-size="{size:g}" fill="currentColor" stroke="none">'
        f"{escape(words)}</text>"
    )


def caption(words: str, y: float) -> str:
    """The name of a view."""
    return (
        f'<text x="{EDGE:g}" y="{y:.1f}" font-size="{TYPE:g}" font-weight="600" fill="currentColor" '
        f'stroke="none">{words}</text>'
    )


def dot(x: float, y: float) -> str:
    """The place of an item."""
    return f'<circle cx="{x:.1f}" cy="{y:.1f}" r="1.5" fill="currentColor" stroke="none"/>'


def centre_mark(x: float, y: float) -> str:
    """The quartered circle of a centre of gravity."""
    r = _MARK_RADIUS
    quarter = (
        f"M{x:.1f} {y:.1f}v{-r:g}a{r:g} {r:g} 0 0 1 {r:g} {r:g}zm0 0v{r:g}a{r:g} {r:g} 0 0 1 {-r:g} {-r:g}z"
    )
    return (
        f'<g class="centre"><circle cx="{x:.1f}" cy="{y:.1f}" r="{r:g}" fill="var(--paper, #fff)"/>'
        f'<path d="{quarter}" fill="currentColor" stroke="none"/></g>'
    )


def neutral_mark(x: float, y: float) -> str:
    """The diamond of a neutral point."""
    r = _MARK_RADIUS
    return (
        f'<path class="neutral" d="M{x - r:.1f} {y:.1f}l{r:g} {-r:g}l{r:g} {r:g}l{-r:g} {r:g}z" '
        'fill="var(--paper, #fff)"/>'
    )


def bar(x1: float, x2: float, y: float, is_range: bool) -> str:
    """A range as a box, or a spread as a line with two ends."""
    if is_range:
        return (
            f'<rect class="range" x="{x1:.1f}" y="{y - 5.0:.1f}" width="{x2 - x1:.1f}" height="10" '
            'fill="currentColor" fill-opacity=".16"/>'
        )
    return f'<path class="spread" stroke-width="1.6" d="M{x1:.1f} {y - 4.0:.1f}v8m0 -4H{x2:.1f}m0 -4v8"/>'


def _ticks(first: float, last: float, step: float) -> list[int]:
    """Whole multiples of a step between two stations."""
    return list(range(math.ceil(first / step - 1e-9), math.floor(last / step + 1e-9) + 1))


def stations(
    view: View, y: float, first: float, last: float, tick_m: float = _TICK_M, named_m: float = _NAMED_TICK_M
) -> Iterator[str]:
    """A line of stations along x, from the datum, in mm."""
    x1, x2 = view.place((first, 0.0))[0], view.place((last, 0.0))[0]
    every = round(named_m / tick_m)
    path = [f"M{x1:.1f} {y:.1f}H{x2:.1f}"]
    names = []
    for number in _ticks(first, last, tick_m):
        x = view.place((number * tick_m, 0.0))[0]
        path.append(f"M{x:.1f} {y:.1f}v{4.0 if number % every == 0 else 2.5:g}")
        if number % every == 0 and x1 + 8.0 <= x <= x2 - 32.0:
            words = f"{1000.0 * number * tick_m:.0f}".replace("-", "\u2212")
            names.append(text(words, x, y + 13.5, "middle", _SMALL))
    yield f'<path stroke-width=".7" d="{"".join(path)}"/>'
    yield from names
    yield text("mm", x2, y + 13.5, "end", _SMALL)


def span_line(view: View, half: float, y: float) -> Iterator[str]:
    """The span as a measured line."""
    x1, x2 = view.place((0.0, -half))[0], view.place((0.0, half))[0]
    yield f'<path stroke-width=".7" d="M{x1:.1f} {y - 3.0:.1f}v6m0 -3H{x2:.1f}m0 -3v6"/>'
    yield text(f"span {whole_mm(2.0 * half)}", 0.5 * WIDTH, y + 12.0, "middle", _SMALL)


def chord_scale(view: View, front: float, chord: float, y: float) -> Iterator[str]:
    """The mean chord with its hundredths, every tenth ticked."""
    places = [view.place((front + share * chord / 10.0, 0.0))[0] for share in range(11)]
    ticks = "".join(
        f"M{x:.1f} {y:.1f}v{-4.0 if number % 2 == 0 else -2.5:g}" for number, x in enumerate(places)
    )
    yield f'<path stroke-width="1.1" d="M{places[0]:.1f} {y:.1f}H{places[-1]:.1f}{ticks}"/>'
    for number in range(0, 11, 2):
        words = f"{10 * number} %" if number else "0 % of the mean chord"
        anchor = "start" if number == 0 else "end" if number == 10 else "middle"
        if number != 2:
            yield text(words, places[number], y + 11.0, anchor, _SMALL)


def whole_mm(length_m: float) -> str:
    """A length in whole millimetres, with unit."""
    return f"{1000.0 * length_m:.0f} mm".replace("-", "\u2212")
