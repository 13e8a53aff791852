"""Older layouts are read as they are, and written in today's with their comments."""

import os
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from glidewright.base.errors import InputError, WriteError
from glidewright.store.migrations import SCHEMA, migrated, schema_of, upgrade
from glidewright.store.reading import read_model
from glidewright.store.writing import set_value

OLD_MODEL = """\
# My first model.
# Built in winter.

[model]  # what it is
name = "Old"  # as painted on the wing
# the class we fly
class = "hill-club-electric"
currency = "EUR"

# the wing
[airframe]
span_m = 2.0  # tip to tip
wing_area_dm2 = 36

[[fitted]]
part = "m28"

[[fitted]]
part = "s6"  # rudder
"""
OLD_DRAWER = """\
# everything in one file
[[motor]]
id = "m28"
kv_rpm_per_V = 1020  # label
mass_g = 52

[[servo]]
id = "s6"
mass_g = 6
"""


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


@pytest.fixture
def old(tmp_path: Path) -> Path:
    (tmp_path / "model.toml").write_text(OLD_MODEL)
    (tmp_path / "drawer.toml").write_text(OLD_DRAWER)
    return tmp_path


def comments(text: str) -> list[str]:
    return [line.split("#", 1)[1].strip() for line in text.splitlines() if "#" in line]


def test_schema_0_is_read_without_touching_the_files(old: Path) -> None:
    model = read_model(old)
    assert (model.name, model.class_id) == ("Old", "hill-club-electric")
    assert [item.name for item in model.items] == ["m28", "s6"]
    assert model.items[0].part.mass_kg is not None
    assert names(old) == ["drawer.toml", "model.toml"]
    assert (old / "model.toml").read_text() == OLD_MODEL


def test_upgrade_writes_the_same_model_in_todays_layout(old: Path) -> None:
    before = read_model(old)
    assert upgrade(old) is True
    assert read_model(old) == before
    assert names(old) == ["model.toml", "parts"]
    for name in ("model.toml", "parts/drawer.toml"):
        assert tomllib.loads((old / name).read_text())["schema"] == SCHEMA


def test_upgrade_keeps_every_comment_in_order(old: Path) -> None:
    upgrade(old)
    assert comments((old / "model.toml").read_text()) == comments(OLD_MODEL)
    assert comments((old / "parts" / "drawer.toml").read_text()) == comments(OLD_DRAWER)


def test_upgrade_of_todays_layout_does_nothing(folder: Path) -> None:
    before = (folder / "model.toml").read_bytes()
    assert upgrade(folder) is False
    assert (folder / "model.toml").read_bytes() == before


def test_schema_0_may_say_so(old: Path) -> None:
    (old / "model.toml").write_text("schema = 0\n" + OLD_MODEL)
    (old / "drawer.toml").write_text("schema = 0\n" + OLD_DRAWER)
    assert read_model(old).name == "Old"
    upgrade(old)
    assert (old / "model.toml").read_text().count("schema") == 1
    assert (old / "parts" / "drawer.toml").read_text().startswith("schema = 1\n# everything")


def test_schema_0_without_a_drawer(tmp_path: Path) -> None:
    (tmp_path / "model.toml").write_text(
        '[model]\nname = "Bare"\n[airframe]\nspan_m = 2\nwing_area_dm2 = 36\n'
    )
    assert read_model(tmp_path).name == "Bare"
    upgrade(tmp_path)
    assert read_model(tmp_path).name == "Bare"


@pytest.mark.parametrize("stop", ["parts/drawer.toml", "model.toml"])
def test_a_stop_during_the_upgrade_leaves_a_folder_that_reads_the_same(
    old: Path, monkeypatch: pytest.MonkeyPatch, stop: str
) -> None:
    before = read_model(old)
    real = os.replace

    def until(source: Path, target: Path) -> None:
        if target == old / stop:
            raise OSError(28, "No space left on device")
        real(source, target)

    with monkeypatch.context() as patch:
        patch.setattr(os, "replace", until)
        with pytest.raises(WriteError, match="the disk is full"):
            upgrade(old)
    assert read_model(old) == before
    assert upgrade(old) is True
    assert read_model(old) == before


