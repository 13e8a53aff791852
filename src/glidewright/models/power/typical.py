"""Typical values of what sellers leave out, each with its band, its reason and the reading that narrows it.

Values and bands come from the coefficients ``typical``, ``motor``, ``controller`` and ``pack``
(studies/typical_motors.py and trade practice; the source of each stands there). Bands are the 10th and 90th
percentile of a lognormal spread. Inputs must be finite and above zero, else ``ValueError``.
"""

import math
from dataclasses import dataclass
from typing import Any, Literal

from glidewright.data import coefficients

_TABLE = coefficients("typical")
_MOTOR = coefficients("motor")
_CONTROLLER = coefficients("controller")
_PACK = coefficients("pack")

# definitions of the laws in studies/typical_motors.py: 60 g, 30 mm, 100 rad/(V s), 60 C, 12 milliohm
MASS_0_kg = 0.060
DIAMETER_0_m = 0.030
KV_0_rad_per_Vs = 100.0
PROPELLER_0_m = 0.28

TWO_PROPELLERS = "full-throttle volts, amps and revolutions with two propellers of very different load"
IDLE_READING = "no-load amps and revolutions at two voltages"
WARM_READING = "case temperature right after a 30 s run and again 3 minutes later"
PACK_READING = "pack volts before and 2 s into a full-throttle run, with the amps"
DROP_READING = "millivolts from the pack plug to a motor lead at full throttle, with the amps"
SERVO_READING = "milliamps from the receiver supply with the servos at rest and while moving"
SCALE_READING = "the part on a scale to 0.1 g"


@dataclass(frozen=True)
class Estimate:
    """A typical value: median, 10th and 90th percentile in SI, and where it comes from.

    ``reading`` names the bench reading that would narrow it most.
    """

    value: float
    low: float
    high: float
    because: str
    source: str
    reading: str
    grade: Literal["typical"] = "typical"


def _positive(**values: float | None) -> None:
    for name, value in values.items():
        if value is not None and not (math.isfinite(value) and value > 0.0):
            raise ValueError(f"{name} must be a finite number above zero, but is {value:g}")


def _scaled(entry: dict[str, Any], factor: float, because: str, reading: str) -> Estimate:
    return Estimate(
        value=entry["value"] * factor,
        low=entry["low"] * factor,
        high=entry["high"] * factor,
        because=because,
        source=entry["source"],
        reading=reading,
    )


def _law(name: str) -> float:
    return float(_TABLE[name]["value"])


def typical_motor_resistance(
    kv_rad_per_Vs: float, mass_kg: float, can_diameter_m: float | None = None
) -> Estimate:
    """Winding resistance in ohm, terminal to terminal at 20 °C, of an outrunner of 11 to 175 g.

    ``R = c (m / 60 g)^p (d / 30 mm)^q / Kv^2``; without the diameter the law of slim cans (up to 37 mm).

    >>> found = typical_motor_resistance(1020 * 0.10472, 0.050)
    >>> round(found.value, 3), found.low < 0.12 < found.high
    (0.149, True)
    """
    _positive(kv_rad_per_Vs=kv_rad_per_Vs, mass_kg=mass_kg, can_diameter_m=can_diameter_m)
    size = mass_kg / MASS_0_kg
    if can_diameter_m is None:
        name, shape, known = "resistance", 1.0, "Kv and mass"
    else:
        name, known = "sized_resistance", "Kv, mass and can diameter"
        shape = (can_diameter_m / DIAMETER_0_m) ** _law("sized_resistance_diameter_exponent")
    factor = size ** _law(f"{name}_mass_exponent") * shape / kv_rad_per_Vs**2
    return _scaled(
        _TABLE[f"{name}_factor"], factor, f"data sheets of outrunners, from {known}", TWO_PROPELLERS
    )


def typical_no_load_current(kv_rad_per_Vs: float, mass_kg: float, voltage_V: float = 10.0) -> Estimate:
    """No-load current in A of a slim outrunner of 11 to 175 g, at 10 V unless another voltage is asked for.

    At another voltage it follows the speed by ``no_load_speed_share`` of motor.toml.

    >>> round(typical_no_load_current(1020 * 0.10472, 0.050).value, 2)
    0.45
    """
    _positive(kv_rad_per_Vs=kv_rad_per_Vs, mass_kg=mass_kg, voltage_V=voltage_V)
    share = float(_MOTOR["no_load_speed_share"]["value"])
    speed = 1.0 - share + share * voltage_V / float(_MOTOR["no_load_reference_voltage"]["value"])
    factor = (
        (mass_kg / MASS_0_kg) ** _law("no_load_mass_exponent")
        * (kv_rad_per_Vs / KV_0_rad_per_Vs) ** _law("no_load_kv_exponent")
        * speed
    )
    return _scaled(
        _TABLE["no_load_factor"], factor, "data sheets of outrunners, from Kv and mass", IDLE_READING
    )


def typical_apparent_resistance(motor_resistance_ohm: float) -> Estimate:
    """Ohms that loaded benches show beyond winding (20 °C value given) and controller; not all of it is heat.

    Commutation against the winding's inductance, leads and plugs. The band is wide: 0 to twice the winding.

    >>> round(typical_apparent_resistance(0.10).value, 3)
    0.056
    """
    _positive(motor_resistance_ohm=motor_resistance_ohm)
    because = "ten motors identified on loaded benches, against the winding that their Kv and mass suggest"
    return _scaled(_TABLE["apparent_resistance"], motor_resistance_ohm, because, TWO_PROPELLERS)


