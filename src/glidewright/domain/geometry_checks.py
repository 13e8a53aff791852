"""What no airframe can be: crossing panels, a tail in the wrong place, bays that stick out, in a sentence."""

from collections.abc import Callable, Iterator, Sequence
from itertools import combinations, pairwise

from glidewright.base.errors import Problem, nearest

from .geometry import Geometry
from .geometry_body import Bay, Body
from .geometry_places import Piece, edges_m, ring_at, tail_pieces, wing_pieces
from .geometry_section import plain_name

_SAME_M = 1e-9
Point = tuple[float, float]
_CLEAR_M = 0.01  # a tail that is closer to the wing in height than this and overlaps it in plan crosses it


def geometry_problems(geometry: Geometry) -> list[Problem]:
    """All that is impossible about a shape; ``where`` names table and key, ``[[bay]] 'x': to_x_mm``.

    Panels that cannot be laid out hide what depends on them.
    """
    found = list(_panels(geometry))
    if found:
        return found
    wing = wing_pieces(geometry)
    found += _crossing(geometry, wing)
    found += _tail(geometry, wing)
    if geometry.body is not None:
        found += _body(geometry.body)
    if not found:
        found += _spoiler(geometry, wing)
        found += [problem for bay in geometry.bays for problem in _bay(bay, geometry, wing)]
    return found


def section_problems(geometry: Geometry, names: Callable[[], Sequence[str]]) -> list[Problem]:
    """A problem for each section name that is not known; only its letters and digits count.

    names: of packaged sections; own ones come with the geometry. An incidence that is measured from the
    drawing of a section needs own ones.
    """
    stated = list(stated_sections(geometry))
    own = [section.name for section in geometry.sections]
    plain = [*own, *(plain_name(name) for name in (names() if stated else ()))]
    found = [
        Problem(
            where,
            f"must be a known section or the name of a file in sections/, without .dat; {name!r} came; "
            f"correct it or add the file; {nearest(plain_name(name), plain)}",
        )
        for where, name in stated
        if plain_name(name) not in plain
    ]
    for table, noun, mark in (("[wing]", geometry.wing, "[[panel]]"), ("[tail]", geometry.tail, "[tail]")):
        of_surface = [plain_name(name) for where, name in stated if where.startswith(mark)]
        is_own = bool(of_surface) and all(name in own for name in of_surface)
        if noun is not None and noun.incidence_from == "file" and not is_own:
            message = (
                "must be usual or chord where a section has no file in sections/; file came; change it or "
                "name own sections only"
            )
            found.append(Problem(f"{table}: incidence_from", message))
    return found


def stated_sections(geometry: Geometry) -> Iterator[tuple[str, str]]:
    """Table with key, and name, of each section that is stated."""
    for number, panel in enumerate(geometry.panels, 1):
        for key in ("section", "tip_section"):
            if getattr(panel, key):
                yield f"{_label('panel', panel.name, number)}: {key}", getattr(panel, key)
    if geometry.tail is not None and geometry.tail.section:
        yield "[tail]: section", geometry.tail.section
    for number, fin in enumerate(geometry.fins, 1):
        if fin.section:
            yield f"{_label('fin', fin.name, number)}: section", fin.section


def _label(table: str, name: str, number: int) -> str:
    return f"[[{table}]] {name!r}" if name else f"[[{table}]] {number}"


def _mm(length_m: float) -> str:
    return f"{1000.0 * length_m:.4g} mm"


def _panels(geometry: Geometry) -> Iterator[Problem]:
    first = geometry.panels[0]
    where = _label("panel", first.name, 1)
    if first.root_chord_m is None:
        yield Problem(
            f"{where}: root_chord_mm", "must be given for the first panel; it is left out; add root_chord_mm"
        )


def _crossing(geometry: Geometry, wing: Sequence[Piece]) -> Iterator[Problem]:
    """Panels that cut through each other, or through those of the other side, seen from the front."""
    lines = [((piece.inner.y_m, piece.inner.z_m), (piece.outer.y_m, piece.outer.z_m)) for piece in wing]
    for (i, one), (j, other) in combinations(enumerate(lines), 2):
        apart = j - i > 1
        if (apart and _cross(*one, *other)) or (not apart and _folded(*one, other[1])):
            yield _crossing_problem(geometry, j, geometry.panels[i].name or f"panel {i + 1}")
    for j, (inner, outer) in enumerate(lines):
        if outer[0] < -_SAME_M or (inner[0] > _SAME_M and abs(outer[0]) <= _SAME_M):
            yield _crossing_problem(geometry, j, "the other wing")


def _crossing_problem(geometry: Geometry, number: int, other: str) -> Problem:
    panel = geometry.panels[number]
    return Problem(
        f"{_label('panel', panel.name, number + 1)}: dihedral_deg",
        f"must lead the panel clear of {other}; they cross each other; "
        "state the angle against the horizontal and check the lengths",
    )


