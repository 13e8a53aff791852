"""What must fit: parts in their bays, motor and spinner on the nose, folded blades ahead of the wing."""

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glidewright.base.figure import Given
from glidewright.base.wording import plain_text
from glidewright.data import coefficient, coefficients
from glidewright.decisions.balancing.places import bay_around, fits
from glidewright.decisions.choosing.axes import CONTROLLER, MOTOR, PACK, PROPELLER, SERVOS, Axes, Option
from glidewright.decisions.choosing.builds import on_yoke
from glidewright.domain.geometry_body import Bay
from glidewright.domain.model import Item, Model
from glidewright.domain.parts import Controller, Motor, Pack, Part, Propeller, Servo

Array = NDArray[np.float64]
NOT_JUDGED = math.nan


@dataclass(frozen=True)
class Test:
    """One limit over the options of some axes.

    axes: which; excess: over the options of these axes, by how much the limit is exceeded, relative to it;
    above zero is broken, not a number is not judged. limit: in words.
    """

    __test__ = False  # no test of a test suite

    name: str
    title: str
    axes: tuple[int, ...]
    excess: Array
    limit: str = ""


def over(options: tuple[Option, ...], excess: Callable[[Option], float]) -> Array:
    """The excess of every option of an axis."""
    return np.array([excess(option) for option in options])


def fit_tests(model: Model, axes: Axes) -> Iterator[Test]:
    """Every limit of size that the model states; what it does not state is not judged."""
    yield _folding(model, axes)
    for axis, kind, word in ((PACK, Pack, "pack"), (CONTROLLER, Controller, "controller")):
        item = next((own for own, _ in model.of_kind(kind)), None)
        if item is not None and _bays(model, item):
            room = "; ".join(_size_words(bay) for bay in _bays(model, item))
            excess = np.array([too_big(model, item, one.main) for one in axes.options[axis]])
            yield Test(f"{word}_room", f"{word.capitalize()} in its bay", (axis,), excess, f"bay {room}")
    yield from _servos(model, axes)
    yield from _nose(model, axes)
    yield from _blades(model, axes)


def _folding(model: Model, axes: Axes) -> Test:
    """A propeller that does not fold is none for a model whose propeller does, and the other way round."""
    fitted = model.first(Propeller)
    folds = fitted is None or fitted.folding
    excess = over(axes.options[PROPELLER], lambda one: float(getattr(one.main, "folding", folds) != folds))
    words = "folding, as the fitted one" if folds else "fixed, as the fitted one"
    return Test("folding", "Propeller folds", (PROPELLER,), excess, words)


def _bays(model: Model, item: Item) -> list[Bay]:
    """Bays for the kind of an item on its side of the model, whatever their size."""
    geometry = model.airframe.geometry
    across = 0.0 if item.part.y_m is None else item.part.y_m.value
    return [
        bay
        for bay in (() if geometry is None else geometry.bays)
        if item.part.kind in bay.takes and abs(across - bay.y_m.value) <= 0.5 * bay.width_m.value
    ]


def _size_words(bay: Bay) -> str:
    length = bay.to_x_m.value - bay.from_x_m.value
    sizes = (length, bay.width_m.value, bay.height_m.value)
    return " x ".join(plain_text(size, "mm", with_unit=False) for size in sizes) + " mm"


def too_big(model: Model, item: Item, part: Part) -> float:
    """How much too big a part is for the roomiest bay of an item, relative; not judged without a bay."""
    bays = _bays(model, item)
    if not bays:
        return NOT_JUDGED
    if any(fits(bay, part) for bay in bays):
        return 0.0
    return max(1e-6, min(_too_big_for(bay, part) for bay in bays))


def _too_big_for(bay: Bay, part: Part) -> float:
    def size(given: Given | None) -> float:
        return 0.0 if given is None else given.value

    length = size(part.length_m) / (bay.to_x_m.value - bay.from_x_m.value)
    room = sorted((bay.width_m.value, bay.height_m.value))
    across = sorted((size(part.width_m), size(part.height_m)))
    return max(length, across[0] / room[0], across[1] / room[1]) - 1.0


