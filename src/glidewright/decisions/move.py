"""User job ``move``: where the balance goes when something is moved along the model, in a blink.

Prepared once for a model; then every place is a sum over the same draws, so that differences are exact.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from glidewright.base.errors import InputError, OutsideModelError, Problem, nearest
from glidewright.base.fields import Noun, plain
from glidewright.base.figure import Figure
from glidewright.calibration.learned import correction_of
from glidewright.decisions.balance import range_shift
from glidewright.decisions.balancing.known import Edges, Known, chance_inside, known_part
from glidewright.decisions.balancing.places import bays_for, body_ends
from glidewright.decisions.mass_answer import balance_range
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.model import Model
from glidewright.forecast.predict import forecast
from glidewright.forecast.setup import prepare

Array = NDArray[np.float64]

DRAWS = 512
_BECAUSE = "moved on the drawing; the report says why it is so wide"


class MoveRequest(Noun):
    """A model, its class, and how many draws."""

    model: Model
    rule: ClassLimits | None = None
    draws: int = DRAWS


class Movable(Noun):
    """An item that can be moved: where it is, and where a bay would hold it."""

    name: str
    kind: str
    x_m: float
    bays: tuple[tuple[str, float, float], ...] = plain(
        "Bays", help="name, and first and last x of its middle"
    )


class Moved(Noun):
    """The balance with things moved."""

    mass: Figure
    centre_x: Figure
    chance: float | None
    place: Literal["inside", "in front", "behind", "unknown"] = plain(
        "Place", help="of the median to the range"
    )
    miss_m: float = plain("Miss", help="from the median to the nearer edge; 0 inside")


@dataclass(frozen=True)
class Mover:
    """A model prepared for moving: its known items over the draws, and its allowed range."""

    known: Known
    edges: Edges | None
    range_source: str
    ends: Edges

    def movable(self) -> tuple[Movable, ...]:
        """Everything that has a mass and a place, as the folder lists it."""
        found = []
        for item in self.known.model.items:
            if item.part.x_m is None:
                continue
            bays = tuple(
                (bay.name, span[0], span[1])
                for bay, span in bays_for(self.known.model, item, item.part)
                if span[0] <= span[1]
            )
            found.append(Movable(name=item.name, kind=item.part.kind, x_m=item.part.x_m.value, bays=bays))
        return tuple(found)

    def at(self, places_m: Mapping[str, float], ballast_kg: float = 0.0, ballast_x_m: float = 0.0) -> Moved:
        """The balance with items at other places along x and ballast added; raises InputError for a stranger.

        c' = (M c + sum of m_i (x_i' - x_i) + w x_w) / (M + w), draw by draw: the definition of the centre
        of gravity.
        """
        items, balance = self.known.items, self.known.balance
        moment = balance.mass_kg * balance.centre_m[:, 0]
        stated = {item.name: item.part.x_m for item in self.known.model.items}
        for name, place in places_m.items():
            at = stated.get(name)
            if at is None:
                known = [own for own, x_m in stated.items() if x_m is not None]
                message = f"must be a fitted item with a place; {name[:40]!r} came; {nearest(name, known)}"
                raise InputError(Problem("item", message))
            moment = moment + items.mass_kg[:, items.names.index(name)] * (place - at.value)
        mass = balance.mass_kg + ballast_kg
        centre = (moment + ballast_kg * ballast_x_m) / mass
        return self._moved(mass, centre)

    def _moved(self, mass: Array, centre: Array) -> Moved:
        figure = Figure.of_draws(centre, "m", "mm", "typical", _BECAUSE)
        place: Literal["inside", "in front", "behind", "unknown"] = "unknown"
        miss = 0.0
        if self.edges is not None and figure.value is not None:
            front, rear = self.edges
            place = "in front" if figure.value < front else "behind" if figure.value > rear else "inside"
            miss = max(front - figure.value, figure.value - rear, 0.0)
        return Moved(
            mass=Figure.of_draws(mass, "kg", "g", "typical", _BECAUSE),
            centre_x=figure,
            chance=chance_inside(centre - self.known.shift_m, self.edges),
            place=place,
            miss_m=miss,
        )


def prepare_moves(request: MoveRequest) -> Mover:
    """The model made ready; raises OutsideModelError while no item has a mass and a place."""
    setup = prepare(request.model, request.rule, request.draws, correction_of(request.model))
    found = forecast(setup, with_trace=False, with_many=False)
    known = known_part(setup, range_shift(found))
    ends = body_ends(request.model)
    if known is None or ends is None:
        message = "must have items with a mass and a place; none has both; add mass_g and x_mm or weigh them"
        raise OutsideModelError.at("model.toml", message)
    front, rear, _, source = balance_range(found)
    edges = None if front.value is None or rear.value is None else (front.value, rear.value)
    return Mover(known, edges, source, ends)
