"""The operating point once more in plain Python, arranged otherwise: the oracle of the compiled kernel.

Here the revolutions are guessed, the circuit is walked from the propeller back to the pack, and what is left
over in volts is brought to zero. It is put together from the functions of the textbooks in ``motor``,
``controller`` and ``pack``; see :mod:`glidewright.models.power.kernel` for the equations in one.
"""

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from glidewright.models.power.controller import pack_current_A, part_load_loss_W, terminal_voltage_V
from glidewright.models.power.layout import (
    LEAST_DUTY,
    STALLED_SPEED_SHARE,
    STATUS_CANNOT_TURN,
    STATUS_FOUND,
    STATUS_OFF,
    STATUS_STALLED,
)
from glidewright.models.power.motor import (
    back_voltage_V,
    current_for_torque_A,
    no_load_current_A,
    shaft_power_W,
    winding_resistance_ohm,
)
from glidewright.models.power.pack import pack_heat_W, pack_voltage_V, temperature_factor

Array = npt.NDArray[np.float64]
Root = Callable[[Callable[[float], float], float, float], float]


def bisect(function: Callable[[float], float], low: float, high: float) -> float:
    """Root of a function that changes its sign between two numbers, to the last bit.

    >>> bisect(lambda x: x * x - 2.0, 0.0, 2.0)
    1.414213562373095
    """
    falling = function(low) > 0.0
    while True:
        middle = 0.5 * (low + high)
        if middle in {low, high}:
            return middle
        if (function(middle) > 0.0) == falling:
            low = middle
        else:
            high = middle


def plain_coefficient(nodes: Sequence[float], place: float) -> float:
    """Cubic Hermite curve through `nodes`, `place` counted in nodes; straight on beyond the last.

    >>> plain_coefficient([0.0, 1.0, 4.0, 9.0], 1.5), plain_coefficient([0.0, 1.0, 4.0, 9.0], 4.0)
    (2.25, 14.0)
    """
    last = len(nodes) - 1
    if place >= last:
        return nodes[last] + (place - last) * (nodes[last] - nodes[last - 1])
    i = int(place)
    u = place - i
    left = 0.5 * (nodes[i + 1] - nodes[i - 1]) if i > 0 else nodes[1] - nodes[0]
    right = 0.5 * (nodes[i + 2] - nodes[i]) if i + 1 < last else nodes[last] - nodes[last - 1]
    return (
        (2.0 * u**3 - 3.0 * u**2 + 1.0) * nodes[i]
        + (u**3 - 2.0 * u**2 + u) * left
        + (-2.0 * u**3 + 3.0 * u**2) * nodes[i + 1]
        + (u**3 - u**2) * right
    )


def plain_curves(curve: Array) -> dict[str, list[float]]:
    """Node values of a propeller by name, no unit, from its look-up table of shape (nodes, 16).

    >>> from glidewright.models.power.example import example_curves
    >>> round(plain_curves(example_curves()[0])["thrust_base"][0], 3)
    0.1
    """
    names = ("power_base", "power_slope", "thrust_base", "thrust_slope")
    return {name: [float(x) for x in curve[:, 4 * i]] for i, name in enumerate(names)}


def plain_propeller(
    power: Mapping[str, float],
    curves: Mapping[str, Sequence[float]],
    kind: str,
    airspeed_m_s: float,
    revs_per_s: float,
) -> float:
    """Coefficient C of "thrust" or "power" at an airspeed and revolutions, without correction factors.

    base(J) + slope(J) ln(n / n_ref), with n held in the range of the curve and J not below 0.

    >>> power = {"propeller_diameter_m": 0.25, "propeller_advance_step": 0.1,
    ...          "propeller_reference_revs_per_s": 80.0, "propeller_lowest_revs_per_s": 40.0,
    ...          "propeller_highest_revs_per_s": 120.0}
    >>> curves = {"thrust_base": [0.1, 0.08, 0.06], "thrust_slope": [0.01, 0.01, 0.01]}
    >>> round(plain_propeller(power, curves, "thrust", 2.0, 80.0), 6)  # J = 0.1
    0.08
    """
    ratio = max(airspeed_m_s, 0.0) / (revs_per_s * power["propeller_diameter_m"])
    place = ratio / power["propeller_advance_step"]
    held = min(max(revs_per_s, power["propeller_lowest_revs_per_s"]), power["propeller_highest_revs_per_s"])
    slope = plain_coefficient(curves[kind + "_slope"], place)
    logarithm = math.log(held / power["propeller_reference_revs_per_s"])
    return plain_coefficient(curves[kind + "_base"], place) + slope * logarithm


