"""Builds: roles of a drawer, and the model that a build makes."""

import pytest

from glidewright.base.errors import InputError
from glidewright.base.figure import Given
from glidewright.decisions.choosing.builds import (
    Build,
    fitted_build,
    model_of,
    on_yoke,
    parts_of,
    roles_of,
    to_buy,
    with_more_parts,
)
from glidewright.domain.model import Model
from glidewright.domain.parts import Motor, Pack, Part, Propeller, Servo
from glidewright.forecast.items import item_draws
from glidewright.forecast.setup import prepare


def build_of(model: Model, **changes: object) -> Build:
    found = fitted_build(model)
    assert found is not None
    return found.model_copy(update=changes)


def named(model: Model, part_id: str) -> Part:
    part = model.from_drawer(part_id)
    assert part is not None
    return part


def nominal_mass_and_centre(model: Model) -> tuple[float, float]:
    setup = prepare(model, None, 8).nominal()
    now = item_draws(model, setup.inputs, setup.scores).now
    return float(now.mass_kg[0]), float(now.centre_m[0, 0])


def test_parts_on_hand_come_first(demo: Model) -> None:
    roles = roles_of(demo)
    for parts in (roles.motors, roles.controllers, roles.packs):
        hands = [part.on_hand for part in parts]
        assert hands == sorted(hands, reverse=True)
    assert {part.id for part in roles.packs} == {"p2-550", "p2-800", "p2-600", "p3-450", "p3-850"}


def test_a_servo_is_replaced_by_no_weaker_one(demo: Model) -> None:
    fuselage, wing = roles_of(demo).servos
    assert (fuselage.fitted.id, fuselage.places) == ("s6", (0, 1))
    assert {part.id for part in fuselage.parts} == {"s6", "s9"}  # s5-wing has 9 N cm, s6 has 11
    assert {part.id for part in wing.parts} == {"s5-wing", "s6", "s9"}


def test_blades_go_on_other_yokes_but_not_on_the_same_size(demo: Model) -> None:
    pairs = [(blades.id, carrier.id) for blades, carrier in roles_of(demo).propellers]
    # three sets share one yoke and spinner; f11.5x5.5 states no yoke, x9x6 does not fold
    others = {pair for pair in pairs if pair[0] != pair[1]}
    assert others == {("f11x6", "f10x5"), ("f10x6", "f10x5"), ("f9x5", "f10x5"), ("f10x5", "f11x6")}


def test_blades_on_another_yoke_keep_their_mark_and_take_its_spinner(demo: Model) -> None:
    blades, carrier = named(demo, "f10x5"), named(demo, "f11x6")
    assert isinstance(blades, Propeller)
    assert isinstance(carrier, Propeller)
    made = on_yoke(blades, carrier)
    assert (made.yoke_m, made.yoke_assumed_m) == (carrier.yoke_m, blades.yoke_m)
    assert made.spinner_diameter_m == carrier.spinner_diameter_m
    assert made.mass_kg is not None
    assert made.mass_kg.low is not None
    assert made.mass_kg.low < 0.0172 < (made.mass_kg.high or 0.0)


def test_the_fitted_build_is_the_model_itself(demo: Model) -> None:
    assert model_of(demo, build_of(demo)) == demo


def test_a_build_exchanges_parts_and_keeps_their_places(demo: Model) -> None:
    made = model_of(demo, build_of(demo, motor="m28-880", pack="p2-800", servos=("s9", "s9", "s6", "s6")))
    motor, pack = made.first(Motor), made.first(Pack)
    assert motor is not None
    assert pack is not None
    assert (motor.id, pack.id) == ("m28-880", "p2-800")
    old = demo.first(Motor)
    assert old is not None
    assert motor.x_m == old.x_m
    assert [part.id for _, part in made.of_kind(Servo)] == ["s9", "s9", "s6", "s6"]
    grams = (62 - 52) + (48 - 34) + 2 * (9.4 - 6.3) + 2 * (6.3 - 5.2)
    before, after = nominal_mass_and_centre(demo)[0], nominal_mass_and_centre(made)[0]
    assert after - before == pytest.approx(1e-3 * grams, abs=1e-9)


def test_a_moved_motor_takes_the_propeller_along(demo: Model) -> None:
    made = model_of(demo, build_of(demo, motor_x_m=-0.205, pack_x_m=-0.15))
    motor, propeller, pack = made.first(Motor), made.first(Propeller), made.first(Pack)
    assert motor is not None
    assert propeller is not None
    assert pack is not None
    places = [part.x_m.value for part in (motor, propeller, pack) if part.x_m is not None]
    assert places == pytest.approx([-0.205, -0.232, -0.15])
    mass, old = nominal_mass_and_centre(demo)
    moment = 0.052 * 0.010 + 0.022 * 0.010 + 0.034 * 0.015
    assert nominal_mass_and_centre(made)[1] - old == pytest.approx(moment / mass, abs=1e-9)


def test_ballast_lies_at_the_ends_of_the_body(demo: Model) -> None:
    made = model_of(demo, build_of(demo, nose_ballast_kg=0.010, tail_ballast_kg=0.004))
    mass, centre = nominal_mass_and_centre(demo)
    total, moved = nominal_mass_and_centre(made)
    assert total == pytest.approx(mass + 0.014)
    assert moved * total == pytest.approx(mass * centre + 0.010 * -0.232 + 0.004 * 0.850, abs=1e-12)


def test_what_is_not_on_hand_is_to_be_bought_as_often_as_it_is_needed(demo: Model) -> None:
    build = build_of(demo, pack="p2-600", propeller="f10x5", yoke="f10x6", servos=("s9",) * 4)
    assert [part.id for part in parts_of(demo, build)][:5] == ["m28-1020", "c30", "p2-600", "f10x5", "f10x6"]
    assert [part.id for part in to_buy(demo, build)] == ["p2-600", "f10x6", "s9", "s9", "s9", "s9"]


def test_further_parts_play_roles_too(demo: Model) -> None:
    extra = named(demo, "p2-600").model_copy(
        update={"id": "p2-500", "capacity_As": Given(value=1800.0, grade="quoted")}
    )
    more = with_more_parts(demo, (extra,))
    assert extra in roles_of(more).packs
    assert model_of(more, build_of(demo, pack="p2-500")).first(Pack) is not None
    with pytest.raises(InputError, match="'p2-500' came; nearest known: p2-800"):
        model_of(demo, build_of(demo, pack="p2-500"))