def typical_motor_heat_capacity(mass_kg: float) -> Estimate:
    """Heat in J to warm a motor by one kelvin.

    >>> typical_motor_heat_capacity(0.050).value
    22.5
    """
    _positive(mass_kg=mass_kg)
    return _scaled(_MOTOR["heat_capacity"], mass_kg, "mix of copper, iron and magnets", WARM_READING)


def typical_motor_conductance(
    mass_kg: float,
    can_diameter_m: float | None = None,
    can_length_m: float | None = None,
    running: bool = True,
) -> Estimate:
    """Heat flow in W/K from motor to air; the surface of the can, or of a squat can of that mass.

    >>> round(typical_motor_conductance(0.050, 0.028, 0.028).value, 2)
    0.26
    """
    _positive(mass_kg=mass_kg, can_diameter_m=can_diameter_m, can_length_m=can_length_m)
    volume_m3 = mass_kg / _law("motor_density")
    diameter_m = can_diameter_m or (4.0 * volume_m3 / math.pi) ** (1.0 / 3.0)
    length_m = can_length_m or 4.0 * volume_m3 / (math.pi * diameter_m**2)
    area_m2 = math.pi * diameter_m * (length_m + diameter_m / 2.0)
    entry = _MOTOR["surface_running" if running else "surface_still"]
    because = "handbook range for moving air" if running else "handbook range for still air"
    return _scaled(entry, area_m2, f"{because} on the surface of the can", WARM_READING)


def typical_controller_resistance(max_current_A: float | None = None) -> Estimate:
    """On-resistance in ohm of a controller with its leads, from its rated current (10 to 100 A).

    ``R = r + U / I``: leads, and two switches that shrink with the rating. Without a rating the usual one and
    its band stand in, which makes the band wider.

    >>> round(typical_controller_resistance(20.0).value, 4)
    0.012
    >>> round(typical_controller_resistance().high, 4)
    0.04
    """
    _positive(max_current_A=max_current_A)
    usual = _CONTROLLER["rating"]
    least, middle, most = (max_current_A or usual[key] for key in ("low", "value", "high"))
    fixed, volts = _TABLE["controller_resistance_fixed"], _TABLE["controller_resistance_volt"]
    value, low, high = (
        fixed[key] + volts[key] / rated for key, rated in (("value", middle), ("low", most), ("high", least))
    )
    because = "leads, and two switches that shrink with the rating"
    return Estimate(value, low, high, because, volts["source"], DROP_READING)


def typical_pack_resistance(capacity_As: float, cells: int, c_rating: float | None = None) -> Estimate:
    """Resistance in ohm of a fresh pack at 22 °C from its whole capacity, cells in series and C label.

    ``n r / capacity``, r about 10 milliohm Ah per cell; a C label moves r by the root only.

    >>> round(typical_pack_resistance(550 * 3.6, 2).value, 3)
    0.037
    """
    _positive(capacity_As=capacity_As, cells=cells, c_rating=c_rating)
    label = 1.0 if c_rating is None else (c_rating / _law("pack_c_rating")) ** _law("pack_c_exponent")
    because = "trade practice for fresh packs, by capacity" + ("" if c_rating is None else " and C label")
    return _scaled(_TABLE["pack_resistance"], cells * label * 3600.0 / capacity_As, because, PACK_READING)


def typical_pack_heat_capacity(mass_kg: float) -> Estimate:
    """Heat in J to warm a pack by one kelvin.

    >>> typical_pack_heat_capacity(0.035).value
    35.0
    """
    _positive(mass_kg=mass_kg)
    return _scaled(_PACK["heat_capacity"], mass_kg, "pouch cells", WARM_READING)


def typical_pack_conductance(mass_kg: float) -> Estimate:
    """Heat flow in W/K from a pack inside a fuselage to the air, by the surface of a flat box of that mass.

    >>> round(typical_pack_conductance(0.035).value, 3)
    0.047
    """
    _positive(mass_kg=mass_kg)
    volume_m3 = mass_kg / float(_PACK["bulk_density"]["value"])
    area_m2 = float(_PACK["surface_shape"]["value"]) * volume_m3 ** (2.0 / 3.0)
    return _scaled(_PACK["surface"], area_m2, "handbook range for still air on a flat box", WARM_READING)


def typical_servo_current(working: bool) -> Estimate:
    """Supply current in A of one micro servo, at rest or as a mean while flying.

    >>> typical_servo_current(working=False).value
    0.008
    """
    entry = _TABLE["servo_working_current" if working else "servo_idle_current"]
    return _scaled(entry, 1.0, "micro servos in general", SERVO_READING)


def typical_receiver_current() -> Estimate:
    """Supply current in A of a receiver.

    >>> typical_receiver_current().value
    0.05
    """
    return _scaled(_TABLE["receiver_current"], 1.0, "receivers in general", SERVO_READING)


def typical_propeller_mass(diameter_m: float, folding: bool) -> Estimate:
    """Mass in kg of a pair of folding blades without yoke, or of a fixed propeller, 0.15 to 0.40 m.

    >>> round(typical_propeller_mass(0.28, folding=True).value, 4)
    0.012
    """
    _positive(diameter_m=diameter_m)
    factor = (diameter_m / PROPELLER_0_m) ** _law("propeller_mass_exponent")
    entry = _TABLE["folding_blades" if folding else "fixed_propeller"]
    return _scaled(entry, factor, "propellers of this diameter", SCALE_READING)
