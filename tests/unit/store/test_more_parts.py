"""Files of parts outside of a model folder."""

from pathlib import Path

import pytest

from glidewright.base.errors import InputError, MissingError
from glidewright.domain.parts import Motor
from glidewright.store.more_parts import read_more_parts

MOTOR = '[[motor]]\nid = "{}"\nkv_rpm_per_V = 1000\nmass_g = 40\n'


def write(path: Path, text: str) -> Path:
    path.write_text(text, encoding="utf-8")
    return path


def test_parts_of_several_files_in_their_order(tmp_path: Path) -> None:
    first = write(tmp_path / "club.toml", "schema = 1\n" + MOTOR.format("a") + MOTOR.format("b"))
    second = write(tmp_path / "shop.toml", "schema = 1\n" + MOTOR.format("c"))
    found = read_more_parts((first, second))
    assert [part.id for part in found] == ["a", "b", "c"]
    assert isinstance(found[0], Motor)
    assert read_more_parts(()) == ()


def test_an_id_in_two_files_names_both(tmp_path: Path) -> None:
    first = write(tmp_path / "club.toml", "schema = 1\n" + MOTOR.format("a"))
    second = write(tmp_path / "shop.toml", "schema = 1\n" + MOTOR.format("a"))
    with pytest.raises(InputError, match=r"shop.toml.*must be unique; 'a' is in .*club.toml"):
        read_more_parts((first, second))


def test_a_file_that_is_not_there_or_broken(tmp_path: Path) -> None:
    with pytest.raises(MissingError, match="must be a file of parts"):
        read_more_parts((tmp_path / "none.toml",))
    with pytest.raises(InputError, match="valid TOML"):
        read_more_parts((write(tmp_path / "broken.toml", "[[motor\n"),))
