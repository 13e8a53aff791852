"""A model folder becomes a Model: units, grades, order, stations and defaults."""

from collections.abc import Callable
from pathlib import Path

import pytest

from glidewright.base.errors import InputError
from glidewright.base.figure import Given
from glidewright.domain.parts import Motor, Pack, PlainItem, Servo
from glidewright.store.reading import model_of_texts, read_model
from glidewright.store.texts import read_texts

Spoil = Callable[[str, str, str], None]


def test_numbers_come_in_si_with_their_grade(folder: Path) -> None:
    model = read_model(folder)
    motor = model.first(Motor)
    pack = model.first(Pack)
    assert motor is not None
    assert motor.kv_rad_per_Vs is not None
    assert motor.kv_rad_per_Vs.value == pytest.approx(106.81415022205297, rel=1e-15)  # 1020 * 2 pi / 60
    assert motor.kv_rad_per_Vs.grade == "quoted"
    assert pack is not None
    assert pack.capacity_As.value == 1980.0
    assert pack.mass_kg == Given(
        value=34 * 0.001, grade="measured", low=33.8 * 0.001, high=34.2 * 0.001, because="letter scale"
    )


def test_items_come_before_fitted_parts_in_the_order_of_the_file(folder: Path) -> None:
    model = read_model(folder)
    assert [item.name for item in model.items] == [
        "left-panel",
        "boom",
        "motor",
        "pack",
        "rudder servo",
        "elevator servo",
    ]
    assert [item.group for item in model.items] == ["wing", "fuselage", "power", "power", "radio", "radio"]


def test_a_station_in_the_model_replaces_that_of_the_drawer(folder: Path) -> None:
    model = read_model(folder)
    motor, in_drawer = model.first(Motor), model.from_drawer("m28")
    assert motor is not None
    assert motor.x_m is not None
    assert motor.x_m.value == pytest.approx(-0.2)
    assert isinstance(in_drawer, Motor)
    assert in_drawer.x_m is not None
    assert in_drawer.x_m.value == pytest.approx(-0.19)


def test_one_part_may_be_fitted_twice(folder: Path) -> None:
    model = read_model(folder)
    assert len(list(model.of_kind(Servo))) == 2
    assert [part.id for part in model.drawer] == ["m28", "m35", "p2", "s6"]


def test_what_is_not_stated_stays_unknown(folder: Path) -> None:
    model = read_model(folder)
    motor = model.first(Motor)
    assert motor is not None
    assert motor.resistance_ohm is None
    assert model.airframe.tail_area_m2 is None
    assert model.field.temperature_K is None


def test_head_and_defaults(folder: Path) -> None:
    model = read_model(folder)
    assert (model.name, model.class_id, model.currency) == ("Small", "hill-club-electric", "EUR")
    assert model.field.headwind_m_s.grade == "guessed"
    assert model.launch.throw_speed_m_s == Given(value=7.0, grade="quoted")


def test_weighings_and_bench_readings_are_measured_unless_they_say_otherwise(
    folder: Path, spoil: Spoil
) -> None:
    spoil("model.toml", "current_A = 13.1", 'current_A = { value = 13.1, grade = "guessed" }')
    model = read_model(folder)
    (weighing,), (bench,) = model.weighings, model.bench
    assert weighing.mass_kg.grade == "measured"
    assert bench.voltage_V is not None
    assert bench.voltage_V.grade == "measured"
    assert bench.current_A is not None
    assert bench.current_A.grade == "guessed"


def test_the_grade_of_a_file_and_of_a_table_hold_for_bare_numbers(folder: Path, spoil: Spoil) -> None:
    spoil("model.toml", 'name = "Small"', 'name = "Small"\ngrade = "typical"')
    spoil("model.toml", "[field]\n", '[field]\ngrade = "measured"\n')
    spoil("parts/drawer.toml", 'grade = "quoted"', 'grade = "guessed"')
    model = read_model(folder)
    assert model.airframe.span_m.grade == "typical"
    assert model.field.elevation_m.grade == "measured"
    panel = next(item.part for item in model.items if isinstance(item.part, PlainItem))
    assert panel.mass_kg is not None
    assert panel.mass_kg.grade == "typical"
    servo = model.first(Servo)
    assert servo is not None
    assert servo.mass_kg is not None
    assert servo.mass_kg.grade == "guessed"


def test_one_name_may_stand_for_a_list_of_one_in_a_weighing(folder: Path, spoil: Spoil) -> None:
    spoil("model.toml", 'of = ["boom"]', 'of = "all"')
    assert read_model(folder).weighings[0].of == ("all",)


def test_parts_may_lie_in_several_files_of_which_hidden_ones_do_not_count(folder: Path) -> None:
    (folder / "parts" / "more.toml").write_text('schema = 1\n[[ballast]]\nid = "lead"\nmass_g = 10\n')
    (folder / "parts" / "._more.toml").write_bytes(b"\x00\x05\x16")
    (folder / "parts" / "notes.txt").write_text("not a part")
    assert [part.id for part in read_model(folder).drawer][-1] == "lead"


def test_a_folder_without_drawer_reads_when_nothing_of_it_is_fitted(tmp_path: Path) -> None:
    (tmp_path / "model.toml").write_text(
        'schema = 1\nname = "Bare"\n[airframe]\nspan_m = 2\nwing_area_dm2 = 36\n'
    )
    model = read_model(tmp_path)
    assert model.drawer == ()
    assert model.items == ()


def test_a_byte_order_mark_and_windows_line_ends_do_no_harm(folder: Path) -> None:
    before = read_model(folder)
    path = folder / "model.toml"
    text = path.read_text(encoding="utf-8").replace("\n", "\r\n")
    path.write_bytes(b"\xef\xbb\xbf" + text.encode("utf-8"))
    assert read_model(folder) == before


def test_bench_parts_are_named_by_their_id_and_none_is_a_bare_shaft(folder: Path, spoil: Spoil) -> None:
    spoil("model.toml", "voltage_V = 7.2", 'voltage_V = 7.2\nmotor = "m35"\npropeller = "none"')
    (bench,) = read_model(folder).bench
    assert (bench.motor, bench.propeller) == ("m35", "none")


def test_texts_alone_are_enough(folder: Path) -> None:
    assert model_of_texts(read_texts(folder)) == read_model(folder)


def test_all_problems_of_all_files_come_at_once(folder: Path, spoil: Spoil) -> None:
    spoil("model.toml", "span_m = 2.0", "span_m = -2.0")
    spoil("model.toml", "mass_g = 100", "mas_g = 100")
    spoil("parts/drawer.toml", "cells = 2", "cells = 0")
    spoil("parts/drawer.toml", "mass_g = 80", "mass_g = 0")
    with pytest.raises(InputError) as refused:
        read_model(folder)
    assert {problem.where for problem in refused.value.problems} == {
        "model.toml [airframe]: span_m",
        "model.toml [[item]] 'left-panel': mas_g",
        "parts/drawer.toml [[pack]] 'p2': cells",
        "parts/drawer.toml [[motor]] 'm35': mass_g",
    }
