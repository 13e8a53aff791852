"""What the steps of a test plan look at: one forecast of the model, its figures and its practice numbers."""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from glidewright.base.fields import quantities
from glidewright.base.figure import Figure
from glidewright.base.units import unit
from glidewright.base.wording import exact_text
from glidewright.data import coefficient, coefficients
from glidewright.decisions.balancing.known import Known, known_part
from glidewright.decisions.balancing.stations import lateral, stations
from glidewright.decisions.launch_answer import launch_answer
from glidewright.decisions.nouns import LaunchAnswer, NamedFigure
from glidewright.decisions.planning.nouns import PlanStep, Recorded
from glidewright.decisions.steering.nouns import ControlsResult
from glidewright.domain.model import Model
from glidewright.domain.outcome import Outcome
from glidewright.domain.parts import Pack
from glidewright.forecast.predict import Forecast
from glidewright.models.aero.manoeuvres import dive, pull_out_height_m, stall_height_m

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Sight:
    """One model as its test pilot sees it."""

    found: Forecast
    controls: ControlsResult | None = None

    @property
    def model(self) -> Model:
        """The model of the forecast."""
        return self.found.setup.model

    def draws(self, name: str) -> Array | None:
        """Draws of a result, or nothing."""
        return self.found.prediction.draws(name)

    def figure(self, name: str, shown: str) -> Figure:
        """A result as a figure."""
        return self.found.prediction.figure(name, shown)

    def named(self, name: str, title: str, shown: str) -> NamedFigure:
        """A result under its label."""
        return NamedFigure(name=name, title=title, figure=self.figure(name, shown))

    def of(self, name: str, title: str, shown: str, draws: Array | None, why: str = "") -> NamedFigure:
        """Draws under a label; without them, not known, and why."""
        if draws is None:
            reason = why or "it rests on a value that is not known yet"
            return NamedFigure(name=name, title=title, figure=Figure.unknown(unit(shown).si, shown, reason))
        return NamedFigure(name=name, title=title, figure=self.found.figure(draws, shown))

    @cached_property
    def launch(self) -> LaunchAnswer | None:
        """The launch, where it can be computed."""
        return launch_answer(self.found)

    @cached_property
    def known(self) -> Known | None:
        """Items with mass and place."""
        return known_part(self.found.setup)

    @cached_property
    def cells(self) -> int:
        """Cells in series of the fitted pack; 0 without one."""
        pack = self.model.first(Pack)
        return 0 if pack is None else pack.cells

    @cached_property
    def stall_height(self) -> Array | None:
        """Height that a full stall takes at the most."""
        stall = self.draws("stall_speed_m_s")
        if stall is None:
            return None
        return stall_height_m(stall, practice("stall_speed_share"), practice("stall_path_rad"))

    @cached_property
    def dive_end(self) -> tuple[Array, Array] | None:
        """Highest airspeed of the balance dive, and all the height that it takes with its way out."""
        trim = self.draws("speed_sink_least_m_s")
        if trim is None:
            return None
        path = practice("dive_path_rad")
        speed, lost = dive(trim, path, practice("dive_time_s"))
        out = pull_out_height_m(speed, path, np.full_like(speed, practice("pull_out_load")))
        return speed, lost + out

    def mass_for(self, step_m: float) -> str:
        """Which mass at either end moves the balance by a step, in words."""
        if self.known is None:
            return ""
        ways = {"nose": "forward", "tail": "aft"}
        words = [
            f"{exact_text(round(row.mass_for_mm_kg * step_m / 0.001, 4), 'g')} at the {row.name} to go "
            f"{ways[row.name]}"
            for row in stations(self.known)
            if row.kind == "end" and row.mass_for_mm_kg is not None
        ]
        return ", ".join(words)

    @cached_property
    def side_words(self) -> str:
        """Left against right in a sentence."""
        return lateral(self.known).text if self.known is not None else ""


def practice(name: str) -> float:
    """A number of the trade's test practice, SI."""
    return coefficient("test_practice", name)


def practised(name: str, title: str, key: str, shown: str) -> NamedFigure:
    """The same as a figure with its band and source."""
    row = coefficients("test_practice")[key]
    source = str(row["source"])
    return NamedFigure(
        name=name,
        title=title,
        figure=Figure(
            value=row["value"],
            low=row["low"],
            high=row["high"],
            unit=row["unit"],
            shown=shown,
            grade="typical",
            because=f"practice: {source}",
        ),
    )


def step_up_m(height_m: float) -> float:
    """A height rounded up to whole five metres.

    >>> step_up_m(41.2)
    45.0
    """
    return 5.0 * math.ceil(height_m / 5.0)


def height_to_keep_m(worst_m: float) -> float:
    """Height for a manoeuvre: a multiple of the most that it takes, in m, and never less than practice.

    >>> height_to_keep_m(0.0), height_to_keep_m(40.0)
    (50.0, 120.0)
    """
    return max(practice("least_test_height_m"), step_up_m(practice("height_reserve") * worst_m))


def asked(field: str, title: str, expected: NamedFigure | None = None) -> Recorded:
    """A number of an outcome that a step asks for, with the figure that is expected."""
    meta = quantities(Outcome)[field]
    figure = (
        expected.figure
        if expected is not None
        else Figure.unknown(
            meta.shown.si, meta.shown.symbol, "nothing is expected; it is written down to compare"
        )
    )
    return Recorded(name=field, title=title, figure=figure, key=meta.key)


def unknown_of(steps: Iterable[PlanStep]) -> tuple[str, ...]:
    """What the steps could not say, each reason once."""
    told: dict[str, str] = {}
    for step in steps:
        for one in step.numbers:
            if one.figure.value is None:
                told.setdefault(one.figure.because, one.title)
    return tuple(f"{title}: {why}" for why, title in told.items())
