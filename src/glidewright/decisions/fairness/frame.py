"""What all builds on one airframe share: polar, day and pilot; and the launch rows of many builds at once."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.model import Model
from glidewright.forecast.kernel_rows import (
    Orders,
    air,
    launch_rows,
    power_rows,
    read_height_m,
    tables,
    true_cut_height_m,
)
from glidewright.forecast.power_inputs import PowerInputs
from glidewright.forecast.setup import Setup
from glidewright.models.launch import layout as ll
from glidewright.models.power import layout as pl

Array = NDArray[np.float64]

# What differs from launch to launch of one and the same model; all else its owner knows of it by flying it.
OF_A_LAUNCH = (
    "launch.climb_speed",
    "launch.throw_speed",
    "launch.motor_run",
    "launch.speed_time",
    "launch.path_time",
    "launch.glide_speed",
    "field.headwind",
    "field.temperature",
    "field.wind_exponent",
    "altimeter.error",
)
DAY, CENTRE = "day", "centre"
_ANY_ORDERS = Orders(1.0, 1.0, 1.0, "", None, "", 0.0, False)


def as_owner_would(model: Model) -> Model:
    """The model without what its plan states of speeds, run and cut height: its owner sets them anew."""
    free = {"climb_speed_m_s": None, "glide_speed_m_s": None, "motor_run_s": None, "cut_height_m": None}
    return model.model_copy(update={"launch": model.launch.model_copy(update=free)})


def at_centre(setup: Setup) -> Setup:
    """One draw at the centre of every input, what the bench taught kept."""
    taught = dict(zip(setup.correction.names, setup.correction.mean, strict=True))
    scores = {name: np.array([taught.get(name, 0.0)]) for name in setup.inputs}
    values = {
        name: entry.draws(scores[name]) if name in taught else np.array([entry.value])
        for name, entry in setup.inputs.items()
    }
    return replace(setup, count=1, scores=scores, values=values)


def from_launch_to_launch(setup: Setup) -> Setup:
    """The same draws of pilot, day and instrument, and everything else at its centre."""
    middle = at_centre(setup)
    scores = {
        name: own if name in OF_A_LAUNCH else np.full(setup.count, middle.scores[name][0])
        for name, own in setup.scores.items()
    }
    values = {
        name: own if name in OF_A_LAUNCH else np.full(setup.count, middle.values[name][0])
        for name, own in setup.values.items()
    }
    return replace(setup, scores=scores, values=values)


@dataclass(frozen=True)
class Train:
    """A power train on an airframe: its row for the kernel, curve and cell table, and the whole mass."""

    power: Array
    curves: Array
    cells: Array
    mass_kg: float


def trains_of(setup: Setup, mass_kg: Array) -> list[Train]:
    """The power train of a set-up, one for each of its draws; mass_kg: draws of the whole model.

    The power train must be complete.
    """
    power = setup.power
    assert isinstance(power, PowerInputs)  # the caller has seen to it
    curves, cells = tables(power)
    rows = power_rows(setup, power)
    return [
        Train(rows[draw : draw + 1], curves[0], cells[0], float(mass_kg[draw])) for draw in range(setup.count)
    ]


@dataclass(frozen=True)
class Block:
    """The rows of pilot and day, one a draw, and the set-up that heights are read with."""

    setup: Setup
    polar: Array
    launch: Array
    start: Array
    climb: Array
    glide: Array
    timer_s: Array
    temperature_K: Array

    @property
    def count(self) -> int:
        """Draws of it."""
        return int(self.launch.shape[0])


@dataclass(frozen=True)
class Settings:
    """How an owner flies under a rule, one row a build, shape (builds,).

    run_s, cut_m: what stops the motor, the height as the limiter reads it, infinite for none; glide_m_s: held
    after it; ballast_kg: added at the balance point to reach a least mass.
    """

    climb_m_s: Array
    glide_m_s: Array
    duty: Array
    run_s: Array
    cut_m: Array
    ballast_kg: Array

    def rows(self, places: NDArray[np.int64]) -> "Settings":
        """Those of some builds, in the order asked, the same one as often as it is named."""
        return Settings(*(getattr(self, name)[places] for name in SETTINGS))

    def having(self, **values: Array) -> "Settings":
        """The same with other values."""
        return replace(self, **values)


SETTINGS = ("climb_m_s", "glide_m_s", "duty", "run_s", "cut_m", "ballast_kg")


class Frame:
    """One airframe on its field: polar, pilot and day, from launch to launch and at the centre."""

    def __init__(self, setup: Setup) -> None:
        self.model = setup.model
        self.blocks: Mapping[str, Block] = {
            DAY: _block(from_launch_to_launch(setup)),
            CENTRE: _block(at_centre(setup)),
        }

    def inputs(
        self,
        kind: str,
        trains: Sequence[Train],
        which: NDArray[np.int64],
        settings: Settings,
        rule: ClassLimits,
    ) -> ll.LaunchInputs:
        """Launch rows, block after block: all draws of the first row of the settings, then of the second.

        which: the train of every row of the settings, by place.
        """
        block = self.blocks[kind]
        rows, count = which.size, block.count
        launch = np.tile(block.launch, (rows, 1)).reshape(rows, count, -1)
        mass = np.array([train.mass_kg for train in trains])[which] + settings.ballast_kg
        launch[:, :, ll.MASS_KG] = mass[:, None]
        launch[:, :, ll.CLIMB_SPEED_M_S] = settings.climb_m_s[:, None] * block.climb
        launch[:, :, ll.GLIDE_SPEED_M_S] = settings.glide_m_s[:, None] * block.glide
        launch[:, :, ll.FULL_DUTY] = settings.duty[:, None]
        launch[:, :, ll.RUN_LIMIT_S] = np.maximum(settings.run_s[:, None] + block.timer_s, 0.1)
        launch[:, :, ll.RUN_FROM_RELEASE] = float(rule.motor_run_from == "release")
        launch[:, :, ll.WINDOW_S] = rule.height.window_s
        launch[:, :, ll.CUT_HEIGHT_M] = self._true_cut_m(block, settings.cut_m)
        own = np.stack([train.power[0] for train in trains])[which]
        power = np.tile(own[:, None], (1, count, 1))
        start = np.tile(block.start, (rows, 1)).reshape(rows, count, -1)
        start[:, :, 0] = power[:, :, pl.PACK_CAPACITY_AS] * (1.0 - self.model.launch.charge_at_start.value)
        power[:, :, pl.PROPELLER_CURVE] = power[:, :, pl.PACK_TABLE] = which[:, None]
        return ll.LaunchInputs(
            _flat(power),
            np.stack([train.curves for train in trains]),
            np.stack([train.cells for train in trains]),
            np.tile(block.polar, (rows, 1)),
            _flat(launch),
            _flat(start),
        )

    def _true_cut_m(self, block: Block, indicated_m: Array) -> Array:
        """True heights of the stop, shape (rows, draws), each indicated height worked out once."""
        heights, places = np.unique(indicated_m, return_inverse=True)
        known = [float(one) if np.isfinite(one) else None for one in heights]
        return np.stack([true_cut_height_m(block.setup, one, block.temperature_K) for one in known])[places]

    def read_m(self, kind: str, true_m: Array) -> Array:
        """What the altimeter of the model reads at true heights, shape (rows, draws)."""
        setup = self.blocks[kind].setup
        return np.stack([read_height_m(setup, row) for row in true_m])

    def perfect_m(self, kind: str, true_m: Array) -> Array:
        """What a device without an error of its own shows there, shape (rows, draws)."""
        return self.read_m(kind, true_m) - self.blocks[kind].setup["altimeter.error"]


def _flat(block: Array) -> Array:
    return np.ascontiguousarray(block.reshape(block.shape[0] * block.shape[1], -1))


def _block(setup: Setup) -> Block:
    power = setup.power
    assert isinstance(power, PowerInputs)  # the caller has seen to it
    rows = launch_rows(setup, power, np.ones(setup.count), _ANY_ORDERS)
    _, temperature = air(setup)
    return Block(
        setup=setup,
        polar=rows.polar,
        launch=rows.launch,
        start=rows.start,
        climb=setup["launch.climb_speed"],
        glide=setup["launch.glide_speed"],
        timer_s=setup["launch.motor_run"],
        temperature_K=temperature,
    )
