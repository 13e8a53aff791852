"""Outlines of a model for a drawing to scale: what lies where, in metres, before any picture is made.

Side view: x aft to the right, z up. Top view: x aft, y to the right wing.
"""

import math
from collections.abc import Iterator, Sequence
from typing import Literal

from glidewright.base.fields import Noun
from glidewright.base.figure import Figure, Given
from glidewright.domain.airframe import Airframe
from glidewright.domain.geometry import Bay, Geometry
from glidewright.domain.geometry_places import (
    Piece,
    body_rings,
    edges_m,
    fin_piece,
    ring_at,
    tail_pieces,
    wing_pieces,
)
from glidewright.domain.model import Item, Model
from glidewright.forecast.predict import Forecast

Point = tuple[float, float]
Kind = Literal["body", "wing", "tail", "fin", "hinge", "spoiler", "bay"]
_WING_THICKNESS, _TAIL_THICKNESS = (
    0.08,
    0.05,
)  # of the chord, for the eye only: the section itself is not drawn
_LENS_STEPS = 12
_HALF_BAY_M = 0.01  # drawn half height of a bay in a wing, for which no body tells where the middle is


class Outline(Noun):
    """A line of the drawing; points_m: (x, z) in the side view, (x, y) in the top view."""

    kind: Kind
    name: str
    points_m: tuple[Point, ...]
    closed: bool = True


class DrawnItem(Noun):
    """A thing at its station; sizes are zero where they are not known."""

    name: str
    group: str
    x_m: float
    y_m: float
    z_m: float
    length_m: float
    width_m: float
    height_m: float


class DrawingGeometry(Noun):
    """All that a side and a top view show."""

    title: str
    side: tuple[Outline, ...]
    top: tuple[Outline, ...]
    items: tuple[DrawnItem, ...]
    centre: Figure | None
    centre_z_m: float
    neutral: Figure | None
    range_front_m: float | None
    range_rear_m: float | None
    chord_front_x_m: float | None
    mean_chord_m: float | None


def drawing_of(found: Forecast) -> DrawingGeometry | None:
    """The drawing of a forecast, with its centre of gravity and neutral point; nothing without a shape."""
    prediction = found.prediction
    height = prediction.figure("cg_z_m", "mm").value
    return drawing_geometry(
        found.setup.model,
        prediction.figure("cg_x_m", "mm"),
        0.0 if height is None else height,
        prediction.figure("neutral_point_x_m", "mm"),
    )


def drawing_geometry(
    model: Model, centre: Figure | None = None, centre_z_m: float = 0.0, neutral: Figure | None = None
) -> DrawingGeometry | None:
    """What to draw of a model, or nothing when its folder states no shape.

    centre: forecast centre of gravity along x; centre_z_m: its height; neutral: neutral point along x.
    """
    airframe = model.airframe
    geometry = airframe.geometry
    if geometry is None:
        return None
    return DrawingGeometry(
        title=model.name,
        side=tuple(_side(geometry)),
        top=tuple(_top(geometry)),
        items=tuple(drawn for item in model.items if (drawn := _drawn(item)) is not None),
        centre=_if_known(centre),
        centre_z_m=centre_z_m,
        neutral=_if_known(neutral),
        range_front_m=_value(airframe.balance_front_x_m),
        range_rear_m=_value(airframe.balance_rear_x_m),
        **_chord(airframe),
    )


def _if_known(figure: Figure | None) -> Figure | None:
    return figure if figure is not None and figure.value is not None else None


def _value(given: Given | None) -> float | None:
    return given.value if given is not None else None


def _chord(airframe: Airframe) -> dict[str, float | None]:
    front, chord = _value(airframe.chord_front_x_m), _value(airframe.mean_chord_m)
    known = front is not None and chord is not None
    return {"chord_front_x_m": front if known else None, "mean_chord_m": chord if known else None}


def _drawn(item: Item) -> DrawnItem | None:
    """The item at its station; nothing while that is unknown along x."""
    part = item.part
    if part.x_m is None:
        return None
    numbers = {name: _value(getattr(part, name)) or 0.0 for name in ("y_m", "z_m")}
    sizes = {name: _value(getattr(part, name)) or 0.0 for name in ("length_m", "width_m", "height_m")}
    return DrawnItem(name=item.name, group=item.group, x_m=part.x_m.value, **numbers, **sizes)


def _side(geometry: Geometry) -> Iterator[Outline]:
    if geometry.body is not None:
        rings = body_rings(geometry.body)
        under = [(ring.x_m, ring.bottom_z_m) for ring in reversed(rings)]
        yield Outline(
            kind="body", name="body", points_m=(*((ring.x_m, ring.top_z_m) for ring in rings), *under)
        )
    for fin in geometry.fins:
        piece = fin_piece(fin)
        yield Outline(kind="fin", name=piece.name, points_m=_flat(piece, "z_m"))
        yield from _hinge(piece, "z_m")
    wing = wing_pieces(geometry)
    for piece in wing:
        yield Outline(kind="wing", name=piece.name, points_m=_flat(piece, "z_m"))
    yield Outline(kind="wing", name="wing root", points_m=_lens(wing[0], _WING_THICKNESS))
    if geometry.tail is not None:
        for piece in tail_pieces(geometry.tail):
            yield Outline(kind="tail", name="tail", points_m=_flat(piece, "z_m"))
            yield Outline(kind="tail", name="tail root", points_m=_lens(piece, _TAIL_THICKNESS))
    for bay in geometry.bays:
        yield _bay_side(bay, geometry)


