"""The frame of a screen: what every option brings, in columns, and the rows of the kernels made of it."""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from glidewright.decisions.choosing.axes import (
    CONTROLLER,
    MOTOR,
    PACK,
    PROPELLER,
    SERVOS,
    Axes,
    Option,
    union_of_columns,
)
from glidewright.decisions.choosing.goals import Need
from glidewright.decisions.choosing.loads import LOADS, hold_time_s, limit_of
from glidewright.decisions.choosing.places import Places
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.model import Model
from glidewright.domain.parts import Controller, Pack
from glidewright.forecast.kernel_rows import NOMINAL_CELL_V, Orders, launch_rows, read_height_m
from glidewright.forecast.power_inputs import SUPPLY_VOLTAGE_V, PowerInputs
from glidewright.forecast.setup import Setup
from glidewright.models.launch import layout as ll
from glidewright.models.power import layout as pl
from glidewright.models.power.controller import linear_supply_current_A, switching_supply_current_A

Array = NDArray[np.float64]
Rows = NDArray[np.intp]


@dataclass(frozen=True)
class Frame:
    """Everything that the screen of a build needs beside its choices; it can be sent to a worker.

    inputs: the model as it is fitted, a row a draw, with the curves of all propellers; columns: places in a
    row of the power train by axis; tables: their values, (options, draws, places); base_kg, base_kg_m,
    wing_area_m2, air_K, climb_factor (how the pilot holds the airspeed) and read (offset and slope of what
    the altimeter reads): (draws,); added_kg and
    added_kg_m: by axis, (options, draws); costs, readies_s and purchases: by axis, (options,); limits: by
    name of the load, over the options of its axis; controller_ohm, apparent_ohm, cut_per_cell_V and load_A:
    (options, draws); supply_V, cells and hold_s: (options,).
    """

    model: Model
    rule: ClassLimits | None
    orders: Orders
    inputs: ll.LaunchInputs
    places: Places
    columns: Mapping[int, tuple[int, ...]]
    tables: Mapping[int, Array]
    base_kg: Array
    base_kg_m: Array
    added_kg: tuple[Array, ...]
    added_kg_m: tuple[Array, ...]
    costs: tuple[Array, ...]
    readies_s: tuple[Array, ...]
    purchases: tuple[Array, ...]
    controller_ohm: Array
    apparent_ohm: Array
    cut_per_cell_V: Array
    supply_V: Array
    load_A: Array
    cells: Array
    limits: Mapping[str, Array]
    hold_s: Array
    wing_area_m2: Array
    air_K: Array
    climb_factor: Array
    read: tuple[Array, Array]
    needs: tuple[Need, ...]

    @property
    def draws(self) -> int:
        """Number of draws, 1 for the middle alone."""
        return self.base_kg.size

    def of_draws(self, some: Rows) -> "Frame":
        """The same over some of its draws."""
        power, curves, tables, polar, launch, start = self.inputs
        inputs = ll.LaunchInputs(power[some], curves, tables, polar[some], launch[some], start[some])
        return replace(
            self,
            inputs=inputs,
            tables={axis: table[:, some] for axis, table in self.tables.items()},
            base_kg=self.base_kg[some],
            base_kg_m=self.base_kg_m[some],
            added_kg=tuple(added[:, some] for added in self.added_kg),
            added_kg_m=tuple(added[:, some] for added in self.added_kg_m),
            controller_ohm=self.controller_ohm[:, some],
            apparent_ohm=self.apparent_ohm[:, some],
            cut_per_cell_V=self.cut_per_cell_V[:, some],
            load_A=self.load_A[:, some],
            wing_area_m2=self.wing_area_m2[some],
            air_K=self.air_K[some],
            climb_factor=self.climb_factor[some],
            read=(self.read[0][some], self.read[1][some]),
        )

    def mass_and_moment(self, rows: tuple[Rows, ...]) -> tuple[Array, Array]:
        """Mass and moment of some builds without ballast, everything in its place, (builds, draws)."""
        mass = np.repeat(self.base_kg[None], rows[0].size, axis=0)
        moment = np.repeat(self.base_kg_m[None], rows[0].size, axis=0)
        for added_kg, added_kg_m, row in zip(self.added_kg, self.added_kg_m, rows, strict=True):
            mass += added_kg[row]
            moment += added_kg_m[row]
        return mass, moment

    def terms(self, rows: tuple[Rows, ...]) -> dict[str, Array]:
        """Cost, time until ready and purchases of some builds: sums and the longest over the axes."""

        def of(tables: tuple[Array, ...]) -> list[Array]:
            return [table[row] for table, row in zip(tables, rows, strict=True)]

        return {
            "cost": np.sum(of(self.costs), axis=0),
            "ready_s": np.max(of(self.readies_s), axis=0),
            "purchases": np.sum(of(self.purchases), axis=0),
        }


