"""Folding blades on another yoke than their mark assumes: geometry, and the curve that follows."""

import math
from dataclasses import dataclass, replace
from typing import Any, Final

import numpy as np

from glidewright.models.power.propeller import PropellerCurve, interpolate, propeller_curve
from glidewright.models.power.propeller_family import TABLES, family_tables, inches

REFERENCE_STATION: Final = 0.75  # of the radius, where pitch is quoted by convention
MOST_TURN_RAD: Final = math.radians(15.0)  # a yoke that turns blades further is not made
YOKE_SHARE: Final = 0.5  # judgement: so much of the change of pitch is doubted


@dataclass(frozen=True, slots=True)
class FoldingGeometry:
    """A folding propeller on another yoke: what its diameter and pitch become, and how sure that is.

    Attributes:
        diameter_m: diameter on the yoke that is fitted.
        pitch_m: pitch at the blade station that was at 75 % of the marked radius.
        added_sigma: relative standard deviation to add in quadrature to both coefficients.
        because: one sentence for people; empty where the size on the yoke reads as the mark does.

    """

    diameter_m: float
    pitch_m: float
    added_sigma: float
    because: str


def folding_geometry(
    diameter_marked_m: float,
    pitch_marked_m: float,
    yoke_width_m: float,
    yoke_width_assumed_m: float,
    blade_root_angle_offset_rad: float = 0.0,
) -> FoldingGeometry:
    """Diameter and pitch of folding blades on another yoke than the mark assumes.

    Each blade moves outward by half the difference ``dy`` of the yoke widths, so the diameter grows by the
    whole difference. The blade station that was at ``r = 0.75 R`` keeps its blade angle
    ``b = atan(p / (2 pi r))`` (the definition of geometric pitch), plus the angle by which yoke or spinner
    turn the root, but now works at ``r + dy / 2``: ``p' = 2 pi (r + dy / 2) tan(b + angle)``. This is
    geometry, not measurement: inboard stations gain more pitch than outboard ones, so half the relative
    change of pitch is added to the band.

    Args:
        diameter_marked_m: diameter as marked, above 0.
        pitch_marked_m: pitch as marked, above 0.
        yoke_width_m: distance of the blade pivots on the yoke that is fitted, 0 or more.
        yoke_width_assumed_m: distance of the pivots that the mark assumes, 0 or more.
        blade_root_angle_offset_rad: how much the yoke turns both blades to a coarser angle, -0.26 to 0.26.

    Returns:
        The geometry; a measured size that the yoke changes is no longer that size.

    Raises:
        ValueError: an argument outside its range, or yokes that differ by over a quarter of the diameter.

    >>> changed = folding_geometry(0.3048, 0.1524, 0.050, 0.042)  # 12x6 in
    >>> round(changed.diameter_m, 4), round(changed.pitch_m, 4)
    (0.3128, 0.1577)

    """
    change_m = yoke_width_m - yoke_width_assumed_m
    if min(diameter_marked_m, pitch_marked_m) <= 0.0 or min(yoke_width_m, yoke_width_assumed_m) < 0.0:
        raise ValueError(
            "diameter and pitch must be above 0 and yoke widths 0 or more, but are "
            f"{diameter_marked_m:g}, {pitch_marked_m:g}, {yoke_width_m:g} and {yoke_width_assumed_m:g} m"
        )
    if abs(change_m) > 0.25 * diameter_marked_m:
        raise ValueError(
            f"the yokes must differ by at most a quarter of the diameter ({250 * diameter_marked_m:.0f} mm), "
            f"but differ by {1000 * abs(change_m):.0f} mm: give both widths from pivot to pivot"
        )
    if not abs(blade_root_angle_offset_rad) <= MOST_TURN_RAD:
        raise ValueError(
            f"the yoke may turn the blades by at most {math.degrees(MOST_TURN_RAD):.0f} degrees, but the "
            f"angle is {math.degrees(blade_root_angle_offset_rad):.1f} degrees"
        )
    station_m = REFERENCE_STATION * 0.5 * diameter_marked_m
    angle_rad = math.atan(pitch_marked_m / (2.0 * math.pi * station_m)) + blade_root_angle_offset_rad
    pitch_m = 2.0 * math.pi * (station_m + 0.5 * change_m) * math.tan(angle_rad)
    diameter_m = diameter_marked_m + change_m
    return FoldingGeometry(
        diameter_m=diameter_m,
        pitch_m=pitch_m,
        added_sigma=YOKE_SHARE * abs(pitch_m / pitch_marked_m - 1.0),
        because=_yoke_words(inches(diameter_marked_m, pitch_marked_m), inches(diameter_m, pitch_m)),
    )


