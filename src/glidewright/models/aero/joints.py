"""Fins and tail closed up where they meet, before a lattice is laid on them.

A drawing leaves some millimetres between fin and tail, or between the two halves of a fin, that a boom
fills; or a tail passes through a fin. Wakes of neighbours that nearly touch, or that leave from the middle of
a strip, would give sideslip any answer: there a strip's edge must lie. So near ends are brought together, and
surfaces are cut where another one starts.
"""

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np

from glidewright.models.aero.lattice_mesh import evenly_split
from glidewright.models.aero.shape import Section, Surface

_NEAR_M = 0.03
_NEAR_SHARE = 0.2  # of the height of a fin, if that is more
_SAME_M = 1e-6


def joined(surfaces: Sequence[Surface]) -> list[Surface]:
    """The surfaces, wing first and untouched, with fins and tail closed up.

    A tail is called ``tail``, fins start with ``fin`` and stand upright, from foot to top.

    >>> tail = Surface("tail", (Section(0.74, 0, 0.0, 0.1), Section(0.74, 0.2, 0.0, 0.1)), (4,))
    >>> low = Section(0.72, 0, -0.01, 0.16), Section(0.76, 0, 0.2, 0.1)
    >>> closed = joined([tail, Surface("fin 1", low, (4,), symmetric=False)])
    >>> [section.z_m for section in closed[1].sections]
    [0.0, 0.2]
    """
    found = list(surfaces)
    place = next((i for i, one in enumerate(found) if one.name == "tail"), None)
    fins = [i for i, one in enumerate(found) if one.name.startswith("fin")]
    if place is not None:
        for i in fins:
            found[place], found[i] = _fin_on_tail(found[place], found[i])
    for i in fins:
        for j in fins:
            if i != j:
                found[i], found[j] = _facing(found[i], found[j])
    return found


def cut_at(surface: Surface, axis: str, places_m: Sequence[float]) -> Surface:
    """The surface with a section more at each place between its ends, and about as many strips.

    axis: ``y_m`` or ``z_m``, along which its sections rise; straight between the sections that it has, and
    the controls of a part are those of its pieces.

    >>> plan = Section(0.0, 0.0, 0.0, 0.2), Section(0.0, 1.0, 0.0, 0.2)
    >>> cut = cut_at(Surface("wing", plan, (14,)), "y_m", (0.1, 0.4))
    >>> [section.y_m for section in cut.sections], cut.spanwise
    ([0.0, 0.1, 0.4, 1.0], (1, 3, 10))
    """
    sections, hinges = [surface.sections[0]], []
    for part, (inner, outer) in enumerate(pairwise(surface.sections)):
        first, last = getattr(inner, axis), getattr(outer, axis)
        cuts = sorted(at for at in places_m if first + _SAME_M < at < last - _SAME_M)
        sections += [_between(inner, outer, (at - first) / (last - first)) for at in cuts] + [outer]
        hinges += [surface.hinges[part] if surface.hinges else ()] * (len(cuts) + 1)
    if len(sections) == len(surface.sections):
        return surface
    cut = replace(
        surface,
        sections=tuple(sections),
        spanwise=(1,) * (len(sections) - 1),
        hinges=tuple(hinges) if surface.hinges else (),
    )
    return evenly_split(cut, sum(surface.spanwise))


def _between(inner: Section, outer: Section, share: float) -> Section:
    names = ("x_m", "y_m", "z_m", "chord_m", "incidence_rad", "zero_lift_rad", "moment_c4")
    ends = ((getattr(inner, name), getattr(outer, name)) for name in names)
    return Section(*(first + share * (last - first) for first, last in ends))


def _near_m(fin: Surface) -> float:
    return max(_NEAR_M, _NEAR_SHARE * (fin.sections[-1].z_m - fin.sections[0].z_m))


def _fin_on_tail(tail: Surface, fin: Surface) -> tuple[Surface, Surface]:
    """Tail and fin with a strip's edge of both where they meet; as they are where they do not."""
    across = abs(fin.sections[0].y_m)
    half = tail.sections[-1].y_m
    if across > half + _NEAR_M:
        return tail, fin
    station = 0.0 if across < _NEAR_M else half if abs(across - half) < _NEAR_M else across
    there = _at(tail, "y_m", station)
    low, top = fin.sections[0].z_m, fin.sections[-1].z_m
    near = _near_m(fin)
    if not low - near < there.z_m < top + near:
        return tail, fin
    own = _at(fin, "z_m", min(max(there.z_m, low), top))
    if own.x_m > there.x_m + there.chord_m or there.x_m > own.x_m + own.chord_m:
        return tail, fin
    side = -station if fin.sections[0].y_m < 0.0 else station
    fin = replace(fin, sections=tuple(replace(one, y_m=side) for one in fin.sections))
    return cut_at(tail, "y_m", (station,)), _with_height(fin, there.z_m, near)


def _with_height(fin: Surface, height_m: float, near_m: float) -> Surface:
    """The fin with an end or a section at a height."""
    low, top = fin.sections[0], fin.sections[-1]
    if abs(low.z_m - height_m) < near_m:
        return replace(fin, sections=(replace(low, z_m=height_m), *fin.sections[1:]))
    if abs(top.z_m - height_m) < near_m:
        return replace(fin, sections=(*fin.sections[:-1], replace(top, z_m=height_m)))
    return cut_at(fin, "z_m", (height_m,))


def _facing(lower: Surface, upper: Surface) -> tuple[Surface, Surface]:
    """Two fins with their facing ends at one height, where these are near each other but do not meet."""
    top, foot = lower.sections[-1], upper.sections[0]
    apart = foot.z_m - top.z_m
    is_behind = top.x_m > foot.x_m + foot.chord_m or foot.x_m > top.x_m + top.chord_m
    if not _SAME_M < apart < _NEAR_M or abs(top.y_m - foot.y_m) > _NEAR_M or is_behind:
        return lower, upper
    height, across = 0.5 * (top.z_m + foot.z_m), foot.y_m
    ends = replace(top, z_m=height, y_m=across), replace(foot, z_m=height)
    moved = tuple(replace(one, y_m=across) for one in lower.sections[:-1])
    return replace(lower, sections=(*moved, ends[0])), replace(upper, sections=(ends[1], *upper.sections[1:]))


def _at(surface: Surface, axis: str, place_m: float) -> Section:
    """The section at a place along an axis, straight between those of the surface."""
    for inner, outer in pairwise(surface.sections):
        first, last = getattr(inner, axis), getattr(outer, axis)
        if first - _SAME_M <= place_m <= last + _SAME_M and last > first:
            return _between(inner, outer, float(np.clip((place_m - first) / (last - first), 0.0, 1.0)))
    return surface.sections[-1]
