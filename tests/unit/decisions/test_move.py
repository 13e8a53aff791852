"""Moving things: sums by hand, the balance of the changed folder, and strangers refused."""

import numpy as np
import pytest

from glidewright.base.errors import InputError
from glidewright.base.figure import Given
from glidewright.decisions import balance
from glidewright.decisions.changed_model import with_part
from glidewright.decisions.move import Mover, MoveRequest, prepare_moves
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.model import Model

DRAWS = 64


@pytest.fixture(scope="module")
def mover(demo: Model, hill_class: ClassLimits) -> Mover:
    return prepare_moves(MoveRequest(model=demo, rule=hill_class, draws=DRAWS))


def test_nothing_moved_is_the_balance_of_the_folder(
    mover: Mover, demo: Model, hill_class: ClassLimits
) -> None:
    stays = mover.at({})
    report = balance.run(balance.BalanceRequest(model=demo, rule=hill_class, draws=DRAWS))
    assert stays.centre_x.value == pytest.approx(report.centre[0].figure.value)
    assert stays.chance == report.chance_as_is
    assert stays.mass.value == pytest.approx(report.mass.value)


def test_a_moved_pack_is_the_balance_of_a_folder_with_it_there(mover: Mover, demo: Model) -> None:
    item = next(item for item in demo.items if item.name == "pack")
    placed = item.part.model_copy(update={"x_m": item.part.x_m.model_copy(update={"value": -0.1})})  # type: ignore[union-attr]
    changed = prepare_moves(MoveRequest(model=with_part(demo, item, placed), draws=DRAWS)).at({})
    moved = mover.at({"pack": -0.1})
    for end in ("low", "value", "high"):
        assert getattr(moved.centre_x, end) == pytest.approx(getattr(changed.centre_x, end), abs=1e-9)


def test_moving_and_adding_are_the_sums_of_the_textbook(mover: Mover) -> None:
    mass = mover.known.balance.mass_kg
    centre = mover.known.balance.centre_m[:, 0]
    pack = mover.known.items.mass_kg[:, mover.known.items.names.index("pack")]
    expected = (mass * centre + pack * 0.05 + 0.02 * 0.8) / (mass + 0.02)
    found = mover.at({"pack": -0.115}, ballast_kg=0.02, ballast_x_m=0.8)
    assert found.centre_x.value == pytest.approx(float(np.median(expected)))
    assert found.mass.value == pytest.approx(float(np.median(mass)) + 0.02)


def test_the_words_say_on_which_side_of_the_range_it_lies(mover: Mover) -> None:
    assert mover.edges == (0.064, 0.079)
    ahead, behind = mover.at({}), mover.at({}, 0.1, 0.8)
    assert ahead.place == "in front"
    assert ahead.centre_x.value is not None
    assert ahead.miss_m == pytest.approx(0.064 - ahead.centre_x.value)
    assert behind.place == "behind"
    assert behind.chance == 0.0
    inside = mover.at({}, 0.008, 0.8)
    assert (inside.place, inside.miss_m) == ("inside", 0.0)


def test_what_can_be_moved_says_where_a_bay_holds_it(mover: Mover) -> None:
    found = {one.name: one for one in mover.movable()}
    name, first, last = found["pack"].bays[0]
    assert name == "pack bay"
    assert -0.195 < first < last < -0.085
    assert found["boom"].bays == ()


def test_a_stranger_is_refused_with_the_nearest_name(mover: Mover) -> None:
    with pytest.raises(InputError, match="nearest known: pack"):
        mover.at({"packs": 0.0})


def test_a_range_that_nobody_knows_is_said(demo: Model) -> None:
    airframe = demo.airframe.model_copy(
        update={"balance_front_x_m": None, "balance_rear_x_m": None, "geometry": None}
    )
    bare = prepare_moves(MoveRequest(model=demo.model_copy(update={"airframe": airframe}), draws=DRAWS))
    moved = bare.at({})
    assert (moved.place, moved.chance) == ("unknown", None)
    assert isinstance(demo.airframe.span_m, Given)
