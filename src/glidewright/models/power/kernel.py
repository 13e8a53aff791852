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

from glidewright.base.compiled import compiled, over_threads
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
    COPPER_REFERENCE_K,
    DENSITY_KG_M3,
    DUTY,
    LEAD_LOSS_W,
    LEAD_RESISTANCE_OHM,
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
    THRUST_N,
    TORQUE_NM,
)

Array = npt.NDArray[np.float64]

_POWER, _THRUST = 0, 8  # where the two coefficients begin in a row of a curve table
_TURN = 2.0 * math.pi


@compiled
def propeller_coefficient(
    curve: Array, first: int, power: Array, advance_ratio: float, revs_per_s: float
) -> tuple[float, float, float]:
    """Coefficient of a curve table, its slope in advance ratio and its slope in ln(n)."""
    last = curve.shape[0] - 1
    place = max(advance_ratio, 0.0) / power[PROPELLER_ADVANCE_STEP]
    row = curve[last if place >= last else int(place)]
    u = place - (last if place >= last else int(place))
    held = min(max(revs_per_s, power[PROPELLER_LOWEST_REVS_PER_S]), power[PROPELLER_HIGHEST_REVS_PER_S])
    logarithm = math.log(held / power[PROPELLER_REFERENCE_REVS_PER_S])
    slope = row[first + 4] + u * (row[first + 5] + u * (row[first + 6] + u * row[first + 7]))
    value = row[first] + u * (row[first + 1] + u * (row[first + 2] + u * row[first + 3]))
    steepness = row[first + 1] + u * (2.0 * row[first + 2] + u * 3.0 * row[first + 3])
    bend = row[first + 5] + u * (2.0 * row[first + 6] + u * 3.0 * row[first + 7])
    return (
        value + logarithm * slope,
        (steepness + logarithm * bend) / power[PROPELLER_ADVANCE_STEP],
        slope if held == revs_per_s else 0.0,
    )


@compiled
def pack_open_circuit(
    power: Array, tables: Array, charge_state: float, temperature_K: float
) -> tuple[float, float]:
    """Open-circuit volts of the pack and its quick resistance; the charge state is held in 0 to 1."""
    table = tables[int(power[PACK_TABLE])]
    place = min(max(charge_state, 0.0), 1.0) * (table.shape[0] - 1)
    index = min(int(place), table.shape[0] - 2)
    row = table[index]
    volts = power[PACK_CELLS_IN_SERIES] * (row[0] + (place - index) * row[1])
    warmth = power[PACK_TEMPERATURE_COEFFICIENT_K] * (
        1.0 / temperature_K - 1.0 / power[PACK_REFERENCE_TEMPERATURE_K]
    )
    factor = row[2] + (place - index) * row[3]
    return volts, power[PACK_RESISTANCE_OHM] * factor * math.exp(warmth)


@compiled
def solve_revs(
    power: Array,
    curve: Array,
    torque_at_rest_Nm: float,
    torque_drop_Nms: float,
    density_kg_m3: float,
    airspeed_m_s: float,
    guess_revs_per_s: float,
) -> float:
    """Revolutions where the motor's torque ``at_rest - drop n`` is the propeller's; NaN without an answer.

    At n = 0 the propeller asks for nothing or windmills. Where the motor gives no torque any more and the
    advance ratio is below the first node of the curve, it asks for more than there is: the root is between.
    """
    diameter = power[PROPELLER_DIAMETER_M]
    scale = density_kg_m3 * diameter**5 / _TURN * power[PROPELLER_POWER_FACTOR]
    free = torque_at_rest_Nm / torque_drop_Nms
    low = 0.0
    high = max(free, airspeed_m_s / (diameter * power[PROPELLER_ADVANCE_STEP]))
    n = guess_revs_per_s if 0.0 < guess_revs_per_s < high else 0.8 * free
    for _ in range(200):
        ratio = airspeed_m_s / (n * diameter)
        cp, cp_ratio, cp_log = propeller_coefficient(curve, _POWER, power, ratio, n)
        excess = torque_at_rest_Nm - torque_drop_Nms * n - scale * n * n * cp
        if excess > 0.0:
            low = n
        else:
            high = n
        slope = -torque_drop_Nms - scale * n * (2.0 * cp - cp_ratio * ratio + cp_log)
        better = n - excess / slope
        if not low <= better <= high:
            better = 0.5 * (low + high)
        moved = abs(better - n)
        n = better
        if moved <= 1e-7 * n:  # the next step would be the square of this one
            return n
    return math.nan


