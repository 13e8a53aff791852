r"""Equations of motion of a launch and one step of their solution, compiled.

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

from glidewright.base.compiled import compiled_part
from glidewright.models.aero.polar import (
    LOWEST_LIFT_COEFFICIENT,
    drag_coefficient,
    highest_lift_coefficient,
    speed_place,
)
from glidewright.models.air.atmosphere import GAS_CONSTANT_J_kg_K, GRAVITY_m_s2
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
)
from glidewright.models.power.kernel import operating_point
from glidewright.models.power.layout import (
    CONTROLLER_SOFT_START_S,
    COPPER_LOSS_W,
    MOTOR_CONDUCTANCE_W_K,
    MOTOR_HEAT_CAPACITY_J_K,
    NO_LOAD_LOSS_W,
    PACK_CAPACITY_AS,
    PACK_CONDUCTANCE_W_K,
    PACK_CURRENT_A,
    PACK_HEAT_CAPACITY_J_K,
    PACK_HEAT_W,
    REVS_PER_S,
    SHAFT_POWER_W,
    SLOW_VOLTAGE_RATE_V_S,
    THRUST_N,
)

Array = npt.NDArray[np.float64]

LEAST_AIRSPEED_m_s = 0.5
"""Slower than this the path angle loses its meaning: divisions by the airspeed use at least this."""

DERIVED, START, NEXT, STAGE, RATE_1, RATE_2, RATE_3, RATE_END = range(8)
WORK_SHAPE = (8, SIZE)
"""Scratch of one launch: the rows named above. The kernels index it whole, since every view of a row that
is handed on costs two locked counts."""

(
    SINE_CLIMB,
    SINE_POWERED,
    SINE_DIVE,
    PER_MASS,
    PER_WEIGHT,
    PER_PATH_TIME,
    PER_SPEED_TIME,
    PER_MOTOR_HEAT,
    PER_PACK_HEAT,
    PER_CAPACITY,
    LAPSE_PER_TEMPERATURE,
    DENSITY_DROP,
) = range(12)
"""Places in row DERIVED: what a launch needs at every step and what does not change. Divisions cost most."""


@compiled_part
def prepare(power: Array, launch: Array, work: Array) -> None:
    """Fill row DERIVED."""
    lapse, ground = launch[LAPSE_RATE_K_M], launch[GROUND_TEMPERATURE_K]
    work[DERIVED, SINE_CLIMB] = math.sin(launch[STEEPEST_CLIMB_RAD])
    work[DERIVED, SINE_POWERED] = math.sin(launch[LOWEST_POWERED_PATH_RAD])
    work[DERIVED, SINE_DIVE] = math.sin(launch[STEEPEST_DIVE_RAD])
    work[DERIVED, PER_MASS] = 1.0 / launch[MASS_KG]
    work[DERIVED, PER_WEIGHT] = 1.0 / (launch[MASS_KG] * GRAVITY_m_s2)
    work[DERIVED, PER_PATH_TIME] = 1.0 / launch[PATH_TIME_CONSTANT_S]
    work[DERIVED, PER_SPEED_TIME] = 1.0 / (GRAVITY_m_s2 * launch[SPEED_TIME_CONSTANT_S])
    work[DERIVED, PER_MOTOR_HEAT] = 1.0 / power[MOTOR_HEAT_CAPACITY_J_K]
    work[DERIVED, PER_PACK_HEAT] = 1.0 / power[PACK_HEAT_CAPACITY_J_K]
    work[DERIVED, PER_CAPACITY] = 1.0 / power[PACK_CAPACITY_AS]
    work[DERIVED, LAPSE_PER_TEMPERATURE] = lapse / ground
    work[DERIVED, DENSITY_DROP] = (GRAVITY_m_s2 / GAS_CONSTANT_J_kg_K - lapse) / ground


@compiled_part
def air_density_kg_m3(launch: Array, work: Array, height_m: float) -> float:
    """Density in kg/m3 at a height in m over the field.

    With x = L h / T_0 the logarithm of the hydrostatic law is (g0 / R - L) / L ln(1 - x); its series in
    x also holds without lapse and is cut after the fourth power, below 1e-8 of the density up to 900 m.
    """
    x = work[DERIVED, LAPSE_PER_TEMPERATURE] * height_m
    series = 1.0 + x * (1.0 / 2.0 + x * (1.0 / 3.0 + x * (1.0 / 4.0)))
    thinning = math.exp(-work[DERIVED, DENSITY_DROP] * height_m * series)
    return float(launch[GROUND_DENSITY_KG_M3] * thinning)


@compiled_part
def headwind(launch: Array, height_m: float) -> tuple[float, float]:
    """Headwind in m/s at a height in m, and its growth in 1/s: the power law in the head of the file."""
    if launch[WIND_SPEED_M_S] == 0.0:
        return 0.0, 0.0
    above = max(height_m, launch[WIND_FLOOR_HEIGHT_M])
    speed = launch[WIND_SPEED_M_S] * (above / launch[WIND_REFERENCE_HEIGHT_M]) ** launch[WIND_EXPONENT]
    growth = launch[WIND_EXPONENT] * speed / above if height_m > launch[WIND_FLOOR_HEIGHT_M] else 0.0
    return speed, growth


@compiled_part
def _drive_rates(power: Array, launch: Array, work: Array, at: int, into: int, point: Array) -> None:
    air = launch[GROUND_TEMPERATURE_K]
    motor_heat = point[COPPER_LOSS_W] + point[NO_LOAD_LOSS_W]
    motor_lost = power[MOTOR_CONDUCTANCE_W_K] * (work[at, MOTOR_TEMPERATURE] - air)
    pack_lost = power[PACK_CONDUCTANCE_W_K] * (work[at, PACK_TEMPERATURE] - air)
    work[into, CHARGE] = point[PACK_CURRENT_A]
    work[into, SLOW_VOLTAGE] = point[SLOW_VOLTAGE_RATE_V_S]
    work[into, MOTOR_TEMPERATURE] = (motor_heat - motor_lost) * work[DERIVED, PER_MOTOR_HEAT]
    work[into, PACK_TEMPERATURE] = (point[PACK_HEAT_W] - pack_lost) * work[DERIVED, PER_PACK_HEAT]
    for place in range(SHAFT_J - COPPER_J):
        work[into, COPPER_J + place] = point[COPPER_LOSS_W + place]
    work[into, SHAFT_J] = point[SHAFT_POWER_W]


@compiled_part
def _path_rates(
    powered: bool,
    density: float,
    polar: Array,
    launch: Array,
    work: Array,
    at: int,
    into: int,
    point: Array,
) -> None:
    mass = launch[MASS_KG]
    weight = mass * GRAVITY_m_s2
    per_mass = work[DERIVED, PER_MASS]
    airspeed, path, thrust = work[at, AIRSPEED], work[at, PATH], point[THRUST_N]
    speed = max(airspeed, LEAST_AIRSPEED_m_s)
    sine, cosine = math.sin(path), math.cos(path)
    wind, growth = headwind(launch, work[at, HEIGHT])
    gust = growth * airspeed * sine
    pressure = 0.5 * density * speed * speed
    lifting = pressure * launch[WING_AREA_M2]
    per_lifting = 1.0 / lifting
    folded = pressure * launch[FOLDED_DRAG_AREA_M2] if point[REVS_PER_S] == 0.0 else 0.0
    node, share = speed_place(polar, speed)
    highest_lift = highest_lift_coefficient(polar, node, share)
    lowest_lift = polar[LOWEST_LIFT_COEFFICIENT]
    straight = min(max(weight * cosine * per_lifting, lowest_lift), highest_lift)
    straight_drag = lifting * drag_coefficient(polar, straight, node, share) + folded
    target = launch[CLIMB_SPEED_M_S] if powered else launch[GLIDE_SPEED_M_S]
    hurry = (airspeed - target) * work[DERIVED, PER_SPEED_TIME]
    lowest = work[DERIVED, SINE_POWERED] if powered else work[DERIVED, SINE_DIVE]
    wanted = min(
        max((thrust - straight_drag) * work[DERIVED, PER_WEIGHT] + hurry, lowest), work[DERIVED, SINE_CLIMB]
    )
    turn = (math.asin(wanted) - path) * work[DERIVED, PER_PATH_TIME]
    needed = (mass * (speed * turn + gust * sine) + weight * cosine) * per_lifting
    lift = min(max(needed, lowest_lift), highest_lift)
    if lift != needed:
        turn = (lifting * lift * per_mass - GRAVITY_m_s2 * cosine - gust * sine) / speed
    drag = lifting * drag_coefficient(polar, lift, node, share) + folded
    work[into, DISTANCE] = airspeed * cosine - wind
    work[into, HEIGHT] = airspeed * sine
    work[into, AIRSPEED] = (thrust - drag) * per_mass - GRAVITY_m_s2 * sine + gust * cosine
    work[into, PATH] = turn
    work[into, THRUST_J] = thrust * airspeed
    work[into, DRAG_J] = drag * airspeed
    work[into, WIND_J] = mass * airspeed * gust * cosine
    work[into, CEILING_S] = 1.0 if needed > highest_lift else 0.0


@compiled_part
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
    point: Array,
) -> None:
    """Fill row `into` of `work` with the rates at the state in row `at`, and the operating point."""
    density = air_density_kg_m3(launch, work, work[at, HEIGHT])
    duty = 0.0
    if powered:
        duty = launch[FULL_DUTY]
        since = time_s - launch[MOTOR_START_S]
        if since < power[CONTROLLER_SOFT_START_S]:
            duty *= max(since, 0.0) / power[CONTROLLER_SOFT_START_S]
    operating_point(
        power,
        curves,
        tables,
        work[at, AIRSPEED],
        density,
        duty,
        1.0 - work[at, CHARGE] * work[DERIVED, PER_CAPACITY],
        work[at, SLOW_VOLTAGE],
        work[at, MOTOR_TEMPERATURE],
        work[at, PACK_TEMPERATURE],
        point,
    )
    _drive_rates(power, launch, work, at, into, point)
    if held:
        for place in (DISTANCE, HEIGHT, AIRSPEED, PATH, THRUST_J, DRAG_J, WIND_J, CEILING_S):
            work[into, place] = 0.0
    else:
        _path_rates(powered, density, polar, launch, work, at, into, point)


@compiled_part
def _difference(work: Array, place: int) -> float:
    """Third-order rate less second-order rate."""
    rate = 6.0 * work[RATE_2, place] + 8.0 * work[RATE_3, place]
    rate -= 5.0 * work[RATE_1, place] + 9.0 * work[RATE_END, place]
    return float(abs(rate)) / 72.0


@compiled_part
def step(
    time_s: float,
    length_s: float,
    held: bool,
    powered: bool,
    power: Array,
    curves: Array,
    tables: Array,
    polar: Array,
    launch: Array,
    work: Array,
    point: Array,
) -> float:
    """One step from row START with its rates in RATE_1 to row NEXT with its rates in RATE_END.

    Third-order Runge-Kutta method of P. Bogacki and L. F. Shampine, "A 3(2) pair of Runge-Kutta formulas",
    Applied Mathematics Letters 2 (1989) 321-325, doi 10.1016/0893-9659(89)90079-7. The answer is the error
    of the step by their second-order formula, in metres: that of the height, of the airspeed times one
    second, of the speed across the path times one second or of the charge, an ampere second counted as a
    metre (it is worth about half a metre of height), whichever is the largest.
    """
    for number in range(3):
        share = 0.5 * length_s
        at = STAGE
        if number == 1:
            share = 0.75 * length_s
        if number == 2:
            share = length_s
            at = NEXT
            for place in range(SIZE):
                slope = 2.0 * work[RATE_1, place] + 3.0 * work[RATE_2, place] + 4.0 * work[RATE_3, place]
                work[NEXT, place] = work[START, place] + length_s * slope / 9.0
        else:
            for place in range(MOVING):
                work[STAGE, place] = work[START, place] + share * work[RATE_1 + number, place]
        flight_rates(
            time_s + share, held, powered, power, curves, tables, polar, launch,
            work, at, RATE_2 + number, point,
        )  # fmt: skip
    error = _difference(work, HEIGHT)
    error = max(error, _difference(work, AIRSPEED))
    error = max(error, _difference(work, PATH) * work[START, AIRSPEED])
    error = max(error, _difference(work, CHARGE))
    return float(error * length_s)
