"""What was measured, and family models: curves of sizes that nobody measured, from the sizes that were.

Two families, folding and fixed blades, each fitted by ``studies/propellers.py``. All curves of a family are
drawn against ``x = J / J0`` with the zero-thrust advance ratio ``J0``; every node of a curve is a low-order
polynomial in pitch/diameter and the logarithm of the diameter. A fixed blade family that was measured has a
factor of its own on thrust and on power and a shift of ``J0``. The error bands are those of sizes (or whole
blade families) left out of the fit.
"""

import math
from dataclasses import dataclass
from functools import cache
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from glidewright.data import coefficients

Floats = NDArray[np.float64]

INCH_M: Final = 0.0254
ROUNDING: Final = 1e-9  # a size given in inches may sit on the limit
SAME_SIZE: Final = 0.01  # two sizes are one if diameter and pitch agree within 1 %


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class BladeTables:
    """Tables of thrust and power of one propeller on a uniform grid, with their spread.

    Attributes:
        thrust_base: thrust coefficient at ``revs_ref_per_s``, shape (K,).
        thrust_slope: its change for one unit of ``ln(n / n_ref)``, shape (K,).
        power_base: power coefficient at ``revs_ref_per_s``, shape (K,).
        power_slope: its change for one unit of ``ln(n / n_ref)``, shape (K,).
        revs_ref_per_s: the revs at which the logarithm is zero.
        revs_low_per_s: the revs are not taken lower than this, the data end here.
        revs_high_per_s: the revs are not taken higher than this.
        thrust_sigma: relative standard deviation of the whole thrust curve.
        power_sigma: relative standard deviation of the whole power curve.
        zero_thrust_advance_ratio: where the thrust passes zero at ``revs_ref_per_s``.
        zero_thrust_sigma: its standard deviation.

    """

    thrust_base: Floats
    thrust_slope: Floats
    power_base: Floats
    power_slope: Floats
    revs_ref_per_s: float
    revs_low_per_s: float
    revs_high_per_s: float
    thrust_sigma: float
    power_sigma: float
    zero_thrust_advance_ratio: float
    zero_thrust_sigma: float


TABLES: Final = ("thrust_base", "thrust_slope", "power_base", "power_slope")
"""Names of the tables among the fields of ``BladeTables``."""


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class FamilyTables(BladeTables):
    """What a family model says about one size: tables on the grid of ``x = J / J0``.

    Attributes:
        x_step: step of the grid of ``x``.
        outside: 0 inside the fitted sizes, else how far outside, in widths of the fitted range.
        widening: the factor that this put on the band: all sigmas are widened by it.

    """

    x_step: float
    outside: float
    widening: float


def numbers(text: str) -> Floats:
    """The numbers of a packaged table text, shape (count,).

    The tables are texts because ten thousand TOML numbers take 50 ms to read at every start.

    >>> numbers("0.1 0.2").tolist()
    [0.1, 0.2]
    """
    return np.array(text.split(), dtype=np.float64)


