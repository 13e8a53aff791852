"""Values that nobody stated."""

from dataclasses import dataclass

from glidewright.base.figure import Figure
from glidewright.base.units import unit as unit_named
from glidewright.forecast.spread import Input


@dataclass(frozen=True)
class MissingValue:
    """What is missing, the input that stands in for it (or nothing), and the reading that would narrow it."""

    part: str
    title: str
    key: str
    stand_in: Input | None
    shown: str
    narrows: str

    def figure(self) -> Figure | None:
        """The stand-in as a figure."""
        if self.stand_in is None:
            return None
        entry = self.stand_in
        return Figure(
            value=entry.value,
            low=entry.low,
            high=entry.high,
            unit=unit_named(self.shown).si,
            shown=self.shown,
            grade=entry.grade,
            because=entry.because,
        )