def _servos(model: Model, axes: Axes) -> Iterator[Test]:
    """Servos that lie in a bay now must fit there."""
    items = [item for item, _ in model.of_kind(Servo)]
    inside = [(place, bay) for place, item in enumerate(items) if (bay := bay_around(model, item))]
    if not inside:
        return

    def excess(option: Option) -> float:
        ids = option.change["servos"]
        assert isinstance(ids, tuple)  # so the axes have it
        parts = {part.id: part for part in option.parts}
        worst = [_too_big_for(bay, parts[ids[place]]) for place, bay in inside]
        return max(0.0, *worst)

    yield Test("servo_room", "Servos in their bay", (SERVOS,), over(axes.options[SERVOS], excess))


def _nose(model: Model, axes: Axes) -> Iterator[Test]:
    geometry = model.airframe.geometry
    if geometry is None or geometry.body is None:
        return
    nose = geometry.body.nose_diameter_m.value
    row = coefficients("choose")
    clear = nose - 2.0 * float(row["nose_wall"]["value"])
    if clear > 0.0:

        def thick(option: Option) -> float:
            can = option.main.can_diameter_m if isinstance(option.main, Motor) else None
            return NOT_JUDGED if can is None else can.value / clear - 1.0

        words = f"can at most {plain_text(clear, 'mm')} wide"
        yield Test("motor_room", "Motor in the nose", (MOTOR,), over(axes.options[MOTOR], thick), words)
    widest = nose + float(row["spinner_wider"]["value"])
    least = nose - float(row["spinner_narrower"]["value"])

    def off(option: Option) -> float:
        spinner = carried(option).spinner_diameter_m
        if spinner is None:
            return NOT_JUDGED
        return max(spinner.value / widest - 1.0, 1.0 - spinner.value / least if least > 0.0 else 0.0)

    words = f"{plain_text(least, 'mm', False)} to {plain_text(widest, 'mm')} wide"
    yield Test("spinner", "Spinner on the nose", (PROPELLER,), over(axes.options[PROPELLER], off), words)


def carried(option: Option) -> Propeller:
    """The propeller of an option on the yoke that carries it."""
    blades, carrier = option.parts[0], option.parts[-1]
    assert isinstance(blades, Propeller)  # so the axis has it
    assert isinstance(carrier, Propeller)
    return on_yoke(blades, carrier)


def folded_length_m(propeller: Propeller) -> float:
    """From the yoke back to the tips of the folded blades; the yoke counts as nothing where it is not known.

    Blades that do not fold lie nowhere behind their yoke.
    """
    if not propeller.folding:
        return 0.0
    marked, assumed, own = propeller.diameter_m.value, propeller.yoke_assumed_m, propeller.yoke_m
    yoke = next((given.value for given in (assumed, own) if given is not None), 0.0)
    return 0.5 * (marked - yoke)


def room_for_blades_m(model: Model) -> float | None:
    """From the propeller back to the leading edge of the wing root, less the gap that must stay."""
    geometry, propeller = model.airframe.geometry, model.first(Propeller)
    if geometry is None or propeller is None or propeller.x_m is None:
        return None
    gap = coefficient("choose", "blade_to_wing")
    room = geometry.wing.x_m.value - gap - propeller.x_m.value
    return room if room > 0.0 else None


def _blades(model: Model, axes: Axes) -> Iterator[Test]:
    room = room_for_blades_m(model)
    if room is None:
        return
    excess = over(axes.options[PROPELLER], lambda one: folded_length_m(carried(one)) / room - 1.0)
    words = f"at most {plain_text(room, 'mm')} long when folded"
    yield Test("blades", "Folded blades clear of the wing", (PROPELLER,), excess, words)
