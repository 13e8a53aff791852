"""A closer look at one entry under one rule: what pilot and instrument change, and what the parts may."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glidewright.decisions.choosing.builds import Build, model_of
from glidewright.decisions.fairness.build import set_up, weighed
from glidewright.decisions.fairness.field import Launches
from glidewright.decisions.fairness.flying import Flying
from glidewright.decisions.fairness.frame import (
    DAY,
    Frame,
    Settings,
    Train,
    as_owner_would,
    at_centre,
    trains_of,
)
from glidewright.decisions.fairness.setup import owner_of
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.model import Model
from glidewright.models.launch import layout as ll
from glidewright.models.launch.flights import launch_outputs, launch_trace

Array = NDArray[np.float64]

PARTS_DRAWN = 16
_AIRSPEED_m_s, _RELEASE_m, _THROW_m_s = 1.0, 0.5, 1.0
_TIMER_s, _READING_m, _ZOOM_m_s = 0.5, 1.0, 1.0
_TITLES: Mapping[str, str] = {
    "slower": "Climb 1 m/s slower",
    "faster": "Climb 1 m/s faster",
    "release": "Release 0.5 m higher",
    "throw": "Throw 1 m/s faster",
    "timer": "Motor 0.5 s longer",
    "reading": "Limiter reads 1 m low",
    "zoom": "Stop 1 m/s faster",
}


@dataclass(frozen=True)
class Look:
    """Which entry to look at: all of it can be sent elsewhere."""

    model: Model
    build: Build
    own: Launches
    rule: ClassLimits
    draws: int


@dataclass(frozen=True)
class Looked:
    """Launch heights of one entry.

    by_parts_m: middle launch with the parts as they may be, each time tuned anew, shape (16,); changes_m:
    what each change adds, launch by launch, shape (draws,).
    """

    by_parts_m: Array
    changes_m: dict[str, Array]


def title_of(name: str) -> str:
    """A change in words."""
    return _TITLES[name]


def look(task: Look) -> Looked:
    """Fly the entry again: with one thing changed at a time, and with parts other than their middles say."""
    model = model_of(as_owner_would(task.model), task.build)
    setup = set_up(task.model, model, task.draws, {})
    middle = at_centre(setup)
    train = trains_of(middle, weighed(middle)[0])
    flying = Flying(Frame(setup), train, task.rule)
    return Looked(_by_parts_m(task, model), _changes(flying, train[0], _settings(task.own)))


def _by_parts_m(task: Look, model: Model) -> Array:
    """Middle launches of sixteen models whose parts are drawn, each set up by an owner who has flown it."""
    setup = set_up(task.model, model, PARTS_DRAWN, {})
    trains = trains_of(setup, weighed(setup)[0])
    flying = Flying(Frame(setup), trains, task.rule)
    owner = owner_of(flying, np.full(len(trains), task.own.ballast_kg))
    middle: Array = np.median(owner.outputs[:, :, ll.TOP_HEIGHT], axis=1)
    return middle


def _settings(own: Launches) -> Settings:
    numbers = (
        own.climb_speed_m_s, own.glide_speed_m_s, own.duty, own.run_s, own.cut_m, own.ballast_kg,
    )  # fmt: skip
    return Settings(*(np.array([number]) for number in numbers))


def _changes(flying: Flying, train: Train, settings: Settings) -> dict[str, Array]:
    frame, rule = flying.frame, flying.rule
    which = np.zeros(1, dtype=np.int64)
    inputs = frame.inputs(DAY, [train], which, settings, rule)
    as_set = launch_outputs(inputs)
    top = as_set[:, ll.TOP_HEIGHT]
    launch = inputs.launch
    changed = {
        "slower": {"climb_speed_m_s": launch[:, ll.CLIMB_SPEED_M_S] - _AIRSPEED_m_s},
        "faster": {"climb_speed_m_s": launch[:, ll.CLIMB_SPEED_M_S] + _AIRSPEED_m_s},
        "release": {"throw_height_m": launch[:, ll.THROW_HEIGHT_M] + _RELEASE_m},
        "throw": {"throw_speed_m_s": launch[:, ll.THROW_SPEED_M_S] + _THROW_m_s},
        "timer": {"run_limit_s": launch[:, ll.RUN_LIMIT_S] + _TIMER_s},
    }
    if np.isfinite(settings.cut_m[0]):
        changed["reading"] = {"cut_height_m": launch[:, ll.CUT_HEIGHT_M] + _READING_m}
    found = {
        name: launch_outputs(inputs.with_launch(**values))[:, ll.TOP_HEIGHT] - top
        for name, values in changed.items()
    }
    found["zoom"] = _zoom_gain_m(inputs, as_set)
    return found


def _zoom_gain_m(inputs: ll.LaunchInputs, outputs: Array) -> Array:
    """Height that a metre a second more at the motor stop adds, from the stop on, shape (draws,).

    The model is released where the motor stopped, with the path that it had, and without a motor run.
    """
    traces, _ = launch_trace(inputs, duration_s=float(np.nanmax(outputs[:, ll.CUT_TIME])) + ll.GRID_s)
    rows = np.clip(np.floor(outputs[:, ll.CUT_TIME] / ll.GRID_s), 0, traces.shape[1] - 1).astype(np.int64)
    draws = np.arange(outputs.shape[0])
    speed, path = traces[draws, rows, 2], traces[draws, rows, 3]
    height = np.maximum(outputs[:, ll.HEIGHT_AT_CUT], 0.1)
    launch = inputs.launch
    share = np.maximum(height, launch[:, ll.WIND_FLOOR_HEIGHT_M]) / launch[:, ll.WIND_REFERENCE_HEIGHT_M]
    wind = launch[:, ll.WIND_SPEED_M_S] * share ** launch[:, ll.WIND_EXPONENT]
    tops = []
    for airspeed in (speed, speed + _ZOOM_m_s):
        level, rise = airspeed * np.cos(path) - wind, airspeed * np.sin(path)
        from_stop = inputs.with_launch(
            throw_height_m=height,
            throw_speed_m_s=np.hypot(level, rise),
            throw_angle_rad=np.arctan2(rise, level),
            run_limit_s=0.0,
            run_from_release=1.0,
            cut_height_m=np.inf,
        )
        tops.append(launch_outputs(from_stop)[:, ll.TOP_HEIGHT])
    gain: Array = tops[1] - tops[0]
    return gain
