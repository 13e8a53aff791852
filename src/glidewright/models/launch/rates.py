r"""Equations of motion of a launch and one step of the Runge-Kutta method, compiled.

A point mass in the vertical plane. The air moves level, against the model, with the speed w(h); the model
moves through the air with the speed V on the path angle g (gamma). Over ground its speed has the parts

    x' = V cos g - w(h)         h' = V sin g

Newton's law over ground with thrust T and drag D along the path and lift L across it, split along and across
the path, and with w' = (dw/dh) V sin g for the growth of the headwind as the model rises, gives

    m V'      = T - D - m g0 sin g + m w' cos g
    m V gamma' = L - m g0 cos g - m w' sin g

since d/dt(V cos g - w) = V' cos g - V gamma' sin g - w' and d/dt(V sin g) = V' sin g + V gamma' cos g;
multiply by cos g and sin g and add, or by -sin g and cos g. A model that climbs into a growing headwind
gains airspeed. Times V the first line is the energy balance

    d/dt (m V^2 / 2 + m g0 h) = T V - D V + m V w' cos g

(as in W. F. Phillips, Mechanics of Flight, 2nd ed. 2010, section 3.1, for still air).

Wind: w = w_ref (max(h, h_0) / h_ref)^p. Density: rho_0 (1 - L h / T_0)^(g0 / (R L) - 1), the hydrostatic
law with constant lapse rate (ISO 2533:1975) from the values on the field.

Pilot: wants the path  sin g_c = (T - D_1) / W + (V - V_c) / (g0 tau_V),  held between two angles, D_1 being
the drag with the lift of the straight path; the path follows with gamma' = (g_c - g) / tau_g as far as the
lift ceiling lets it. At constant speed this is the steady climb; too much speed is turned into height.
"""

import math

import numpy as np
import numpy.typing as npt

from glidewright.base.compiled import compiled
from glidewright.models.aero.polar import HIGHEST_LIFT_COEFFICIENT, drag_coefficient, held_lift_coefficient
from glidewright.models.launch.layout import (
    AIRSPEED,
    CEILING_S,
    CHARGE,
    CLIMB_SPEED_M_S,
    COPPER_J,
    DISTANCE,
    DRAG_J,
    FOLDED_DRAG_AREA_M2,
    FULL_DUTY,
    GLIDE_SPEED_M_S,
    GROUND_DENSITY_KG_M3,
    GROUND_TEMPERATURE_K,
    HEIGHT,
    LAPSE_RATE_K_M,
    LOWEST_POWERED_PATH_RAD,
    MASS_KG,
    MOTOR_START_S,
    MOTOR_TEMPERATURE,
    MOVING,
    PACK_TEMPERATURE,
    PATH,
    PATH_TIME_CONSTANT_S,
    SHAFT_J,
    SIZE,
    SLOW_VOLTAGE,
    SPEED_TIME_CONSTANT_S,
    STEEPEST_CLIMB_RAD,
    STEEPEST_DIVE_RAD,
    THRUST_J,
    WIND_EXPONENT,
    WIND_FLOOR_HEIGHT_M,
    WIND_J,
    WIND_REFERENCE_HEIGHT_M,
    WIND_SPEED_M_S,
    WING_AREA_M2,
    GAS_CONSTANT_J_kgK,
    GRAVITY_m_s2,
)
from glidewright.models.power.kernel import operating_point
from glidewright.models.power.layout import (
    AIRSPEED_M_S,
    CHARGE_STATE,
    CONTROLLER_SOFT_START_S,
    COPPER_LOSS_W,
    DENSITY_KG_M3,
    DUTY,
    MOTOR_CONDUCTANCE_W_K,
    MOTOR_HEAT_CAPACITY_J_K,
    MOTOR_TEMPERATURE_K,
    NO_LOAD_LOSS_W,
    PACK_CAPACITY_AS,
    PACK_CONDUCTANCE_W_K,
    PACK_CURRENT_A,
    PACK_HEAT_CAPACITY_J_K,
    PACK_HEAT_W,
    PACK_TEMPERATURE_K,
    REVS_PER_S,
    SHAFT_POWER_W,
    SLOW_VOLTAGE_RATE_V_S,
    SLOW_VOLTAGE_V,
    THRUST_N,
)

Array = npt.NDArray[np.float64]

LEAST_AIRSPEED_m_s = 0.5
"""Slower than this the path angle loses its meaning: divisions by the airspeed use at least this."""

