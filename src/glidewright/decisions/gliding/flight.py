"""Draws of straight and circling flight on the polar of a forecast, behind every figure of ``glide``."""

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from glidewright.base.figure import Figure
from glidewright.decisions.gliding.nouns import BallastRow, BankRow, PolarAnswer, ThermalAnswer, WindRow
from glidewright.decisions.nouns import Series
from glidewright.forecast.aero_inputs import Aero
from glidewright.forecast.elevator import real_elevator_rad
from glidewright.forecast.kernel_rows import air, polar_rows
from glidewright.forecast.predict import Forecast
from glidewright.models.aero.circling import (
    best_in_rows,
    circling,
    speed_to_fly,
    thermal_lift_m_s,
    usable_lift,
)
from glidewright.models.aero.glide import glide_at, glide_speeds
from glidewright.models.aero.polar import lift_ceilings, stalling_speed_m_s
from glidewright.models.aero.steering import edge_travel_m
from glidewright.models.air.atmosphere import GRAVITY_m_s2

Array = NDArray[np.float64]

HEADWINDS_M_S = (0.0, 3.0, 6.0)
BALLASTS_KG = (0.05, 0.10)
BANKS_DEG = tuple(range(0, 55, 5))
CORE_RADIUS_M, STRENGTH_M_S = 15.0, 2.0
_STATED = "as it was asked for"
_THERMAL = "a narrow one of a calm summer day near the ground, typical; common practice, no measurement"
_NO_RADIUS = Figure.unknown("m", "m", "straight flight")
_FINE_BANKS_DEG = tuple(range(12, 61))
_SOME = 256
_STEPS = 40
_LIFT_STEPS = 24
_WIND_STEPS = 160
_FASTEST = 2.6  # of the stalling speed
_ENOUGH = 0.5  # of the draws must fly at an airspeed that is shown


@dataclass(frozen=True)
class Thermal:
    """Upward air: radius where it ends, m, and speed in its middle, m/s."""

    radius_m: float = CORE_RADIUS_M
    strength_m_s: float = STRENGTH_M_S

    @property
    def because(self) -> str:
        """Whose thermal it is."""
        return _THERMAL if self == Thermal() else _STATED


@dataclass(frozen=True)
class Flight:
    """What every draw flies with, each (count,) but polar: (count, numbers of a polar)."""

    polar: Array
    mass_kg: Array
    area_m2: Array
    density_kg_m3: Array
    other_drag: Array
    stall_m_s: Array

    @property
    def loading_N_m2(self) -> Array:
        """Weight over wing area."""
        found: Array = self.mass_kg * GRAVITY_m_s2 / self.area_m2
        return found

    def lift_at(self, airspeed_m_s: Array) -> Array:
        """Lift coefficient of straight flight, (count, any) for airspeeds (any,) or (count, any)."""
        found: Array = 2.0 * self.loading_N_m2[:, None] / (self.density_kg_m3[:, None] * airspeed_m_s**2)
        return found


def flight_of(found: Forecast) -> Flight:
    """The flight of a forecast whose mass is known."""
    setup, mass = found.setup, found.prediction.values["mass_kg"]
    polar, area = polar_rows(setup), setup["airframe.wing_area"]
    density, _ = air(setup)
    folded = setup["airframe.folded_drag_area"] / area
    stall = stalling_speed_m_s(polar, mass * GRAVITY_m_s2 / area, density)
    return Flight(polar, mass, area, density, folded, stall)


def polar_answer(
    found: Forecast, flight: Flight, aero: Aero | None, edge_chord_m: float | None
) -> PolarAnswer:
    """Sink, glide ratio, lift and elevator against airspeed; a draw below its stall does not count."""
    speeds = np.linspace(
        float(np.quantile(flight.stall_m_s, 0.1)), _FASTEST * float(np.median(flight.stall_m_s)), _STEPS
    )
    lift = flight.lift_at(speeds[None, :])
    flies = lift <= lift_ceilings(flight.polar, np.broadcast_to(speeds, lift.shape))
    shown = flies.mean(axis=0) >= _ENOUGH
    speeds, lift, flies = speeds[shown], lift[:, shown], flies[:, shown]
    _, sink, ratio = _straight(flight, lift)
    over = [
        Series.of_draws(name, title, symbol, np.where(flies, draws, np.nan))
        for name, title, symbol, draws in (
            ("sink_m_s", "Sink", "m/s", sink),
            ("glide_ratio", "Glide ratio", "", ratio),
            ("lift_coefficient", "Lift coefficient", "", lift),
        )
    ]
    elevator = edge = None
    cg = found.prediction.draws("cg_x_m")
    if aero is not None and aero.glider.trims and cg is not None:
        turned = real_elevator_rad(found.setup, aero, flight.mass_kg, cg, np.broadcast_to(speeds, lift.shape))
        elevator = Series.of_draws("elevator_rad", "Elevator, down positive", "°", turned)
        if edge_chord_m is not None:
            edge = Series.of_draws(
                "elevator_edge_m", "At its trailing edge", "mm", edge_travel_m(turned, edge_chord_m)
            )
    return PolarAnswer(
        airspeeds_m_s=tuple(speeds.tolist()),
        over_airspeed=tuple(over),
        elevator=elevator,
        elevator_edge=edge,
        elevator_edge_chord_m=edge_chord_m,
    )


