"""A model: its items by kind and group, its drawer by id."""

import numpy as np
import pytest
from pydantic import ValidationError

from glidewright.base.figure import Given
from glidewright.domain.airframe import Airframe
from glidewright.domain.correction import Correction
from glidewright.domain.field import Field
from glidewright.domain.launch_plan import LaunchPlan
from glidewright.domain.model import GROUP_OF_KIND, Item, Model
from glidewright.domain.parts import KINDS, Motor, Pack, Part, PlainItem, Servo

AIRFRAME = Airframe(span_m=Given(value=2.0), wing_area_m2=Given(value=0.36))


def model_of(*items: Item, drawer: tuple[Part, ...] = ()) -> Model:
    return Model(name="a", airframe=AIRFRAME, field=Field(), launch=LaunchPlan(), items=items, drawer=drawer)


def test_items_of_a_kind_come_in_their_order() -> None:
    first, second = Servo(id="s1"), Servo(id="s2")
    model = model_of(
        Item(name="one", part=first), Item(name="m", part=Motor(id="m")), Item(name="two", part=second)
    )
    assert [item.name for item, _ in model.of_kind(Servo)] == ["one", "two"]
    assert model.first(Servo) == first
    assert model.first(Pack) is None


def test_a_part_of_the_drawer_by_its_id() -> None:
    motor = Motor(id="m")
    model = model_of(drawer=(motor,))
    assert model.from_drawer("m") == motor
    assert model.from_drawer("x") is None
    assert model.first(Motor) is None, "what lies in the drawer is not fitted"


def test_every_kind_has_its_group_of_which_a_plain_item_states_its_own() -> None:
    assert set(GROUP_OF_KIND) == set(KINDS) - {"item"}
    assert set(GROUP_OF_KIND.values()) <= set(Part.groups)
    assert Item(name="m", part=Motor(id="m")).group == "power"
    assert Item(name="w", part=PlainItem(id="w", group="wing")).group == "wing"
    assert Item(name="w", part=PlainItem(id="w")).group == "other"


def test_a_model_is_frozen() -> None:
    with pytest.raises(ValidationError):
        model_of().name = "b"  # type: ignore[misc]


def test_a_part_keeps_its_kind_inside_an_item() -> None:
    item = Item(name="m", part=Motor(id="m", kv_rad_per_Vs=Given(value=100.0)))
    assert isinstance(item.part, Motor)


def test_no_correction_knows_nothing() -> None:
    nothing = Correction.none()
    assert nothing.names == ()
    assert nothing.mean.shape == (0,)
    assert nothing.covariance.shape == (0, 0)
    assert np.array_equal(nothing.mean, np.zeros(0))
