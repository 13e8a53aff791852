"""A flyer's own aerofoil section from a coordinate file, in either of the two usual orders.

Both are plain text with a title line and one pair of numbers x y a line, chord 1:

- one round (Selig archive): from the trailing edge over the upper side to the nose and back below;
- two sides (Lednicer): a line with the two counts, then upper and lower side, each from the nose back.
"""

from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from glidewright.base.errors import InputError, OutsideModelError
from glidewright.models.aero.section_outline import Outline, outline

Array = NDArray[np.float64]

MOST_POINTS = 2000
_LEAST_POINTS = 20
_LEAST_A_SIDE = 8
_LENGTH_OFF = 0.02  # of the chord: how far a drawing may be from length 1
_GAP = 0.05  # of the chord: thickest trailing edge that still counts as closed
_BACKWARDS = 0.002  # of the chord: how far x may run back on one side, at the nose and by rounding
_LEAST_THICKNESS, _MOST_THICKNESS = 0.015, 0.25


@dataclass(frozen=True)
class SectionFile:
    """A section as its file gives it: title, and shape in the chord frame."""

    title: str
    outline: Outline


def section_of_text(text: str, where: str) -> SectionFile:
    """The section of a coordinate file's text; `where` names it in errors.

    Raises InputError with the reason where it is no sound section, OutsideModelError where it is too thin or
    too thick.
    """
    title, points = points_of_text(text, where)
    _check(points, where)
    shape = outline(points)
    if not _LEAST_THICKNESS <= shape.thickness <= _MOST_THICKNESS:
        message = (
            f"thickness must lie from {_LEAST_THICKNESS:.1%} to {_MOST_THICKNESS:.0%} of the chord; "
            f"{shape.thickness:.1%} came; give another section"
        )
        raise OutsideModelError.at(where, message)
    return SectionFile(title or Path(where).stem, shape)


def points_of_text(text: str, where: str) -> tuple[str, Array]:
    """Title and points, in one round from the upper trailing edge; raises InputError for what is neither."""
    lines = [(number, line.split("#")[0].strip()) for number, line in enumerate(text.splitlines(), 1)]
    filled = [(number, line) for number, line in lines if line]
    if not filled:
        raise InputError.at(where, "the file is empty; it must hold a title and lines with x and y")
    title = ""
    if _pair(filled[0][1]) is None:
        title, filled = filled[0][1], filled[1:]
    pairs = []
    for number, line in filled:
        pair = _pair(line)
        if pair is None:
            message = (
                f"line {number} must be two finite numbers x y; {line[:40]!r} came; correct or remove it"
            )
            raise InputError.at(where, message)
        pairs.append(pair)
    if not _LEAST_POINTS <= len(pairs) <= MOST_POINTS:
        message = f"there must be {_LEAST_POINTS} to {MOST_POINTS} points; {len(pairs)} came; export it again"
        raise InputError.at(where, message)
    points = np.array(pairs)
    if np.all(points[0] >= _LEAST_A_SIDE - 0.5):
        points = _one_round(points, where)
    moved = np.hypot(*np.diff(points, axis=0).T) > 1e-9
    return title, points[np.r_[True, moved]]


def _pair(line: str) -> tuple[float, float] | None:
    words = line.replace(",", " ").replace(";", " ").split()
    try:
        x, y = (float(word) for word in words)
    except ValueError:
        return None
    return (x, y) if np.isfinite(x) and np.isfinite(y) else None


def _one_round(points: Array, where: str) -> Array:
    """The two sides of a file with counts, joined."""
    above, below = (round(float(count)) for count in points[0])
    if above + below != len(points) - 1:
        message = (
            f"the counts promise {above} + {below} points; {len(points) - 1} came; "
            "correct the counts, or scale the coordinates to chord 1 if these are no counts"
        )
        raise InputError.at(where, message)
    upper, lower = points[1 : above + 1], points[above + 1 :]
    joined: Array = np.concatenate([upper[::-1], lower])
    return joined


def _check(points: Array, where: str) -> None:
    """Raise InputError with the first reason why these points are no sound section."""
    reason = (
        _size_reason(points) or _closed_reason(points) or _order_reason(points) or _crossing_reason(points)
    )
    if reason:
        raise InputError.at(where, reason)


def _size_reason(points: Array) -> str:
    low, high = float(points[:, 0].min()), float(points[:, 0].max())
    if abs(low) > _LENGTH_OFF or abs(high - 1.0) > _LENGTH_OFF:
        advice = "scale and shift the coordinates so"
        return f"x must run from 0 at the nose to 1 at the trailing edge; {low:g} to {high:g} came; {advice}"
    return ""


def _closed_reason(points: Array) -> str:
    gap = float(np.hypot(*(points[0] - points[-1])))
    if gap > _GAP:
        return (
            f"the outline must start and end at the trailing edge, at most {_GAP:g} of the chord apart; "
            f"{gap:.3f} came; add the missing points"
        )
    return ""


def _order_reason(points: Array) -> str:
    nose = int(np.argmin(points[:, 0]))
    if min(nose, len(points) - 1 - nose) < _LEAST_A_SIDE:
        return (
            f"each side needs {_LEAST_A_SIDE} points or more between trailing edge and nose; "
            f"{nose} and {len(points) - 1 - nose} came; begin at the trailing edge or export with more points"
        )
    back = np.r_[np.diff(points[: nose + 1, 0]), -np.diff(points[nose:, 0])]
    if np.max(back) > _BACKWARDS:
        at = int(np.argmax(back))
        return (
            "points must run from the trailing edge over the upper side to the nose and back below; "
            f"point {at + 2} turns back at x {points[at + 1, 0]:.3f}; bring the points into order"
        )
    return ""


def _crossing_reason(points: Array) -> str:
    nose = int(np.argmin(points[:, 0]))
    upper, lower = points[nose::-1], points[nose:]
    x = np.unique(np.r_[upper[:, 0], lower[:, 0]])
    x = x[(x > 0.005) & (x < 0.995)]
    height = np.interp(x, np.maximum.accumulate(upper[:, 0]), upper[:, 1])
    depth = np.interp(x, np.maximum.accumulate(lower[:, 0]), lower[:, 1])
    below = height <= depth
    if below.all():
        return "the upper side must come first; here the lower one does; turn the order of the points round"
    if below.any():
        return f"upper and lower side cross at x {x[np.argmax(below)]:.3f}; correct the points there"
    return ""