@dataclass(frozen=True, slots=True)
class Fitted:
    """The sizes that a family was fitted on.

    Attributes:
        pitch_ratio: lowest and highest pitch/diameter.
        diameter_m: smallest and largest diameter.

    """

    pitch_ratio: tuple[float, float]
    diameter_m: tuple[float, float]

    def outside(self, pitch_ratio: float, diameter_m: float) -> float:
        """How far outside a size lies, in widths of the range of pitch/diameter plus those of ln(diameter).

        >>> round(Fitted((0.4, 1.2), (0.2, 0.4)).outside(1.6, 0.3), 6)
        0.5
        """
        ratio, size = self._nearest(pitch_ratio, diameter_m)
        low, high = self.pitch_ratio
        small, large = self.diameter_m
        return abs(pitch_ratio - ratio) / (high - low) + abs(math.log(diameter_m / size)) / math.log(
            large / small
        )

    def terms(
        self, names: tuple[str, ...], pitch_ratio: float, diameter_m: float, centre: tuple[float, float]
    ) -> Floats:
        """Terms of the family polynomial, each named by its factors: ``1``, ``p``, ``pp``, ``u``, ``pu`` ...

        Outside the fitted sizes they go on straight in pitch/diameter and stay as they are in diameter: of
        the ways tried on sizes left out this lost least.

        Args:
            names: the terms.
            pitch_ratio: pitch/diameter; ``p`` is its distance from ``centre[0]``.
            diameter_m: diameter; ``u`` is ``ln(diameter / centre[1])``.
            centre: pitch/diameter and diameter (m) at which all terms but ``1`` vanish.

        Returns:
            Values of the terms, shape (len(names),).

        >>> fitted = Fitted((0.4, 1.0), (0.2, 0.4))
        >>> fitted.terms(("1", "p", "pp"), 0.8, 0.3, (0.5, 0.3)).round(6).tolist()
        [1.0, 0.3, 0.09]
        >>> fitted.terms(("1", "p", "pp"), 1.1, 0.3, (0.5, 0.3)).round(6).tolist()  # 0.25 + 0.1 * 2 * 0.5
        [1.0, 0.6, 0.35]

        """
        ratio, size = self._nearest(pitch_ratio, diameter_m)
        factor = {"1": 1.0, "p": ratio - centre[0], "u": math.log(size / centre[1])}
        inside = [math.prod(factor[sign] for sign in name) for name in names]
        slope = [
            name.count("p") * math.prod(factor[sign] for sign in name.replace("p", "", 1)) for name in names
        ]
        return np.array(inside) + (pitch_ratio - ratio) * np.array(slope)

    def _nearest(self, pitch_ratio: float, diameter_m: float) -> tuple[float, float]:
        return (
            min(max(pitch_ratio, self.pitch_ratio[0]), self.pitch_ratio[1]),
            min(max(diameter_m, self.diameter_m[0]), self.diameter_m[1]),
        )


@cache
def _family(folding: bool) -> dict[str, Any]:
    """The packaged family table with its texts turned into matrices of shape (terms, nodes)."""
    parsed = coefficients("propeller_folding" if folding else "propeller_fixed")
    table = {**parsed, **parsed["model"]}
    terms = len(table["shape_terms"])
    for name in TABLES:
        table[name] = numbers(table[name]).reshape(terms, -1)
    return table


def blade_families(folding: bool) -> tuple[str, ...]:
    """Keys of the measured blade families of this kind.

    >>> blade_families(folding=True)
    ('ancf',)
    """
    return tuple(family["key"] for family in _family(folding)["family"])


def family_tables(diameter_m: float, pitch_m: float, folding: bool, blade_family: str | None) -> FamilyTables:
    """The family model at one size.

    Outside the fitted sizes the model goes on as ``Fitted.terms`` says and the band grows by the packaged
    ``outside_widening`` for each width of the fitted range; power there is not below ``least_power_share``
    of its maximum, the least that a measured size takes at zero thrust.

    Args:
        diameter_m: diameter, above 0.
        pitch_m: pitch, above 0.
        folding: folding or fixed blades.
        blade_family: a key of ``blade_families(folding)``, or None when the make is not one of the measured.

    Returns:
        The tables; with ``blade_family`` None the band holds the scatter between makes as well.

    >>> tables = family_tables(0.2794, 0.1524, True, "ancf")  # 11x6
    >>> round(float(tables.thrust_base[0]), 1)
    0.1

    """
    table = _family(folding)
    fitted = Fitted(tuple(table["fitted"]["pitch_ratio"]), tuple(table["fitted"]["diameter_m"]))
    size = (pitch_m / diameter_m, diameter_m)
    outside = fitted.outside(*size)
    widening = 1.0 + table["outside_widening"] * outside
    centre = (table["centre"]["pitch_ratio"], table["centre"]["diameter_m"])
    shape = fitted.terms(tuple(table["shape_terms"]), *size, centre)
    zero_terms = fitted.terms(tuple(table["zero_thrust_terms"]), *size, centre)
    own = next((family for family in table["family"] if family["key"] == blade_family), None)
    thrust, power, shift = (
        (own["thrust_factor"], own["power_factor"], own["zero_thrust_shift"]) if own else (1.0, 1.0, 0.0)
    )
    band = table["band"]["known_family" if own else "unknown_family"]
    power_base = power * (shape @ table["power_base"])
    if outside > 0.0:  # the straight line may leave what any measured propeller does
        power_base = np.maximum(power_base, table["least_power_share"] * power_base.max())
    return FamilyTables(
        x_step=table["x_step"],
        zero_thrust_advance_ratio=float(zero_terms @ np.array(table["zero_thrust"])) + shift,
        thrust_base=thrust * (shape @ table["thrust_base"]),
        thrust_slope=thrust * (shape @ table["thrust_slope"]),
        power_base=power_base,
        power_slope=power * (shape @ table["power_slope"]),
        revs_ref_per_s=table["revs_ref_per_s"],
        revs_low_per_s=table["revs_low_per_s"],
        revs_high_per_s=table["revs_high_per_s"],
        thrust_sigma=widening * band["thrust_sigma"],
        power_sigma=widening * band["power_sigma"],
        zero_thrust_sigma=widening * band["zero_thrust_sigma"],
        outside=outside,
        widening=widening,
    )