@compiled
def operating_point(
    power: Array, curves: Array, tables: Array, conditions: Array, guess_revs_per_s: float, point: Array
) -> None:
    """Fill `point` (``POINT_FIELDS``) at `conditions` (``CONDITION_FIELDS``), starting from a guess of n."""
    volts, quick = pack_open_circuit(power, tables, conditions[CHARGE_STATE], conditions[PACK_TEMPERATURE_K])
    kv = power[MOTOR_KV_RAD_PER_VS]
    duty = conditions[DUTY]
    winding = power[MOTOR_RESISTANCE_OHM] * (
        1.0 + power[MOTOR_COPPER_COEFFICIENT_PER_K] * (conditions[MOTOR_TEMPERATURE_K] - COPPER_REFERENCE_K)
    )
    source = quick + power[LEAD_RESISTANCE_OHM]
    inner = volts - conditions[SLOW_VOLTAGE_V]
    share = duty + power[CONTROLLER_PART_LOAD_FACTOR] * duty * (1.0 - duty)
    drive = duty * (inner - source * power[SERVO_CURRENT_A])
    total = winding + power[CONTROLLER_RESISTANCE_OHM] + duty * share * source
    rest = power[MOTOR_NO_LOAD_CURRENT_A] * (1.0 - power[MOTOR_NO_LOAD_LINEAR_SHARE])
    growth = (
        power[MOTOR_NO_LOAD_CURRENT_A] * power[MOTOR_NO_LOAD_LINEAR_SHARE] / power[MOTOR_NO_LOAD_SPEED_RAD_S]
    )
    at_rest = (drive / total - rest) / kv
    drop = _TURN * (1.0 / (kv * total) + growth) / kv
    n = 0.0
    current = max(drive / total, 0.0)
    status = STATUS_FOUND
    if duty <= 0.0:
        status = STATUS_OFF
        current = 0.0
    elif at_rest <= 0.0:
        status = STATUS_CANNOT_TURN
    else:
        n = solve_revs(
            power,
            curves[int(power[PROPELLER_CURVE])],
            at_rest,
            drop,
            conditions[DENSITY_KG_M3],
            conditions[AIRSPEED_M_S],
            guess_revs_per_s,
        )
        current = (drive - _TURN * n / kv) / total
        if not math.isfinite(n):
            status = STATUS_NO_ANSWER
        elif n < STALLED_SPEED_SHARE * at_rest / drop:
            status = STATUS_STALLED
    point[STATUS] = status
    point[REVS_PER_S] = n
    _propeller_side(power, curves, conditions, n, point)
    _circuit(power, conditions, volts, quick, winding, current, share, point)
    point[NO_LOAD_LOSS_W] = (rest + growth * _TURN * n) * _TURN * n / kv


