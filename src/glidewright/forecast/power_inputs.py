"""Inputs of the power train and the radio: what was stated, and typical values where it was not."""

import math
from dataclasses import dataclass

from glidewright.base.errors import OutsideModelError
from glidewright.base.fields import quantities
from glidewright.base.figure import Given, Grade, worst_grade
from glidewright.data import coefficient, coefficients
from glidewright.domain.model import Model
from glidewright.domain.parts import Altimeter, Controller, Motor, Pack, Part, Propeller, Receiver, Servo
from glidewright.forecast.missing import MissingValue
from glidewright.forecast.spread import Z90, Input, from_band, from_field
from glidewright.forecast.usual import usual
from glidewright.models.power import typical
from glidewright.models.power.propeller import PropellerCurve, propeller_curve
from glidewright.models.power.propeller_yoke import curve_on_yoke, folding_geometry
from glidewright.models.power.typical import Estimate


def _usual(name: str) -> Given:
    return usual("controller", name, str(coefficients("controller")[name]["where"]))


SUPPLY_VOLTAGE_V = _usual("servo_supply_voltage")


@dataclass(frozen=True)
class DrivePart:
    """The four parts of a power train."""

    motor: Motor
    controller: Controller
    pack: Pack
    propeller: Propeller


@dataclass(frozen=True)
class PowerInputs:
    """Inputs of a power train, its propeller curve, what is missing and where numbers come from."""

    drive: DrivePart
    curve: PropellerCurve
    entries: tuple[Input, ...]
    missing: tuple[MissingValue, ...]
    sources: tuple[str, ...]


def drive_of(model: Model) -> DrivePart | str:
    """The power train of a model, or the sentence that says which part is not fitted."""
    motor, controller = model.first(Motor), model.first(Controller)
    pack, propeller = model.first(Pack), model.first(Propeller)
    if motor and controller and pack and propeller:
        return DrivePart(motor, controller, pack, propeller)
    found: dict[str, Part | None] = {
        "motor": motor,
        "controller": controller,
        "pack": pack,
        "propeller": propeller,
    }
    return f"no {' and no '.join(kind for kind, part in found.items() if part is None)} is fitted"


class _Collector:
    """Gathers inputs and missing values of parts."""

    def __init__(self) -> None:
        self.entries: list[Input] = []
        self.missing: list[MissingValue] = []
        self.sources: list[str] = []

    def stated_or_typical(
        self, part: Part, field: str, name: str, title: str, shown: str, estimate: Estimate | Given
    ) -> Input:
        """The stated value of a part, or the typical one, which is then named as missing."""
        stated: Given | None = getattr(part, field)
        quantity = quantities(type(part))[field]
        narrows = estimate.reading if isinstance(estimate, Estimate) else ""
        if stated is not None:
            self.entries.append(from_field(part, field, name, title, narrows))
            return self.entries[-1]
        given = estimate if isinstance(estimate, Given) else _given(estimate)
        if isinstance(estimate, Estimate):
            self.sources.append(estimate.source)
        self.entries.append(from_band(name, title, given, "factor", narrows))
        self.missing.append(MissingValue(part.id, title, quantity.key, self.entries[-1], shown, narrows))
        return self.entries[-1]

    def always_typical(self, name: str, title: str, estimate: Estimate) -> None:
        """A value that no part file states."""
        self.entries.append(from_band(name, title, _given(estimate), "factor", estimate.reading))
        self.sources.append(estimate.source)


def _given(estimate: Estimate) -> Given:
    return Given(
        value=estimate.value,
        low=estimate.low,
        high=estimate.high,
        grade="typical",
        because=f"typical: {estimate.because}",
    )


def power_inputs(drive: DrivePart, model: Model) -> PowerInputs:
    """All inputs of a power train. Raises OutsideModelError when no model covers one of its parts."""
    collect = _Collector()
    _motor(collect, drive.motor)
    _controller(collect, drive.controller)
    _pack(collect, drive.pack)
    _radio(collect, model)
    curve = curve_of(drive.propeller)
    _propeller(collect, curve)
    sources = (*curve.sources, *collect.sources, coefficients("pack")["cell_voltage"]["source"])
    return PowerInputs(
        drive, curve, tuple(collect.entries), tuple(collect.missing), tuple(dict.fromkeys(sources))
    )


def _motor(collect: _Collector, motor: Motor) -> None:
    if motor.kv_rad_per_Vs is None or motor.mass_kg is None:
        what = "kv_rpm_per_V" if motor.kv_rad_per_Vs is None else "mass_g"
        raise OutsideModelError.at(
            f"motor {motor.id}",
            f"must state {what}; nothing came; add it, a motor without it cannot be computed",
        )
    kv, mass = motor.kv_rad_per_Vs.value, motor.mass_kg.value
    diameter = motor.can_diameter_m.value if motor.can_diameter_m else None
    length = motor.can_length_m.value if motor.can_length_m else None
    collect.entries.append(from_field(motor, "kv_rad_per_Vs", "motor.kv", "Kv", typical.IDLE_READING))
    guess = typical.typical_motor_resistance(kv, mass, diameter)
    resistance = collect.stated_or_typical(
        motor, "resistance_ohm", "motor.resistance", "winding resistance", "mΩ", guess
    )
    idle = typical.typical_no_load_current(kv, mass, no_load_voltage_V(motor))
    collect.stated_or_typical(
        motor, "no_load_current_A", "motor.no_load_current", "no-load current", "A", idle
    )
    extra = typical.typical_apparent_resistance(resistance.value)
    collect.always_typical("motor.apparent_resistance", "commutation and leads", extra)
    collect.always_typical(
        "motor.heat_capacity", "heat capacity of the motor", typical.typical_motor_heat_capacity(mass)
    )
    cooling = typical.typical_motor_conductance(mass, diameter, length)
    collect.always_typical("motor.cooling", "cooling of the motor", cooling)
    share = usual("motor", "no_load_speed_share")
    collect.entries.append(
        from_band("motor.loss_slope", "growth of idle losses", share, "factor", typical.IDLE_READING)
    )


