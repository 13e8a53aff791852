r"""Operating point of motor, controller, pack and propeller, compiled.

The circuit is solved in closed form, so that one equation in the revolutions n is left. With duty d, motor
current I, part-load factor k and a = d + k d (1 - d), open-circuit volts less those of the RC pair E, quick
resistance and leads R_s, winding R_m, controller R_c, servo current I_s:

- pack current        I_p = a I + I_s            (duty chopping plus the part-load loss)
- controller volts    V   = E - R_s I_p
- motor volts         d V - R_c I = w / Kv + R_m I
- hence               I   = (d (E - R_s I_s) - w / Kv) / (R_m + R_c + d a R_s)
- no-load current     I_0 = i_0 (1 - s + s w / w_ref)
- torque              (I - I_0) / Kv = C_P(J, n) rho n^2 D^5 / (2 pi)

Motor: M. Drela, "First-Order DC Electric Motor Model", MIT 2007, equations (1)-(4), with an I_0 that grows
with speed; propeller coefficients C = F / (rho n^2 D^4), P / (rho n^3 D^5) as in UIUC's propeller data. The
last equation is solved by Newton's method inside a bracket. Inertia of the rotor is left out: revolutions
follow the balance at once.
"""

import math

import numpy as np
import numpy.typing as npt

from glidewright.base.compiled import compiled, compiled_part, over_threads
from glidewright.models.power.layout import (
    ADVANCE_RATIO,
    AIRSPEED_M_S,
    CHARGE_STATE,
    CHEMICAL_POWER_W,
    CONDITION_FIELDS,
    CONTROLLER_LOSS_W,
    CONTROLLER_PART_LOAD_FACTOR,
    CONTROLLER_RESISTANCE_OHM,
    CONTROLLER_VOLTAGE_V,
    COPPER_LOSS_W,
    DENSITY_KG_M3,
    DUTY,
    LEAD_LOSS_W,
    LEAD_RESISTANCE_OHM,
    LEAST_DUTY,
    MOTOR_COPPER_COEFFICIENT_PER_K,
    MOTOR_CURRENT_A,
    MOTOR_KV_RAD_PER_VS,
    MOTOR_NO_LOAD_CURRENT_A,
    MOTOR_NO_LOAD_LINEAR_SHARE,
    MOTOR_NO_LOAD_SPEED_RAD_S,
    MOTOR_RESISTANCE_OHM,
    MOTOR_TEMPERATURE_K,
    MOTOR_VOLTAGE_V,
    NO_LOAD_LOSS_W,
    PACK_CELLS_IN_SERIES,
    PACK_CURRENT_A,
    PACK_HEAT_W,
    PACK_LOSS_W,
    PACK_REFERENCE_TEMPERATURE_K,
    PACK_RESISTANCE_OHM,
    PACK_SLOW_RESISTANCE_RATIO,
    PACK_TABLE,
    PACK_TEMPERATURE_COEFFICIENT_K,
    PACK_TEMPERATURE_K,
    PACK_TIME_CONSTANT_S,
    PACK_VOLTAGE_V,
    PART_LOAD_LOSS_W,
    POINT_FIELDS,
    POWER_COLUMNS,
    PROPELLER_ADVANCE_STEP,
    PROPELLER_CURVE,
    PROPELLER_DIAMETER_M,
    PROPELLER_EFFICIENCY,
    PROPELLER_HIGHEST_REVS_PER_S,
    PROPELLER_INSTALLATION_FACTOR,
    PROPELLER_LOWEST_REVS_PER_S,
    PROPELLER_POWER_FACTOR,
    PROPELLER_REFERENCE_REVS_PER_S,
    PROPELLER_THRUST_FACTOR,
    REVS_PER_S,
    SERVO_CURRENT_A,
    SERVO_POWER_W,
    SHAFT_POWER_W,
    SLOW_VOLTAGE_RATE_V_S,
    SLOW_VOLTAGE_V,
    STALLED_SPEED_SHARE,
    STATUS,
    STATUS_CANNOT_TURN,
    STATUS_FOUND,
    STATUS_NO_ANSWER,
    STATUS_OFF,
    STATUS_STALLED,
    THRUST_COLUMNS,
    THRUST_N,
    TORQUE_NM,
    check_power,
)
from glidewright.models.power.motor import COPPER_TEMPERATURE_K

Array = npt.NDArray[np.float64]

_TURN = 2.0 * math.pi


