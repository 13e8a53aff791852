"""The linkage from servo to surface: a four-bar chain in space, solved in closed form.

A servo arm turns about its shaft, a horn about the hinge line, and a rod of fixed length with a ball or
clevis at both ends joins a hole in each (the RSSR chain of the theory of mechanisms; with both axes alike it
is the plane four-bar). The length of the rod is one equation A cos x + B sin x = K for the unknown angle:
R. L. Norton, Design of Machinery, section 4.5 (Freudenstein's equation) for the plane; J. J. Uicker, G. R.
Pennock, J. E. Shigley, Theory of Machines and Mechanisms, chapter on spatial mechanisms, for the RSSR chain.

Axes: x along the rod from servo to horn at neutral, y along the hinge line, z from the hinge line to the hole
in the horn. A positive servo angle pushes the rod, a positive deflection is what a push gives: the trailing
edge goes away from the horn. Angles are zero as rigged: surface in neutral, arm at its stated angle.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Linkage:
    """A linkage as rigged at neutral; numbers or arrays of one shape, SI.

    arm_m: shaft to hole, above 0; horn_m: height of the hole over the hinge line, square to the rod, above
    0; horn_ahead_m: the hole ahead of the hinge line, towards the servo; rod_m: hole to hole, above offset_m;
    arm_angle_rad: arm off the square to the rod, towards the push; skew_rad: shaft against hinge line, seen
    along the rod; offset_m: how far the plane of the arm lies beside that of the horn; opposite: the arm
    stands on the other side of the rod than the horn.
    """

    arm_m: ArrayLike
    horn_m: ArrayLike
    rod_m: ArrayLike
    horn_ahead_m: ArrayLike = 0.0
    arm_angle_rad: ArrayLike = 0.0
    skew_rad: ArrayLike = 0.0
    offset_m: ArrayLike = 0.0
    opposite: bool = False


@dataclass(frozen=True)
class Position:
    """A linkage at some servo angles; arrays of the shape of linkage and angles together.

    ratio: growth of the deflection with the servo angle; lever_m: distance at which the rod pulls on the
    hinge, so that hinge moment = rod force x lever_m; arm_lever_m: the same on the shaft; rod_angle_rad,
    arm_rod_angle_rad: angle between rod and horn, and rod and arm, 90 degrees at best, 0 where they lie in
    line. Not a number where the rod cannot reach.
    """

    servo_rad: Array
    deflection_rad: Array
    ratio: Array
    lever_m: Array
    arm_lever_m: Array
    rod_angle_rad: Array
    arm_rod_angle_rad: Array


def position(linkage: Linkage, servo_rad: ArrayLike) -> Position:
    """Where the surface stands for servo angles; broadcasts with the fields of the linkage.

    Equal arm and horn with both holes square to the rod move alike, whatever its length:

    >>> parallel = Linkage(arm_m=0.01, horn_m=0.01, rod_m=0.5)
    >>> at = position(parallel, np.radians([-30.0, 0.0, 30.0]))
    >>> np.degrees(at.deflection_rad).round(6).tolist()
    [-30.0, 0.0, 30.0]
    >>> at.ratio.round(6).tolist()
    [1.0, 1.0, 1.0]
    """
    frame = _Frame(linkage)
    turn = np.asarray(servo_rad, dtype=np.float64)
    hole = frame.arm_hole(turn)
    deflection = frame.deflection(hole)
    return _at(frame, turn + 0.0 * deflection, deflection)


def servo_angle_rad(linkage: Linkage, deflection_rad: ArrayLike) -> Array:
    """The servo angle for a deflection, the same chain from its other end; NaN where it cannot be reached.

    >>> short = Linkage(arm_m=0.008, horn_m=0.012, rod_m=0.06, horn_ahead_m=0.002)
    >>> there = position(short, np.radians(25.0)).deflection_rad
    >>> np.degrees(servo_angle_rad(short, there)).round(6).item()
    25.0
    """
    frame = _Frame(linkage)
    wanted = np.asarray(deflection_rad, dtype=np.float64)
    return frame.servo(wanted) + 0.0 * wanted


def deflection_for_length(linkage: Linkage, change_m: ArrayLike) -> Array:
    """Deflection at neutral servo when the rod is longer by change_m than it was rigged with.

    >>> at = deflection_for_length(Linkage(arm_m=0.01, horn_m=0.012, rod_m=0.5), 0.001)
    >>> np.degrees(at).round(2).item()  # arcsin(1 / 12) is 4.78 degrees
    4.78
    """
    frame = _Frame(linkage)
    longer = np.asarray(linkage.rod_m, dtype=np.float64) + np.asarray(change_m, dtype=np.float64)
    return frame.deflection(frame.arm_hole(np.zeros(())), longer)


def length_between_m(along_m: ArrayLike, across_m: ArrayLike = 0.0, up_m: ArrayLike = 0.0) -> Array:
    """Rod length from hole to hole whose distances are known along, across and up.

    >>> length_between_m(0.8, 0.0, 0.06).round(4).item()
    0.8022
    """
    parts = [np.asarray(part, dtype=np.float64) for part in (along_m, across_m, up_m)]
    found: Array = np.sqrt(parts[0] ** 2 + parts[1] ** 2 + parts[2] ** 2)
    return found


class _Frame:
    """Fixed points of a linkage and which of the two ways of assembly it is in."""

    def __init__(self, linkage: Linkage) -> None:
        fields = ("arm_m", "horn_m", "rod_m", "horn_ahead_m", "arm_angle_rad", "skew_rad", "offset_m")
        self.arm, self.horn, self.rod, self.ahead, self.lean, self.skew, self.offset = (
            np.asarray(getattr(linkage, name), dtype=np.float64) for name in fields
        )
        self.side = -1.0 if linkage.opposite else 1.0
        along = np.sqrt(np.maximum(self.rod**2 - self.offset**2, 0.0))
        start = (-self.ahead - along, 0.0 * along - self.offset, 0.0 * along + self.horn)
        pointing = self._pointing(self.lean)
        self.shaft = tuple(place - self.arm * way for place, way in zip(start, pointing, strict=True))
        self.branch = -np.sign(_angle(*self._of_hole(start)))
        at_neutral = _angle(*self._of_horn(self.horn_hole(np.zeros(()))))
        self.servo_branch = -np.sign(_wrapped(at_neutral - self.lean))

    def _pointing(self, angle: Array) -> tuple[Array, Array, Array]:
        """Direction of the arm at an angle off the square to the rod."""
        upright = self.side * np.cos(angle)
        return np.sin(angle), -upright * np.sin(self.skew), upright * np.cos(self.skew)

    def arm_hole(self, turn: Array) -> tuple[Array, ...]:
        """Place of the hole in the arm."""
        way = self._pointing(self.lean + turn)
        return tuple(shaft + self.arm * part for shaft, part in zip(self.shaft, way, strict=True))

    def arm_motion(self, turn: Array) -> tuple[Array, Array, Array]:
        """Motion of that hole for a radian of the servo."""
        angle = self.lean + turn
        sideways = self.side * np.sin(angle)
        return (
            self.arm * np.cos(angle),
            self.arm * sideways * np.sin(self.skew),
            -self.arm * sideways * np.cos(self.skew),
        )

    def horn_hole(self, deflection: Array) -> tuple[Array, Array, Array]:
        """Place of the hole in the horn."""
        cos, sin = np.cos(deflection), np.sin(deflection)
        return self.horn * sin - self.ahead * cos, 0.0 * sin, self.horn * cos + self.ahead * sin

    def horn_motion(self, deflection: Array) -> tuple[Array, Array, Array]:
        """Motion of that hole for a radian of deflection."""
        cos, sin = np.cos(deflection), np.sin(deflection)
        return self.horn * cos + self.ahead * sin, 0.0 * sin, self.ahead * cos - self.horn * sin

    def _of_hole(self, hole: tuple[Array, ...]) -> tuple[Array, Array]:
        """A and B of the equation for the deflection."""
        x, _, z = hole
        return self.horn * z - self.ahead * x, self.horn * x + self.ahead * z

    def deflection(self, hole: tuple[Array, ...], rod: Array | None = None) -> Array:
        """Deflection that keeps the rod's length for a place of the arm's hole."""
        length = self.rod if rod is None else rod
        square = hole[0] ** 2 + hole[1] ** 2 + hole[2] ** 2
        known = 0.5 * (square + self.horn**2 + self.ahead**2 - length**2)
        return _root(*self._of_hole(hole), known, self.branch)

    def _of_horn(self, hole: tuple[Array, ...]) -> tuple[Array, Array]:
        """A and B of the equation for the angle of the arm."""
        x, y, z = (place - shaft for place, shaft in zip(hole, self.shaft, strict=True))
        return self.side * (z * np.cos(self.skew) - y * np.sin(self.skew)), x

    def servo(self, deflection: Array) -> Array:
        """Servo angle that keeps the rod's length for a deflection."""
        hole = self.horn_hole(deflection)
        square: Any = sum((place - shaft) ** 2 for place, shaft in zip(hole, self.shaft, strict=True))
        known = 0.5 * (square + self.arm**2 - self.rod**2) / self.arm
        found: Array = _wrapped(_root(*self._of_horn(hole), known, self.servo_branch) - self.lean)
        return found


