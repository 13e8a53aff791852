"""The numbers of a launch in one row of an array, the order that the compiled kernels read and write.

As in :mod:`glidewright.models.power.layout`: the mapping names every column and says what it is, the
constant of the same name in capitals is its place.
"""

from collections.abc import Mapping
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from glidewright.models.aero.polar import POLAR_FIELDS, POLAR_SIZE, TABLE_DEFAULTS, with_tables
from glidewright.models.power.layout import POWER_FIELDS, matrix

Array = npt.NDArray[np.float64]

GRID_s = 0.25
"""Distance of the rows of a trace in time."""
LONGEST_FLIGHT_s = 900.0
"""The motor is stopped here at the latest; a drive that neither climbs nor empties its pack ends so."""
CLIMB_WINDOW_s = 5.0
"""The best climb is a mean over this time."""

LAUNCH_FIELDS: Mapping[str, str] = {
    "mass_kg": "mass ready to fly",
    "wing_area_m2": "area that the coefficients of the polar are referred to",
    "folded_drag_area_m2": "drag area of the folded propeller",
    "throw_speed_m_s": "speed over ground at release",
    "throw_height_m": "height of the hand over the ground",
    "throw_angle_rad": "path over ground at release, upwards positive",
    "motor_start_s": "motor start after release; negative: in the hand before it",
    "full_duty": "throttle of the climb, 0 to 1",
    "climb_speed_m_s": "airspeed that the pilot holds under power",
    "glide_speed_m_s": "airspeed that the pilot holds without power",
    "speed_time_constant_s": "time in which the pilot takes out a wrong speed",
    "path_time_constant_s": "time in which the path follows the pilot",
    "steepest_climb_rad": "the pilot flies no steeper path",
    "lowest_powered_path_rad": "the pilot flies no lower path under power",
    "steepest_dive_rad": "the pilot flies no lower path without power, below zero",
    "wind_speed_m_s": "headwind at the reference height",
    "wind_reference_height_m": "height of the wind reading",
    "wind_floor_height_m": "below this height the wind is that of this height",
    "wind_exponent": "exponent of the wind over height",
    "ground_density_kg_m3": "density of the air on the field",
    "ground_temperature_K": "temperature of the air on the field",
    "lapse_rate_K_m": "fall of the air's temperature with height",
    "run_limit_s": "longest motor run; infinite: none",
    "run_from_release": "1: the motor run is counted from release, 0: from motor start",
    "cut_height_m": "the motor is cut at this true height over ground; infinite: never",
    "window_s": "the counted height looks this long beyond the motor stop",
    "rest_s": "time from the end of one launch to the begin of the next",
}
LAUNCH_DEFAULTS: Mapping[str, float] = {
    "motor_start_s": 0.0,
    "full_duty": 1.0,
    "throw_angle_rad": 0.0,
    "wind_speed_m_s": 0.0,
    "wind_reference_height_m": 10.0,
    "wind_floor_height_m": 1.0,
    "wind_exponent": 0.0,
    "run_limit_s": np.inf,
    "run_from_release": 0.0,
    "cut_height_m": np.inf,
    "rest_s": 0.0,
}
(
    MASS_KG,
    WING_AREA_M2,
    FOLDED_DRAG_AREA_M2,
    THROW_SPEED_M_S,
    THROW_HEIGHT_M,
    THROW_ANGLE_RAD,
    MOTOR_START_S,
    FULL_DUTY,
    CLIMB_SPEED_M_S,
    GLIDE_SPEED_M_S,
    SPEED_TIME_CONSTANT_S,
    PATH_TIME_CONSTANT_S,
    STEEPEST_CLIMB_RAD,
    LOWEST_POWERED_PATH_RAD,
    STEEPEST_DIVE_RAD,
    WIND_SPEED_M_S,
    WIND_REFERENCE_HEIGHT_M,
    WIND_FLOOR_HEIGHT_M,
    WIND_EXPONENT,
    GROUND_DENSITY_KG_M3,
    GROUND_TEMPERATURE_K,
    LAPSE_RATE_K_M,
    RUN_LIMIT_S,
    RUN_FROM_RELEASE,
    CUT_HEIGHT_M,
    WINDOW_S,
    REST_S,
) = range(27)

