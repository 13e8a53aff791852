"""The demo folder: it reads, is marked invented, has its flaws, and reads quickly."""

from pathlib import Path

import pytest

from glidewright.base.units import unit
from glidewright.data import packaged
from glidewright.decisions.part_gaps import missing_of
from glidewright.domain.model import Model
from glidewright.domain.parts import KINDS, Altimeter, Controller, Motor, Pack, Propeller
from glidewright.store.class_files import list_classes
from glidewright.store.reading import read_model
from glidewright.store.variants import list_variants, read_variant

DEMO = Path(str(packaged("demo", "hill-demo")))


@pytest.fixture(scope="module")
def demo() -> Model:
    return read_model(DEMO)


def planned(model: Model) -> tuple[float, float]:
    """Mass and centre of gravity along x of the stated numbers, by hand."""
    masses = [item.part.mass_kg.value for item in model.items if item.part.mass_kg]
    moments = [
        item.part.mass_kg.value * item.part.x_m.value
        for item in model.items
        if item.part.mass_kg and item.part.x_m
    ]
    return sum(masses), sum(moments) / sum(masses)


def test_it_is_the_model_of_the_trade_check(demo: Model) -> None:
    """Check values of common practice: 2 m, about 0.59 kg, 1020 rpm/V of the 28 mm class, 11x6, two cells."""
    assert demo.airframe.span_m.value == pytest.approx(2.0, abs=0.01)
    assert demo.airframe.wing_area_m2.value == pytest.approx(0.36)
    assert planned(demo)[0] == pytest.approx(0.59, abs=0.006)
    motor, propeller, pack = demo.first(Motor), demo.first(Propeller), demo.first(Pack)
    assert motor is not None
    assert propeller is not None
    assert pack is not None
    assert motor.kv_rad_per_Vs is not None
    assert unit("rpm/V").from_si(motor.kv_rad_per_Vs.value) == pytest.approx(1020)
    assert motor.can_diameter_m is not None
    assert motor.can_diameter_m.value == pytest.approx(0.028)
    size = (unit("in").from_si(propeller.diameter_m.value), unit("in").from_si(propeller.pitch_m.value))
    assert size == pytest.approx((11, 6))
    assert (propeller.folding, pack.cells, unit("mAh").from_si(pack.capacity_As.value)) == (True, 2, 550)


def test_everything_in_it_is_marked_as_invented(demo: Model) -> None:
    assert demo.invented
    assert [part.id for part in demo.drawer if not part.invented] == []
    files = [path for path in DEMO.rglob("*.toml") if path.is_file()]
    assert len(files) >= 5
    assert [path for path in files if "INVENTED" not in path.read_text(encoding="utf-8")] == []


@pytest.mark.parametrize("name", list_variants(DEMO))
def test_its_variants_can_be_laid_over_it(demo: Model, name: str) -> None:
    found = read_variant(DEMO, name)
    assert found.name == f"{demo.name}, {name}"
    assert found.invented
    assert found.items != demo.items


def test_its_class_is_packaged(demo: Model) -> None:
    assert demo.class_id in list_classes(None)


def test_the_drawer_holds_every_kind_and_a_choice_of_each_part_of_the_power_train(demo: Model) -> None:
    kinds = [part.kind for part in demo.drawer]
    assert set(kinds) == set(KINDS)
    assert 25 <= len(kinds) <= 35
    assert all(kinds.count(kind) >= 3 for kind in ("motor", "controller", "pack", "propeller", "servo"))
    assert {part.cells for part in demo.drawer if isinstance(part, Pack)} == {2, 3}
    assert {part.folding for part in demo.drawer if isinstance(part, Propeller)} == {True, False}
    assert all(part.on_hand or part.lead_time_s is not None for part in demo.drawer)


def test_every_fitted_part_has_mass_and_place_on_all_axes(demo: Model) -> None:
    for item in demo.items:
        part = item.part
        assert None not in (part.mass_kg, part.x_m, part.y_m, part.z_m), item.name


def test_left_and_right_of_the_wing_lie_opposite(demo: Model) -> None:
    by_name = {item.name: item.part for item in demo.items}
    pairs = [(name, name.replace("left", "right")) for name in by_name if "left" in name]
    assert len(pairs) == 5
    for left, right in pairs:
        one, other = by_name[left], by_name[right]
        assert one.y_m is not None
        assert other.y_m is not None
        assert one.y_m.value == -other.y_m.value
        assert (one.x_m, one.z_m) == (other.x_m, other.z_m)


def test_flaw_one_the_plan_is_nose_heavy(demo: Model) -> None:
    front = demo.airframe.balance_front_x_m
    assert front is not None
    assert planned(demo)[1] < front.value - 0.003


def test_flaw_two_the_label_of_the_pack_promises_less_than_the_motor_may_draw(demo: Model) -> None:
    pack, motor, controller = demo.first(Pack), demo.first(Motor), demo.first(Controller)
    assert pack is not None
    assert motor is not None
    assert controller is not None
    assert pack.c_rating is not None
    assert motor.max_current_A is not None
    promised_A = pack.c_rating.value * unit("mAh").from_si(pack.capacity_As.value) / 1000
    assert promised_A == pytest.approx(8.25)
    assert promised_A < 0.5 * motor.max_current_A.value


def test_flaw_three_the_motor_does_not_say_its_resistance(demo: Model) -> None:
    motor = demo.first(Motor)
    assert motor is not None
    assert [gap.key for gap in missing_of(motor)] == ["resistance_mohm", "no_load_current_A"]


def test_one_item_was_weighed_heavier_than_planned(demo: Model) -> None:
    plan = {item.name: item.part.mass_kg.value for item in demo.items if item.part.mass_kg}
    heavier = [w.of for w in demo.weighings if w.mass_kg.value > 1.1 * plan[w.of[0]]]
    assert heavier == [("panel-right",)]


def test_the_limiter_is_set_as_the_class_wants_it(demo: Model) -> None:
    limiter = demo.first(Altimeter)
    assert limiter is not None
    assert limiter.stops_motor
    assert limiter.cut_time_s is not None
    assert limiter.cut_time_s.value == 30
