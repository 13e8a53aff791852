"""Where on a model something may be put: its ends, wing tips and bays."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from glidewright.base.figure import Given
from glidewright.data import coefficients
from glidewright.domain.geometry_body import Bay
from glidewright.domain.geometry_places import wing_pieces
from glidewright.domain.model import Item, Model
from glidewright.domain.parts import Part

Span = tuple[float, float]

_TABLE = coefficients("choose")

MOST_BALLAST_KG = float(_TABLE["most_ballast"]["value"])
MOST_TIP_KG = float(_TABLE["most_tip_ballast"]["value"])
SPAR_SHARE = 0.35  # of the tip chord: ballast in a tip lies at the spar, where there is wood to glue it to


@dataclass(frozen=True)
class Tip:
    """The right wing tip, where ballast may lie; the left one is its mirror image."""

    x_m: float
    y_m: float


def body_ends(model: Model) -> Span | None:
    """Nose and tail as x: of the body where it has a shape, else of the foremost and the rearmost item."""
    geometry = model.airframe.geometry
    if geometry is not None and geometry.body is not None:
        return geometry.body.nose_x_m.value, geometry.body.end_x_m.value
    places = [item.part.x_m.value for item in model.items if item.part.x_m is not None]
    return (min(places), max(places)) if places and min(places) < max(places) else None


def wing_tip(model: Model) -> Tip | None:
    """The wing tip from the panels, else the outermost item of the wing; nothing without either."""
    geometry = model.airframe.geometry
    if geometry is not None:
        outer = wing_pieces(geometry)[-1].outer
        return Tip(outer.x_m + SPAR_SHARE * outer.chord_m, outer.y_m)
    outermost = max(
        (
            (abs(item.part.y_m.value), item.part.x_m.value)
            for item in model.items
            if item.group == "wing" and item.part.x_m is not None and item.part.y_m is not None
        ),
        default=None,
    )
    return None if outermost is None or outermost[0] <= 0.0 else Tip(outermost[1], outermost[0])


def bays_for(model: Model, item: Item, part: Part) -> Iterator[tuple[Bay, Span]]:
    """Bays that take a part, on the side where the item is, with the x that its middle may have."""
    for bay in _bays_taking(model, item, part):
        if not fits(bay, part):
            continue
        half = 0.0 if part.length_m is None else 0.5 * part.length_m.value
        yield bay, (bay.from_x_m.value + half, bay.to_x_m.value - half)


def fits(bay: Bay, part: Part) -> bool:
    """Whether a part is small enough for a bay, on its side if need be; a size that is not stated fits."""
    length, width, height = (
        0.0 if size is None else size.value for size in (part.length_m, part.width_m, part.height_m)
    )
    room = sorted((bay.width_m.value, bay.height_m.value))
    across = sorted((width, height))
    is_long = length > bay.to_x_m.value - bay.from_x_m.value
    return not is_long and across[0] <= room[0] and across[1] <= room[1]


def has_size(part: Part) -> bool:
    """Whether length, width and height of a part are all stated."""
    return None not in (part.length_m, part.width_m, part.height_m)


def misfits(model: Model, offered: Iterable[tuple[Item, Part]]) -> Iterator[str]:
    """Parts that are too big for the bays that would take them, in sentences: fitted and offered ones."""
    for item in model.items:
        bay = bay_around(model, item)
        if bay is not None and not fits(bay, item.part):
            yield f"{item.name} stays where it is: {_too_big(item.part, bay)}"
    for item, part in offered:
        bays = _bays_taking(model, item, part)
        around = bay_around(model, item)
        if around is not None and bays and not any(fits(bay, part) for bay in bays):
            yield f"{part.name} for {item.part.name}: {_too_big(part, around)}"


def _too_big(part: Part, bay: Bay) -> str:
    own = _by(part.length_m, part.width_m, part.height_m)
    length = bay.to_x_m.value - bay.from_x_m.value
    room = " x ".join(f"{1e3 * size:.0f}" for size in (length, bay.width_m.value, bay.height_m.value))
    return f"{own} mm are more than {bay.name} holds, {room} mm"


def _by(*sizes: Given | None) -> str:
    return " x ".join("?" if size is None else f"{1e3 * size.value:.0f}" for size in sizes)


def _bays_taking(model: Model, item: Item, part: Part) -> list[Bay]:
    """Bays for a kind of part on the side where an item is, whatever its size."""
    geometry = model.airframe.geometry
    across = 0.0 if item.part.y_m is None else item.part.y_m.value
    return [
        bay
        for bay in (() if geometry is None else geometry.bays)
        if part.kind in bay.takes and abs(across - bay.y_m.value) <= 0.5 * bay.width_m.value
    ]


def bay_around(model: Model, item: Item) -> Bay | None:
    """The bay that an item lies in now, if it is one for its kind."""
    geometry = model.airframe.geometry
    if geometry is None or item.part.x_m is None:
        return None
    place = item.part.x_m.value
    return next(
        (
            bay
            for bay in geometry.bays
            if item.part.kind in bay.takes and bay.from_x_m.value <= place <= bay.to_x_m.value
        ),
        None,
    )


def crowded(model: Model, placed: list[tuple[str, Part, float]]) -> list[tuple[str, str]]:
    """Pairs of parts in one bay that lie over each other and are too big to lie so.

    placed: name, part and x in m; a part without a length crowds nothing.
    """
    geometry = model.airframe.geometry
    found = []
    for bay in () if geometry is None else geometry.bays:
        inside = [
            (name, part, x, 0.5 * part.length_m.value)
            for name, part, x in placed
            if part.length_m is not None
            and part.kind in bay.takes
            and bay.from_x_m.value <= x <= bay.to_x_m.value
        ]
        for number, (name, part, x, half) in enumerate(inside):
            for other, beside, place, reach in inside[number + 1 :]:
                overlaps = abs(x - place) < half + reach
                if overlaps and not (
                    _together(part.height_m, beside.height_m, bay.height_m.value)
                    or _together(part.width_m, beside.width_m, bay.width_m.value)
                ):
                    found.append((name, other))
    return found


def _together(one: object, other: object, room: float) -> bool:
    sizes = [getattr(size, "value", 0.0) for size in (one, other)]
    return sum(sizes) <= room
