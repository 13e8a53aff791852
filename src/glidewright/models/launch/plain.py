"""The launch once more in plain Python, for any solver of differential equations: the oracle of the kernel.

Equations and sources are those of :mod:`glidewright.models.launch.rates`, written with names instead of
places. The solver is handed in (``scipy.integrate.solve_ivp`` or one with its call and its answer), for the
program itself runs without scipy.
"""

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
import numpy.typing as npt

from glidewright.models.aero.polar import (
    CEILING_TABLE,
    DRAG_TABLE,
    LIFT_NODES,
    POLAR_FIELDS,
    SPEED_NODES,
)
from glidewright.models.air.atmosphere import (
    GAS_CONSTANT_J_kg_K,
    GRAVITY_m_s2,
    density_ratio_above_field,
)
from glidewright.models.launch.layout import (
    LAUNCH_FIELDS,
    START_FIELDS,
    STATE_FIELDS,
    LaunchInputs,
    LONGEST_FLIGHT_s,
)
from glidewright.models.launch.rates import LEAST_AIRSPEED_m_s
from glidewright.models.power.layout import POWER_FIELDS
from glidewright.models.power.plain import Root, bisect, plain_curves, plain_operating_point

Array = npt.NDArray[np.float64]
Names = Mapping[str, float]
Solver = Callable[..., Any]

_LOSSES = ("copper", "no_load", "controller", "part_load", "pack", "lead")