@compiled
def _propeller_side(power: Array, curves: Array, conditions: Array, n: float, point: Array) -> None:
    point[THRUST_N] = point[TORQUE_NM] = point[SHAFT_POWER_W] = 0.0
    point[PROPELLER_EFFICIENCY] = point[ADVANCE_RATIO] = 0.0
    if n == 0.0:
        return
    curve = curves[int(power[PROPELLER_CURVE])]
    diameter = power[PROPELLER_DIAMETER_M]
    ratio = conditions[AIRSPEED_M_S] / (n * diameter)
    cp, _, _ = propeller_coefficient(curve, _POWER, power, ratio, n)
    ct, _, _ = propeller_coefficient(curve, _THRUST, power, ratio, n)
    pressure = conditions[DENSITY_KG_M3] * n * n * diameter**4
    shaft = power[PROPELLER_POWER_FACTOR] * cp * pressure * n * diameter
    thrust = power[PROPELLER_THRUST_FACTOR] * power[PROPELLER_INSTALLATION_FACTOR] * ct * pressure
    point[ADVANCE_RATIO] = ratio
    point[THRUST_N] = thrust
    point[SHAFT_POWER_W] = shaft
    point[TORQUE_NM] = shaft / (_TURN * n)
    if shaft > 0.0:
        point[PROPELLER_EFFICIENCY] = thrust * conditions[AIRSPEED_M_S] / shaft


@compiled
def _circuit(
    power: Array,
    conditions: Array,
    volts: float,
    quick: float,
    winding: float,
    current: float,
    share: float,
    point: Array,
) -> None:
    slow = conditions[SLOW_VOLTAGE_V]
    slow_resistance = power[PACK_SLOW_RESISTANCE_RATIO] * quick
    duty = conditions[DUTY]
    drawn = share * current + power[SERVO_CURRENT_A]
    terminals = volts - slow - quick * drawn
    supply = terminals - power[LEAD_RESISTANCE_OHM] * drawn
    point[MOTOR_CURRENT_A] = current
    point[PACK_CURRENT_A] = drawn
    point[PACK_VOLTAGE_V] = terminals
    point[CONTROLLER_VOLTAGE_V] = supply
    point[MOTOR_VOLTAGE_V] = duty * supply - power[CONTROLLER_RESISTANCE_OHM] * current
    point[COPPER_LOSS_W] = winding * current * current
    point[CONTROLLER_LOSS_W] = power[CONTROLLER_RESISTANCE_OHM] * current * current
    point[PART_LOAD_LOSS_W] = (share - duty) * current * supply
    point[PACK_LOSS_W] = (quick * drawn + slow) * drawn
    point[LEAD_LOSS_W] = power[LEAD_RESISTANCE_OHM] * drawn * drawn
    point[SERVO_POWER_W] = power[SERVO_CURRENT_A] * supply
    point[CHEMICAL_POWER_W] = volts * drawn
    point[PACK_HEAT_W] = quick * drawn * drawn
    point[SLOW_VOLTAGE_RATE_V_S] = 0.0
    if slow_resistance > 0.0:
        point[PACK_HEAT_W] += slow * slow / slow_resistance
        point[SLOW_VOLTAGE_RATE_V_S] = (drawn * slow_resistance - slow) / power[PACK_TIME_CONSTANT_S]


@compiled
def _point_rows(
    power: Array, curves: Array, tables: Array, conditions: Array, first: int, last: int, points: Array
) -> None:
    for draw in range(first, last):
        guess = 0.0
        for row in range(conditions.shape[1]):
            operating_point(power[draw], curves, tables, conditions[draw, row], guess, points[draw, row])
            guess = points[draw, row, REVS_PER_S]


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
    motor_temperature_K: npt.ArrayLike = COPPER_REFERENCE_K,
    pack_temperature_K: npt.ArrayLike = 298.15,
) -> Array:
    """Operating points of every draw at every speed, shape (draws, speeds, fields of ``POINT_FIELDS``).

    `power` (draws, fields of ``POWER_FIELDS``), `curves` (propellers, nodes, 16) and `tables`
    (cells, nodes, 4) come from :mod:`glidewright.models.power.layout`. `airspeed_m_s` (>= 0) is one number, a
    row of speeds or an array (draws, speeds); the other conditions broadcast against (draws, speeds), so
    that one value a draw has the shape (draws, 1). The draws are shared out over the cores.
    """
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