def plain_pack(
    power: Mapping[str, float], table: Array, charge_state: float, temperature_K: float
) -> tuple[float, float]:
    """Open-circuit volts in V and quick resistance in ohm of the pack; charge state held in 0 to 1.

    >>> pack = {"pack_cells_in_series": 3.0, "pack_resistance_ohm": 0.04,
    ...         "pack_temperature_coefficient_K": 2400.0, "pack_reference_temperature_K": 295.15}
    >>> plain_pack(pack, np.array([[3.0, 1.0, 1.5, -0.5], [4.0, 0.0, 1.0, 0.0]]), 0.5, 295.15)
    (10.5, 0.05)
    """
    grid = np.linspace(0.0, 1.0, table.shape[0])
    volts = power["pack_cells_in_series"] * float(np.interp(charge_state, grid, table[:, 0]))
    quick = power["pack_resistance_ohm"] * float(np.interp(charge_state, grid, table[:, 2]))
    rise_K, reference_K = power["pack_temperature_coefficient_K"], power["pack_reference_temperature_K"]
    return volts, quick * temperature_factor(temperature_K, rise_K, reference_K)


@dataclass(frozen=True)
class PlainDrive:
    """A power train under conditions: ``POWER_FIELDS`` and ``CONDITION_FIELDS`` by name."""

    power: Mapping[str, float]
    curves: Mapping[str, Sequence[float]]
    at: Mapping[str, float]
    open_circuit_V: float
    quick_ohm: float

    @property
    def winding_ohm(self) -> float:
        """Resistance of the winding at its temperature."""
        return winding_resistance_ohm(
            self.power["motor_resistance_ohm"],
            self.at["motor_temperature_K"],
            self.power["motor_copper_coefficient_per_K"],
        )

    def no_load_A(self, speed_rad_s: float) -> float:
        """No-load current."""
        return no_load_current_A(
            speed_rad_s,
            self.power["motor_no_load_current_A"],
            self.power["motor_no_load_speed_rad_s"],
            self.power["motor_no_load_linear_share"],
        )

    def torque_Nm(self, revs_per_s: float) -> float:
        """Torque that the propeller asks for; none at rest, where n^2 C_P(V / n D) goes to nothing."""
        if revs_per_s == 0.0:
            return 0.0
        speed = self.at["airspeed_m_s"]
        cp = plain_propeller(self.power, self.curves, "power", speed, revs_per_s)
        force = self.at["density_kg_m3"] * revs_per_s**2 * self.power["propeller_diameter_m"] ** 5
        return self.power["propeller_power_factor"] * cp * force / (2.0 * math.pi)

    def thrust_N(self, revs_per_s: float) -> float:
        """Thrust, installed."""
        speed = self.at["airspeed_m_s"]
        ct = plain_propeller(self.power, self.curves, "thrust", speed, revs_per_s)
        factor = self.power["propeller_thrust_factor"] * self.power["propeller_installation_factor"]
        return (
            factor * ct * self.at["density_kg_m3"] * revs_per_s**2 * self.power["propeller_diameter_m"] ** 4
        )

    def drawn_A(self, current_A: float) -> float:
        """Pack current at a motor current."""
        factor = self.power["controller_part_load_factor"]
        return pack_current_A(self.at["duty"], current_A, self.power["servo_current_A"], factor)

    def terminals_V(self, current_A: float) -> float:
        """Volts at the terminals of the pack at a motor current."""
        drawn = self.drawn_A(current_A)
        return pack_voltage_V(self.open_circuit_V, drawn, self.quick_ohm, self.at["slow_voltage_V"])

    def supply_V(self, current_A: float) -> float:
        """Volts at the controller at a motor current."""
        return self.terminals_V(current_A) - self.power["lead_resistance_ohm"] * self.drawn_A(current_A)

    def motor_V(self, current_A: float) -> float:
        """Volts at the motor at its current."""
        ohm = self.power["controller_resistance_ohm"]
        return terminal_voltage_V(self.at["duty"], self.supply_V(current_A), current_A, ohm)

    def current_A(self, revs_per_s: float, load: float = 1.0) -> float:
        """Motor current that the torque asks for; `load` 0 takes the propeller off."""
        torque = load * self.torque_Nm(revs_per_s) if load else 0.0
        no_load = self.no_load_A(2.0 * math.pi * revs_per_s)
        return current_for_torque_A(torque, no_load, self.power["motor_kv_rad_per_Vs"])

    def volts_left(self, revs_per_s: float, load: float = 1.0) -> float:
        """Volts that nothing uses up at these revolutions: zero at the operating point."""
        current = self.current_A(revs_per_s, load)
        back = back_voltage_V(2.0 * math.pi * revs_per_s, self.power["motor_kv_rad_per_Vs"])
        return self.motor_V(current) - self.winding_ohm * current - back

    def highest_revs_per_s(self) -> float:
        """More than the motor can turn, and more than the propeller windmills."""
        free = self.at["duty"] * self.supply_V(0.0) * self.power["motor_kv_rad_per_Vs"] / (2.0 * math.pi)
        node = self.power["propeller_diameter_m"] * self.power["propeller_advance_step"]
        return max(free, self.at["airspeed_m_s"] / node)


