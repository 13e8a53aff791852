"""A linkage of the folder as the chain of ``models.control``, over draws, with its inputs and stand-ins."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from glidewright.base.fields import quantities
from glidewright.base.figure import Given
from glidewright.data import coefficient
from glidewright.decisions.steering.hinges import Hinge
from glidewright.domain.control import Control
from glidewright.domain.model import Model
from glidewright.domain.parts import Linkage, Servo
from glidewright.forecast.missing import MissingValue
from glidewright.forecast.predict import Forecast
from glidewright.forecast.spread import Input, from_band, from_field
from glidewright.forecast.usual import stand_in
from glidewright.models.control.fourbar import Linkage as Chain
from glidewright.models.control.fourbar import Position, length_between_m, position, servo_angle_rad
from glidewright.models.control.stick import share_of_travel

Array = NDArray[np.float64]
SPOILER = "spoiler"
_OTHER_WAY = {"up": "down", "down": "up", "left": "right", "right": "left", "open": "closed"}
_STATED = (
    ("arm_m", "arm_m", "servo arm", "measure the arm from the shaft to the hole"),
    ("horn_m", "horn_m", "horn", "measure the horn from the hinge line to the hole"),
    ("servo_throw_rad", "servo_throw_rad", "servo throw", "read the angle of the arm at full stick"),
)
_WITH_DEFAULT = (
    ("horn_ahead_m", "place of the hole over the hinge"),
    ("skew_rad", "skew of the servo"),
    ("offset_m", "offset of arm and horn"),
)


@dataclass(frozen=True)
class Rig:
    """One linkage: draws of its measures by name, (draws,), and the chain that they make, (draws, 1).

    hinge: where the surface is hinged, nothing without a shape; needed_m: rod length between servo and hinge
    as they are placed, nothing where a place is unknown.
    """

    control: Control
    servo: Servo | None
    rod: Linkage | None
    hinge: Hinge | None
    values: Mapping[str, Array]
    chain: Chain
    needed_m: Array | None

    @property
    def is_spoiler(self) -> bool:
        """Whether it opens from one end instead of moving both ways."""
        return self.control.surface == SPOILER

    @property
    def throw_rad(self) -> Array:
        """Servo angle each way at the stated travel, (draws,)."""
        return self.values["servo_throw_rad"]

    @property
    def ways(self) -> tuple[str, str]:
        """The way that counts positive, and the other one."""
        first = "open" if self.is_spoiler else self.control.push_way
        return first, _OTHER_WAY[first]

    def sign_of(self, way: str) -> float:
        """1 for the way that counts positive, -1 for the other one."""
        return 1.0 if way == self.ways[0] else -1.0

    def servo_at(self, share: ArrayLike) -> Array:
        """Servo angle as the chain counts it, (draws, any), at shares of the stated travel from -1 to 1."""
        part = np.atleast_2d(np.asarray(share, dtype=np.float64))
        if self.is_spoiler:
            part = self._push * (part + 1.0)
        found: Array = part * self.throw_rad[:, None]
        return found

    def at(self, share: ArrayLike) -> tuple[Array, Position]:
        """Deflection, the first way positive, and the position of the chain, (draws, any)."""
        found = position(self.chain, self.servo_at(share))
        return self._push_positive * found.deflection_rad, found

    def share_for(self, deflection_rad: ArrayLike) -> Array:
        """Share of the stated travel for a deflection, first way positive, (draws, any); NaN out of reach."""
        wanted = np.asarray(deflection_rad, dtype=np.float64)
        servo = servo_angle_rad(self.chain, self._push_positive * wanted)
        share = share_of_travel(servo, self.throw_rad[:, None])
        found: Array = self._push * share - 1.0 if self.is_spoiler else share
        return found

    @property
    def _push(self) -> float:
        """Of a spoiler, 1 where a push opens it."""
        return 1.0 if self.control.opens_by_push else -1.0

    @property
    def _push_positive(self) -> float:
        """Sign from what a push gives to the first way."""
        return self._push if self.is_spoiler else 1.0


def first_of(rig: Rig, count: int) -> Rig:
    """The same linkage with its first draws alone."""
    measures: dict[str, Any] = {
        name: np.asarray(part)[:count] for name, part in vars(rig.chain).items() if name != "opposite"
    }
    needed = None if rig.needed_m is None else rig.needed_m[:count]
    values = {name: row[:count] for name, row in rig.values.items()}
    return replace(rig, values=values, chain=Chain(opposite=rig.chain.opposite, **measures), needed_m=needed)


def servo_of(model: Model, control: Control) -> Servo | None:
    """The fitted servo that a control names."""
    return next((part for item, part in model.of_kind(Servo) if item.name == control.servo), None)


def rod_of(model: Model, control: Control) -> Linkage | None:
    """The fitted linkage that a control names."""
    return next((part for item, part in model.of_kind(Linkage) if item.name == control.rod), None)


def rig_inputs(model: Model, control: Control) -> tuple[list[Input], list[MissingValue]]:
    """Inputs of one linkage under ``control:LABEL:FIELD``, and what stands in for what is not stated."""
    collect = _Collector(control)
    for field, row, title, narrows in _STATED:
        collect.stated_or_usual(field, row, title, narrows)
    for field, title in _WITH_DEFAULT:
        collect.stated(field, title)
    if control.arm_angle_rad is not None:
        collect.stated("arm_angle_rad", "angle of the arm")
    else:
        square = Given(value=0.0, low=-0.05, high=0.05, grade="typical", because="set square by eye")
        collect.add("arm_angle_rad", "angle of the arm", square, "set the arm square")
    if control.rod_length_m is not None:
        collect.stated("rod_length_m", "rod length")
    _plays(collect, rod_of(model, control))
    _servo(collect, servo_of(model, control))
    return collect.inputs, collect.missing


def _plays(collect: "_Collector", rod: Linkage | None) -> None:
    """Play of both joints: stated, half of what the rod's part states end to end, or usual."""
    control = collect.control
    whole = rod.play_m if rod is not None else None
    for field, title in (("play_arm_m", "play at the arm"), ("play_horn_m", "play at the horn")):
        if getattr(control, field) is not None:
            collect.stated(field, title)
        elif whole is not None:
            low, high = (None if end is None else 0.5 * end for end in (whole.low, whole.high))
            half = Given(value=0.5 * whole.value, low=low, high=high, grade=whole.grade,
                         because="half of the play that the rod's part states")  # fmt: skip
            collect.like(field, title, half)
        else:
            collect.stated_or_usual(field, "joint_play_m", title, "feel the play with the servo powered")