def _turn(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _cross(a: Point, b: Point, c: Point, d: Point) -> bool:
    """True when two lines without a common end meet."""
    return _turn(a, b, c) * _turn(a, b, d) <= 0.0 and _turn(c, d, a) * _turn(c, d, b) <= 0.0


def _folded(a: Point, b: Point, c: Point) -> bool:
    """True when the line from b to c runs back on that from a to b."""
    along = (b[0] - a[0]) * (c[0] - b[0]) + (b[1] - a[1]) * (c[1] - b[1])
    return along < 0.0 and abs(_turn(a, b, c)) <= _SAME_M


def _tail(geometry: Geometry, wing: Sequence[Piece]) -> Iterator[Problem]:
    tail = geometry.tail
    if tail is None:
        return
    if tail.v_tail and not tail.dihedral_rad.value > 0.0:
        yield Problem(
            "[tail]: dihedral_deg", "must be above 0 for a V-tail; it is not; add the angle of each half"
        )
    root = wing[0].inner
    front, chord = tail.x_m.value, tail.root_chord_m.value
    is_ahead = front + 0.25 * chord < root.x_m + 0.25 * root.chord_m
    if is_ahead and not tail.ahead:
        yield Problem(
            "[tail]: x_mm",
            f"must be behind the wing; {_mm(front)} came, ahead of it; "
            "correct it, or write ahead = true for a canard",
        )
    elif tail.ahead and not is_ahead:
        yield Problem(
            "[tail]: x_mm",
            f"must be ahead of the wing where ahead = true stands; {_mm(front)} came; correct one of them",
        )
    elif _overlaps(tail_pieces(tail), wing):
        yield Problem(
            "[tail]: x_mm",
            f"must leave the tail clear of the wing; {_mm(front)} came, they overlap; correct it",
        )


def _overlaps(tail: Sequence[Piece], wing: Sequence[Piece]) -> bool:
    """True when the roots of tail and wing lie over each other at nearly one height."""
    tail_edges, wing_edges = edges_m(tail, 0.0), edges_m(wing, 0.0)
    if tail_edges is None or wing_edges is None:
        return False
    is_level = abs(tail[0].inner.z_m - wing[0].inner.z_m) < _CLEAR_M
    return is_level and tail_edges[0] < wing_edges[1] and wing_edges[0] < tail_edges[1]


def _body(body: Body) -> Iterator[Problem]:
    keys = ("nose_x_m", "full_from_x_m", "full_to_x_m", "pod_end_x_m", "end_x_m")
    for before, after in pairwise(keys):
        low, high = getattr(body, before).value, getattr(body, after).value
        may_touch = after in ("full_to_x_m", "end_x_m")
        if high < low or (high == low and not may_touch):
            ahead, behind = (f"{name.removesuffix('_m')}_mm" for name in (before, after))
            yield Problem(
                f"[body]: {behind}",
                f"must lie behind {ahead} at {_mm(low)}; {_mm(high)} came; correct one of them",
            )


def _spoiler(geometry: Geometry, wing: Sequence[Piece]) -> Iterator[Problem]:
    spoiler = geometry.spoiler
    if spoiler is None:
        return
    inner, outer = spoiler.from_y_m.value, spoiler.to_y_m.value
    if outer <= inner:
        yield Problem(
            "[spoiler]: to_y_mm",
            f"must be further out than from_y_mm; {_mm(outer)} came against {_mm(inner)}; swap them",
        )
        return
    ends = [edges_m(wing, y_m) for y_m in (inner, outer)]
    needed = spoiler.chord_m.value + spoiler.setback_m.value
    if any(end is None for end in ends):
        yield Problem(
            "[spoiler]: to_y_mm",
            f"must end on the wing; {_mm(outer)} came, the tip is at {_mm(wing[-1].outer.y_m)}; correct it",
        )
    elif any(end is not None and end[1] - end[0] <= needed for end in ends):
        yield Problem(
            "[spoiler]: setback_mm",
            f"must leave room for the blade on the wing; blade and setback need {_mm(needed)}, "
            "the chord there is less; correct chord_mm or setback_mm",
        )


def _bay(bay: Bay, geometry: Geometry, wing: Sequence[Piece]) -> Iterator[Problem]:
    where, front, rear = f"[[bay]] {bay.name!r}", bay.from_x_m.value, bay.to_x_m.value
    if rear <= front:
        yield Problem(
            f"{where}: to_x_mm",
            f"must lie behind from_x_mm; {_mm(rear)} came against {_mm(front)}; swap or correct them",
        )
    elif bay.place == "wing":
        found = edges_m(wing, abs(bay.y_m.value))
        if found is None or front < found[0] or rear > found[1]:
            yield Problem(
                where,
                f"must lie inside the wing; {_mm(front)} to {_mm(rear)} came, outside of it; correct it",
            )
    elif geometry.body is None:
        yield Problem(where, "must lie inside a body; none is given; add a table [body] or remove the bay")
    else:
        yield from _body_bay(bay, where, geometry.body)


def _body_bay(bay: Bay, where: str, body: Body) -> Iterator[Problem]:
    for key, x_m in (("from_x_mm", bay.from_x_m.value), ("to_x_mm", bay.to_x_m.value)):
        ring = ring_at(body, x_m)
        if ring is None:
            yield Problem(
                f"{where}: {key}",
                f"must lie inside the body, from {_mm(body.nose_x_m.value)} to {_mm(body.end_x_m.value)}; "
                f"{_mm(x_m)} came; correct it",
            )
            continue
        middle = bay.z_m.value if bay.z_m is not None else 0.5 * (ring.bottom_z_m + ring.top_z_m)
        half = 0.5 * bay.height_m.value
        is_low = middle - half < ring.bottom_z_m - _SAME_M
        sticks_out = is_low or middle + half > ring.top_z_m + _SAME_M
        if bay.width_m.value + 2.0 * abs(bay.y_m.value) > ring.width_m + _SAME_M:
            yield Problem(
                f"{where}: width_mm",
                f"must fit into the body; at {_mm(x_m)} that is {_mm(ring.width_m)} wide, "
                f"{_mm(bay.width_m.value)} came; correct the bay or the body",
            )
        elif sticks_out:
            yield Problem(
                f"{where}: height_mm",
                f"must fit into the body; at {_mm(x_m)} that reaches from z {_mm(ring.bottom_z_m)} to "
                f"{_mm(ring.top_z_m)}, the bay sticks out; correct the bay or the body",
            )
