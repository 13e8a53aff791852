"""Changes keep comments, order and layout, and are written only when the result can be read."""

import os
import shutil
import tomllib
from difflib import ndiff
from pathlib import Path
from typing import Any

import pytest
import tomlkit
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from glidewright.base.door import read_noun
from glidewright.base.errors import InputError, WriteError
from glidewright.base.fields import Quantity, quantities
from glidewright.base.figure import GRADES, Given, Grade
from glidewright.domain.airframe import Airframe
from glidewright.domain.bench import BenchReading
from glidewright.domain.field import Field
from glidewright.domain.launch_plan import LaunchPlan
from glidewright.domain.model import Fitted
from glidewright.domain.parts import KINDS, Ballast, Motor, Pack, Servo
from glidewright.domain.weighing import Weighing
from glidewright.store.reading import read_model
from glidewright.store.tables import parsed
from glidewright.store.toml_edit import changed_text, value_at
from glidewright.store.writing import (
    append_table,
    remove_table,
    remove_value,
    set_value,
    table_of,
    value_of,
)

NOUNS = [*KINDS.values(), Airframe, Field, LaunchPlan, Fitted, Weighing, BenchReading]
EVERY_QUANTITY = [meta for noun in NOUNS for meta in quantities(noun).values()]


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def changes(before: str, after: str) -> list[str]:
    """Lines that went (-) and came (+)."""
    return [line for line in ndiff(before.splitlines(), after.splitlines()) if line[0] in "+-"]


def edited(folder: Path, file: str, path: tuple[str | int, ...], value: object) -> list[str]:
    before = (folder / file).read_text()
    model = set_value(folder, file, path, value)  # type: ignore[arg-type]
    after = (folder / file).read_text()
    assert read_model(folder) == model
    return changes(before, after)


def test_a_number_changes_and_nothing_else_does(folder: Path) -> None:
    assert edited(folder, "model.toml", ("airframe", "span_m"), 1.99) == [
        "- span_m = 2.0  # tip to tip",
        "+ span_m = 1.99  # tip to tip",
    ]


def test_a_number_may_say_where_it_comes_from(folder: Path) -> None:
    value = {"value": 101.5, "grade": "measured", "low": 101.0, "high": 102.0, "because": "letter scale"}
    assert edited(folder, "model.toml", ("item", "left-panel", "mass_g"), value) == [
        "- mass_g = 100  # planned",
        '+ mass_g = {value = 101.5, grade = "measured", low = 101.0, high = 102.0, because = "letter scale"}'
        "  # planned",
    ]
    panel = read_model(folder).items[0].part
    assert panel.mass_kg is not None
    assert panel.mass_kg.grade == "measured"


def test_a_new_key_goes_behind_the_last_one_of_its_table(folder: Path) -> None:
    before = (folder / "model.toml").read_text()
    set_value(folder, "model.toml", ("launch", "rest_s"), 240)
    after = (folder / "model.toml").read_text()
    assert after == before.replace("throw_speed_m_per_s = 7\n", "throw_speed_m_per_s = 7\nrest_s = 240\n")


def test_a_key_of_the_top(folder: Path) -> None:
    assert edited(folder, "model.toml", ("class",), "") == [
        '- class = "hill-club-electric"',
        '+ class = ""',
    ]
    before = (folder / "model.toml").read_text()
    set_value(folder, "model.toml", ("note",), "a note")
    assert (folder / "model.toml").read_text() == before.replace(
        'class = ""\n', 'class = ""\nnote = "a note"\n'
    )


def test_another_part_is_fitted_by_its_name(folder: Path) -> None:
    assert edited(folder, "model.toml", ("fitted", "motor", "part"), "m35") == [
        '- part = "m28"',
        '+ part = "m35"',
    ]


def test_one_of_several_tables_by_its_place(folder: Path) -> None:
    assert edited(folder, "model.toml", ("bench", 0, "speed_rpm"), 5900.0) == ["+ speed_rpm = 5900.0"]


def test_a_list_and_a_truth(folder: Path) -> None:
    assert edited(folder, "model.toml", ("airframe", "controls"), ["rudder", "elevator"]) == [
        '+ controls = ["rudder", "elevator"]'
    ]
    assert edited(folder, "parts/drawer.toml", ("motor", "m28", "on_hand"), True) == ["+ on_hand = true"]


