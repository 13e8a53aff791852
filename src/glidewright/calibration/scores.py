"""What flights can teach: each unknown is a standard-normal score that lasts, or holds for a day or a launch.

An input that is partly a habit of the pilot and partly new in every launch is the sum of independent scores
with the roots of their shares as weights, so that it keeps its spread (shares in ``flying.toml``).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glidewright.data import coefficients
from glidewright.domain.parts import Controller, Motor, Pack, Part, Propeller

Array = NDArray[np.float64]

PART_OF_SCORE: dict[str, type[Part]] = {
    "motor": Motor,
    "controller": Controller,
    "pack": Pack,
    "propeller": Propeller,
}
"""Scores whose name begins so belong to one part, and stay with it when it goes into another model."""

ROW_OF_INPUT = {
    "launch.climb_speed": "climb_speed",
    "launch.glide_speed": "glide_speed",
    "launch.throw_speed": "throw_speed",
    "launch.speed_time": "speed_time",
    "launch.path_time": "path_time",
    "field.headwind": "headwind",
    "field.wind_exponent": "wind_exponent",
    "field.temperature": "temperature",
    "altimeter.error": "altimeter_error",
}


@dataclass(frozen=True, order=True)
class Score:
    """One unknown: an input of a prediction, or the error of a meter in the model.

    of: id of the part that it belongs to, else empty; when: the day or launch that it holds for, empty when
    it lasts.
    """

    name: str
    of: str = ""
    when: str = ""


def part_kind(name: str) -> type[Part] | None:
    """The kind of part that an input belongs to, or nothing.

    >>> part_kind("motor.kv").__name__, part_kind("airframe.span")
    ('Motor', None)
    """
    return PART_OF_SCORE.get(name.partition(".")[0])


def shares(name: str) -> tuple[float, float, float]:
    """Shares of an input's variance that last, that hold for a day, and that are new in every launch.

    >>> shares("motor.kv"), shares("field.temperature")
    ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0))
    """
    key = ROW_OF_INPUT.get(name)
    if key is None:
        return 1.0, 0.0, 0.0
    row = coefficients("flying")[key]
    lasting, day = float(row["value"]), float(row["day"])
    return lasting, day, max(1.0 - lasting - day, 0.0)


def of_input(name: str, part_id: str, day: str, launch: str) -> list[tuple[Score, float]]:
    """The scores that make up an input in one launch, with their weights.

    >>> [(score.when, round(weight**2, 3)) for score, weight in of_input("launch.climb_speed", "", "d", "l")]
    [('', 0.5), ('d', 0.1), ('l', 0.4)]
    """
    lasting, daily, new = shares(name)
    whens = ((lasting, ""), (daily, day), (new, launch))
    return [(Score(name, part_id, when), math.sqrt(share)) for share, when in whens if share > 0.0]


class Basis:
    """All scores of a set of launches, in order, and the weights that turn them into the inputs of one."""

    def __init__(self, scores: Sequence[Score]) -> None:
        self.scores = tuple(dict.fromkeys(scores))
        self._place = {score: place for place, score in enumerate(self.scores)}

    @property
    def size(self) -> int:
        """How many scores there are."""
        return len(self.scores)

    def place(self, score: Score) -> int:
        """Where a score stands."""
        return self._place[score]

    def weights(self, inputs: Sequence[Sequence[tuple[Score, float]]]) -> Array:
        """Matrix, shape (size, inputs), that takes rows of scores to rows of inputs."""
        found = np.zeros((self.size, len(inputs)))
        for column, parts in enumerate(inputs):
            for score, weight in parts:
                found[self._place[score], column] = weight
        return found
