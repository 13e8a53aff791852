"""Shape of an aerofoil section: its outline in the frame of the chord line, thickness, camber and datum.

An outline is an array (n, 2) of x and y from the trailing edge over the upper side to the nose and back along
the lower side to the trailing edge (the order of the Selig archive). The chord line runs from the middle of
the trailing edge to the outline's point farthest from it; in its frame that point is (0, 0), the edge (1, 0).
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

_STATIONS = 400
_FLAT_FROM, _FLAT_TO = 0.40, 0.95  # part of the chord that lies on the building board or the incidence meter
_FLAT_WITHIN = 0.0008  # departure from a straight line, over the chord: 0.15 mm on a chord of 190 mm
_SYMMETRIC_BELOW = 0.005  # camber below this: a tail section, set by its chord line


@dataclass(frozen=True)
class Outline:
    """A section in the frame of its chord line.

    points: (n, 2), over the chord; turned_rad: angle by which the drawing was turned nose down to lay the
    chord line level; thickness, camber: greatest, over the chord, at right angles to the chord line;
    flat_tilt_rad: chord line against the flat bottom, nose up positive, 0 where there is no flat bottom.
    """

    points: Array
    turned_rad: float
    thickness: float
    camber: float
    flat_tilt_rad: float


def outline(points: Array) -> Outline:
    """The section of a drawing of any size and tilt, in the order of this module.

    >>> x = np.linspace(1.0, 0.0, 50)
    >>> upper, lower = np.c_[x, 0.2 * x * (1 - x)], np.c_[x, 0.0 * x][::-1]
    >>> half_lens = outline(np.r_[upper, lower[1:]])
    >>> round(half_lens.thickness, 3), round(half_lens.camber, 3)
    (0.05, 0.025)
    """
    turned, turned_rad = in_chord_frame(points)
    upper, lower = sides(turned, _stations())
    camber = 0.5 * (upper + lower)
    return Outline(
        points=turned,
        turned_rad=turned_rad,
        thickness=float(np.max(upper - lower)),
        camber=float(camber[np.argmax(np.abs(camber))]),
        flat_tilt_rad=_flat_tilt_rad(turned, float(np.max(np.abs(camber)))),
    )


def in_chord_frame(points: Array) -> tuple[Array, float]:
    """The points with nose at (0, 0) and trailing edge at (1, 0), and the chord line's angle in the drawing.

    The angle is positive where the drawing has the nose above the trailing edge.

    >>> turned, angle = in_chord_frame(np.array([[2.0, 0.1], [0.0, 0.1], [2.0, 0.1]]) + 5.0)
    >>> turned.round(6).tolist(), angle
    ([[1.0, 0.0], [0.0, 0.0], [1.0, 0.0]], 0.0)
    """
    edge = 0.5 * (points[0] + points[-1])
    nose = points[np.argmax(np.hypot(*(points - edge).T))]
    chord = edge - nose
    length = float(np.hypot(*chord))
    cosine, sine = chord / length
    turn = np.array([[cosine, sine], [-sine, cosine]])
    return (points - nose) @ turn.T / length, float(np.arctan2(nose[1] - edge[1], chord[0]))


def sides(points: Array, x: Array) -> tuple[Array, Array]:
    """Upper and lower side at the places x along the chord, straight between the points of the outline.

    >>> diamond = np.array([[1.0, 0.0], [0.5, 0.1], [0.0, 0.0], [0.5, -0.1], [1.0, 0.0]])
    >>> [side.round(3).tolist() for side in sides(diamond, np.array([0.25, 0.75]))]
    [[0.05, 0.05], [-0.05, -0.05]]
    """
    nose = int(np.argmin(points[:, 0]))
    upper, lower = points[nose::-1], points[nose:]
    return (
        np.interp(x, np.maximum.accumulate(upper[:, 0]), upper[:, 1]),
        np.interp(x, np.maximum.accumulate(lower[:, 0]), lower[:, 1]),
    )


def _stations() -> Array:
    stations: Array = 0.5 * (1.0 - np.cos(np.linspace(0.0, np.pi, _STATIONS)))
    return stations


def _flat_tilt_rad(points: Array, camber: float) -> float:
    """Chord line against the lower side from 40 to 95 % of the chord where that is straight, else 0; rad."""
    if camber < _SYMMETRIC_BELOW:
        return 0.0
    x = np.linspace(_FLAT_FROM, _FLAT_TO, _STATIONS)
    _, lower = sides(points, x)
    slope, height = np.polyfit(x, lower, 1)
    if np.max(np.abs(lower - (slope * x + height))) > _FLAT_WITHIN:
        return 0.0
    return float(np.arctan(slope))