def test_a_weighing_is_added_behind_the_others(folder: Path) -> None:
    before = (folder / "model.toml").read_text()
    model = append_table(folder, "weighing", {"of": ["all"], "mass_g": 598.5, "x_mm": 61})
    after = (folder / "model.toml").read_text()
    added = '[[weighing]]\nof = ["all"]\nmass_g = 598.5\nx_mm = 61\n\n'
    assert after == before.replace("# --- bench\n", added + "# --- bench\n")
    assert len(model.weighings) == 2
    assert read_model(folder) == model


def test_the_first_table_of_its_name_goes_to_the_end(folder: Path) -> None:
    path = folder / "model.toml"
    before = path.read_text().split("# --- bench")[0]
    path.write_text(before)
    model = append_table(folder, "bench", {"voltage_V": 7.1, "current_A": 12.0, "propeller": "none"})
    assert path.read_text() == before + ('[[bench]]\nvoltage_V = 7.1\ncurrent_A = 12.0\npropeller = "none"\n')
    assert len(model.bench) == 1


def test_a_part_is_added_to_the_drawer(folder: Path) -> None:
    before = (folder / "parts/drawer.toml").read_text()
    ballast = Ballast(id="lead", mass_kg=Given(value=0.01, grade="measured", because="letter scale"))
    model = append_table(folder, "ballast", table_of(ballast, "quoted"), "parts/drawer.toml")
    assert model.from_drawer("lead") == ballast
    assert (folder / "parts/drawer.toml").read_text().startswith(before)


def test_what_cannot_be_read_is_not_written(folder: Path) -> None:
    before = {name: (folder / name).read_bytes() for name in ("model.toml", "parts/drawer.toml")}
    with pytest.raises(InputError, match="must be greater than 0 m; -1 came"):
        set_value(folder, "model.toml", ("airframe", "span_m"), -1)
    with pytest.raises(InputError, match="must be a finite number; nan came"):
        set_value(folder, "model.toml", ("airframe", "span_m"), float("nan"))
    with pytest.raises(InputError, match="must be the id of a part"):
        set_value(folder, "model.toml", ("fitted", "motor", "part"), "m99")
    with pytest.raises(InputError, match="must be unique"):
        append_table(folder, "motor", {"id": "m28"}, "parts/drawer.toml")
    with pytest.raises(InputError, match="is not a table or key that is known here"):
        append_table(folder, "wieghing", {"of": ["all"], "mass_g": 600})
    assert before == {name: (folder / name).read_bytes() for name in before}


@pytest.mark.parametrize(
    ("file", "path", "sentence"),
    [
        (
            "parts/more.toml",
            ("motor", "m28", "mass_g"),
            "parts/more.toml: must be a file of the model folder",
        ),
        ("model.toml", ("wing", "left", "span_m"), "model.toml wing left: must be a table of this file"),
        ("model.toml", ("item", "spar", "mass_g"), "model.toml item spar: must be a table of this file"),
        ("model.toml", ("bench", 7, "current_A"), "model.toml bench 7: must be a table of this file"),
        ("model.toml", ("item", "mass_g"), "model.toml item: must be one of several tables"),
    ],
)
def test_a_place_that_is_not_there_is_named(
    folder: Path, file: str, path: tuple[str | int, ...], sentence: str
) -> None:
    with pytest.raises(InputError) as refused:
        set_value(folder, file, path, 1)
    assert str(refused.value).startswith(sentence)