@compiled_part
def coefficient(
    curves: Array, curve: int, first: int, place: float, logarithm: float
) -> tuple[float, float, float]:
    """Coefficient at `place` in steps of advance ratio and at ln(n / n_ref), and its slopes in both."""
    row = curves.shape[1] - 1
    if place < row:
        row = int(max(place, 0.0))
    u = place - row
    a, b = curves[curve, row, first], curves[curve, row, first + 4]
    a1, b1 = curves[curve, row, first + 1], curves[curve, row, first + 5]
    a2, b2 = curves[curve, row, first + 2], curves[curve, row, first + 6]
    a3, b3 = curves[curve, row, first + 3], curves[curve, row, first + 7]
    slope = b + u * (b1 + u * (b2 + u * b3))
    value = a + u * (a1 + u * (a2 + u * a3)) + logarithm * slope
    c1, c2, c3 = a1 + logarithm * b1, a2 + logarithm * b2, a3 + logarithm * b3
    return value, c1 + u * (2.0 * c2 + u * 3.0 * c3), slope


@compiled_part
def pack_open_circuit(
    power: Array, tables: Array, charge_state: float, temperature_K: float
) -> tuple[float, float]:
    """Open-circuit volts in V of the pack and its quick resistance in ohm; charge state held in 0 to 1."""
    table = int(power[PACK_TABLE])
    place = 0.0  # stays so without a number: no row must be asked for that is not there
    if charge_state > 0.0:
        place = min(charge_state, 1.0) * (tables.shape[1] - 1)
    row = min(int(place), tables.shape[1] - 2)
    u = place - row
    volts = power[PACK_CELLS_IN_SERIES] * (tables[table, row, 0] + u * tables[table, row, 1])
    warmth = power[PACK_TEMPERATURE_COEFFICIENT_K] * (
        1.0 / temperature_K - 1.0 / power[PACK_REFERENCE_TEMPERATURE_K]
    )
    factor = tables[table, row, 2] + u * tables[table, row, 3]
    return volts, power[PACK_RESISTANCE_OHM] * factor * math.exp(warmth)


@compiled_part
def held_logarithm(power: Array, revs_per_s: float) -> float:
    """ln(n / n_ref) with n held in the range of the curve."""
    held = min(max(revs_per_s, power[PROPELLER_LOWEST_REVS_PER_S]), power[PROPELLER_HIGHEST_REVS_PER_S])
    return math.log(held / float(power[PROPELLER_REFERENCE_REVS_PER_S]))


@compiled_part
def solve_revs(
    power: Array,
    curves: Array,
    at_rest_Nm: float,
    drop_Nms: float,
    density_kg_m3: float,
    airspeed_m_s: float,
    guess_revs_per_s: float,
) -> float:
    """Revolutions in 1/s where the motor's torque ``at_rest - drop n`` is the propeller's; NaN for no answer.

    At n = 0 the propeller asks for nothing or windmills. Where the motor gives no torque any more and the
    advance ratio is below the first node of the curve, it asks for more than there is: the root is between.
    """
    curve = int(power[PROPELLER_CURVE])
    diameter = power[PROPELLER_DIAMETER_M]
    scale = density_kg_m3 * diameter**5 / _TURN * power[PROPELLER_POWER_FACTOR]
    nodes = max(airspeed_m_s, 0.0) / (diameter * power[PROPELLER_ADVANCE_STEP])  # place in the table x revs
    free = at_rest_Nm / drop_Nms
    low, high = 0.0, max(free, nodes)
    n = guess_revs_per_s if 0.0 < guess_revs_per_s < high else 0.8 * free
    for _ in range(200):
        cp, cp_place, cp_log = coefficient(curves, curve, POWER_COLUMNS, nodes / n, held_logarithm(power, n))
        if not power[PROPELLER_LOWEST_REVS_PER_S] < n < power[PROPELLER_HIGHEST_REVS_PER_S]:
            cp_log = 0.0
        excess = at_rest_Nm - (drop_Nms + scale * n * cp) * n
        if excess > 0.0:
            low = n
        else:
            high = n
        better = n + excess / (drop_Nms + scale * ((2.0 * cp + cp_log) * n - cp_place * nodes))
        if not low <= better <= high:
            better = 0.5 * (low + high)
        moved = abs(better - n)
        n = better
        if moved <= 1e-5 * n:  # the next step would be the square of this one
            return float(n)
    return math.nan


