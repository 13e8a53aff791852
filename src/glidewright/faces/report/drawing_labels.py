"""Places for the names in a drawing: rows beside the picture, no name over another, no line through a name.

A leader goes from its point to the first row, slanted at most a little, then upright to its name.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

_GAP = 4.0  # between two names in a row
_CLEAR = 2.5  # between an upright line and a name or another line
_INDENT = 2.0  # from the line to its name
_SLANTS = tuple(sorted((3.0 * n for n in range(-30, 31)), key=abs))
_SLANT_COST = 0.5  # of a unit aside, in rows


@dataclass(frozen=True)
class Wanted:
    """A name and the point that it is for, in units of the picture; width: of the text."""

    text: str
    x: float
    y: float
    width: float


@dataclass(frozen=True)
class Label:
    """A name in its place: row from 0 next to the picture, line_x of its upright line, left and right end."""

    wanted: Wanted
    row: int
    line_x: float
    left: float
    right: float
    is_back: bool

    def blocks(self, other: "Label") -> bool:
        """True when the two cannot stand together."""
        if abs(self.line_x - other.line_x) < _CLEAR:
            return True
        if self.row == other.row:
            return self.left < other.right + _GAP and other.left < self.right + _GAP
        near, far = (self, other) if self.row < other.row else (other, self)
        return near.left - _CLEAR < far.line_x < near.right + _CLEAR


def placed(wanted: Sequence[Wanted], left: float, right: float) -> tuple[Label, ...]:
    """A place for every name between left and right, as few rows and slants as a greedy search finds.

    Names that run to the right of their line come first, from the right, so that none is in the way of the
    next; those without room there come last, and so end up behind the others. A name that finds no place
    stands in a row of its own from the left edge on.
    """
    found: list[Label] = []

    def order(want: Wanted) -> tuple[bool, float, float]:
        is_back = _is_back(want, right)
        return is_back, want.x if is_back else -want.x, want.y

    for want in sorted(wanted, key=order):
        rows = range(max((label.row for label in found), default=-1) + 2)
        free = [
            label
            for label in _candidates(want, rows, left, right)
            if not any(label.blocks(other) for other in found)
        ]
        last = Label(want, len(rows), want.x, left, left + want.width, is_back=False)
        found.append(min(free, key=_cost, default=last))
    return tuple(found)


def _is_back(want: Wanted, right: float) -> bool:
    """True when the name has no room to the right of its line."""
    return want.x + _INDENT + want.width > right


def _candidates(want: Wanted, rows: Sequence[int], left: float, right: float) -> Iterator[Label]:
    is_back = _is_back(want, right)
    for slant in _SLANTS:
        line = want.x + slant
        start = line - _INDENT - want.width if is_back else line + _INDENT
        if left <= start and start + want.width <= right:
            yield from (Label(want, row, line, start, start + want.width, is_back) for row in rows)


def _cost(label: Label) -> float:
    return label.row + _SLANT_COST * abs(label.line_x - label.wanted.x)