def test_an_old_drawer_that_cannot_be_removed_is_not_read_any_more(
    old: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = read_model(old)

    def refuse(_path: Path, *, missing_ok: bool = False) -> None:
        raise PermissionError(13, "Permission denied", missing_ok)

    with monkeypatch.context() as patch:
        patch.setattr(Path, "unlink", refuse)
        upgrade(old)
    assert "drawer.toml" in names(old)
    assert read_model(old) == before


def test_a_drawer_folder_that_cannot_be_made_is_said(old: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(_path: Path, **_kwargs: object) -> None:
        raise PermissionError(13, "Permission denied")

    with monkeypatch.context() as patch:
        patch.setattr(Path, "mkdir", refuse)
        with pytest.raises(WriteError, match="writing is not allowed there"):
            upgrade(old)
    assert (old / "model.toml").read_text() == OLD_MODEL


def test_a_fault_in_an_old_folder_is_named_as_in_a_new_one(old: Path) -> None:
    (old / "drawer.toml").write_text(OLD_DRAWER.replace("mass_g = 6", "mass_g = -6"))
    with pytest.raises(InputError) as refused:
        read_model(old)
    assert str(refused.value) == (
        "parts/drawer.toml [[servo]] 's6': mass_g: must be greater than 0 g; -6 came; "
        "correct it or leave the key out"
    )


def test_a_broken_old_drawer_is_named_by_its_own_name(old: Path) -> None:
    (old / "drawer.toml").write_text("[[motor]\n")
    with pytest.raises(InputError, match=r"^drawer\.toml line 1, column 8: must be valid TOML"):
        read_model(old)


def test_a_key_that_would_stand_twice_is_named(old: Path) -> None:
    (old / "model.toml").write_text(OLD_MODEL.replace("[airframe]", "[name]"))
    with pytest.raises(InputError) as refused:
        read_model(old)
    assert str(refused.value) == (
        'model.toml: must be fit to be lifted from schema 0 to 1; Key "name" already exists; correct it there'
    )


def test_a_folder_that_is_no_toml_is_refused_by_name_before_any_change(folder: Path) -> None:
    (folder / "model.toml").write_text("schema = \n")
    assert upgrade(folder) is False
    with pytest.raises(InputError, match=r"^model\.toml line 1, column 10: must be valid TOML"):
        set_value(folder, "parts/drawer.toml", ("motor", "m28", "mass_g"), 50)


def test_a_change_to_an_old_folder_brings_it_to_todays_layout(old: Path) -> None:
    model = set_value(old, "parts/drawer.toml", ("motor", "m28", "mass_g"), 53)
    assert read_model(old) == model
    assert "mass_g = 53" in (old / "parts" / "drawer.toml").read_text()


WRITER = """
import sys
from pathlib import Path
from glidewright.store.writing import set_value
set_value(Path(sys.argv[1]), "model.toml", ("airframe", sys.argv[2]), float(sys.argv[3]))
"""


def test_two_programs_that_change_an_old_folder_at_once_lose_nothing(old: Path) -> None:
    changes = (("span_m", "1.8"), ("wing_area_dm2", "33.0"))
    running = [subprocess.Popen([sys.executable, "-c", WRITER, str(old), *change]) for change in changes]
    assert [one.wait(timeout=120) for one in running] == [0, 0]
    head = tomllib.loads((old / "model.toml").read_text())
    assert [head["airframe"][key] for key, _ in changes] == [1.8, 33.0]
    assert head["schema"] == SCHEMA
    assert len(read_model(old).drawer) == 2
    assert names(old) == ["model.toml", "parts"]


@pytest.mark.parametrize("key", ["schema", "name"])
def test_a_folder_of_a_newer_program_is_not_changed(folder: Path, key: str) -> None:
    path = folder / "model.toml"
    path.write_text(path.read_text().replace(f"schema = {SCHEMA}", f"schema = {SCHEMA + 1}", 1))
    before = {one: one.read_bytes() for one in folder.rglob("*") if one.is_file()}
    with pytest.raises(InputError, match="from a newer one"):
        set_value(folder, "model.toml", (key,), "x")
    assert {one: one.read_bytes() for one in folder.rglob("*") if one.is_file()} == before


def test_every_schema_has_its_way_to_todays(old: Path) -> None:
    texts = {name: (old / name).read_text() for name in ("model.toml", "drawer.toml")}
    assert SCHEMA == 1
    assert schema_of(tomllib.loads(texts["model.toml"]), "model.toml") == 0
    assert schema_of(tomllib.loads(migrated(texts, 0)["model.toml"]), "model.toml") == SCHEMA
    assert migrated({"model.toml": "schema = 1\n"}, SCHEMA) == {"model.toml": "schema = 1\n"}


@pytest.mark.parametrize("found", [2, 99])
def test_a_newer_schema_gets_one_sentence(folder: Path, found: int) -> None:
    path = folder / "model.toml"
    path.write_text(path.read_text().replace("schema = 1", f"schema = {found}").replace("[field]", "[filed]"))
    with pytest.raises(InputError) as refused:
        read_model(folder)
    assert str(refused.value) == (
        f"model.toml: schema: must be at most 1 for this version; {found} came, from a newer one; "
        "update glidewright to read this folder"
    )


@pytest.mark.parametrize("found", ["-1", "true", "1.0", '"1"'])
def test_a_schema_that_is_no_count_is_refused(folder: Path, found: str) -> None:
    path = folder / "model.toml"
    path.write_text(path.read_text().replace("schema = 1", f"schema = {found}"))
    with pytest.raises(InputError, match="schema: must be a whole number from 0"):
        read_model(folder)
