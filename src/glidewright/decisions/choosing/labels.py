"""Limits that labels alone settle, exactly: cells, volts, sizes, masses of single parts, dates and money.

Each is a function of one or two roles, so that no build that keeps it is ever lost by it.
"""

import math
from collections.abc import Callable, Iterator, Mapping

import numpy as np
from numpy.typing import NDArray

from glidewright.base.figure import Given
from glidewright.decisions.choosing.axes import (
    AXES,
    CONTROLLER,
    MOTOR,
    PACK,
    PROPELLER,
    Axes,
    Option,
)
from glidewright.decisions.choosing.fit import NOT_JUDGED, Test, fit_tests, over
from glidewright.domain.class_limits import ClassLimits, Limit
from glidewright.domain.model import Model
from glidewright.domain.parts import Controller, Motor, Pack, Propeller
from glidewright.forecast.predict import FULL_CELL_V
from glidewright.rules.measures import MEASURES
from glidewright.rules.words import bounds_words

Array = NDArray[np.float64]

_ROUNDING = 1e-9


def _given(given: Given | None) -> float:
    return NOT_JUDGED if given is None else given.value


def _of(kind: type, field: str) -> Callable[[Option], float]:
    def value(option: Option) -> float:
        assert isinstance(option.main, kind)  # so the axis has it
        return _given(getattr(option.main, field))

    return value


def _cells(option: Option) -> float:
    return float(option.main.cells) if isinstance(option.main, Pack) else NOT_JUDGED


LABELS: Mapping[str, tuple[int, Callable[[Option], float]]] = {
    "cells": (PACK, _cells),
    "capacity": (PACK, _of(Pack, "capacity_As")),
    "pack_voltage": (PACK, lambda option: FULL_CELL_V * _cells(option)),
    "pack_mass": (PACK, _of(Pack, "mass_kg")),
    "propeller_diameter": (PROPELLER, _of(Propeller, "diameter_m")),
    "motor_kv": (MOTOR, _of(Motor, "kv_rad_per_Vs")),
    "motor_mass": (MOTOR, _of(Motor, "mass_kg")),
}
"""Measures of a class that follow from the label of one part, by their axis."""


def outside(values: Array, limit: Limit) -> Array:
    """How far values lie outside the bounds of a limit and its tolerance, relative to the bound."""
    excess = np.full(values.shape, -math.inf)
    if limit.at_most is not None:
        reach = limit.at_most + limit.tolerance
        excess = np.maximum(excess, (values - reach) / (abs(reach) or 1.0))
    if limit.at_least is not None:
        reach = limit.at_least - limit.tolerance
        excess = np.maximum(excess, (reach - values) / (abs(reach) or 1.0))
    return np.where(np.isfinite(values), excess - _ROUNDING, NOT_JUDGED)


def label_tests(model: Model, rule: ClassLimits | None, axes: Axes) -> tuple[Test, ...]:
    """Every limit that labels settle: what fits, what the class allows, what the electrics stand."""
    return (*fit_tests(model, axes), *_class_tests(rule, axes), *_electric_tests(axes))


def _class_tests(rule: ClassLimits | None, axes: Axes) -> Iterator[Test]:
    for limit in () if rule is None else rule.limits:
        if limit.measure == "drive":
            yield _drive(limit, axes)
        if limit.measure not in LABELS:
            continue
        axis, value = LABELS[limit.measure]
        measure = MEASURES[limit.measure]
        words = bounds_words(limit.at_least, limit.at_most, measure.shown, limit.tolerance)
        excess = outside(over(axes.options[axis], value), limit)
        yield Test(limit.measure, measure.title, (axis,), excess, words)


def _drive(limit: Limit, axes: Axes) -> Test:
    """Direct or geared, as the class allows."""
    allowed = {word.strip().casefold() for word in limit.allowed}

    def strange(option: Option) -> float:
        gear = option.main.gear_ratio if isinstance(option.main, Motor) else None
        word = "direct" if gear is None or gear.value == 1.0 else "geared"
        return float(word not in allowed)

    words = ", ".join(limit.allowed)
    return Test("drive_kind", MEASURES["drive"].title, (MOTOR,), over(axes.options[MOTOR], strange), words)


def _electric_tests(axes: Axes) -> Iterator[Test]:
    cells = over(axes.options[PACK], _cells)
    least = over(axes.options[CONTROLLER], lambda one: _count(one, "cells_least"))
    most = over(axes.options[CONTROLLER], lambda one: _count(one, "cells_most"))
    with np.errstate(invalid="ignore"):
        few, many = least[:, None] / cells - 1.0, cells / most[:, None] - 1.0
        excess = np.where(np.isnan(few), many, np.where(np.isnan(many), few, np.maximum(few, many)))
    yield Test(
        "controller_cells", "Cells at the controller", (CONTROLLER, PACK), excess, "as the seller states"
    )
    volts = over(axes.options[MOTOR], _of(Motor, "max_voltage_V"))
    excess = FULL_CELL_V * cells / volts[:, None] - 1.0 - _ROUNDING
    yield Test("motor_voltage", "Motor voltage", (MOTOR, PACK), excess, "as the seller states")


def _count(option: Option, field: str) -> float:
    assert isinstance(option.main, Controller)  # so the axis has it
    count = getattr(option.main, field)
    return NOT_JUDGED if count is None else float(count)


def ready_tests(axes: Axes, within_s: float) -> Iterator[Test]:
    """Parts that are there in time with nine chances in ten; one without a lead time is not known to be."""
    for axis in range(len(AXES)):
        times = axes.column(axis, "late_s")
        late = np.where(np.isnan(times), 0.0, (times - within_s) / max(within_s, 86400.0) - _ROUNDING)
        yield Test("ready_by", "Ready in time", (axis,), late, "by the date stated")
        yield Test("lead_time", "Lead time stated", (axis,), np.isnan(times).astype(float), "stated")


def price_tests(axes: Axes) -> Iterator[Test]:
    """Parts to buy whose price nobody states cannot be compared by cost."""
    for axis in range(len(AXES)):
        unknown = np.isnan(axes.column(axis, "cost")).astype(float)
        yield Test("price", "Price stated", (axis,), unknown, "stated")