DERIVED, CONDITIONS, POINT, START, NEXT, STAGE, RATE_1, RATE_2, RATE_3, RATE_4, RATE_END = range(11)
WORK_SHAPE = (11, 24)
"""Scratch of one thread: the rows named above."""

DENSITY_EXPONENT, SINE_CLIMB, SINE_POWERED, SINE_DIVE = range(4)


@compiled
def prepare(launch: Array, derived: Array) -> None:
    """Fill what a launch needs at every step and what does not change."""
    lapse = launch[LAPSE_RATE_K_M]
    derived[DENSITY_EXPONENT] = -1.0
    if lapse != 0.0:
        derived[DENSITY_EXPONENT] = GRAVITY_m_s2 / (GAS_CONSTANT_J_kgK * lapse) - 1.0
    derived[SINE_CLIMB] = math.sin(launch[STEEPEST_CLIMB_RAD])
    derived[SINE_POWERED] = math.sin(launch[LOWEST_POWERED_PATH_RAD])
    derived[SINE_DIVE] = math.sin(launch[STEEPEST_DIVE_RAD])


@compiled
def air_density_kg_m3(launch: Array, derived: Array, height_m: float) -> float:
    """Density at a height over the field."""
    ground = launch[GROUND_TEMPERATURE_K]
    lapse = launch[LAPSE_RATE_K_M]
    if lapse == 0.0:
        thinning = math.exp(-GRAVITY_m_s2 * height_m / (GAS_CONSTANT_J_kgK * ground))
    else:
        thinning = (1.0 - lapse * height_m / ground) ** derived[DENSITY_EXPONENT]
    return float(launch[GROUND_DENSITY_KG_M3] * thinning)


@compiled
def headwind(launch: Array, height_m: float) -> tuple[float, float]:
    """Headwind at a height and its growth with height."""
    if launch[WIND_SPEED_M_S] == 0.0:
        return 0.0, 0.0
    above = max(height_m, launch[WIND_FLOOR_HEIGHT_M])
    speed = launch[WIND_SPEED_M_S] * (above / launch[WIND_REFERENCE_HEIGHT_M]) ** launch[WIND_EXPONENT]
    growth = launch[WIND_EXPONENT] * speed / above if height_m > launch[WIND_FLOOR_HEIGHT_M] else 0.0
    return speed, growth


@compiled
def flight_rates(
    time_s: float,
    held: bool,
    powered: bool,
    power: Array,
    curves: Array,
    tables: Array,
    polar: Array,
    launch: Array,
    work: Array,
    at: int,
    into: int,
) -> None:
    """Fill row `into` of `work` with the rates at the state in row `at`, and the operating point."""
    state = work[at]
    rates = work[into]
    conditions = work[CONDITIONS]
    point = work[POINT]
    density = air_density_kg_m3(launch, work[DERIVED], state[HEIGHT])
    duty = 0.0
    if powered:
        duty = launch[FULL_DUTY]
        since = time_s - launch[MOTOR_START_S]
        if since < power[CONTROLLER_SOFT_START_S]:
            duty *= max(since, 0.0) / power[CONTROLLER_SOFT_START_S]
    conditions[AIRSPEED_M_S] = state[AIRSPEED]
    conditions[DENSITY_KG_M3] = density
    conditions[DUTY] = duty
    conditions[CHARGE_STATE] = 1.0 - state[CHARGE] / power[PACK_CAPACITY_AS]
    conditions[SLOW_VOLTAGE_V] = state[SLOW_VOLTAGE]
    conditions[MOTOR_TEMPERATURE_K] = state[MOTOR_TEMPERATURE]
    conditions[PACK_TEMPERATURE_K] = state[PACK_TEMPERATURE]
    operating_point(power, curves, tables, conditions, point[REVS_PER_S], point)
    _drive_rates(power, launch, state, point, rates)
    if held:
        for place in (DISTANCE, HEIGHT, AIRSPEED, PATH, THRUST_J, DRAG_J, WIND_J, CEILING_S):
            rates[place] = 0.0
    else:
        _path_rates(powered, density, polar, launch, work[DERIVED], state, point, rates)