def frame_of(
    model: Model,
    rule: ClassLimits | None,
    axes: Axes,
    places: Places,
    orders: Orders,
    needs: tuple[Need, ...] = (),
) -> Frame:
    """The frame of a search: rows of the model as it is, and the columns of every option.

    The model's drawer and weighings stay behind: no row asks for them.
    """
    setup, base = axes.setup, axes.base
    power = setup.power
    assert isinstance(power, PowerInputs)  # so the axes have seen to it
    inputs = launch_rows(setup, power, base.mass_kg, orders)
    curves = _padded([one.brought.curve for one in axes.options[PROPELLER]])
    columns = union_of_columns()
    return Frame(
        model=model.model_copy(update={"drawer": (), "weighings": (), "bench": ()}),
        rule=rule,
        orders=orders,
        inputs=inputs._replace(curves=curves),
        places=places,
        columns=columns,
        tables={
            axis: np.stack([one.brought.rows[:, list(own)] for one in axes.options[axis]])
            for axis, own in columns.items()
        },
        base_kg=base.mass_kg,
        base_kg_m=base.moment_kg_m,
        added_kg=_each(axes, lambda one: one.brought.mass_kg - base.mass_kg),
        added_kg_m=_each(axes, lambda one: one.brought.moment_kg_m - base.moment_kg_m),
        costs=_each(axes, lambda one: np.array(one.cost)),
        readies_s=_each(axes, lambda one: np.array(one.ready_s)),
        purchases=_each(axes, lambda one: np.array(float(one.purchases))),
        controller_ohm=axes.brought(CONTROLLER, "controller_ohm"),
        apparent_ohm=axes.brought(MOTOR, "apparent_ohm"),
        cut_per_cell_V=axes.brought(CONTROLLER, "cut_per_cell_V"),
        supply_V=np.array([_supply_V(one) for one in axes.options[CONTROLLER]]),
        load_A=axes.brought(SERVOS, "load_A"),
        cells=np.array([_cells(one) for one in axes.options[PACK]]),
        limits={
            load.name: np.array([limit_of(load, one.main) for one in axes.options[load.axis]])
            for load in LOADS
        },
        hold_s=np.array([hold_time_s(one.main) for one in axes.options[MOTOR]]),
        wing_area_m2=setup["airframe.wing_area"],
        air_K=inputs.launch[:, ll.GROUND_TEMPERATURE_K],
        climb_factor=setup["launch.climb_speed"],
        read=_reading(setup),
        needs=needs,
    )


def _each(axes: Axes, value: Callable[[Option], Array]) -> tuple[Array, ...]:
    return tuple(np.stack([value(one) for one in options]) for options in axes.options)


def _cells(option: Option) -> float:
    assert isinstance(option.main, Pack)  # so the axis has it
    return float(option.main.cells)


def _supply_V(option: Option) -> float:
    """Volts of a switching servo supply; not a number where it only burns off the volts of the pack."""
    assert isinstance(option.main, Controller)  # so the axis has it
    if option.main.servo_supply != "switching":
        return math.nan
    return (option.main.servo_supply_voltage_V or SUPPLY_VOLTAGE_V).value


def _reading(setup: Setup) -> tuple[Array, Array]:
    """What the altimeter reads is a straight line in the true height."""
    low, high = (read_height_m(setup, np.full(setup.count, height)) for height in (0.0, 100.0))
    return low, (high - low) / 100.0


def _padded(curves: list[Array]) -> Array:
    """Curve tables of equal length: a shorter one goes on in a straight line, as the kernel would."""
    longest = max(curve.shape[0] for curve in curves)
    found = []
    for curve in curves:
        more = np.arange(1, longest - curve.shape[0] + 1)
        lines = np.zeros((more.size, curve.shape[1]))
        for first in range(0, curve.shape[1], 4):
            lines[:, first] = curve[-1, first] + more * curve[-1, first + 1]
            lines[:, first + 1] = curve[-1, first + 1]
        found.append(np.concatenate([curve, lines]))
    return np.stack(found)


def kernel_inputs(frame: Frame, rows: tuple[Rows, ...], mass_kg: Array) -> ll.LaunchInputs:
    """Rows of the kernels for some builds, all draws of a build together; mass_kg: (builds, draws).

    The climb airspeed is still that of the model as it is.
    """
    count = mass_kg.shape[0]
    power, curves, tables, polar, launch, start = (
        block if number in (1, 2) else np.tile(block, (count, 1)) for number, block in enumerate(frame.inputs)
    )
    for axis, places in frame.columns.items():
        power[:, list(places)] = frame.tables[axis][rows[axis]].reshape(power.shape[0], -1)
    cells = np.repeat(frame.cells[rows[PACK]], frame.draws)
    power[:, pl.CONTROLLER_RESISTANCE_OHM] = (
        frame.controller_ohm[rows[CONTROLLER]] + frame.apparent_ohm[rows[MOTOR]]
    ).ravel()
    power[:, pl.CONTROLLER_LOW_VOLTAGE_CUT_V] = frame.cut_per_cell_V[rows[CONTROLLER]].ravel() * cells
    load = frame.load_A[rows[SERVOS]].ravel()
    volts = np.repeat(frame.supply_V[rows[CONTROLLER]], frame.draws)
    supply_V = np.nan_to_num(volts, nan=1.0)
    switching = switching_supply_current_A(load * supply_V, 1.0, NOMINAL_CELL_V * cells)
    power[:, pl.SERVO_CURRENT_A] = np.where(np.isnan(volts), linear_supply_current_A(load), switching)
    power[:, pl.PROPELLER_CURVE] = np.repeat(rows[PROPELLER], frame.draws)
    launch[:, ll.MASS_KG] = mass_kg.ravel()
    used = 1.0 - frame.model.launch.charge_at_start.value
    start[:, 0] = power[:, pl.PACK_CAPACITY_AS] * used
    return ll.LaunchInputs(power, curves, tables, polar, launch, start)
