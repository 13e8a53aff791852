"""Section drag against lift and highest lift, laid out for many strips at once.

The tables of :mod:`glidewright.models.aero.section` give drag by angle of attack; strips of a wing know their
lift. So each section's curve below the stall is turned over once, at every Reynolds number and state of the
surface of the tables, and many strips then look up by lift and Reynolds number, straight between nodes.
"""

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from glidewright.models.aero import section as sections
from glidewright.models.aero.section_table import CD, CL, FORCED, FREE, Section, grid

Array = NDArray[np.float64]
LIFT_LOW, LIFT_STEP, LIFT_COUNT = -1.4, 0.04, 81
STATES = (FREE, FORCED)
"""Smooth and rough surface, the first axis of everything here."""


@dataclass(frozen=True)
class SectionCurves:
    """One section by lift.

    drag: (states, Reynolds numbers, lifts) at the nodes ``LIFT_LOW + i LIFT_STEP``, beyond the stall that at
    the stall; highest: (states, Reynolds numbers); tunnel factors are not in them.
    """

    drag: Array
    highest: Array


@cache
def curves_of(section: Section) -> SectionCurves:
    """The curves of a section, worked out once.

    >>> from glidewright.models.aero.section import section
    >>> curves = curves_of(section("SD7037"))
    >>> curves.drag.shape, bool(1.0 < curves.highest[0, 6] < 1.6)
    ((2, 12, 81), True)
    """
    nodes, lifts = grid().alpha_rad, LIFT_LOW + LIFT_STEP * np.arange(LIFT_COUNT)
    reynolds = grid().reynolds
    drag = np.empty((len(STATES), reynolds.size, LIFT_COUNT))
    highest = np.empty(drag.shape[:2])
    middle = int(np.argmin(np.abs(nodes)))
    for state in STATES:
        highest[state], top_rad = sections.highest_lift(section, reynolds, float(state))
        _, bottom_rad = sections.lowest_lift(section, reynolds, float(state))
        for row in range(reynolds.size):
            top = int(np.argmin(np.abs(nodes - top_rad[row])))
            bottom = int(np.argmin(np.abs(nodes - bottom_rad[row])))
            lift = section.table[state, row, :, CL].astype(np.float64)
            rising = np.concatenate(
                [
                    np.minimum.accumulate(lift[bottom : middle + 1][::-1])[::-1],
                    np.maximum.accumulate(lift[middle : top + 1])[1:],
                ]
            )
            drag[state, row] = np.interp(lifts, rising, section.table[state, row, bottom : top + 1, CD])
    return SectionCurves(drag, highest)


@dataclass(frozen=True)
class StripSections:
    """Sections of a row of strips, blended straight between the two ends of each part of a surface.

    drag: (sections, states, Reynolds numbers, lifts); highest: (sections, states, Reynolds numbers); inner,
    outer: (strips,) places among the sections; share: (strips,) way from the inner to the outer end.
    """

    drag: Array
    highest: Array
    inner: NDArray[np.int64]
    outer: NDArray[np.int64]
    share: Array

    def drag_coefficient(self, lift_coefficient: Array, reynolds: Array) -> Array:
        """Drag as tunnels would find it, (states, ..., strips), at lift and Reynolds number (..., strips)."""
        lift, re = np.broadcast_arrays(lift_coefficient, reynolds)
        row, part = _reynolds_place(re)
        steps = np.clip((lift - LIFT_LOW) / LIFT_STEP, 0.0, LIFT_COUNT - 1.0)
        before = np.minimum(steps.astype(np.int64), LIFT_COUNT - 2)
        rest = steps - before
        found = np.zeros((len(STATES), *lift.shape))
        for owner, weight in ((self.inner, 1.0 - self.share), (self.outer, self.share)):
            for add, by_row in ((0, 1.0 - part), (1, part)):
                for on, by_lift in ((0, 1.0 - rest), (1, rest)):
                    here = np.moveaxis(self.drag[owner, :, row + add, before + on], -1, 0)
                    found += weight * by_row * by_lift * here
        scaled: Array = found * sections.drag_factor(re).value
        return scaled

    def highest_lift(self, reynolds: Array) -> Array:
        """Highest section lift as tunnels would find it, (states, ..., strips), at Reynolds (..., strips)."""
        row, part = _reynolds_place(reynolds)
        found = np.zeros((len(STATES), *reynolds.shape))
        for owner, weight in ((self.inner, 1.0 - self.share), (self.outer, self.share)):
            for add, by_row in ((0, 1.0 - part), (1, part)):
                found += weight * by_row * np.moveaxis(self.highest[owner, :, row + add], -1, 0)
        scaled: Array = found * sections.highest_lift_factor(reynolds).value
        return scaled


def _reynolds_place(reynolds: Array) -> tuple[NDArray[np.int64], Array]:
    nodes = grid().reynolds
    steps = np.log(np.maximum(reynolds, nodes[0]) / nodes[0]) / np.log(nodes[1] / nodes[0])
    steps = np.minimum(steps, nodes.size - 1.0)
    row = np.minimum(steps.astype(np.int64), nodes.size - 2)
    return row, steps - row