def plain_operating_point(
    power: Mapping[str, float],
    curves: Mapping[str, Sequence[float]],
    table: Array,
    conditions: Mapping[str, float],
    *,
    root: Root = bisect,
) -> dict[str, float]:
    """Operating point by the names of ``POINT_FIELDS``.

    `power` by the names of ``POWER_FIELDS``, `curves` from :func:`plain_curves`, `table` one cell table,
    `conditions` by the names of ``CONDITION_FIELDS``; `root` finds a root between two numbers.

    >>> from glidewright.models.power.example import example_cells, example_curves, example_power
    >>> from glidewright.models.power.layout import CONDITION_FIELDS, POWER_FIELDS
    >>> power = dict(zip(POWER_FIELDS, map(float, example_power()[0])))
    >>> at = dict(zip(CONDITION_FIELDS, (9.0, 1.225, 1.0, 1.0, 0.0, 293.15, 298.15)))
    >>> point = plain_operating_point(power, plain_curves(example_curves()[0]), example_cells()[0], at)
    >>> round(point["pack_current_A"], 2), round(point["thrust_N"], 2)  # as the kernel has it
    (16.1, 5.62)
    """
    state = conditions["charge_state"], conditions["pack_temperature_K"]
    drive = PlainDrive(power, curves, conditions, *plain_pack(power, table, *state))
    n, current, status = 0.0, 0.0, STATUS_OFF
    if conditions["duty"] >= LEAST_DUTY:
        status = STATUS_CANNOT_TURN
        # at standstill all volts go into resistances: they fall straight with the current
        spare = [drive.motor_V(amps) - drive.winding_ohm * amps for amps in (0.0, 1.0)]
        current = max(spare[0] / (spare[0] - spare[1]), 0.0)
        if drive.volts_left(0.0) > 0.0:
            high = drive.highest_revs_per_s()
            n = root(drive.volts_left, 0.0, high)
            current = drive.current_A(n)
            # below a share of the speed without load there are volts left there without the propeller
            free = n / STALLED_SPEED_SHARE
            status = STATUS_STALLED if drive.volts_left(free, load=0.0) > 0.0 else STATUS_FOUND
    return _point(drive, n, current, status)


def _point(drive: PlainDrive, n: float, current: float, status: int) -> dict[str, float]:
    power, at = drive.power, drive.at
    w, kv = 2.0 * math.pi * n, power["motor_kv_rad_per_Vs"]
    no_load = drive.no_load_A(w)
    thrust = drive.thrust_N(n) if n else 0.0
    shaft = shaft_power_W(current, no_load, w, kv)
    drawn, supply = drive.drawn_A(current), drive.supply_V(current)
    slow, ratio = at["slow_voltage_V"], power["pack_slow_resistance_ratio"]
    slow_ohm = ratio * drive.quick_ohm
    return {
        "status": float(status),
        "revs_per_s": n,
        "motor_current_A": current,
        "pack_current_A": drawn,
        "pack_voltage_V": drive.terminals_V(current),
        "controller_voltage_V": supply,
        "motor_voltage_V": drive.motor_V(current),
        "thrust_N": thrust,
        "torque_Nm": drive.torque_Nm(n),
        "shaft_power_W": shaft,
        "propeller_efficiency": thrust * at["airspeed_m_s"] / shaft if shaft > 0.0 else 0.0,
        "advance_ratio": at["airspeed_m_s"] / (n * power["propeller_diameter_m"]) if n else 0.0,
        "copper_loss_W": drive.winding_ohm * current**2,
        "no_load_loss_W": no_load * back_voltage_V(w, kv),
        "controller_loss_W": power["controller_resistance_ohm"] * current**2,
        "part_load_loss_W": part_load_loss_W(
            at["duty"], supply, current, power["controller_part_load_factor"]
        ),
        "pack_loss_W": drive.quick_ohm * drawn**2 + slow * drawn,
        "lead_loss_W": power["lead_resistance_ohm"] * drawn**2,
        "servo_power_W": power["servo_current_A"] * supply,
        "chemical_power_W": drive.open_circuit_V * drawn,
        "pack_heat_W": (
            pack_heat_W(drawn, drive.quick_ohm, slow, ratio) if slow_ohm else drive.quick_ohm * drawn**2
        ),
        "slow_voltage_rate_V_s": (
            (drawn * slow_ohm - slow) / power["pack_time_constant_s"] if slow_ohm else 0.0
        ),
    }