@dataclass(frozen=True)
class PlainLaunch:
    """One launch: the numbers of one draw by name."""

    power: Names
    curves: Mapping[str, Sequence[float]]
    table: Array
    polar: Names
    launch: Names
    start: Names
    polar_tables: Array
    root: Root = bisect
    names: tuple[str, ...] = field(default=tuple(STATE_FIELDS))

    @classmethod
    def of(cls, inputs: LaunchInputs, draw: int = 0, root: Root = bisect) -> "PlainLaunch":
        """Return one draw of the inputs of the kernel."""

        def named(names: Mapping[str, str], row: Array) -> dict[str, float]:
            return dict(zip(names, map(float, row), strict=True))

        power = named(POWER_FIELDS, inputs.power[draw])
        return cls(
            power,
            plain_curves(inputs.curves[int(power["propeller_curve"])]),
            inputs.tables[int(power["pack_table"])],
            named(POLAR_FIELDS, inputs.polar[draw, :CEILING_TABLE]),
            named(LAUNCH_FIELDS, inputs.launch[draw]),
            named(START_FIELDS, inputs.start[draw]),
            inputs.polar[draw, CEILING_TABLE:],
            root,
        )

    def density_kg_m3(self, height_m: float) -> float:
        """Density of the air by the hydrostatic law."""
        lapse, ground = self.launch["lapse_rate_K_m"], self.launch["ground_temperature_K"]
        if lapse == 0.0:
            thinning = math.exp(-GRAVITY_m_s2 * height_m / (GAS_CONSTANT_J_kg_K * ground))
        else:
            thinning = density_ratio_above_field(height_m, ground, lapse)
        return self.launch["ground_density_kg_m3"] * thinning

    def wind_m_s(self, height_m: float) -> float:
        """Headwind."""
        above = max(height_m, self.launch["wind_floor_height_m"])
        relative = above / self.launch["wind_reference_height_m"]
        return float(self.launch["wind_speed_m_s"] * relative ** self.launch["wind_exponent"])

    def wind_growth_per_s(self, height_m: float) -> float:
        """Growth of the headwind with height."""
        if height_m <= self.launch["wind_floor_height_m"]:
            return 0.0
        return self.launch["wind_exponent"] * self.wind_m_s(height_m) / height_m

    def drag_N(self, lift_N: float, pressure_Pa: float, airspeed_m_s: float, folded: bool) -> float:
        """Drag at a lift that the wing gives."""
        area, polar = self.launch["wing_area_m2"], self.polar
        lift = lift_N / (pressure_Pa * area)
        away = lift - polar["least_drag_lift_coefficient"]
        wing = polar["least_drag_coefficient"] + polar["drag_rise"] * away**2
        if polar["table_speed_step_m_s"] > 0.0:
            nodes = polar["table_lift_first"] + polar["table_lift_step"] * np.arange(LIFT_NODES)
            table = self.polar_tables[DRAG_TABLE - CEILING_TABLE :].reshape(SPEED_NODES, LIFT_NODES)
            wing += self._at_speed([np.interp(lift, nodes, row) for row in table], airspeed_m_s)
        return pressure_Pa * (area * wing + (self.launch["folded_drag_area_m2"] if folded else 0.0))

    def highest_lift_N(self, pressure_Pa: float, airspeed_m_s: float) -> float:
        """Lift at the ceiling."""
        highest = self.polar["highest_lift_coefficient"]
        if self.polar["table_speed_step_m_s"] > 0.0:
            highest += self._at_speed(self.polar_tables[:SPEED_NODES], airspeed_m_s)
        return highest * pressure_Pa * self.launch["wing_area_m2"]

    def _at_speed(self, values: Sequence[float] | Array, airspeed_m_s: float) -> float:
        step = self.polar["table_speed_step_m_s"]
        speeds = self.polar["table_speed_first_m_s"] + step * np.arange(SPEED_NODES)
        return float(np.interp(airspeed_m_s, speeds, values))

    def held_lift_N(self, lift_N: float, pressure_Pa: float, airspeed_m_s: float) -> float:
        """Lift as far as the wing gives it."""
        lowest = self.polar["lowest_lift_coefficient"] * pressure_Pa * self.launch["wing_area_m2"]
        return min(max(lift_N, lowest), self.highest_lift_N(pressure_Pa, airspeed_m_s))

    def point(self, time_s: float, state: Names, powered: bool) -> dict[str, float]:
        """Operating point of the drive at a state."""
        duty = self.launch["full_duty"] if powered else 0.0
        since = time_s - self.launch["motor_start_s"]
        if since < self.power["controller_soft_start_s"]:
            duty *= max(since, 0.0) / self.power["controller_soft_start_s"]
        conditions = {
            "airspeed_m_s": state["airspeed_m_s"],
            "density_kg_m3": self.density_kg_m3(state["height_m"]),
            "duty": duty,
            "charge_state": 1.0 - state["charge_As"] / self.power["pack_capacity_As"],
            "slow_voltage_V": state["slow_voltage_V"],
            "motor_temperature_K": state["motor_temperature_K"],
            "pack_temperature_K": state["pack_temperature_K"],
        }
        return plain_operating_point(self.power, self.curves, self.table, conditions, root=self.root)

    def rates(self, time_s: float, values: Sequence[float], held: bool, powered: bool) -> list[float]:
        """Rates of the states in the order of ``STATE_FIELDS``."""
        state = dict(zip(self.names, map(float, values), strict=True))
        point = self.point(time_s, state, powered)
        rates = dict.fromkeys(self.names, 0.0)
        air = self.launch["ground_temperature_K"]
        heat = {"motor": point["copper_loss_W"] + point["no_load_loss_W"], "pack": point["pack_heat_W"]}
        for part, gained in heat.items():
            lost = self.power[f"{part}_conductance_W_K"] * (state[f"{part}_temperature_K"] - air)
            rates[f"{part}_temperature_K"] = (gained - lost) / self.power[f"{part}_heat_capacity_J_K"]
        rates["charge_As"] = point["pack_current_A"]
        rates["slow_voltage_V"] = point["slow_voltage_rate_V_s"]
        rates |= {f"{loss}_J": point[f"{loss}_loss_W"] for loss in _LOSSES}
        rates |= {"servo_J": point["servo_power_W"], "chemical_J": point["chemical_power_W"]}
        rates["shaft_J"] = point["shaft_power_W"]
        if not held:
            rates |= self.path_rates(state, point, powered)
        return list(rates.values())

    def path_rates(self, state: Names, point: Names, powered: bool) -> dict[str, float]:
        """Rates of the motion."""
        launch, mass = self.launch, self.launch["mass_kg"]
        weight = mass * GRAVITY_m_s2
        speed, path, thrust = state["airspeed_m_s"], state["path_rad"], point["thrust_N"]
        slowest = max(speed, LEAST_AIRSPEED_m_s)
        pressure = 0.5 * self.density_kg_m3(state["height_m"]) * slowest**2
        folded = point["revs_per_s"] == 0.0
        gust = self.wind_growth_per_s(state["height_m"]) * speed * math.sin(path)
        straight = self.held_lift_N(weight * math.cos(path), pressure, slowest)
        target = launch["climb_speed_m_s" if powered else "glide_speed_m_s"]
        lowest = launch["lowest_powered_path_rad" if powered else "steepest_dive_rad"]
        wanted = (thrust - self.drag_N(straight, pressure, slowest, folded)) / weight
        wanted += (speed - target) / (GRAVITY_m_s2 * launch["speed_time_constant_s"])
        wanted = min(max(wanted, math.sin(lowest)), math.sin(launch["steepest_climb_rad"]))
        turn = (math.asin(wanted) - path) / launch["path_time_constant_s"]
        needed = mass * slowest * turn + weight * math.cos(path) + mass * gust * math.sin(path)
        lift = self.held_lift_N(needed, pressure, slowest)
        drag = self.drag_N(lift, pressure, slowest, folded)
        across = lift - weight * math.cos(path) - mass * gust * math.sin(path)
        along = thrust - drag - weight * math.sin(path) + mass * gust * math.cos(path)
        ceiling = needed > self.highest_lift_N(pressure, slowest)
        return {
            "distance_m": speed * math.cos(path) - self.wind_m_s(state["height_m"]),
            "height_m": speed * math.sin(path),
            "airspeed_m_s": along / mass,
            "path_rad": across / (mass * slowest),
            "thrust_J": thrust * speed,
            "drag_J": drag * speed,
            "wind_J": mass * speed * gust * math.cos(path),
            "ceiling_s": 1.0 if ceiling else 0.0,
        }

    def begin(self) -> list[float]:
        """State in the hand before release."""
        height = self.launch["throw_height_m"]
        known = {"height_m": height, "airspeed_m_s": self.wind_m_s(height), **self.start}
        return [known.get(name, 0.0) for name in self.names]

    def thrown(self, values: Sequence[float]) -> list[float]:
        """State just after release."""
        state = dict(zip(self.names, values, strict=True))
        angle, speed = self.launch["throw_angle_rad"], self.launch["throw_speed_m_s"]
        level = speed * math.cos(angle) + self.wind_m_s(state["height_m"])
        state["airspeed_m_s"] = math.hypot(level, speed * math.sin(angle))
        state["path_rad"] = math.atan2(speed * math.sin(angle), level)
        return list(state.values())