def _servo(collect: "_Collector", servo: Servo | None) -> None:
    """Play of the gears and dead band, of the servo's part or usual."""
    for field, row, title in (
        ("gear_play_rad", "gear_play_rad", "play of the servo gears"),
        ("dead_band_s", "dead_band_s", "dead band of the servo"),
    ):
        if servo is not None and getattr(servo, field) is not None:
            name = collect.name(field)
            collect.inputs.append(from_field(servo, field, name, f"{title}, {collect.control.label}"))
        else:
            collect.usual(field, row, title, "feel the arm with the servo powered")


class _Collector:
    """Gathers the inputs of one control and what it leaves out."""

    def __init__(self, control: Control) -> None:
        self.control = control
        self.inputs: list[Input] = []
        self.missing: list[MissingValue] = []

    def name(self, field: str) -> str:
        return f"control:{self.control.label}:{field}"

    def stated(self, field: str, title: str) -> None:
        label = f"{title}, {self.control.label}"
        self.inputs.append(from_field(self.control, field, self.name(field), label))

    def add(self, field: str, title: str, given: Given, narrows: str) -> None:
        label = f"{title}, {self.control.label}"
        self.inputs.append(from_band(self.name(field), label, given, "offset", narrows))

    def like(self, field: str, title: str, given: Given) -> None:
        """A number of another part in place of the control's own, with the spread of that field."""
        stand_in = self.control.model_copy(update={field: given})
        label = f"{title}, {self.control.label}"
        self.inputs.append(from_field(stand_in, field, self.name(field), label))

    def usual(self, field: str, row: str, title: str, narrows: str) -> Input:
        label = f"{title}, {self.control.label}"
        self.inputs.append(from_band(self.name(field), label, stand_in("control", row), "factor", narrows))
        return self.inputs[-1]

    def stated_or_usual(self, field: str, row: str, title: str, narrows: str) -> None:
        if getattr(self.control, field) is not None:
            self.stated(field, title)
            return
        entry = self.usual(field, row, title, narrows)
        meta = quantities(Control)[field]
        part = f"control {self.control.label}"
        self.missing.append(MissingValue(part, title, meta.key, entry, meta.shown.symbol, narrows))


def rig_of(
    model: Model, control: Control, drawn: Mapping[str, Array], hinge: Hinge | None, found: Forecast | None
) -> Rig:
    """The linkage over draws; drawn: values of its inputs by name, (draws,).

    found: forecast whose draws place the servo; without it, or without a place, no length is worked out.
    """
    head = f"control:{control.label}:"
    values = {name.removeprefix(head): row for name, row in drawn.items() if name.startswith(head)}
    lean = values["arm_angle_rad"]
    if control.surface == SPOILER and control.arm_angle_rad is None:
        lean = lean + (-1.0 if control.opens_by_push else 1.0) * values["servo_throw_rad"]
    needed = _needed_m(control, values, hinge, found)
    length = values.get("rod_length_m")
    if length is None:
        row = "rod_short_m" if control.surface == SPOILER else "rod_long_m"
        usual = coefficient("control", row)
        length = np.full_like(lean, usual) if needed is None else needed
    chain = Chain(
        arm_m=values["arm_m"][:, None],
        horn_m=values["horn_m"][:, None],
        rod_m=length[:, None],
        horn_ahead_m=values["horn_ahead_m"][:, None],
        arm_angle_rad=lean[:, None],
        skew_rad=values["skew_rad"][:, None],
        offset_m=values["offset_m"][:, None],
        opposite=control.arm_side == "opposite",
    )
    servo, rod = servo_of(model, control), rod_of(model, control)
    return Rig(control, servo, rod, hinge, values | {"rod_m": length}, chain, needed)


def _needed_m(
    control: Control, values: Mapping[str, Array], hinge: Hinge | None, found: Forecast | None
) -> Array | None:
    """Length from hole to hole between the servo and the hinge as they are placed."""
    if hinge is None or hinge.x_m is None or found is None or f"x:{control.servo}" not in found.setup.values:
        return None
    servo_x, servo_z = (found.setup[f"{axis}:{control.servo}"] for axis in "xz")
    along = hinge.x_m - values["horn_ahead_m"] - servo_x
    return length_between_m(along, values["offset_m"], hinge.z_m - servo_z)


def rigs_in_order(model: Model) -> Iterator[Control]:
    """The controls of the folder, elevator first, then rudder, then what is left, in their order."""
    rank = {"elevator": 0, "v-tail": 0, "rudder": 1}
    yield from sorted(model.controls, key=lambda control: rank.get(control.surface, 2))