@compiled
def _drive_rates(power: Array, launch: Array, state: Array, point: Array, rates: Array) -> None:
    air = launch[GROUND_TEMPERATURE_K]
    rates[CHARGE] = point[PACK_CURRENT_A]
    rates[SLOW_VOLTAGE] = point[SLOW_VOLTAGE_RATE_V_S]
    motor_heat = point[COPPER_LOSS_W] + point[NO_LOAD_LOSS_W]
    motor_lost = power[MOTOR_CONDUCTANCE_W_K] * (state[MOTOR_TEMPERATURE] - air)
    rates[MOTOR_TEMPERATURE] = (motor_heat - motor_lost) / power[MOTOR_HEAT_CAPACITY_J_K]
    pack_lost = power[PACK_CONDUCTANCE_W_K] * (state[PACK_TEMPERATURE] - air)
    rates[PACK_TEMPERATURE] = (point[PACK_HEAT_W] - pack_lost) / power[PACK_HEAT_CAPACITY_J_K]
    for place in range(SHAFT_J - COPPER_J):
        rates[COPPER_J + place] = point[COPPER_LOSS_W + place]
    rates[SHAFT_J] = point[SHAFT_POWER_W]


@compiled
def _path_rates(
    powered: bool,
    density: float,
    polar: Array,
    launch: Array,
    derived: Array,
    state: Array,
    point: Array,
    rates: Array,
) -> None:
    mass = launch[MASS_KG]
    weight = mass * GRAVITY_m_s2
    speed = max(state[AIRSPEED], LEAST_AIRSPEED_m_s)
    sine = math.sin(state[PATH])
    cosine = math.cos(state[PATH])
    wind, growth = headwind(launch, state[HEIGHT])
    gust = growth * state[AIRSPEED] * sine
    pressure = 0.5 * density * speed * speed
    lifting = pressure * launch[WING_AREA_M2]
    folded = pressure * launch[FOLDED_DRAG_AREA_M2] if point[REVS_PER_S] == 0.0 else 0.0
    straight = held_lift_coefficient(polar, weight * cosine / lifting)
    straight_drag = lifting * drag_coefficient(polar, straight) + folded
    target = launch[CLIMB_SPEED_M_S] if powered else launch[GLIDE_SPEED_M_S]
    wanted = (point[THRUST_N] - straight_drag) / weight + (state[AIRSPEED] - target) / (
        GRAVITY_m_s2 * launch[SPEED_TIME_CONSTANT_S]
    )
    lowest = derived[SINE_POWERED] if powered else derived[SINE_DIVE]
    turn = math.asin(min(max(wanted, lowest), derived[SINE_CLIMB])) - state[PATH]
    turn /= launch[PATH_TIME_CONSTANT_S]
    needed = (mass * (speed * turn + gust * sine) + weight * cosine) / lifting
    lift = held_lift_coefficient(polar, needed)
    if lift != needed:
        turn = (lifting * lift / mass - GRAVITY_m_s2 * cosine - gust * sine) / speed
    drag = lifting * drag_coefficient(polar, lift) + folded
    rates[DISTANCE] = state[AIRSPEED] * cosine - wind
    rates[HEIGHT] = state[AIRSPEED] * sine
    rates[AIRSPEED] = (point[THRUST_N] - drag) / mass - GRAVITY_m_s2 * sine + gust * cosine
    rates[PATH] = turn
    rates[THRUST_J] = point[THRUST_N] * state[AIRSPEED]
    rates[DRAG_J] = drag * state[AIRSPEED]
    rates[WIND_J] = mass * state[AIRSPEED] * gust * cosine
    rates[CEILING_S] = 1.0 if needed > polar[HIGHEST_LIFT_COEFFICIENT] else 0.0


@compiled
def runge_kutta_step(
    time_s: float,
    step_s: float,
    held: bool,
    powered: bool,
    power: Array,
    curves: Array,
    tables: Array,
    polar: Array,
    launch: Array,
    work: Array,
) -> None:
    """Classical fourth-order step from row START with its rates in RATE_1 to row NEXT, rates in RATE_END."""
    start = work[START]
    stage = work[STAGE]
    end = work[NEXT]
    for number in range(3):
        share = step_s if number == 2 else 0.5 * step_s
        known = work[RATE_1 + number]
        for place in range(MOVING):
            stage[place] = start[place] + share * known[place]
        flight_rates(
            time_s + share, held, powered, power, curves, tables, polar, launch, work, STAGE, RATE_2 + number
        )
    for place in range(SIZE):
        middle = work[RATE_2, place] + work[RATE_3, place]
        end[place] = start[place] + step_s / 6.0 * (work[RATE_1, place] + 2.0 * middle + work[RATE_4, place])
    flight_rates(time_s + step_s, held, powered, power, curves, tables, polar, launch, work, NEXT, RATE_END)
