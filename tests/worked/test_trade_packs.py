"""The trade's word on a smaller pack: a few grams, little height, a third of the launches.

Common practice, no source: exchanging a two-cell 800 mAh pack for one of 550 mAh saves only a few grams when
it has to be rewired, and moves the launch height little, while it costs about a third of the launches.
"""

import pytest

from glidewright.base.figure import Given
from glidewright.decisions import choose
from glidewright.decisions.choosing.nouns import Choice, ChooseRequest
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.model import Item, Model
from glidewright.domain.parts import Motor, Pack, Part

REWIRED_KG = 0.009  # plug, leads and sleeves that the small pack needs, from memory of the trade: 6 to 12 g


def quoted(value: float) -> Given:
    return Given(value=value, grade="quoted")


def replaced(items: tuple[Item, ...], kind: type[Part], part: Part) -> tuple[Item, ...]:
    """The items with another part of a kind at the same place."""
    return tuple(
        own.model_copy(update={"part": part.model_copy(update={"x_m": own.part.x_m, "z_m": own.part.z_m})})
        if isinstance(own.part, kind)
        else own
        for own in items
    )


@pytest.fixture(scope="module")
def both(demo: Model, hill_class: ClassLimits) -> dict[str, Choice]:
    """The demo with a motor that its maker measured, and either pack, of the same make, on hand."""
    motor = demo.first(Motor)
    assert motor is not None
    known = motor.model_copy(
        update={
            "resistance_ohm": Given(value=0.120, grade="measured"),
            "no_load_current_A": Given(value=0.6, grade="measured"),
            "no_load_voltage_V": quoted(8.0),
        }
    )
    drawer = [part for part in demo.drawer if not isinstance(part, Pack | Motor)]
    large, small = demo.from_drawer("p2-800"), demo.from_drawer("p2-550")
    assert isinstance(large, Pack)
    assert isinstance(small, Pack)
    assert large.mass_kg is not None
    assert small.mass_kg is not None
    small = small.model_copy(
        update={"c_rating": large.c_rating, "mass_kg": quoted(small.mass_kg.value + REWIRED_KG)}
    )
    items = replaced(demo.items, Motor, known)
    free = tuple(one for one in hill_class.limits if one.measure not in ("capacity", "climb_rate"))
    rule = hill_class.model_copy(update={"limits": free})
    found = {}
    for pack in (large, small):
        fitted = replaced(items, Pack, pack)
        model = demo.model_copy(update={"drawer": (*drawer, known, pack), "items": fitted})
        request = ChooseRequest(model=model, rule=rule, goals=("launches",), buy=0, draws=64, chance=0.5)
        now = choose.run(request).now
        assert now is not None
        found[pack.id] = now
    return found


def number(choice: Choice, name: str) -> float:
    value = choice.value(name).value
    assert value is not None
    return value


def test_it_saves_a_few_grams(both: dict[str, Choice]) -> None:
    saved = number(both["p2-800"], "mass") - number(both["p2-550"], "mass")
    assert saved == pytest.approx(0.048 - 0.034 - REWIRED_KG, abs=1e-6)  # by hand: 5 g
    assert 0.002 < saved < 0.010


def test_it_moves_the_height_little(both: dict[str, Choice]) -> None:
    large, small = number(both["p2-800"], "height"), number(both["p2-550"], "height")
    assert small == pytest.approx(large, rel=0.05)


def test_it_costs_about_a_third_of_the_launches(both: dict[str, Choice]) -> None:
    large, small = number(both["p2-800"], "launches"), number(both["p2-550"], "launches")
    # 550 over 800 is 0.69; whole launches make that coarse
    assert 0.5 <= small / large <= 0.8