STATE_FIELDS: Mapping[str, str] = {
    "distance_m": "way over ground, against the wind",
    "height_m": "height over ground",
    "airspeed_m_s": "speed through the air",
    "path_rad": "path angle through the air, upwards positive",
    "charge_As": "charge taken since the pack was full",
    "slow_voltage_V": "volts across the RC pair of the pack",
    "motor_temperature_K": "temperature of the motor",
    "pack_temperature_K": "temperature of the pack",
    "copper_J": "heat in the winding",
    "no_load_J": "iron, bearings and air in the motor",
    "controller_J": "heat in the on-resistance of the controller",
    "part_load_J": "switching at part load",
    "pack_J": "quick resistance and RC pair of the pack, what the pair stores included",
    "lead_J": "heat in the leads",
    "servo_J": "servos and receiver",
    "chemical_J": "open-circuit volts x charge",
    "shaft_J": "work of the shaft",
    "thrust_J": "work of the propeller on the air-relative path, from release",
    "drag_J": "work against drag",
    "wind_J": "work that the growth of the wind with height does on the air-relative motion",
    "ceiling_s": "time at the lift ceiling",
}
(
    DISTANCE,
    HEIGHT,
    AIRSPEED,
    PATH,
    CHARGE,
    SLOW_VOLTAGE,
    MOTOR_TEMPERATURE,
    PACK_TEMPERATURE,
    COPPER_J,
    NO_LOAD_J,
    CONTROLLER_J,
    PART_LOAD_J,
    PACK_J,
    LEAD_J,
    SERVO_J,
    CHEMICAL_J,
    SHAFT_J,
    THRUST_J,
    DRAG_J,
    WIND_J,
    CEILING_S,
) = range(21)
MOVING = 8  # the states before this place act on the motion; those after it only count
SIZE = len(STATE_FIELDS)

OUTPUT_FIELDS: Mapping[str, str] = {
    "cut_reason": "0 time, 1 height, 2 low voltage, 3 pack empty, 4 ground, 5 longest flight",
    "cut_time_s": "motor stop after release",
    "motor_run_s": "motor start to motor stop",
    "height_at_cut_m": "height at motor stop",
    "highest_in_window_m": "highest point from motor start to the end of the window after the stop",
    "height_at_window_end_m": "height at the end of the window",
    "top_height_m": "highest point up to the top of the zoom, even after the window",
    "top_time_s": "time of that point after release",
    "zoom_gain_m": "top over the height at motor stop",
    "mean_climb_m_s": "height won from the hand to motor stop over the motor run",
    "best_climb_m_s": "best mean over 5 s on the 0.25 s grid up to motor stop, NaN if that is too short",
    "mean_pack_current_A": "mean over the motor run",
    "highest_pack_current_A": "under power, at the ends of the steps",
    "highest_motor_current_A": "under power",
    "lowest_pack_voltage_V": "at the terminals, under power",
    "lowest_cell_voltage_V": "the same over the whole number of cells in series",
    "highest_motor_temperature_K": "over the launch",
    "highest_pack_temperature_K": "over the launch",
    "highest_airspeed_m_s": "from release on",
    "lowest_airspeed_m_s": "from release on",
    "ground_contact": "1: the model came to the ground before the end",
    "drive_status": "worst status of the operating point after the soft start",
    "distance_at_cut_m": "way over ground at motor stop",
    "end_time_s": "end of the window or top of the zoom, the later; or ground contact",
    "charge_used_As": "charge taken in this launch",
    "potential_J": "growth of m g h from release",
    "kinetic_J": "growth of m V^2 / 2 from release, through the air",
} | {"end_" + name: meaning + ", at the end" for name, meaning in STATE_FIELDS.items()}
(
    CUT_REASON,
    CUT_TIME,
    MOTOR_RUN,
    HEIGHT_AT_CUT,
    HIGHEST_IN_WINDOW,
    HEIGHT_AT_WINDOW_END,
    TOP_HEIGHT,
    TOP_TIME,
    ZOOM_GAIN,
    MEAN_CLIMB,
    BEST_CLIMB,
    MEAN_PACK_CURRENT,
    HIGHEST_PACK_CURRENT,
    HIGHEST_MOTOR_CURRENT,
    LOWEST_PACK_VOLTAGE,
    LOWEST_CELL_VOLTAGE,
    HIGHEST_MOTOR_TEMPERATURE,
    HIGHEST_PACK_TEMPERATURE,
    HIGHEST_AIRSPEED,
    LOWEST_AIRSPEED,
    GROUND_CONTACT,
    DRIVE_STATUS,
    DISTANCE_AT_CUT,
    END_TIME,
    CHARGE_USED,
    POTENTIAL_J,
    KINETIC_J,
    END_STATE,
) = range(28)
OUTPUT_SIZE = END_STATE + SIZE
END_CHARGE = END_STATE + CHARGE

CUT_BY_TIME, CUT_BY_HEIGHT, CUT_BY_LOW_VOLTAGE, CUT_BY_EMPTY_PACK, CUT_BY_GROUND, CUT_BY_LONGEST_FLIGHT = (
    range(6)
)