def no_load_voltage_V(motor: Motor) -> float:
    """Voltage at which the no-load current holds: the stated one, else that of most data sheets."""
    if motor.no_load_voltage_V is not None:
        return motor.no_load_voltage_V.value
    return coefficient("motor", "no_load_reference_voltage")


def _controller(collect: _Collector, controller: Controller) -> None:
    rated = controller.max_current_A.value if controller.max_current_A else None
    collect.stated_or_typical(
        controller,
        "resistance_ohm",
        "controller.resistance",
        "controller resistance",
        "mΩ",
        typical.typical_controller_resistance(rated),
    )
    collect.stated_or_typical(
        controller, "soft_start_s", "controller.soft_start", "soft start", "s", _usual("soft_start")
    )
    collect.stated_or_typical(
        controller,
        "low_voltage_cut_V",
        "controller.low_voltage_cut",
        "low-voltage cut per cell",
        "V",
        _usual("low_voltage_cut"),
    )


def _pack(collect: _Collector, pack: Pack) -> None:
    rating = pack.c_rating.value if pack.c_rating else None
    guess = typical.typical_pack_resistance(pack.capacity_As.value, pack.cells, rating)
    collect.stated_or_typical(pack, "resistance_ohm", "pack.resistance", "pack resistance", "mΩ", guess)
    collect.entries.append(
        from_field(pack, "capacity_As", "pack.capacity", "pack capacity", "charge put back, from a charger")
    )
    table = coefficients("pack")
    spread = table["cell_voltage_sigma"]["value"] * Z90
    shift = Given(value=0.0, low=-spread, high=spread, grade="typical", because="cells of different makes")
    collect.entries.append(from_band("pack.open_voltage", "open-circuit volts per cell", shift, "offset"))
    mass = pack.mass_kg.value if pack.mass_kg else None
    if mass is None:
        raise OutsideModelError.at(
            f"pack {pack.id}",
            "must state mass_g; nothing came; weigh it, its heat cannot be computed without",
        )
    collect.always_typical(
        "pack.heat_capacity", "heat capacity of the pack", typical.typical_pack_heat_capacity(mass)
    )
    collect.always_typical("pack.cooling", "cooling of the pack", typical.typical_pack_conductance(mass))
    for key, name, title in (
        ("slow_ratio", "pack.slow_ratio", "slow part of the pack resistance"),
        ("slow_time", "pack.relaxation", "recovery time of the pack"),
        ("temperature_rise", "pack.cold", "growth of pack resistance in the cold"),
    ):
        collect.entries.append(from_band(name, title, usual("pack", key), "factor", typical.PACK_READING))


def _radio(collect: _Collector, model: Model) -> None:
    """Mean supply current of receiver, servos and altimeter, as one input at the servo supply."""
    currents: list[Input] = []
    for kind, field, guess in (
        (Servo, "working_current_A", typical.typical_servo_current(working=True)),
        (Receiver, "current_A", typical.typical_receiver_current()),
        (Altimeter, "current_A", None),
    ):
        for _, part in model.of_kind(kind):
            if getattr(part, field) is not None:
                currents.append(from_field(part, field, part.id, part.name))
            elif guess is not None:
                currents.append(from_band(part.id, part.name, _given(guess), "factor"))
    total = math.fsum(one.value for one in currents)
    given = Given(
        value=total,
        low=max(total - math.hypot(*(one.value - one.low for one in currents)), 0.0),
        high=total + math.hypot(*(one.high - one.value for one in currents)),
        grade=worst_grade([one.grade for one in currents]) if currents else "quoted",
        because="mean current of servos and receiver while flying",
    )
    collect.entries.append(
        from_band("radio.current", "current of the radio", given, "factor", typical.SERVO_READING)
    )
    loss = usual("controller", "part_load_factor")
    collect.entries.append(from_band("controller.part_load", "part-load loss", loss, "offset"))


def curve_of(propeller: Propeller) -> PropellerCurve:
    """The coefficients of a propeller on its yoke. Raises OutsideModelError for what no data cover."""
    diameter, pitch = propeller.diameter_m.value, propeller.pitch_m.value
    try:
        if propeller.folding and propeller.yoke_m and propeller.yoke_assumed_m:
            changed = folding_geometry(
                diameter, pitch, propeller.yoke_m.value, propeller.yoke_assumed_m.value
            )
            return curve_on_yoke(diameter, pitch, changed, propeller.family)
        return propeller_curve(diameter, pitch, propeller.folding, propeller.family, propeller.blades)
    except ValueError as refused:
        raise OutsideModelError.at(f"propeller {propeller.id}", str(refused)) from refused


def _propeller(collect: _Collector, curve: PropellerCurve) -> None:
    grade: Grade = "measured" if curve.origin == "measured size" else "typical"
    reading = "full-throttle volts, amps, speed and thrust with this propeller"
    for name, title, sigma in (
        ("thrust", "thrust of the propeller", curve.thrust_sigma),
        ("power", "power of the propeller", curve.power_sigma),
        (
            "zero_thrust",
            "zero-thrust advance ratio",
            curve.zero_thrust_sigma / curve.zero_thrust_advance_ratio,
        ),
    ):
        half = math.exp(Z90 * sigma)
        given = Given(value=1.0, low=1.0 / half, high=half, grade=grade, because=curve.because)
        collect.entries.append(from_band(f"propeller.{name}", title, given, "factor", reading))
