"""From a given number and its grade to the draws that stand for it."""

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from pydantic import BaseModel

from glidewright.base.fields import quantities
from glidewright.base.figure import Given, Grade
from glidewright.data import coefficients

Z90 = 1.2815515655446004  # standard-normal 90th percentile


Kind = Literal["factor", "offset"]
_NO_SKEW = 1e-9
_LEAST_SIDE = 1e-3  # of the band: a side of no width would need an infinite g
_LEAST_SHARE = 1e-3  # of its value: the least that a positive quantity is drawn as when its band starts at 0


@dataclass(frozen=True)
class Input:
    """One uncertain input: central value, 10th and 90th percentile in SI, grade, and what would narrow it.

    kind: ``factor`` draws in the logarithm, ``offset`` on the line; both reproduce low and high exactly.
    least: no draw is below it.
    """

    name: str
    title: str
    value: float
    low: float
    high: float
    grade: Grade
    kind: Kind
    because: str
    narrows: str = ""
    least: float = -math.inf

    def draws(self, z: NDArray[np.float64]) -> NDArray[np.float64]:
        """Values for standard-normal numbers, same shape: rising, smooth in the band, exact at its ends.

        In the logarithm (``factor``) or on the line (``offset``) the draw is Tukey's g transform
        ``x + b (exp(g z) - 1) / g`` (D. C. Hoaglin, Exploring Data Tables, Trends, and Shapes, 1985,
        chapter 11); g follows from how much wider one side of the band is than the other, 0 for equal sides.
        Outside the band the draw goes on in a straight line with the mean slope of its side: the transform
        itself would leave all bounds there when one side is much narrower than the other.

        >>> given = Input("m", "mass", 2.0, 1.0, 4.0, "typical", "factor", "")
        >>> given.draws(np.array([-Z90, 0.0, Z90])).round(12).tolist()
        [1.0, 2.0, 4.0]
        """
        if self.is_exact:
            return np.full_like(z, self.value)
        is_factor = self.kind == "factor"
        low, centre, high = (np.log(x) if is_factor else x for x in (self.low, self.value, self.high))
        down, up = (
            max(centre - low, _LEAST_SIDE * (high - low)),
            max(high - centre, _LEAST_SIDE * (high - low)),
        )
        g = float(np.log(up / down)) / Z90
        inside = np.clip(z, -Z90, Z90)
        shape = inside if abs(g) < _NO_SKEW else np.expm1(g * inside) / g
        scale = up / (Z90 if abs(g) < _NO_SKEW else np.expm1(g * Z90) / g)
        outside = (z - inside) * np.where(z < 0.0, down, up) / Z90
        moved: NDArray[np.float64] = centre + scale * shape + outside
        return np.exp(moved) if is_factor else np.maximum(moved, self.least)

    @property
    def is_exact(self) -> bool:
        """True when it has no spread at all."""
        return self.low == self.value == self.high


def from_field(noun: BaseModel, field: str, name: str, title: str, narrows: str = "") -> Input:
    """The input for a stated field of a noun, with the default spread that its metadata names."""
    given = getattr(noun, field)
    assert isinstance(given, Given)  # the caller has seen that it is stated
    return from_given(name, title, given, quantities(type(noun))[field].spread, narrows)


def from_given(name: str, title: str, given: Given, row: str, narrows: str = "") -> Input:
    """The input for a stated number: its own low and high, or the default spread of its grade.

    row: row of the grade table.
    """
    table = coefficients("grades")[row]
    kind: Kind = table["kind"]
    if given.low is not None and given.high is not None:
        return from_band(name, title, given, kind, narrows)
    half = float(table[given.grade])
    if kind == "factor":
        low, high = given.value / (1.0 + half), given.value * (1.0 + half)
    else:
        low, high = given.value - half, given.value + half
    because = given.because or f"{given.grade}: {table['because']}"
    return _input(name, title, given, (min(low, high), max(low, high)), kind, because, narrows)


def from_band(name: str, title: str, given: Given, kind: Kind, narrows: str = "") -> Input:
    """The input for a number with its own low and high; on the line where the logarithm has no meaning.

    A positive quantity whose band starts at zero is never drawn below a thousandth of its value.
    """
    assert given.low is not None and given.high is not None  # a band has two ends
    because = given.because or f"{given.grade}, own band"
    return _input(name, title, given, (given.low, given.high), kind, because, narrows)


def _input(
    name: str, title: str, given: Given, band: tuple[float, float], kind: Kind, because: str, narrows: str
) -> Input:
    low, high = band
    least = -math.inf
    if kind == "factor" and not low > 0:
        kind = "offset"
        if low == 0:
            least = _LEAST_SHARE * given.value
    return Input(name, title, given.value, low, high, given.grade, kind, because, narrows, least)