def plain_launch(flight: PlainLaunch, solve: Solver, *, watch_voltage: bool = True) -> dict[str, float]:
    """Fly one launch with a solver; the outputs by the names of ``OUTPUT_FIELDS`` that it can tell.

    Without `watch_voltage` the low-voltage cut is left out, which spares an operating point a step. `solve`
    is called as ``solve(rates, (from_s, to_s), state, events=[...])`` and answers as
    ``scipy.integrate.solve_ivp`` does (run in tests/worked/test_launch_solve_ivp.py). The launch must not
    come to the ground.
    """
    run = _Run(flight, solve, watch_voltage)
    launch = flight.launch
    start = launch["motor_start_s"]
    counted = 0.0 if launch["run_from_release"] else start
    run_end = counted + launch["run_limit_s"]
    soft_end = start + flight.power["controller_soft_start_s"]
    run.time_s = min(start, 0.0)
    times = sorted({0.0, start, soft_end, run_end if math.isfinite(run_end) else 1e4})
    for stop in [t for t in times if t <= run_end]:
        if run.cut_s is None:
            run.until(stop)
    cut = run.cut_s = run.time_s if run.cut_s is None else run.cut_s
    at_cut = run.state()
    run.until(cut + launch["window_s"])
    window = run.highest_m, run.state()["height_m"]
    if run.state()["path_rad"] > 0.0:
        run.until(math.inf)
    end = run.state()
    charge = end["charge_As"] - flight.start["charge_As"]
    known = {"cut_time_s": cut, "motor_run_s": cut - start, "height_at_cut_m": at_cut["height_m"]}
    known |= {"highest_in_window_m": window[0], "height_at_window_end_m": window[1]}
    known |= {"top_height_m": run.highest_m, "end_time_s": run.time_s, "charge_used_As": charge}
    return known | {"end_" + name: value for name, value in end.items()}


class _Run:
    """A launch under way: time, state, motor stop and highest point."""

    def __init__(self, flight: PlainLaunch, solve: Solver, watch_voltage: bool) -> None:
        self.flight, self.solve, self.watch_voltage = flight, solve, watch_voltage
        self.values = flight.begin()
        self.highest_m = flight.launch["throw_height_m"]
        self.time_s = 0.0
        self.held = True
        self.cut_s: float | None = None

    def state(self) -> dict[str, float]:
        return dict(zip(self.flight.names, map(float, self.values), strict=True))

    def until(self, stop_s: float) -> None:
        """Fly to a time, or to the motor stop if that is earlier, or to the top if the time is infinite."""
        flight = self.flight
        if self.held and self.time_s >= 0.0:
            self.held, self.values = False, flight.thrown(self.values)
        powered = self.cut_s is None and self.time_s >= flight.launch["motor_start_s"]
        if stop_s <= self.time_s:
            return

        def rates(time_s: float, values: Sequence[float]) -> list[float]:
            return flight.rates(time_s, values, self.held, powered)

        def top(_: float, values: Sequence[float]) -> float:
            return values[flight.names.index("path_rad")]

        def high(_: float, values: Sequence[float]) -> float:
            return flight.launch["cut_height_m"] - values[flight.names.index("height_m")]

        def low_voltage(time_s: float, values: Sequence[float]) -> float:
            state = dict(zip(flight.names, map(float, values), strict=True))
            supply = flight.point(time_s, state, powered)["controller_voltage_V"]
            return supply - flight.power["controller_low_voltage_cut_V"]

        events: list[Any] = [top]
        if powered and math.isfinite(flight.launch["cut_height_m"]):
            events.append(high)
        if powered and self.watch_voltage:
            events.append(low_voltage)
        for event in events:
            event.direction, event.terminal = -1.0, event is not top or math.isinf(stop_s)
        last = min(stop_s, self.time_s + LONGEST_FLIGHT_s)
        found = self.solve(rates, (self.time_s, last), self.values, events=events)
        self.time_s, self.values = float(found.t[-1]), [float(x) for x in found.y[:, -1]]
        tops = [float(y[flight.names.index("height_m")]) for ys in found.y_events[:1] for y in ys]
        self.highest_m = max(self.highest_m, self.state()["height_m"], *tops)
        if powered and any(len(times) for times in found.t_events[1:]):
            self.cut_s = self.time_s