def inches(diameter_m: float, pitch_m: float) -> str:
    """The size as people write it.

    >>> inches(0.2794, 0.1524)
    '11x6 in'
    """
    return f"{diameter_m / INCH_M:.4g}x{pitch_m / INCH_M:.4g} in"


def refuse_absurd(
    diameter_m: float, pitch_m: float, folding: bool, blade_family: str | None, blades: int
) -> None:
    """Refuse what no model here covers.

    Raises:
        ValueError: size outside the packaged ``refused_outside``, not two blades, an unknown blade family.

    >>> refuse_absurd(0.2794, 0.1524, True, None, blades=3)
    Traceback (most recent call last):
    ...
    ValueError: the propeller must have 2 blades, but has 3: ...

    """
    limits = coefficients("propeller_sizes")["refused_outside"]
    small, large = limits["diameter_m"]
    flat, steep = limits["pitch_ratio"]
    if not small * (1.0 - ROUNDING) <= diameter_m <= large * (1.0 + ROUNDING):
        raise ValueError(
            f"the diameter must lie between {small / INCH_M:g} and {large / INCH_M:g} in, but is "
            f"{diameter_m / INCH_M:.4g} in: give the size as marked on the blade"
        )
    if not flat * (1.0 - ROUNDING) <= pitch_m / diameter_m <= steep * (1.0 + ROUNDING):
        raise ValueError(
            f"pitch/diameter must lie between {flat:g} and {steep:g}, but is {pitch_m / diameter_m:.3g} for "
            f"{inches(diameter_m, pitch_m)}: check that diameter and pitch are not swapped"
        )
    if blades != 2:
        raise ValueError(
            f"the propeller must have 2 blades, but has {blades}: no other was measured; "
            "take the two-blade propeller that your motor test shows to draw the same power"
        )
    known = blade_families(folding)
    if blade_family is not None and blade_family not in known:
        raise ValueError(
            f"the blade family of {'folding' if folding else 'fixed'} blades must be one of "
            f"{', '.join(known)}, but is {blade_family}: leave it out for another make"
        )


@cache
def _sizes_by_family() -> dict[str, list[dict[str, Any]]]:
    by_family: dict[str, list[dict[str, Any]]] = {}
    for size in coefficients("propeller_sizes")["size"]:
        by_family.setdefault(size["family"], []).append(size)
    return by_family


def measured_size(diameter_m: float, pitch_m: float, blade_family: str | None) -> dict[str, Any] | None:
    """The packaged entry of a size that was measured, within 1 % in diameter and in pitch; else None.

    >>> measured_size(0.2807, 0.1524, "ancf")["key"]
    'ancf 11x6'
    """
    for size in _sizes_by_family().get(blade_family or "", ()):
        apart = max(abs(diameter_m / size["diameter_m"] - 1.0), abs(pitch_m / size["pitch_m"] - 1.0))
        if apart <= SAME_SIZE:
            return size
    return None
