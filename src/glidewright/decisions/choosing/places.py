"""Where motor and pack of a build lie: of all places the one that needs the least ballast."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glidewright.data import coefficient
from glidewright.decisions.balancing.places import MOST_BALLAST_KG, bay_around, bays_for, body_ends
from glidewright.decisions.balancing.search import aim_for
from glidewright.decisions.choosing.axes import MOTOR, PACK, PROPELLER, Axes
from glidewright.decisions.choosing.fit import carried, folded_length_m, room_for_blades_m
from glidewright.decisions.mass_answer import balance_range
from glidewright.domain.model import Item, Model
from glidewright.domain.parts import Motor, Pack, Part
from glidewright.forecast.predict import Forecast

Array = NDArray[np.float64]
Rows = NDArray[np.intp]

_LEAST_KG = 1e-9


@dataclass(frozen=True)
class Balanced:
    """Places and ballast of some builds, shape (builds,): columns of the tables of places, kg at the ends.

    missing_kg: what would be needed at the better end; infinite where no place is left or no ballast helps.
    """

    motor: Rows
    pack: Rows
    nose_kg: Array
    tail_kg: Array
    missing_kg: Array

    @property
    def is_reached(self) -> NDArray[np.bool_]:
        """Which builds can be balanced."""
        found: NDArray[np.bool_] = self.missing_kg <= MOST_BALLAST_KG
        return found


@dataclass(frozen=True)
class Places:
    """Tables of places by option, padded with what is not a number; the first one is where the model has it.

    motor_shift_m: (motors, places) aft of now; pack_shift_m: (packs, places) the same; pack_front_m and
    motor_rear_m: where a pack begins and a motor ends, for packs that lie behind the motor; slack_m: how far
    aft each propeller may go before its folded blades touch the wing. aim_m: where the centre of gravity
    must lie; ends_m: where ballast may. motor_kg, pack_kg, propeller_kg: of every option.
    """

    motor_shift_m: Array
    pack_shift_m: Array
    motor_rear_m: Array
    pack_front_m: Array
    slack_m: Array
    aim_m: tuple[float, float] | None
    ends_m: tuple[float, float] | None
    motor_kg: Array
    pack_kg: Array
    propeller_kg: Array

    def count(self) -> tuple[Rows, Rows]:
        """Number of places of every motor and every pack."""
        return (
            np.count_nonzero(np.isfinite(self.motor_shift_m), axis=1),
            np.count_nonzero(np.isfinite(self.pack_shift_m), axis=1),
        )

    def balanced(self, rows: tuple[Rows, ...], mass_kg: Array, moment_kg_m: Array) -> Balanced:
        """The places of least ballast of some builds; of equals the first, so that little is moved.

        rows: options by axis, each (builds,); mass and moment with everything where the model has it.
        """
        motor, pack, propeller = rows[MOTOR], rows[PACK], rows[PROPELLER]
        drive_kg = self.motor_kg[motor] + self.propeller_kg[propeller]
        pack_kg = self.pack_kg[pack]
        motors, packs = self.motor_shift_m[motor][:, :, None], self.pack_shift_m[pack][:, None, :]
        known = moment_kg_m if self.aim_m is not None else np.zeros(mass_kg.size)
        moment = known[:, None, None] + drive_kg[:, None, None] * motors + pack_kg[:, None, None] * packs
        is_free = ~(self.motor_rear_m[motor][:, :, None] > self.pack_front_m[pack][:, None, :] + _LEAST_KG)
        is_free &= motors <= self.slack_m[propeller][:, None, None]
        nose, tail = self._ballast(mass_kg[:, None, None], moment)
        needed = np.where(is_free & np.isfinite(moment), nose + tail, math.inf)
        flat = needed.reshape(needed.shape[0], -1)
        best = flat.argmin(axis=1)
        line = np.arange(best.size)
        missing = flat[line, best]
        columns = needed.shape[2]
        return Balanced(
            best // columns,
            best % columns,
            nose.reshape(flat.shape)[line, best],
            tail.reshape(flat.shape)[line, best],
            missing,
        )

    def _ballast(self, mass_kg: Array, moment_kg_m: Array) -> tuple[Array, Array]:
        """Ballast at nose and tail that brings the centre of gravity to the nearer edge of the aim.

        Statics: (moment + w x) / (mass + w) = edge. Rounded up to what is weighed out.
        """
        zeros = np.zeros(np.broadcast_shapes(mass_kg.shape, moment_kg_m.shape))
        if self.aim_m is None:
            return zeros, zeros
        behind = moment_kg_m - mass_kg * self.aim_m[1]
        ahead = mass_kg * self.aim_m[0] - moment_kg_m
        if self.ends_m is None:
            return np.where(behind > 0.0, math.inf, zeros), np.where(ahead > 0.0, math.inf, zeros)
        step = coefficient("choose", "ballast_step")
        nose_arm, tail_arm = self.aim_m[1] - self.ends_m[0], self.ends_m[1] - self.aim_m[0]
        nose = np.where(behind > 0.0, behind / nose_arm if nose_arm > 0.0 else math.inf, 0.0)
        tail = np.where(ahead > 0.0, ahead / tail_arm if tail_arm > 0.0 else math.inf, 0.0)
        return (
            np.ceil(np.maximum(nose, 0.0) / step - _LEAST_KG) * step,
            np.ceil(np.maximum(tail, 0.0) / step - _LEAST_KG) * step,
        )


def places_of(model: Model, axes: Axes, base: Forecast, chance: float) -> Places:
    """All places of every motor and pack of a model.

    base: forecast of the model as it is, whose spread says how far inside its range the centre of gravity
    must be brought for the wanted chance.
    """
    motor, pack = (next(own for own, _ in model.of_kind(kind)) for kind in (Motor, Pack))
    motors = [_motor_shifts(model, motor, one.main) for one in axes.options[MOTOR]]
    packs = [_pack_shifts(model, pack, one.main) for one in axes.options[PACK]]
    room = room_for_blades_m(model)
    blades = [folded_length_m(carried(one)) for one in axes.options[PROPELLER]]
    shifts, moves = _padded(motors), _padded(packs)
    return Places(
        motor_shift_m=shifts,
        pack_shift_m=moves,
        motor_rear_m=_rears(motor, pack, axes)[:, None] + shifts,
        pack_front_m=_fronts(pack, axes)[:, None] + moves,
        slack_m=np.array([math.inf if room is None else max(room - length, 0.0) for length in blades]),
        aim_m=_aim(base, chance),
        ends_m=body_ends(model),
        motor_kg=axes.brought(MOTOR, "motor_kg")[:, 0],
        pack_kg=axes.brought(PACK, "pack_kg")[:, 0],
        propeller_kg=axes.brought(PROPELLER, "propeller_kg")[:, 0],
    )


def _padded(rows: list[list[float]]) -> Array:
    width = max((len(row) for row in rows), default=1)
    return np.array([row + [math.nan] * (width - len(row)) for row in rows]).reshape(len(rows), width)


def _steps(low: float, high: float, step: float) -> list[float]:
    """Places from one end to the other, both ends among them."""
    count = max(math.ceil((high - low) / step - 1e-9), 1)
    return [low + (high - low) * i / count for i in range(count + 1)] if high > low else [low]


def _pack_shifts(model: Model, item: Item, part: Part) -> list[float]:
    """Where it is, when it fits there; then every place in a bay, the nearer ones first."""
    if item.part.x_m is None:
        return [0.0]
    here = item.part.x_m.value
    step = coefficient("choose", "place_step")
    spans = list(bays_for(model, item, part))
    around = bay_around(model, item)
    stays = around is None or any(bay == around and low <= here <= high for bay, (low, high) in spans)
    moved = {round(x - here, 6) for _, (low, high) in spans for x in _steps(low, high, step)}
    further = sorted(moved - {0.0}, key=lambda shift: (abs(shift), shift))
    return [0.0 if stays else math.nan, *further]


def _motor_shifts(model: Model, item: Item, part: Part) -> list[float]:
    """Where it is, then behind a firewall moved back as far as a bay takes the motor."""
    if item.part.x_m is None:
        return [0.0]
    here = item.part.x_m.value
    step = 2.0 * coefficient("choose", "place_step")
    moved = {
        round(x - here, 6)
        for _, (low, high) in bays_for(model, item, part)
        if max(low, here) <= high
        for x in _steps(max(low, here), high, step)
    }
    return [0.0, *sorted(moved - {0.0})]


def _rears(motor: Item, pack: Item, axes: Axes) -> Array:
    """Where each motor ends, its front where that of the fitted one is; nothing where no length is known.

    Only where the pack lies behind the motor now.
    """
    here, behind = motor.part.x_m, pack.part.x_m
    own = motor.part.length_m
    if here is None or behind is None or own is None or behind.value < here.value:
        return np.full(len(axes.options[MOTOR]), -math.inf)
    front = here.value - 0.5 * own.value
    lengths = [one.main.length_m for one in axes.options[MOTOR]]
    return np.array([-math.inf if one is None else front + one.value for one in lengths])


def _fronts(pack: Item, axes: Axes) -> Array:
    here = pack.part.x_m
    lengths = [one.main.length_m for one in axes.options[PACK]]
    if here is None:
        return np.full(len(lengths), math.inf)
    return np.array([here.value - (0.0 if one is None else 0.5 * one.value) for one in lengths])


def _aim(base: Forecast, chance: float) -> tuple[float, float] | None:
    """Where the middle of a build's centre of gravity must lie; nothing where no range is known."""
    front, rear, _, _ = balance_range(base)
    centre = base.prediction.draws("cg_x_m")
    if front.value is None or rear.value is None or centre is None or front.value >= rear.value:
        return None
    airframe = base.setup.model.airframe
    neutral = base.prediction.draws("neutral_point_x_m")
    is_stated = airframe.balance_front_x_m is not None and airframe.balance_rear_x_m is not None
    shift = 0.0 if is_stated or neutral is None else neutral - np.median(neutral)
    aim = aim_for(centre - shift, front.value, rear.value, chance)
    return aim.front_m, aim.rear_m
