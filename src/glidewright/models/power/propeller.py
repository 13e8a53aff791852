"""Propellers: thrust and power coefficients against advance ratio and revs, measured or estimated.

The coefficients are the usual ones, ``C_T = T / (rho n^2 D^4)`` and ``C_P = P / (rho n^3 D^5)`` with the
advance ratio ``J = V / (n D)`` (J. B. Brandt and M. S. Selig, "Propeller performance data at low Reynolds
numbers", AIAA 2011-1255). A curve is ``C(J, n) = base(J) + slope(J) ln(n / n_ref)``: the revs stand for the
Reynolds number of the blade.
"""

from dataclasses import dataclass, fields
from typing import Any, Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from glidewright.data import coefficients
from glidewright.models.power.propeller_family import (
    TABLES,
    BladeTables,
    blade_families,
    family_tables,
    inches,
    measured_size,
    numbers,
    refuse_absurd,
)

Floats = NDArray[np.float64]
Origin = Literal["measured size", "family model", "family model, outside the measured sizes"]


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class PropellerCurve(BladeTables):
    """One propeller: tables on the uniform advance-ratio grid ``0, step, 2 step, ...`` just past zero thrust.

    Attributes:
        diameter_m: diameter, 0.10 to 0.51.
        pitch_m: pitch as marked (or as changed by the yoke).
        advance_ratio_step: step of the grid.
        origin: where the curve comes from.
        because: the same in one sentence for people.
        sources: keys of the sources.

    """

    diameter_m: float
    pitch_m: float
    advance_ratio_step: float
    origin: Origin
    because: str
    sources: tuple[str, ...]


def interpolate(nodes: Floats, step: float, advance_ratio: ArrayLike) -> Floats:
    """Cubic Hermite through uniform nodes with central-difference slopes, one-sided at both ends.

    Args:
        nodes: values at ``0, step, 2 step, ...``, shape (..., K), K at least 2.
        step: node spacing, above 0.
        advance_ratio: where, any shape; below 0 counts as 0, beyond the last node the curve goes on straight.

    Returns:
        Values, shape of ``nodes`` without its last axis, then the shape of ``advance_ratio``.

    Source: E. Catmull and R. Rom, "A class of local interpolating splines", 1974 (the uniform case).

    >>> float(interpolate(np.array([0.0, 1.0, 4.0, 9.0]), 1.0, 1.5))  # exact for a parabola inside
    2.25

    """
    place = np.maximum(np.asarray(advance_ratio, dtype=np.float64), 0.0) / step
    last = nodes.shape[-1] - 1
    left = np.clip(np.floor(place).astype(np.intp), 0, last - 1)
    t = place - left
    tangent = np.empty_like(nodes)
    tangent[..., 1:-1] = 0.5 * (nodes[..., 2:] - nodes[..., :-2])
    tangent[..., 0] = nodes[..., 1] - nodes[..., 0]
    tangent[..., -1] = nodes[..., -1] - nodes[..., -2]
    inside = (
        (2.0 * t**3 - 3.0 * t**2 + 1.0) * nodes[..., left]
        + (t**3 - 2.0 * t**2 + t) * tangent[..., left]
        + (3.0 * t**2 - 2.0 * t**3) * nodes[..., left + 1]
        + (t**3 - t**2) * tangent[..., left + 1]
    )
    beyond = np.multiply.outer(nodes[..., -1], np.ones_like(place)) + np.multiply.outer(
        tangent[..., -1], place - last
    )
    return np.asarray(np.where(place > last, beyond, inside), dtype=np.float64)


def _coefficient(
    base: Floats, slope: Floats, curve: PropellerCurve, advance_ratio: ArrayLike, revs_per_s: ArrayLike
) -> Floats:
    revs = np.clip(np.asarray(revs_per_s, dtype=np.float64), curve.revs_low_per_s, curve.revs_high_per_s)
    step = curve.advance_ratio_step
    change = interpolate(slope, step, advance_ratio) * np.log(revs / curve.revs_ref_per_s)
    return np.asarray(interpolate(base, step, advance_ratio) + change, dtype=np.float64)


def thrust_coefficient(curve: PropellerCurve, advance_ratio: ArrayLike, revs_per_s: ArrayLike) -> Floats:
    """Thrust coefficient ``C_T = T / (rho n^2 D^4)``.

    Args:
        curve: the propeller.
        advance_ratio: ``V / (n D)``; below 0 counts as 0, beyond the last node the curve goes on straight.
        revs_per_s: revs; outside the measured range the nearest measured revs count.

    Returns:
        Coefficients, the two arguments broadcast against each other.

    >>> curve = propeller_curve(0.2794, 0.1524, folding=True, blade_family="ancf")
    >>> round(float(thrust_coefficient(curve, 0.0, 6000 / 60)), 2)
    0.11

    """
    return _coefficient(curve.thrust_base, curve.thrust_slope, curve, advance_ratio, revs_per_s)


