"""How much of every stated part limit a launch uses, over builds or over draws alike."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glidewright.base.figure import Given
from glidewright.decisions.choosing.axes import CONTROLLER, MOTOR, PACK, PROPELLER
from glidewright.domain.parts import Controller, Motor, Pack, Part, Propeller
from glidewright.rules.part_limits import equal_heat_current_A

Array = NDArray[np.float64]
LimitOf = Callable[[Part], Given | float | None]

NOT_STATED = float("nan")


@dataclass(frozen=True)
class Load:
    """One limit that a seller may state: on which axis, of which result, and how it is read from the part.

    name and title are those of the finding; result: public name, with its fallback where one launch alone is
    known; is_least: the limit is a lower one; is_heat: what is used counts from the temperature of the air.
    """

    name: str
    title: str
    axis: int
    results: tuple[str, ...]
    limit: LimitOf
    is_least: bool = False
    is_heat: bool = False


def _field(kind: type[Part], name: str) -> LimitOf:
    def limit(part: Part) -> Given | float | None:
        assert isinstance(part, kind)  # so the axis has it
        found: Given | None = getattr(part, name)
        return found

    return limit


def _pack_current(part: Part) -> Given | float | None:
    """The user's own limit, else that of the label."""
    assert isinstance(part, Pack)
    if part.max_current_A is not None or part.c_rating is None:
        return part.max_current_A
    return part.c_rating.value * part.capacity_As.value / 3600.0


def _supply(part: Part) -> Given | float | None:
    assert isinstance(part, Controller)
    return None if part.servo_supply == "none" else part.servo_supply_current_A


LOADS: tuple[Load, ...] = (
    Load(
        "motor_current", "Motor current", MOTOR, ("launch_motor_current_A",), _field(Motor, "max_current_A")
    ),
    Load("motor_power", "Motor power", MOTOR, ("motor_power_W",), _field(Motor, "max_power_W")),
    Load(
        "motor_temperature",
        "Motor case temperature",
        MOTOR,
        ("motor_temperature_last_K", "motor_temperature_K"),
        _field(Motor, "limit_temperature_K"),
        is_heat=True,
    ),
    Load(
        "controller_current",
        "Controller current",
        CONTROLLER,
        ("launch_motor_current_A",),
        _field(Controller, "max_current_A"),
    ),
    Load(
        "controller_burst",
        "Controller current at rest",
        CONTROLLER,
        ("static_motor_current_A",),
        _field(Controller, "burst_current_A"),
    ),
    Load("servo_supply", "Servo supply current", CONTROLLER, ("servo_supply_load_A",), _supply),
    Load("pack_current", "Pack current", PACK, ("launch_pack_current_A",), _pack_current),
    Load(
        "pack_temperature",
        "Pack temperature",
        PACK,
        ("pack_temperature_last_K", "pack_temperature_K"),
        _field(Pack, "limit_temperature_K"),
        is_heat=True,
    ),
    Load(
        "low_voltage",
        "Lowest cell voltage",
        CONTROLLER,
        ("lowest_cell_V",),
        _field(Controller, "low_voltage_cut_V"),
        is_least=True,
    ),
    Load(
        "propeller_speed",
        "Propeller speed",
        PROPELLER,
        ("propeller_revs_per_s",),
        _field(Propeller, "max_revs_per_s"),
    ),
)


def limit_of(load: Load, part: Part) -> float:
    """The limit that a part states, SI; not a number where it states none."""
    found = load.limit(part)
    if found is None:
        return NOT_STATED
    return found.value if isinstance(found, Given) else found


def hold_time_s(part: Part) -> float:
    """How long the current limit of a motor holds; not a number where nobody says."""
    if not isinstance(part, Motor) or part.max_current_time_s is None:
        return NOT_STATED
    return part.max_current_time_s.value


def used_shares(
    values: Mapping[str, Array], limits: Mapping[str, Array], hold_s: Array, air_K: Array | float
) -> dict[str, Array]:
    """Share of each limit that is used, above 1 is broken; not a number where nothing is stated or known.

    values: results by public name; limits: by name of the load; hold_s: for how long the motor's current
    limit holds. All of the same shape, or one number for all.

    >>> found = used_shares({"launch_pack_current_A": np.array([6.0])}, {"pack_current": np.array([8.0])},
    ...                     np.array([np.nan]), 288.15)
    >>> found["pack_current"]
    array([0.75])
    """
    found = {}
    for load in LOADS:
        result = next((values[name] for name in load.results if name in values), None)
        if result is None or load.name not in limits:
            continue
        limit = np.broadcast_to(limits[load.name], result.shape)
        if load.name == "motor_current" and "motor_run_s" in values:
            limit = _of_equal_heat(limit, np.broadcast_to(hold_s, result.shape), values["motor_run_s"])
        if load.is_heat:
            found[load.name] = (result - air_K) / (limit - air_K)
        elif load.is_least:
            found[load.name] = limit / result
        else:
            found[load.name] = result / limit
    return found


def _of_equal_heat(limit_A: Array, hold_s: Array, run_s: Array) -> Array:
    """Each limit as it stands for a run longer than it holds."""
    times = np.where(np.isfinite(hold_s), hold_s, run_s)
    return limit_A * equal_heat_current_A(1.0, 1.0, np.maximum(run_s / times, 1.0))


def least_margin(used: Mapping[str, Array]) -> Array:
    """The smallest share of a stated limit that is left, over all of them; infinite where none is stated."""
    left = [1.0 - np.where(np.isfinite(share), share, -np.inf) for share in used.values()]
    found: Array = np.min(left, axis=0)
    return found