def _top(geometry: Geometry) -> Iterator[Outline]:
    wing = wing_pieces(geometry)
    surfaces: list[tuple[Kind, Piece]] = [("wing", piece) for piece in wing]
    surfaces += [("tail", piece) for piece in (tail_pieces(geometry.tail) if geometry.tail else ())]
    if geometry.body is not None:
        rings = body_rings(geometry.body)
        left = [(ring.x_m, -0.5 * ring.width_m) for ring in reversed(rings)]
        right = [(ring.x_m, 0.5 * ring.width_m) for ring in rings]
        yield Outline(kind="body", name="body", points_m=(*right, *left))
    for kind, piece in surfaces:
        for points in _both_sides(_flat(piece, "y_m")):
            yield Outline(kind=kind, name=piece.name, points_m=points)
        for line in _hinge(piece, "y_m"):
            yield from (line.model_copy(update={"points_m": points}) for points in _both_sides(line.points_m))
    for fin in geometry.fins:
        piece = fin_piece(fin)
        ends = ((piece.inner.x_m, piece.inner.y_m), (piece.inner.x_m + piece.inner.chord_m, piece.inner.y_m))
        yield Outline(kind="fin", name=piece.name, points_m=ends, closed=False)
    spoiler = geometry.spoiler
    if spoiler is not None:
        ends_y = (spoiler.from_y_m.value, spoiler.to_y_m.value)
        rears = [_trailing(wing, y_m) - spoiler.setback_m.value for y_m in ends_y]
        chord = spoiler.chord_m.value
        points = (
            (rears[0] - chord, ends_y[0]),
            (rears[1] - chord, ends_y[1]),
            (rears[1], ends_y[1]),
            (rears[0], ends_y[0]),
        )
        for side in _both_sides(points):
            yield Outline(kind="spoiler", name="spoiler", points_m=side)
    for bay in geometry.bays:
        half, y_m = 0.5 * bay.width_m.value, bay.y_m.value
        points = _box(bay.from_x_m.value, bay.to_x_m.value, y_m - half, y_m + half)
        yield Outline(kind="bay", name=bay.name, points_m=points)


def _trailing(wing: Sequence[Piece], y_m: float) -> float:
    found = edges_m(wing, y_m)
    return found[1] if found is not None else 0.0


def _box(x1: float, x2: float, low: float, high: float) -> tuple[Point, ...]:
    return (x1, low), (x2, low), (x2, high), (x1, high)


def _both_sides(points: Sequence[Point]) -> tuple[tuple[Point, ...], tuple[Point, ...]]:
    return tuple(points), tuple((x_m, -y_m) for x_m, y_m in points)


def _flat(piece: Piece, across: str) -> tuple[Point, ...]:
    """Leading and trailing edge of a piece seen square to an axis; angles of incidence are left out."""
    inner, outer = piece.inner, piece.outer
    low, high = getattr(inner, across), getattr(outer, across)
    return (
        (inner.x_m, low),
        (outer.x_m, high),
        (outer.x_m + outer.chord_m, high),
        (inner.x_m + inner.chord_m, low),
    )


def _hinge(piece: Piece, across: str) -> Iterator[Outline]:
    """The hinge line of a surface that moves in part."""
    if not 0.0 < piece.movable < 1.0:
        return
    points = tuple(
        (end.x_m + (1.0 - piece.movable) * end.chord_m, getattr(end, across))
        for end in (piece.inner, piece.outer)
    )
    yield Outline(kind="hinge", name=piece.name, points_m=points, closed=False)


def _lens(piece: Piece, thickness: float) -> tuple[Point, ...]:
    """A lens on the chord of a root, turned by its stated incidence: the eye's stand-in for the section."""
    root = piece.inner
    cos, sin = math.cos(root.incidence_rad), math.sin(root.incidence_rad)
    shares = [step / _LENS_STEPS for step in range(_LENS_STEPS + 1)]
    bow = [2.0 * thickness * share * (1.0 - share) for share in shares]
    upper = list(zip(shares, bow, strict=True))
    lower = [(share, -height) for share, height in reversed(upper)]
    return tuple(
        (
            root.x_m + root.chord_m * (along * cos + up * sin),
            root.z_m + root.chord_m * (up * cos - along * sin),
        )
        for along, up in (*upper, *lower)
    )


def _bay_side(bay: Bay, geometry: Geometry) -> Outline:
    middle_x = 0.5 * (bay.from_x_m.value + bay.to_x_m.value)
    ring = ring_at(geometry.body, middle_x) if geometry.body is not None else None
    height = bay.height_m.value if bay.place == "body" else 2.0 * _HALF_BAY_M
    if bay.z_m is not None:
        middle = bay.z_m.value
    elif bay.place == "body" and ring is not None:
        middle = 0.5 * (ring.bottom_z_m + ring.top_z_m)
    else:
        middle = geometry.wing.z_m.value
    points = _box(bay.from_x_m.value, bay.to_x_m.value, middle - 0.5 * height, middle + 0.5 * height)
    return Outline(kind="bay", name=bay.name, points_m=points)