def _straight(flight: Flight, lift: Array) -> tuple[Array, Array, Array]:
    return glide_at(flight.polar, lift, flight.loading_N_m2, flight.density_kg_m3, flight.other_drag)


def wind_rows(found: Forecast, flight: Flight) -> tuple[WindRow, ...]:
    """Speed to fly against every stated head wind, in air that neither rises nor sinks."""
    lift = usable_lift(flight.polar, flight.loading_N_m2, flight.density_kg_m3, _WIND_STEPS)
    speed, sink, _ = _straight(flight, lift)
    rows = []
    for wind in HEADWINDS_M_S:
        fly, ratio = speed_to_fly(speed, sink, wind)
        rows.append(
            WindRow(
                headwind_m_s=wind,
                airspeed=found.figure(fly, "m/s"),
                ground_glide_ratio=found.figure(ratio, ""),
            )
        )
    return tuple(rows)


def ballast_rows(found: Forecast, flight: Flight) -> tuple[BallastRow, ...]:
    """The glide as it is, and with more mass at the centre of gravity."""
    rows = []
    for added in (0.0, *BALLASTS_KG):
        mass = flight.mass_kg + added
        slow, sink, flat, ratio = glide_speeds(
            flight.polar, mass, flight.area_m2, flight.density_kg_m3, GRAVITY_m_s2, flight.other_drag
        )
        loading = mass * GRAVITY_m_s2 / flight.area_m2
        stall = stalling_speed_m_s(flight.polar, loading, flight.density_kg_m3)
        rows.append(
            BallastRow(
                added_mass_kg=added,
                mass=found.figure(mass, "g"),
                sink_least=found.figure(sink, "m/s"),
                speed_sink_least=found.figure(slow, "m/s"),
                glide_ratio_best=found.figure(ratio, ""),
                speed_glide_best=found.figure(flat, "m/s"),
                stall_speed=found.figure(stall, "m/s"),
            )
        )
    return tuple(rows)


def bank_rows(found: Forecast, flight: Flight, thermal: Thermal) -> tuple[BankRow, ...]:
    """Circles at every bank angle: least sink, and the climb in the thermal."""
    rows = []
    straight: Array | None = None
    for degrees in BANKS_DEG:
        (least, at_speed, at_radius), climb = _circle(flight, math.radians(degrees), thermal)
        straight = -least if straight is None else straight
        rows.append(
            BankRow(
                bank_rad=math.radians(degrees),
                sink_least=found.figure(-least, "m/s"),
                penalty=found.figure(-least / straight, ""),
                airspeed=found.figure(at_speed, "m/s"),
                radius=found.figure(at_radius, "m") if degrees else _NO_RADIUS,
                climb=found.figure(climb[0], "m/s"),
            )
        )
    return tuple(rows)


def thermal_answer(found: Forecast, flight: Flight, thermal: Thermal) -> ThermalAnswer:
    """Circling in the stated thermal at the bank that climbs best, for the first draws."""
    some = replace(flight, **{name: getattr(flight, name)[:_SOME] for name in vars(flight)})
    banks = [math.radians(degrees) for degrees in _FINE_BANKS_DEG]
    climbs = [_circle(some, bank, thermal)[1] for bank in banks]
    climb, speed, radius = (np.stack(part, axis=1) for part in zip(*climbs, strict=True))
    best, at_speed, at_radius, at_bank = best_in_rows(
        climb, speed, radius, np.broadcast_to(np.array(banks), climb.shape)
    )
    time = np.where(best > 0.0, 100.0 / np.where(best > 0.0, best, 1.0), np.nan)
    return ThermalAnswer(
        core_radius_m=thermal.radius_m,
        strength_m_s=thermal.strength_m_s,
        because=thermal.because,
        climb=found.figure(best, "m/s"),
        sink=found.figure(thermal_lift_m_s(at_radius, thermal.radius_m, thermal.strength_m_s) - best, "m/s"),
        bank=found.figure(at_bank, "°"),
        airspeed=found.figure(at_speed, "m/s"),
        radius=found.figure(at_radius, "m"),
        time_per_100_m=found.figure(time, "s"),
    )


def _circle(flight: Flight, bank_rad: float, thermal: Thermal) -> tuple[tuple[Array, ...], tuple[Array, ...]]:
    """Where sink is least: its negative, speed, radius; and where the climb is best: climb, speed, radius."""
    loading, density = flight.loading_N_m2, flight.density_kg_m3
    lift = usable_lift(flight.polar, loading, density, _LIFT_STEPS)
    speed, sink, radius = circling(
        flight.polar, lift, bank_rad, loading, density, GRAVITY_m_s2, flight.other_drag
    )
    climb = thermal_lift_m_s(radius, thermal.radius_m, thermal.strength_m_s) - sink
    return best_in_rows(-sink, speed, radius), best_in_rows(climb, speed, radius)
