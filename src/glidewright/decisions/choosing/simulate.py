"""Single builds over all draws: what limits they keep, with which chance, and how wide their goals are."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glidewright.base.errors import OutsideModelError
from glidewright.base.figure import Figure
from glidewright.decisions.changed_model import without_taught
from glidewright.decisions.choosing.builds import Build, fitted_build, model_of
from glidewright.decisions.choosing.loads import LOADS, hold_time_s, least_margin, limit_of, used_shares
from glidewright.decisions.judgement import judge
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.correction import Correction
from glidewright.domain.model import Model
from glidewright.domain.parts import Controller, Motor, Pack, Part, Propeller
from glidewright.forecast.kernel_rows import Orders, air
from glidewright.forecast.predict import Forecast, forecast
from glidewright.forecast.setup import prepare
from glidewright.forecast.spread import Input
from glidewright.rules.finding import Finding

Array = NDArray[np.float64]
Memo = dict[Input, Array]

OF_AIRFRAME = frozenset(
    {
        "span",
        "wing_area",
        "total_area",
        "controls",
        "control_kinds",
        "structure",
        "spoiler_setback",
        "nose_radius",
        "limiter",
        "limiter_height",
        "limiter_time",
    }
)
"""Findings that no choice of drive, pack or servos changes."""
_CHOSEN: tuple[tuple[type[Part], str], ...] = (
    (Motor, "motor"),
    (Controller, "controller"),
    (Pack, "pack"),
    (Propeller, "propeller"),
)
_BALANCE = "balance"


@dataclass(frozen=True)
class Flyer:
    """What all builds of a search have in common; it can be sent to a worker.

    chance: what every limit must be kept with, each by its own when None; like: how the model is flown now.
    """

    model: Model
    rule: ClassLimits | None
    correction: Correction
    draws: int
    chance: float | None
    like: Orders


@dataclass(frozen=True)
class Task:
    """Some builds to fly, each with its number and its climb airspeed; is_whole: whatever they break."""

    flyer: Flyer
    builds: tuple[tuple[int, Build, float], ...]
    is_whole: bool = False


@dataclass(frozen=True)
class Flown:
    """One build over all draws.

    broke: findings that are not kept with the chance wanted; figures: goals with their spread by column;
    margin_by: title of the limit with the least margin; chance_balance: to be inside the range, where known.
    """

    flat: int
    findings: tuple[Finding, ...]
    broke: tuple[Finding, ...]
    figures: dict[str, Figure]
    chance_balance: float | None
    not_covered: str = ""

    @property
    def is_kept(self) -> bool:
        """Whether every limit that a build decides is kept."""
        return not self.broke and not self.not_covered


def fly(task: Task) -> tuple[Flown, ...]:
    """Fly some builds; one that breaks a limit in its first launch is flown no further."""
    memo: dict[tuple[str, ...], Memo] = {}
    return tuple(_fly(task, *build, memo) for build in task.builds)


def _fly(
    task: Task, flat: int, build: Build, climb_speed_m_s: float, memo: dict[tuple[str, ...], Memo]
) -> Flown:
    flyer = task.flyer
    fitted = fitted_build(flyer.model)
    correction = flyer.correction
    for kind, name in _CHOSEN:
        is_other = getattr(build, name) != getattr(fitted, name)
        if is_other or (kind is Propeller and build.yoke):
            correction = without_taught(correction, kind)
    model = model_of(flyer.model, build)
    try:
        setup = prepare(model, flyer.rule, flyer.draws, correction, memo.setdefault(correction.names, {}))
    except OutsideModelError as refused:
        return Flown(flat, (), (), {}, None, refused.problems[0].message)
    found: Forecast | None = None
    for with_many in (False, True):
        found = forecast(
            setup,
            with_trace=False,
            with_many=with_many,
            with_causes=with_many,
            with_power_curves=False,
            with_glide=False,
            climb_speed_m_s=climb_speed_m_s,
            like=flyer.like,
        )
        findings = judge(found)
        broke = tuple(one for one in findings if _is_broken(one, flyer.chance))
        if broke and not task.is_whole:
            break
    assert found is not None  # the loop has run
    balance = next(one for one in findings if one.name == _BALANCE)
    figures = {} if broke and not task.is_whole else _figures(found, model)
    return Flown(flat, findings, broke, figures, balance.chance)


def _is_broken(finding: Finding, chance: float | None) -> bool:
    """Whether a limit that a build decides is kept with less than the chance wanted."""
    if finding.name in OF_AIRFRAME or finding.name == _BALANCE or finding.chance is None:
        return False
    return finding.severity in ("broken", "doubtful") if chance is None else finding.chance < chance


def _figures(found: Forecast, model: Model) -> dict[str, Figure]:
    """Height, launches, mass and least margin with their spread, by column of the goals."""
    prediction = found.prediction
    figures = {
        column: prediction.figure(result, shown)
        for column, result, shown in (
            ("height_m", "height_true_m", "m"),
            ("launches", "launches", ""),
            ("mass_kg", "mass_kg", "g"),
        )
    }
    margin = least_margin(used_of(found, model))
    if np.isfinite(margin).any():
        figures["margin"] = found.figure(margin, "%")
    return figures


def used_of(found: Forecast, model: Model) -> dict[str, Array]:
    """Draws of the share used of every limit; those of a whole charge are fewer, so they alone count."""
    prediction = found.prediction
    values = {
        name: draws
        for name in {name for load in LOADS for name in load.results} | {"motor_run_s"}
        if (draws := prediction.draws(name)) is not None
    }
    count = min(draws.size for draws in values.values())
    parts = [model.first(kind) for kind, _ in _CHOSEN]
    limits = {}
    for load in LOADS:
        part = parts[load.axis]
        assert part is not None  # a forecast with a launch has a whole power train
        limits[load.name] = np.array(limit_of(load, part))
    motor = parts[0]
    assert motor is not None
    _, temperature = air(found.setup)
    return used_shares(
        {name: draws[:count] for name, draws in values.items()},
        limits,
        np.array(hold_time_s(motor)),
        temperature[:count],
    )
