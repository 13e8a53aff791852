"""Options that no other beats, on measures where less is better."""

from collections.abc import Sequence

from glidewright.decisions.nondominated import beats

Row = tuple[float, ...]


def beaten_by(rows: Sequence[Row]) -> list[list[int]]:
    """For every row the places of those that beat it; none for one that no other beats.

    >>> beaten_by([(1.0, 5.0), (2.0, 5.0), (0.5, 9.0)])
    [[], [0], []]
    """
    return [[i for i, other in enumerate(rows) if beats(other, row)] for row in rows]


def in_steps(value: float, step: float) -> float:
    """A value in whole steps: differences smaller than what is shown decide nothing.

    >>> in_steps(3.26, 0.1), in_steps(3.24, 0.1)
    (33.0, 32.0)
    """
    return float(round(value / step))