def _yoke_words(marked: str, made: str) -> str:
    """What the yoke makes of the mark; nothing where it is too little to be written."""
    if made == marked:
        return ""
    return f"the yoke makes {made} of the marked {marked}, by geometry and not by measurement"


def curve_on_yoke(
    diameter_marked_m: float,
    pitch_marked_m: float,
    geometry: FoldingGeometry,
    blade_family: str | None = None,
) -> PropellerCurve:
    """The curve of the marked size carried to the size that the yoke makes of it.

    The marked size keeps what was measured on it; the family model says only by how much the coefficients and
    the zero-thrust advance ratio change from the marked to the new size, node by node at equal ``J / J0``.

    Args:
        diameter_marked_m: diameter as marked, 4 to 20 inches.
        pitch_marked_m: pitch as marked, pitch/diameter 0.2 to 1.5.
        geometry: what ``folding_geometry`` said for this mark.
        blade_family: a measured folding blade family, or None.

    Returns:
        The curve; its band holds ``geometry.added_sigma``. The marked yoke gives the marked curve.

    Raises:
        ValueError: as ``propeller_curve``, for the marked and for the new size.

    >>> geometry = folding_geometry(0.3048, 0.1524, 0.050, 0.042)
    >>> curve_on_yoke(0.3048, 0.1524, geometry, "ancf").origin
    'family model'

    """
    marked = propeller_curve(diameter_marked_m, pitch_marked_m, True, blade_family)
    if (geometry.diameter_m, geometry.pitch_m) == (diameter_marked_m, pitch_marked_m):
        return marked
    new = propeller_curve(geometry.diameter_m, geometry.pitch_m, True, blade_family)
    before = family_tables(diameter_marked_m, pitch_marked_m, True, blade_family)
    after = family_tables(geometry.diameter_m, geometry.pitch_m, True, blade_family)
    zero = (
        marked.zero_thrust_advance_ratio + after.zero_thrust_advance_ratio - before.zero_thrust_advance_ratio
    )
    place = np.arange(len(marked.thrust_base)) * marked.advance_ratio_step / marked.zero_thrust_advance_ratio
    carried: dict[str, Any] = {
        name: getattr(marked, name)
        + interpolate(getattr(after, name) - getattr(before, name), after.x_step, place)
        for name in TABLES
    }
    widening = max(1.0, after.widening / before.widening)
    return replace(
        marked,
        diameter_m=geometry.diameter_m,
        pitch_m=geometry.pitch_m,
        advance_ratio_step=marked.advance_ratio_step * zero / marked.zero_thrust_advance_ratio,
        **carried,
        zero_thrust_advance_ratio=zero,
        thrust_sigma=widening * math.hypot(marked.thrust_sigma, geometry.added_sigma),
        power_sigma=widening * math.hypot(marked.power_sigma, geometry.added_sigma),
        zero_thrust_sigma=widening * math.hypot(marked.zero_thrust_sigma, geometry.added_sigma * zero),
        origin=new.origin if after.outside > 0.0 else "family model",
        because=(
            f"{geometry.because}; {marked.because}, carried over by the family model"
            if geometry.because
            else marked.because
        ),
    )
