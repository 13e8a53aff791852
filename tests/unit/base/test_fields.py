"""Field metadata: every quantity knows key, unit and range, and the names say their SI unit."""

import pytest
from pydantic import ValidationError

from glidewright.base.fields import Noun, Quantity, plain, quantities, quantity, quantity_of
from glidewright.base.figure import Given
from glidewright.base.units import unit


class Thing(Noun):
    name: str = plain("Name", help="what it is called")
    mass_kg: Given | None = quantity("Mass", key="mass_g", shown="g", help="on a scale", above=0, at_most=50)
    width_m: Given = quantity("Width", key="width_mm", shown="mm", help="with a ruler", required=True)


def test_quantities_are_found_by_field_name() -> None:
    assert quantities(Thing) == {
        "mass_kg": Quantity("mass_g", unit("g"), "exact", above=0, at_most=50),
        "width_m": Quantity("width_mm", unit("mm"), "exact"),
    }


def test_a_plain_field_is_no_quantity_but_has_title_and_help() -> None:
    info = Thing.model_fields["name"]
    assert quantity_of(info) is None
    assert (info.title, info.description) == ("Name", "what it is called")


def test_unknown_until_stated_unless_required() -> None:
    thing = Thing(name="a", width_m=Given(value=1.0))
    assert thing.mass_kg is None
    with pytest.raises(ValidationError, match="width_m"):
        Thing(name="a")  # type: ignore[call-arg]


def test_a_noun_is_frozen_and_refuses_unknown_names() -> None:
    thing = Thing(name="a", width_m=Given(value=1.0))
    with pytest.raises(ValidationError):
        thing.name = "b"  # type: ignore[misc]
    with pytest.raises(ValidationError):
        Thing(name="a", width_m=Given(value=1.0), colour="red")  # type: ignore[call-arg]


def test_a_unit_that_nobody_knows_is_a_mistake_of_ours() -> None:
    with pytest.raises(KeyError):
        quantity("Mass", key="mass_oz", shown="oz", help="")