@compiled_part
def _thrust(power: Array, curves: Array, airspeed_m_s: float, density_kg_m3: float, n: float) -> float:
    diameter = power[PROPELLER_DIAMETER_M]
    place = max(airspeed_m_s, 0.0) / (n * diameter * power[PROPELLER_ADVANCE_STEP])
    curve, logarithm = int(power[PROPELLER_CURVE]), held_logarithm(power, n)
    ct, _, _ = coefficient(curves, curve, THRUST_COLUMNS, place, logarithm)
    factor = power[PROPELLER_THRUST_FACTOR] * power[PROPELLER_INSTALLATION_FACTOR]
    square = n * diameter * diameter
    return float(factor * ct * density_kg_m3 * square * square)


@compiled_part
def _circuit(
    power: Array,
    duty: float,
    slow_voltage_V: float,
    volts: float,
    quick: float,
    current: float,
    share: float,
    point: Array,
) -> None:
    slow_resistance = power[PACK_SLOW_RESISTANCE_RATIO] * quick
    controller = power[CONTROLLER_RESISTANCE_OHM]
    lead = power[LEAD_RESISTANCE_OHM]
    servo = power[SERVO_CURRENT_A]
    drawn = share * current + servo
    terminals = volts - slow_voltage_V - quick * drawn
    supply = terminals - lead * drawn
    heat = quick * drawn * drawn
    slow_rate = 0.0
    point[PACK_LOSS_W] = heat + slow_voltage_V * drawn
    if slow_resistance > 0.0:
        heat += slow_voltage_V * slow_voltage_V / slow_resistance
        slow_rate = (drawn * slow_resistance - slow_voltage_V) / power[PACK_TIME_CONSTANT_S]
    point[MOTOR_CURRENT_A] = current
    point[PACK_CURRENT_A] = drawn
    point[PACK_VOLTAGE_V] = terminals
    point[CONTROLLER_VOLTAGE_V] = supply
    point[MOTOR_VOLTAGE_V] = duty * supply - controller * current
    point[CONTROLLER_LOSS_W] = controller * current * current
    point[PART_LOAD_LOSS_W] = (share - duty) * current * supply
    point[LEAD_LOSS_W] = lead * drawn * drawn
    point[SERVO_POWER_W] = servo * supply
    point[CHEMICAL_POWER_W] = volts * drawn
    point[PACK_HEAT_W] = heat
    point[SLOW_VOLTAGE_RATE_V_S] = slow_rate


@compiled_part
def operating_point(
    power: Array,
    curves: Array,
    tables: Array,
    airspeed_m_s: float,
    density_kg_m3: float,
    duty: float,
    charge_state: float,
    slow_voltage_V: float,
    motor_temperature_K: float,
    pack_temperature_K: float,
    point: Array,
) -> None:
    """Fill `point` (``POINT_FIELDS``); the revolutions found in it on entry are the first guess.

    The coefficients at an airspeed below zero are those at rest.

    Advance ratio and efficiency are left to the caller, for the launch does not need them.
    """
    volts, quick = pack_open_circuit(power, tables, charge_state, pack_temperature_K)
    winding = power[MOTOR_RESISTANCE_OHM] * (
        1.0 + power[MOTOR_COPPER_COEFFICIENT_PER_K] * (motor_temperature_K - COPPER_TEMPERATURE_K)
    )
    share = duty + power[CONTROLLER_PART_LOAD_FACTOR] * duty * (1.0 - duty)
    status = STATUS_OFF
    n = torque = current = thrust = no_load = 0.0
    if duty >= LEAST_DUTY:
        source = quick + power[LEAD_RESISTANCE_OHM]
        drive = duty * (volts - slow_voltage_V - source * power[SERVO_CURRENT_A])
        conductance = 1.0 / (winding + power[CONTROLLER_RESISTANCE_OHM] + duty * share * source)
        per_kv = 1.0 / power[MOTOR_KV_RAD_PER_VS]
        growing = power[MOTOR_NO_LOAD_CURRENT_A] * power[MOTOR_NO_LOAD_LINEAR_SHARE]
        friction = power[MOTOR_NO_LOAD_CURRENT_A] - growing
        growth = growing * _TURN / power[MOTOR_NO_LOAD_SPEED_RAD_S]
        at_rest = (drive * conductance - friction) * per_kv
        drop = (_TURN * per_kv * conductance + growth) * per_kv
        status = STATUS_CANNOT_TURN
        if at_rest > 0.0:
            n = solve_revs(power, curves, at_rest, drop, density_kg_m3, airspeed_m_s, point[REVS_PER_S])
            torque = at_rest - drop * n
            thrust = _thrust(power, curves, airspeed_m_s, density_kg_m3, n)
            status = STATUS_FOUND
            if not math.isfinite(n):
                status = STATUS_NO_ANSWER
            elif drop * n < STALLED_SPEED_SHARE * at_rest:
                status = STATUS_STALLED
        current = max((drive - _TURN * n * per_kv) * conductance, 0.0 if n == 0.0 else -math.inf)
        no_load = (friction + growth * n) * _TURN * n * per_kv
    point[STATUS] = status
    point[REVS_PER_S] = n
    point[THRUST_N] = thrust
    point[TORQUE_NM] = torque
    point[SHAFT_POWER_W] = _TURN * n * torque
    point[COPPER_LOSS_W] = winding * current * current
    point[NO_LOAD_LOSS_W] = no_load
    _circuit(power, duty, slow_voltage_V, volts, quick, current, share, point)