TRACE_FIELDS: Mapping[str, str] = {
    "time_s": "time after release",
    "height_m": "height over ground",
    "airspeed_m_s": "speed through the air",
    "path_rad": "path angle through the air",
    "distance_m": "way over ground",
    "pack_current_A": "current out of the pack",
    "pack_voltage_V": "volts at the terminals of the pack",
    "motor_current_A": "current through the winding",
    "revs_per_s": "revolutions of the propeller",
    "thrust_N": "thrust",
    "motor_temperature_K": "temperature of the motor",
    "pack_temperature_K": "temperature of the pack",
    "charge_As": "charge taken since the pack was full",
}

START_FIELDS: Mapping[str, str] = {
    "charge_As": "charge already taken from the full pack",
    "slow_voltage_V": "volts across the RC pair",
    "motor_temperature_K": "temperature of the motor",
    "pack_temperature_K": "temperature of the pack",
}
START_SIZE = len(START_FIELDS)


class LaunchInputs(NamedTuple):
    """What a launch needs, one row a draw; `curves` and `tables` are shared by all draws.

    Shapes: `power` (draws, ``POWER_FIELDS``), `curves` (propellers, nodes, 16), `tables` (cells, nodes, 4),
    `polar` (draws, ``POLAR_SIZE``), `launch` (draws, ``LAUNCH_FIELDS``), `start` (draws,
    ``START_FIELDS``).
    """

    power: Array
    curves: Array
    tables: Array
    polar: Array
    launch: Array
    start: Array

    def rows(self, first: int, last: int) -> "LaunchInputs":
        """Return some of the draws."""
        power, curves, tables, polar, launch, start = self
        cut = slice(first, last)
        return LaunchInputs(power[cut], curves, tables, polar[cut], launch[cut], start[cut])

    def with_launch(self, **values: npt.ArrayLike) -> "LaunchInputs":
        """Return the same with other values in some columns of `launch`."""
        launch = self.launch.copy()
        names = list(LAUNCH_FIELDS)
        for name, value in values.items():
            launch[:, names.index(name)] = value
        return self._replace(launch=launch)


def launch_matrix(**values: npt.ArrayLike) -> Array:
    """Launches, shape (draws, ``LAUNCH_FIELDS``), from a number or an array a field.

    >>> launch_matrix(mass_kg=0.59)
    Traceback (most recent call last):
    ...
    ValueError: the fields must be those of the layout; unknown: [], missing: ['wing_area_m2', ...
    """
    return matrix(LAUNCH_FIELDS, LAUNCH_DEFAULTS, values)


def polar_matrix(**values: npt.ArrayLike) -> Array:
    """Polars without tables, shape (draws, ``POLAR_SIZE``), from a number or an array a field.

    Raises ``ValueError`` for a field of ``POLAR_FIELDS`` that is missing, or a name that is none.

    >>> polar_matrix(least_drag_coefficient=0.02)
    Traceback (most recent call last):
    ...
    ValueError: the fields must be those of the layout; unknown: [], missing: ['drag_rise', ...
    """
    return with_tables(matrix(POLAR_FIELDS, TABLE_DEFAULTS, values))


def start_matrix(**values: npt.ArrayLike) -> Array:
    """States of pack and motor before a launch, shape (draws, ``START_FIELDS``); a full pack by default.

    Raises ``ValueError`` for a temperature that is missing, or a name that is none.

    >>> start_matrix(motor_temperature_K=293.15, pack_temperature_K=[288.15, 293.15])[:, 3]
    array([288.15, 293.15])
    """
    return matrix(START_FIELDS, {"charge_As": 0.0, "slow_voltage_V": 0.0}, values)


def launch_inputs(
    power: Array, curves: Array, tables: Array, polar: Array, launch: Array, start: Array
) -> LaunchInputs:
    """Stack the blocks, each repeated to the number of draws of the longest one.

    Raises ``ValueError`` when a block has neither one row nor as many as the others, or a wrong width.

    >>> from glidewright.models.launch.example import example_inputs
    >>> two = start_matrix(motor_temperature_K=[288.15, 293.15], pack_temperature_K=293.15)
    >>> launch_inputs(*example_inputs()[:5], two).power.shape
    (2, 33)
    """
    blocks = {"power": (power, len(POWER_FIELDS)), "polar": (polar, POLAR_SIZE)}
    blocks |= {"launch": (launch, len(LAUNCH_FIELDS)), "start": (start, len(START_FIELDS))}
    draws = max(block.shape[0] for block, _ in blocks.values())
    rows = {}
    for name, (block, width) in blocks.items():
        if block.shape not in {(1, width), (draws, width)}:
            raise ValueError(f"{name} must have 1 or {draws} rows of {width} numbers, got {block.shape}")
        rows[name] = np.array(np.broadcast_to(block, (draws, width)), order="C")
    return LaunchInputs(rows["power"], curves, tables, rows["polar"], rows["launch"], rows["start"])