def test_a_full_disk_loses_nothing(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    before = (folder / "model.toml").read_bytes()

    def full(*_args: object) -> int:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr(os, "write", full)
        with pytest.raises(WriteError) as refused:
            append_table(folder, "weighing", {"of": ["all"], "mass_g": 600})
    assert str(refused.value) == (
        f"{folder / 'model.toml'}: must be written whole and was not, nothing was changed; "
        "the disk is full; free some space and try again"
    )
    assert (folder / "model.toml").read_bytes() == before
    assert names(folder) == ["model.toml", "parts"]


def test_windows_line_ends_stay(folder: Path) -> None:
    path = folder / "model.toml"
    path.write_bytes(path.read_bytes().replace(b"\n", b"\r\n"))
    set_value(folder, "model.toml", ("airframe", "span_m"), 1.99)
    data = path.read_bytes()
    assert b"span_m = 1.99  # tip to tip\r\n" in data
    assert data.count(b"\n") == data.count(b"\r\n")


def test_tables_of_one_name_may_stand_apart(folder: Path) -> None:
    path = folder / "parts" / "drawer.toml"
    path.write_text(path.read_text() + '\n[[motor]]\nid = "m22"\nmass_g = 28  # behind the servo\n')
    assert edited(folder, "parts/drawer.toml", ("motor", "m22", "mass_g"), 29) == [
        "- mass_g = 28  # behind the servo",
        "+ mass_g = 29  # behind the servo",
    ]
    assert edited(folder, "parts/drawer.toml", ("motor", "m28", "mass_g"), 53) == [
        "- mass_g = 52",
        "+ mass_g = 53",
    ]


def test_a_single_table_that_is_not_there_yet_is_added(folder: Path) -> None:
    path = folder / "model.toml"
    text = path.read_text().replace("[field]\nelevation_m = 430\n\n", "")
    path.write_text(text)
    set_value(folder, "model.toml", ("field", "elevation_m"), 500)
    assert path.read_text() == text + "\n[field]\nelevation_m = 500\n"


@pytest.mark.parametrize("table", ["airframe = { span_m = 2, wing_area_dm2 = 36 }", "airframe.span_m = 2"])
def test_a_way_of_writing_that_the_program_does_not_change_is_left_alone(tmp_path: Path, table: str) -> None:
    text = f'schema = 1\nname = "Odd"\n{table}\n'
    (tmp_path / "model.toml").write_text(text)
    with pytest.raises(InputError):
        set_value(tmp_path, "model.toml", ("airframe", "span_m"), 1.9)
    assert (tmp_path / "model.toml").read_text() == text


def test_a_text_that_looks_like_a_header_is_left_alone(folder: Path) -> None:
    path = folder / "model.toml"
    text = path.read_text().replace('name = "Small"', 'name = "Small"\nnote = """\n[[item]]\n"""')
    path.write_text(text)
    with pytest.raises(InputError, match="make the change by hand"):
        set_value(folder, "model.toml", ("item", "boom", "mass_g"), 29)
    assert path.read_text() == text


def test_a_file_without_a_last_line_end(folder: Path) -> None:
    path = folder / "parts" / "drawer.toml"
    path.write_text(path.read_text().rstrip("\n"))
    append_table(folder, "servo", {"id": "s9", "mass_g": 9.5}, "parts/drawer.toml")
    assert path.read_text().endswith('mass_g = 6\n\n[[servo]]\nid = "s9"\nmass_g = 9.5\n')


def numbers_of(meta: Quantity) -> st.SearchStrategy[float]:
    """Numbers that a person may write for a quantity, in the unit of its key; none closer to 0 than 1e-9."""
    low = 1e-9 if meta.above == 0 else meta.at_least
    high = meta.at_most if meta.at_most is not None else 1e6
    numbers = st.floats(low if low is not None else -1e6, high)
    return numbers.map(lambda number: number if abs(number) >= 1e-9 else 0.0)


@st.composite
def stated(draw: st.DrawFn) -> tuple[Quantity, float, float | None, float | None, Grade, str]:
    meta = draw(st.sampled_from(EVERY_QUANTITY))
    low, value, high = sorted(draw(st.tuples(*[numbers_of(meta)] * 3)))
    has_band = draw(st.booleans())
    grade: Grade = draw(st.sampled_from(list(GRADES)))
    because = draw(st.text(st.characters(blacklist_categories=["Cs"]), max_size=20))
    return meta, value, low if has_band else None, high if has_band else None, grade, because


@given(stated(), st.sampled_from(list(GRADES)))
def test_any_given_that_was_read_is_written_and_read_again_equal(
    what: tuple[Quantity, float, float | None, float | None, Grade, str], surrounding: Grade
) -> None:
    meta, value, low, high, grade, because = what
    first = Given(
        value=meta.shown.to_si(value),
        low=None if low is None else meta.shown.to_si(low),
        high=None if high is None else meta.shown.to_si(high),
        grade=grade,
        because=because,
    )
    noun = next(n for n in NOUNS if meta in quantities(n).values())
    name = next(name for name, own in quantities(noun).items() if own == meta)
    text = tomlkit.dumps({meta.key: value_of(first, meta, surrounding)})
    table = parsed(text, "text")
    required = {
        other: Given(value=1.0)
        for other, info in noun.model_fields.items()
        if info.is_required() and other in quantities(noun) and other != name
    }
    plain = {"id": "x", "part": "x", "of": ("all",), "cells": 2}
    also = required | {key: word for key, word in plain.items() if key in noun.model_fields}
    if noun is Weighing:  # it must have read something
        also["mass_kg"] = Given(value=1.0)
    again = read_noun(noun, table, "text", surrounding, also=also)
    assert getattr(again, name) == first


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=30, deadline=None)
@given(value=st.floats(0.001, 5000), grade=st.sampled_from(list(GRADES)))
def test_any_mass_goes_through_the_file_and_back(folder: Path, value: float, grade: Grade) -> None:
    mass = Given(value=0.001 * value, grade=grade)
    meta = quantities(Servo)["mass_kg"]
    model = set_value(folder, "parts/drawer.toml", ("servo", "s6", "mass_g"), value_of(mass, meta, "quoted"))
    part = model.from_drawer("s6")
    assert part is not None
    assert part.mass_kg == mass