@compiled
def _point_rows(
    power: Array, curves: Array, tables: Array, conditions: Array, first: int, last: int, points: Array
) -> None:
    """Fill `points` of the draws from `first` to `last`; each speed starts from the answer before it."""
    for draw in range(first, last):
        row = power[draw]
        guess = 0.0
        for number in range(conditions.shape[1]):
            point = points[draw, number]
            point[REVS_PER_S] = guess
            known = conditions[draw, number]
            operating_point(
                row, curves, tables,
                known[AIRSPEED_M_S], known[DENSITY_KG_M3], known[DUTY], known[CHARGE_STATE],
                known[SLOW_VOLTAGE_V], known[MOTOR_TEMPERATURE_K], known[PACK_TEMPERATURE_K], point,
            )  # fmt: skip
            guess = point[REVS_PER_S]
            point[ADVANCE_RATIO] = point[PROPELLER_EFFICIENCY] = 0.0
            if guess > 0.0:
                point[ADVANCE_RATIO] = known[AIRSPEED_M_S] / (guess * row[PROPELLER_DIAMETER_M])
            if point[SHAFT_POWER_W] > 0.0:
                useful = point[THRUST_N] * known[AIRSPEED_M_S]
                point[PROPELLER_EFFICIENCY] = useful / point[SHAFT_POWER_W]


KERNELS = (_point_rows,)
"""What the Python functions of this module run."""


def operating_points(
    power: Array,
    curves: Array,
    tables: Array,
    *,
    airspeed_m_s: npt.ArrayLike,
    density_kg_m3: npt.ArrayLike,
    duty: npt.ArrayLike = 1.0,
    charge_state: npt.ArrayLike = 1.0,
    slow_voltage_V: npt.ArrayLike = 0.0,
    motor_temperature_K: npt.ArrayLike = COPPER_TEMPERATURE_K,
    pack_temperature_K: npt.ArrayLike = 298.15,
) -> Array:
    """Operating points of every draw at every speed, shape (draws, speeds, fields of ``POINT_FIELDS``).

    `power` (draws, fields of ``POWER_FIELDS``), `curves` (propellers, nodes, 16) and `tables`
    (cells, nodes, 4) come from :mod:`glidewright.models.power.layout`. `airspeed_m_s` (>= 0) is one number, a
    row of speeds or an array (draws, speeds); the other conditions broadcast against (draws, speeds), so
    that one value a draw has the shape (draws, 1). The draws are shared out over the cores.

    >>> from glidewright.models.power.example import example_cells, example_curves, example_power
    >>> from glidewright.models.power.layout import PACK_CURRENT_A
    >>> train = example_power(), example_curves(), example_cells()
    >>> points = operating_points(*train, airspeed_m_s=[0.0, 9.0], density_kg_m3=1.225)
    >>> points[0, :, PACK_CURRENT_A].round(2), points[0, :, THRUST_N].round(2)
    (array([16.63, 16.1 ]), array([7.84, 5.62]))
    """
    check_power(power, curves, tables)
    values = (
        airspeed_m_s,
        density_kg_m3,
        duty,
        charge_state,
        slow_voltage_V,
        motor_temperature_K,
        pack_temperature_K,
    )
    speeds = np.atleast_1d(np.asarray(airspeed_m_s, dtype=np.float64)).shape[-1]
    conditions = np.empty((power.shape[0], speeds, len(CONDITION_FIELDS)))
    for place, value in enumerate(values):
        conditions[:, :, place] = np.asarray(value, dtype=np.float64)
    points = np.empty((power.shape[0], speeds, len(POINT_FIELDS)))

    def work(first: int, last: int) -> None:
        _point_rows(power, curves, tables, conditions, first, last, points)

    over_threads(power.shape[0], work)
    return points