def power_coefficient(curve: PropellerCurve, advance_ratio: ArrayLike, revs_per_s: ArrayLike) -> Floats:
    """Power coefficient ``C_P = P / (rho n^3 D^5)`` of the shaft; arguments as ``thrust_coefficient``.

    >>> curve = propeller_curve(0.2794, 0.1524, folding=True, blade_family="ancf")
    >>> round(float(power_coefficient(curve, 0.0, 6000 / 60)), 2)
    0.04

    """
    return _coefficient(curve.power_base, curve.power_slope, curve, advance_ratio, revs_per_s)


def propeller_curve(
    diameter_m: float, pitch_m: float, folding: bool, blade_family: str | None = None, blades: int = 2
) -> PropellerCurve:
    """The curve of a propeller: measured if that size was measured, else from the family model.

    A folding size without a blade family takes the measured curve of its size, and its band holds the scatter
    among sizes of one make in place of the unknown scatter between makes of folding blades. Fixed blades of
    one marked size differ too much between makes for that: without a blade family they get the family model.

    Args:
        diameter_m: diameter, 4 to 20 inches (0.1016 to 0.508 m).
        pitch_m: pitch; pitch/diameter 0.2 to 1.5.
        folding: folding or fixed blades.
        blade_family: a measured blade family (``blade_families(folding)``), or None when it is another make.
        blades: 2; others were not measured.

    Returns:
        The curve with its spread, its origin and the reason.

    Raises:
        ValueError: the size is absurd, the blade family is not known, or there are not two blades.

    >>> propeller_curve(0.2794, 0.1524, folding=True, blade_family="ancf").origin
    'measured size'
    >>> propeller_curve(0.2794, 0.1651, folding=True).origin
    'family model'

    """
    refuse_absurd(diameter_m, pitch_m, folding, blade_family, blades)
    make = blade_family or (blade_families(folding)[0] if folding else None)
    size = measured_size(diameter_m, pitch_m, make)
    if size is not None:
        return _measured(size, diameter_m, pitch_m, make_known=blade_family is not None)
    return _modelled(diameter_m, pitch_m, folding, blade_family)


def _measured(size: dict[str, Any], diameter_m: float, pitch_m: float, make_known: bool) -> PropellerCurve:
    sigmas = np.array([size["thrust_sigma"], size["power_sigma"], size["zero_thrust_sigma"]])
    because = f"measured in the wind tunnel: {size['family']} {inches(size['diameter_m'], size['pitch_m'])}"
    if not make_known:
        within = coefficients("propeller_folding")["band"]["known_family"]
        makes = np.array([within["thrust_sigma"], within["power_sigma"], within["zero_thrust_sigma"]])
        sigmas = np.hypot(sigmas, makes)
        because += "; the blade family was not given, so the band allows for blades of another make"
    return PropellerCurve(
        diameter_m=diameter_m,
        pitch_m=pitch_m,
        advance_ratio_step=size["advance_ratio_step"],
        **{name: numbers(size[name]) for name in TABLES},
        revs_ref_per_s=size["revs_ref_per_s"],
        revs_low_per_s=size["revs_low_per_s"],
        revs_high_per_s=size["revs_high_per_s"],
        thrust_sigma=float(sigmas[0]),
        power_sigma=float(sigmas[1]),
        zero_thrust_advance_ratio=size["zero_thrust_advance_ratio"],
        zero_thrust_sigma=float(sigmas[2]),
        origin="measured size",
        because=because,
        sources=(coefficients("propeller_sizes")["source"]["key"],),
    )


def _modelled(diameter_m: float, pitch_m: float, folding: bool, blade_family: str | None) -> PropellerCurve:
    tables = family_tables(diameter_m, pitch_m, folding, blade_family)
    kind = "folding" if folding else "fixed"
    make = f"blade family {blade_family}" if blade_family else "blade family not given"
    because = (
        f"{inches(diameter_m, pitch_m)} {kind} was not measured ({make}): interpolated between measured sizes"
    )
    origin: Origin = "family model"
    if tables.outside > 0.0:
        origin = "family model, outside the measured sizes"
        because = (
            f"{inches(diameter_m, pitch_m)} {kind} lies outside the measured sizes ({make}): extended from "
            f"the nearest of them, band {tables.widening:.1f} times as wide"
        )
    return PropellerCurve(
        diameter_m=diameter_m,
        pitch_m=pitch_m,
        advance_ratio_step=tables.x_step * tables.zero_thrust_advance_ratio,
        **{name.name: getattr(tables, name.name) for name in fields(BladeTables)},
        origin=origin,
        because=because,
        sources=(coefficients("propeller_folding" if folding else "propeller_fixed")["source"]["key"],),
    )