def test_a_noun_is_written_without_what_is_unknown_or_as_by_default() -> None:
    motor = Motor(
        id="m28",
        kv_rad_per_Vs=Given(value=quantities(Motor)["kv_rad_per_Vs"].shown.to_si(1020)),
        mass_kg=Given(value=0.052, grade="measured"),
        on_hand=True,
    )
    assert table_of(motor, "quoted") == {
        "id": "m28",
        "mass_g": {"value": 52.0, "grade": "measured"},
        "on_hand": True,
        "kv_rpm_per_V": 1020.0,
    }


def test_every_part_of_the_drawer_is_written_and_read_again_equal(folder: Path) -> None:
    for part in read_model(folder).drawer:
        table = table_of(part, "typical")
        assert read_noun(type(part), table, "text", "typical") == part


def test_a_pack_of_the_drawer_as_a_table(folder: Path) -> None:
    pack = next(part for part in read_model(folder).drawer if isinstance(part, Pack))
    assert table_of(pack, "quoted") == {
        "id": "p2",
        "mass_g": {
            "value": 34.0,
            "grade": "measured",
            "low": 33.8,
            "high": 34.2,
            "because": "letter scale",
        },
        "cells": 2,
        "capacity_mAh": 550.0,
    }


def test_a_key_and_a_table_are_taken_out_and_nothing_else_changes(tmp_path: Path, demo_folder: Path) -> None:
    folder = tmp_path / "own"
    shutil.copytree(demo_folder, folder)
    before = (folder / "model.toml").read_text(encoding="utf-8").splitlines()
    model = remove_value(folder, "model.toml", ("field", "pressure_hPa"))  # never stated
    assert (folder / "model.toml").read_text(encoding="utf-8").splitlines() == before
    model = remove_value(folder, "model.toml", ("field", "temperature_C"))
    assert model.field.temperature_K is None
    model = remove_table(folder, "model.toml", ("weighing", 0))
    assert len(model.weighings) == 2
    after = (folder / "model.toml").read_text(encoding="utf-8").splitlines()
    gone = [line for line in before if line not in after]
    assert [line.split(" = ")[0] for line in gone] == ["temperature_C", "of", "mass_g", "note"]
    assert [line for line in after if line not in before] == []
    with pytest.raises(InputError, match="must be a table of this file"):
        remove_table(folder, "model.toml", ("item", "nobody"))


def test_many_changes_are_made_in_a_text_at_once(demo_folder: Path) -> None:
    text = (demo_folder / "model.toml").read_text(encoding="utf-8")
    changes: list[tuple[tuple[str | int, ...], Any]] = [
        (("airframe", "span_m"), 1.5),
        (("field", "ceiling_m"), None),
        (("weighing", 0), None),
        (("weighing", 0), None),
    ]
    found = tomllib.loads(changed_text(text, "model.toml", changes))
    assert found["airframe"]["span_m"] == 1.5
    assert "ceiling_m" not in found["field"]
    assert [one["of"] for one in found["weighing"]] == [["stabiliser"]]


@pytest.mark.parametrize(
    "keys",
    [(), (0, "mass_g"), ("", "x"), ("a b", "x"), (99, "value"), ("item", "boom", "x", "y"), ("class", "x")],
)
def test_a_place_that_no_file_has_is_refused_in_words(folder: Path, keys: tuple[str | int, ...]) -> None:
    before = (folder / "model.toml").read_bytes()
    with pytest.raises(InputError):
        set_value(folder, "model.toml", keys, 1.0)
    assert (folder / "model.toml").read_bytes() == before


@pytest.mark.parametrize("name", ["airframe", "class", "", "a.b", "[x]", "nonsense"])
def test_only_tables_of_which_there_may_be_several_are_added(folder: Path, name: str) -> None:
    before = (folder / "model.toml").read_bytes()
    with pytest.raises(InputError):
        append_table(folder, name, {"note": "x"})
    assert (folder / "model.toml").read_bytes() == before


def test_nothing_stands_below_a_text() -> None:
    assert value_at({"class": "f"}, ("class", "x")) is None
    assert value_at({"class": ["f"]}, ("class", "x")) is None
