"""Numbers that say how sure they are: what was given, and what was found."""

import math
from collections.abc import Collection, Mapping
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from pydantic import BaseModel, ConfigDict, model_validator

Grade = Literal["measured", "quoted", "typical", "guessed"]
# from the most to the least trustworthy
GRADES: Mapping[Grade, str] = {
    "measured": "on a scale, a wattmeter or a ruler",
    "quoted": "a seller's page or data sheet",
    "typical": "a trade table or a regression of ours",
    "guessed": "nobody knows yet",
}
_ORDER = tuple(GRADES)


def worst_grade(grades: Collection[Grade]) -> Grade:
    """The least trustworthy of some grades; ``guessed`` when there is none.

    >>> worst_grade(["measured", "typical", "quoted"])
    'typical'
    """
    return max(grades, key=_ORDER.index, default="guessed")


def quantiles(draws: NDArray[np.float64]) -> tuple[NDArray[np.float64], ...]:
    """10th, 50th and 90th percentile over the first axis of draws, shape (n, ...), without what is no number.

    Straight lines between the draws, as numpy's own quantile; not a number where no draw is one.

    >>> [float(found) for found in quantiles(np.array([0.0, 10.0, 20.0, np.nan]))]
    [2.0, 10.0, 18.0]
    """
    ordered = np.sort(draws, axis=0)  # what is no number comes last
    last = np.maximum(np.count_nonzero(~np.isnan(draws), axis=0) - 1, 0)
    found = []
    for share in (0.1, 0.5, 0.9):
        place = share * last
        below = np.floor(place).astype(np.int64)
        low = np.take_along_axis(ordered, below[None], axis=0)[0]
        high = np.take_along_axis(ordered, np.minimum(below + 1, last)[None], axis=0)[0]
        found.append(low + (place - below) * (high - low))
    return tuple(found)


class Given(BaseModel):
    """An input number with its grade; low and high are its own 10th and 90th percentile if stated."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    value: float
    grade: Grade = "quoted"
    low: float | None = None
    high: float | None = None
    because: str = ""

    @model_validator(mode="after")
    def _ordered(self) -> "Given":
        for number in (self.value, self.low, self.high):
            if number is not None and not math.isfinite(number):
                raise ValueError("must be a finite number")
        if (self.low is None) != (self.high is None):
            raise ValueError("low and high must be stated together")
        if self.low is not None and self.high is not None and not self.low <= self.value <= self.high:
            raise ValueError("must satisfy low <= value <= high")
        return self


class Figure(BaseModel):
    """A result: median, 10th and 90th percentile in SI, grade, and why it is as wide as it is.

    ``unit`` is the SI unit of the three numbers, ``shown`` the symbol in which people read it.
    A value of ``None`` means not known; ``because`` then says what is missing.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    value: float | None
    low: float | None
    high: float | None
    unit: str
    shown: str
    grade: Grade
    because: str

    @classmethod
    def unknown(cls, unit: str, shown: str, because: str) -> "Figure":
        """A figure that nobody can state yet."""
        return cls(value=None, low=None, high=None, unit=unit, shown=shown, grade="guessed", because=because)

    @classmethod
    def exact(cls, value: float, unit: str, shown: str, grade: Grade, because: str) -> "Figure":
        """A figure without spread, with the reason why it has none."""
        return cls(value=value, low=value, high=value, unit=unit, shown=shown, grade=grade, because=because)

    @classmethod
    def of_draws(
        cls, draws: NDArray[np.float64], unit: str, shown: str, grade: Grade, because: str
    ) -> "Figure":
        """Median, 10th and 90th percentile of the finite draws; unknown when none is finite.

        Of counts (whole numbers without a unit) each is a count too: the nearest, for the ends the outer one.

        >>> Figure.of_draws(np.arange(101.0), "m", "m", "typical", "ruler").low
        10.0
        >>> launches = Figure.of_draws(np.array([3.0, 4.0, 4.0, 5.0, 6.0, 6.0]), "1", "", "typical", "pack")
        >>> launches.low, launches.value, launches.high
        (3.0, 4.0, 6.0)
        """
        finite = draws[np.isfinite(draws)]
        if finite.size == 0:
            return cls.unknown(unit, shown, because or "no draw gave a number")
        if finite.size == 1:
            return cls.exact(float(finite[0]), unit, shown, grade, because)
        low, value, high = (float(number) for number in quantiles(finite))
        if unit == "1" and not shown and np.all(finite == np.rint(finite)):
            low, value, high = math.floor(low), round(value), math.ceil(high)
        return cls(value=value, low=low, high=high, unit=unit, shown=shown, grade=grade, because=because)
