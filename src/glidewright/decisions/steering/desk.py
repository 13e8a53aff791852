"""All that ``controls`` works with: a forecast, linkages over its draws, what surfaces and rods add."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glidewright.base.errors import InputError, Problem
from glidewright.base.figure import Figure
from glidewright.data import coefficient, coefficients
from glidewright.decisions.extra_inputs import Extra, banded, extra_inputs
from glidewright.decisions.steering.checks import rig_problems
from glidewright.decisions.steering.hinges import hinge_of
from glidewright.decisions.steering.rig import Rig, rig_inputs, rig_of, rigs_in_order, rod_of
from glidewright.domain.control import Build, Steering
from glidewright.domain.model import Model
from glidewright.domain.parts import Linkage, Servo
from glidewright.forecast.missing import MissingValue
from glidewright.forecast.predict import Forecast
from glidewright.forecast.spread import Input, Kind, from_band, from_field
from glidewright.forecast.usual import stand_in

Array = NDArray[np.float64]
LINE = "line"
_ROWS: tuple[tuple[str, str, Kind], ...] = (
    ("friction", "friction of hinges and guides", "factor"),
    ("gear_efficiency", "losses in the servo gears", "factor"),
    ("flap_effect", "effect of real flaps", "factor"),
    ("hinge_factor", "hinge moment of real flaps", "factor"),
    ("tail_alpha_rad", "angle of attack of the tail", "offset"),
    ("pivot_off", "pivot of the all-moving surface", "offset"),
    ("pulse_s", "pulse for a quarter turn of a servo", "factor"),
    ("gap_loss", "loss by an open gap", "factor"),
)
_BRAKE_ROWS: tuple[tuple[str, str, Kind], ...] = (
    ("lost_lift_place", "place of the lift lost to the brake", "offset"),
    ("wake_loss", "wake of the brake on the tail", "offset"),
    ("closing_time_s", "closing of the brake", "factor"),
)


_MATERIAL = (("modulus", "Pa"), ("expansion", "per_K"))


@dataclass(frozen=True)
class Desk:
    """A forecast with what one look at its controls adds; missing: what stands in."""

    found: Forecast
    extra: Extra
    rigs: tuple[Rig, ...]
    missing: tuple[MissingValue, ...]

    @property
    def model(self) -> Model:
        """The model of the forecast."""
        return self.found.setup.model

    def __getitem__(self, name: str) -> Array:
        return self.extra[name]

    def figure(self, draws: Array, shown: str) -> Figure:
        """Draws as a figure, with what most of its spread comes from."""
        return self.extra.figure(draws, shown)

    def rigs_of(self, *surfaces: str) -> tuple[Rig, ...]:
        """The linkages of some surfaces."""
        return tuple(rig for rig in self.rigs if rig.control.surface in surfaces)

    @property
    def steps(self) -> float:
        """Steps of the transmitter from end to end."""
        stated = self.model.steering.steps
        return coefficient("control", "steps") if stated is None else float(stated)


def desk_of(found: Forecast) -> Desk:
    """Draw every input of the controls beside the forecast.

    Raises InputError with everything that no linkage can be.
    """
    model = found.setup.model
    entries = [*_common(model), *_build_inputs(model), *_servo_inputs(model), *_rod_inputs(model)]
    missing = list(_missing(model))
    for control in model.controls:
        own, unknown = rig_inputs(model, control)
        entries += own
        missing += unknown
    _refuse_impossible(model, entries, found)
    extra = extra_inputs(found, entries)
    rigs = tuple(
        rig_of(model, control, extra.values, hinge_of(control.surface, model.airframe.geometry), found)
        for control in rigs_in_order(model)
    )
    return Desk(found, extra, rigs, tuple(missing))


def _refuse_impossible(model: Model, entries: list[Input], found: Forecast) -> None:
    """Look at every linkage with its measures in the middle of their bands."""
    middle = {entry.name: np.array([entry.value]) for entry in entries}
    nominal = None if found.items is None else found
    problems: list[Problem] = []
    for control in rigs_in_order(model):
        hinge = hinge_of(control.surface, model.airframe.geometry)
        rig = rig_of(model, control, middle, hinge, None if control.rod_length_m else nominal)
        problems += rig_problems(rig)
    if problems:
        raise InputError(problems)


def _common(model: Model) -> Iterator[Input]:
    """What all surfaces share: real flaps against theory, friction, the dive, the pilot, the brake."""
    for row, title, kind in _ROWS:
        yield banded(f"control.{row}", title, coefficients("control")[row], kind)
    for row, title, kind in _BRAKE_ROWS:
        yield banded(f"brake.{row}", title, coefficients("brake")[row], kind)
    yield banded(
        "brake.plate", "drag of the brake blades", coefficients("airframe_drag")["brake_plate"], "factor"
    )
    for field, title, narrows in (
        ("dive_speed_m_s", "dive speed", "say how fast you mean to fly"),
        ("reaction_s", "reaction of the pilot", ""),
    ):
        name = f"steering.{field}"
        if getattr(model.steering, field) is not None:
            yield from_field(model.steering, field, name, title, narrows)
        else:
            yield from_band(name, title, stand_in("control", field), "factor", narrows)


def _build_inputs(model: Model) -> Iterator[Input]:
    """What a ruler found, as far as it is stated."""
    for field, info in Build.model_fields.items():
        if getattr(model.build, field) is not None:
            title = str(info.title).lower()
            yield from_field(model.build, field, f"build.{field}", title, "measure it again")


def _servo_inputs(model: Model) -> Iterator[Input]:
    """Torque, speed and stall current of every servo that is fitted or lies in the drawer."""
    servos = {part.id: part for part in model.drawer if isinstance(part, Servo)}
    servos |= {part.id: part for _, part in model.of_kind(Servo)}
    titles = {"torque_Nm": "torque", "speed_s_per_rad": "speed", "stall_current_A": "stall current"}
    for part in servos.values():
        for field, title in titles.items():
            if getattr(part, field) is not None:
                narrows = "hang a weight on the servo arm" if field == "torque_Nm" else ""
                name = f"servo:{part.id}:{field}"
                yield from_field(part, field, name, f"{title} of servo {part.id}", narrows)


def _rod_inputs(model: Model) -> Iterator[Input]:
    """Stiffness and growth of the materials in use, and diameters of the fitted rods."""
    materials = dict.fromkeys(c.rod_material for c in model.controls if c.rod_material not in ("", LINE))
    for material in materials:
        stiff, grows = (coefficients("control")[f"{row}_{material}_{unit}"] for row, unit in _MATERIAL)
        yield banded(f"rod:{material}:modulus", f"stiffness of {material}", stiff, "factor")
        yield banded(f"rod:{material}:expansion", f"growth of {material} by warmth", grows, "offset")
    rods = {rod.id: rod for control in model.controls if (rod := rod_of(model, control)) is not None}
    for rod in rods.values():
        if rod.rod_diameter_m is not None:
            yield from_field(rod, "rod_diameter_m", f"rod:{rod.id}:diameter", f"diameter of {rod.id}")


def _missing(model: Model) -> Iterator[MissingValue]:
    """Values of the steering that stand in."""
    if model.steering.dive_speed_m_s is None:
        entry = from_band(
            "steering.dive_speed_m_s", "dive speed", stand_in("control", "dive_speed_m_s"), "factor"
        )
        yield MissingValue(Steering.table, "dive speed", "dive_speed_m_per_s", entry, "m/s", "say it")
    if model.steering.steps is None:
        entry = from_band(
            "steering.steps", "steps of the transmitter", stand_in("control", "steps"), "factor"
        )
        yield MissingValue(Steering.table, "steps of the transmitter", "steps", entry, "", "its manual")


def diameter_of(desk: Desk, rod: Linkage | None) -> Array | None:
    """Draws of the diameter of a rod, or nothing where its part states none."""
    if rod is None or rod.rod_diameter_m is None:
        return None
    return desk[f"rod:{rod.id}:diameter"]