def _at(frame: _Frame, turn: Array, deflection: Array) -> Position:
    arm, horn = frame.arm_hole(turn), frame.horn_hole(deflection)
    rod = [(end - start) / frame.rod for start, end in zip(arm, horn, strict=True)]
    pushes: Any = sum(part * way for part, way in zip(rod, frame.arm_motion(turn), strict=True))
    turns: Any = sum(part * way for part, way in zip(rod, frame.horn_motion(deflection), strict=True))
    reach = np.hypot(frame.horn, frame.ahead)
    with np.errstate(divide="ignore", invalid="ignore"):
        ratio = pushes / turns
    return Position(
        servo_rad=turn,
        deflection_rad=deflection,
        ratio=ratio,
        lever_m=turns,
        arm_lever_m=pushes,
        rod_angle_rad=np.arcsin(np.clip(np.abs(turns) / reach, 0.0, 1.0)),
        arm_rod_angle_rad=np.arcsin(np.clip(np.abs(pushes) / frame.arm, 0.0, 1.0)),
    )


def _angle(a: Array, b: Array) -> Array:
    found: Array = np.arctan2(b, a)
    return found


def _root(a: Array, b: Array, known: Array, branch: Array) -> Array:
    """The angle x of a cos x + b sin x = known on a branch; NaN where there is none."""
    with np.errstate(invalid="ignore", divide="ignore"):
        spread = np.arccos(known / np.hypot(a, b))
    return _wrapped(_angle(a, b) + branch * spread)


def _wrapped(angle: Array) -> Array:
    found: Array = np.arctan2(np.sin(angle), np.cos(angle))
    return found
