"""What is not stated of a part though predictions need it, what stands in, and which reading narrows it."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import cast

from glidewright.base.fields import Quantity, quantities
from glidewright.base.figure import Figure, Given
from glidewright.data import coefficient
from glidewright.domain.parts import Altimeter, Controller, Motor, Pack, Part, Propeller
from glidewright.forecast.spread import from_given
from glidewright.models.power import typical
from glidewright.models.power.typical import Estimate

from .nouns import Missing

DATA_SHEET = "the maker's data sheet; no reading of yours can tell a limit"
CALIPER = "a caliper across the two blade pivots"
STAIRS = "readings at the foot and the head of stairs of known height, ten times"
_SETTING = "its setting, read from the device"


@dataclass(frozen=True)
class Need:
    """A field that predictions need: its typical value or nothing, and the reading that narrows it."""

    field: str
    reading: str
    estimate: Callable[[Part], Estimate | None] = lambda _part: None
    otherwise: str = "nothing stands in for it"
    applies: Callable[[Part], bool] = lambda _part: True


def _motor_resistance(part: Part) -> Estimate | None:
    motor = cast("Motor", part)
    if motor.kv_rad_per_Vs is None or motor.mass_kg is None:
        return None
    diameter = motor.can_diameter_m.value if motor.can_diameter_m else None
    return typical.typical_motor_resistance(motor.kv_rad_per_Vs.value, motor.mass_kg.value, diameter)


def _no_load_current(part: Part) -> Estimate | None:
    motor = cast("Motor", part)
    if motor.kv_rad_per_Vs is None or motor.mass_kg is None:
        return None
    reference_V = coefficient("motor", "no_load_reference_voltage")
    voltage_V = motor.no_load_voltage_V.value if motor.no_load_voltage_V else reference_V
    return typical.typical_no_load_current(motor.kv_rad_per_Vs.value, motor.mass_kg.value, voltage_V)


def _controller_resistance(part: Part) -> Estimate:
    rating = cast("Controller", part).max_current_A
    return typical.typical_controller_resistance(rating.value if rating else None)


def _pack_resistance(part: Part) -> Estimate:
    pack = cast("Pack", part)
    rating = pack.c_rating.value if pack.c_rating else None
    return typical.typical_pack_resistance(pack.capacity_As.value, pack.cells, rating)


def _propeller_mass(part: Part) -> Estimate | None:
    propeller = cast("Propeller", part)
    if propeller.folding:
        return None
    return typical.typical_propeller_mass(propeller.diameter_m.value, folding=False)


def _stops_motor(part: Part) -> bool:
    return cast("Altimeter", part).stops_motor


def _no_own_limit(part: Part) -> bool:
    return cast("Pack", part).max_current_A is None


_MASS = Need("mass_kg", typical.SCALE_READING)
NEEDS: Mapping[str, tuple[Need, ...]] = {
    "motor": (
        _MASS,
        Need("kv_rad_per_Vs", typical.IDLE_READING),
        Need("resistance_ohm", typical.TWO_PROPELLERS, _motor_resistance),
        Need("no_load_current_A", typical.IDLE_READING, _no_load_current),
        Need("max_current_A", DATA_SHEET, otherwise="its current limit cannot be checked"),
    ),
    "controller": (
        _MASS,
        Need("max_current_A", DATA_SHEET, otherwise="its current limit cannot be checked"),
        Need("resistance_ohm", typical.DROP_READING, _controller_resistance),
    ),
    "pack": (
        _MASS,
        Need("resistance_ohm", typical.PACK_READING, _pack_resistance),
        Need(
            "c_rating",
            "its label",
            otherwise="its current limit cannot be checked",
            applies=_no_own_limit,
        ),
    ),
    "propeller": (
        Need("mass_kg", typical.SCALE_READING, _propeller_mass),
        Need(
            "yoke_m",
            CALIPER,
            otherwise="the marked size is taken as it is",
            applies=lambda part: cast("Propeller", part).folding,
        ),
    ),
    "servo": (
        _MASS,
        Need(
            "working_current_A",
            typical.SERVO_READING,
            lambda _part: typical.typical_servo_current(working=True),
        ),
    ),
    "receiver": (
        _MASS,
        Need("current_A", typical.SERVO_READING, lambda _part: typical.typical_receiver_current()),
    ),
    "altimeter": (
        _MASS,
        Need("height_error_m", STAIRS),
        Need("cut_height_m", _SETTING, otherwise="no cut by height", applies=_stops_motor),
        Need("cut_time_s", _SETTING, otherwise="no cut by time", applies=_stops_motor),
    ),
}


def missing_of(part: Part) -> tuple[Missing, ...]:
    """The values of a part that predictions need and nobody stated, in the order of the part's table."""
    return tuple(_missing(part))


def _missing(part: Part) -> Iterator[Missing]:
    metas = quantities(type(part))
    for need in NEEDS.get(part.kind, (_MASS,)):
        if getattr(part, need.field) is not None or not need.applies(part):
            continue
        meta = metas[need.field]
        title = str(type(part).model_fields[need.field].title)
        estimate = need.estimate(part)
        stand_in = None if estimate is None else _stand_in(estimate, title, meta)
        yield Missing(
            part=part.id,
            value=title,
            key=meta.key,
            stand_in=stand_in,
            because=need.otherwise if stand_in is None else stand_in.because,
            narrows=need.reading,
        )


def _stand_in(estimate: Estimate, title: str, meta: Quantity) -> Figure:
    given = Given(
        value=estimate.value,
        low=estimate.low,
        high=estimate.high,
        grade=estimate.grade,
        because=f"typical: {estimate.because}",
    )
    return figure_of(given, title, meta)


def figure_of(given: Given, title: str, meta: Quantity) -> Figure:
    """A stated number as a figure: its own band, or the one of its grade."""
    entry = from_given(meta.key, title, given, meta.spread)
    return Figure(
        value=entry.value,
        low=entry.low,
        high=entry.high,
        unit=meta.shown.si,
        shown=meta.shown.symbol,
        grade=entry.grade,
        because=entry.because,
    )
