"""Open spoilers: the drag of their blades, and the lift that the wing loses under and behind them.

A blade stands up from the upper side by its chord times the sine of its angle. Its drag area is that of a
plate on a wall (``buildup.brake_drag_area_m2``). The section behind it loses lift in proportion to that
height over its own chord; the lattice takes it as a turn of the zero-lift line along the blades, so that
the rest of the wing and the tail have their part: at the same lift the wing flies nose up, and the hole in
the lift along the span costs induced drag. How much is lost stands with its source in
``data/coefficients/airframe_drag.toml``. The pitching moment of a section with an open spoiler is not in
it.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from glidewright.data import coefficients
from glidewright.models.aero.glider import Glider
from glidewright.models.aero.joints import cut_at
from glidewright.models.aero.lattice import Flow, forces, relaid
from glidewright.models.aero.shape import Twist
from glidewright.models.aero.trim import alpha_for

Array = NDArray[np.float64]
BRAKE = "brake"
"""Input of the lattice of ``with_brake``: turn of the zero-lift line along the blades, nose up, rad."""
_THIN_SLOPE = 2.0 * np.pi
_SAME_M = 1e-6


@dataclass(frozen=True)
class Blades:
    """Spoiler blades: from one place along y to another on the right wing, mirrored; chord of a blade."""

    from_y_m: float
    to_y_m: float
    chord_m: float

    @property
    def span_m(self) -> float:
        """Of both blades together."""
        return 2.0 * (self.to_y_m - self.from_y_m)


def section_lift_loss(height_share: ArrayLike, factor: ArrayLike | None = None) -> Array:
    """Lift coefficient that a section loses to a blade, at the same angle of attack.

    height_share: standing height over the chord of the section; beyond 0.15, to where tests go, no more is
    lost; factor: loss for a height share of 1, that of ``data/coefficients/airframe_drag.toml`` unless given.

    >>> section_lift_loss([0.0, 0.1, 0.5]).round(3).tolist()
    [0.0, 0.45, 0.675]
    """
    row = coefficients("airframe_drag")["brake_lift"]
    share = np.clip(np.asarray(height_share, dtype=np.float64), 0.0, row["most_height"])
    found: Array = share * np.asarray(row["value"] if factor is None else factor)
    return found


def chord_under_m(glider: Glider, blades: Blades) -> float:
    """Mean chord of the wing along the blades, m."""
    wing = glider.lattice.surfaces[0]
    y = np.linspace(blades.from_y_m, blades.to_y_m, 33)
    known = [section.y_m for section in wing.sections]
    return float(np.mean(np.interp(y, known, [section.chord_m for section in wing.sections])))


def with_brake(glider: Glider, blades: Blades, also: Sequence[Twist] = ()) -> Glider:
    """The same glider on a lattice that has the input ``BRAKE`` in place of all twists.

    also: twists of whole surfaces beside it.
    """
    wing = cut_at(glider.lattice.surfaces[0], "y_m", (blades.from_y_m, blades.to_y_m))
    ends = [section.y_m for section in wing.sections]
    parts = tuple(
        part
        for part in range(len(ends) - 1)
        if ends[part] > blades.from_y_m - _SAME_M and ends[part + 1] < blades.to_y_m + _SAME_M
    )
    twists = (Twist(BRAKE, wing.name, parts), *also)
    lattice = relaid(glider.lattice, (wing, *glider.lattice.surfaces[1:]), twists)
    return replace(glider, lattice=lattice)


def brake_turn_rad(braked: Glider, section_loss: Array) -> Array:
    """What the input ``BRAKE`` must be where sections under the blades lose lift, shape of section_loss."""
    lattice = braked.lattice
    slope = _THIN_SLOPE * lattice.section_slope.get(lattice.surfaces[0].name, 1.0)
    return -np.asarray(section_loss, dtype=np.float64) / slope


@dataclass(frozen=True)
class BrakeEffect:
    """What an open brake changes, each (n,): coefficients on the reference area.

    lift_loss: at the attitude with the brake closed; induced_rise: of induced drag at the same lift.
    """

    lift_loss: Array
    induced_rise: Array


def brake_effect(braked: Glider, lift_coefficient: Array, section_loss: Array) -> BrakeEffect:
    """Lift and induced drag with the brake open, elevator at rest, (n,) each.

    braked: of ``with_brake``; lift_coefficient: of the glider; section_loss: of sections under the blades.
    """
    area = braked.reference.area_m2
    turn = {BRAKE: brake_turn_rad(braked, section_loss)}
    closed = alpha_for(braked, lift_coefficient, {})
    opened = alpha_for(braked, lift_coefficient, turn)
    before, held = (forces(braked.lattice, Flow(closed, inputs=inputs)) for inputs in ({}, turn))
    after = forces(braked.lattice, Flow(opened, inputs=turn))
    return BrakeEffect(
        lift_loss=np.asarray((before.lift_m2 - held.lift_m2) / area, dtype=np.float64),
        induced_rise=np.asarray((after.drag_m2 - before.drag_m2) / area, dtype=np.float64),
    )
