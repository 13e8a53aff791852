"""A new folder appears whole or not at all."""

import errno
import os
from pathlib import Path

import pytest

from glidewright.base.errors import InputError, WriteError
from glidewright.store.new_folder import write_new_folder

TEXTS = {"model.toml": "schema = 1\n", "parts/power.toml": "schema = 1\n# Ä\n"}


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_all_files_are_written(tmp_path: Path) -> None:
    write_new_folder(tmp_path / "lark", TEXTS)
    assert {name: (tmp_path / "lark" / name).read_text(encoding="utf-8") for name in TEXTS} == TEXTS
    assert names(tmp_path) == ["lark"]


def test_an_empty_folder_is_filled(tmp_path: Path) -> None:
    (tmp_path / "lark").mkdir()
    write_new_folder(tmp_path / "lark", TEXTS)
    assert names(tmp_path / "lark") == ["model.toml", "parts"]


def test_a_folder_that_holds_something_is_refused(tmp_path: Path) -> None:
    (tmp_path / "lark").mkdir()
    (tmp_path / "lark" / "notes.txt").write_text("mine")
    with pytest.raises(InputError) as refused:
        write_new_folder(tmp_path / "lark", TEXTS)
    assert str(refused.value) == (
        f"{tmp_path / 'lark'}: must be a new or an empty folder; it holds files already; "
        "choose another name, nothing was changed"
    )
    assert names(tmp_path / "lark") == ["notes.txt"]


def test_a_file_of_that_name_is_refused(tmp_path: Path) -> None:
    (tmp_path / "lark").write_text("mine")
    with pytest.raises(InputError, match="must be a new folder; a file has that name; choose another name"):
        write_new_folder(tmp_path / "lark", TEXTS)
    assert (tmp_path / "lark").read_text() == "mine"


def test_a_folder_without_permission_is_said(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(_path: Path, *_args: object, **_kwargs: object) -> None:
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))

    with monkeypatch.context() as patch:
        patch.setattr(Path, "mkdir", refuse)
        with pytest.raises(WriteError) as refused:
            write_new_folder(tmp_path / "lark", TEXTS)
    assert str(refused.value) == (
        f"{tmp_path / 'lark'}: must be written whole and was not, nothing was changed; "
        "writing is not allowed there; change the permissions or use another folder"
    )
    assert names(tmp_path) == []


@pytest.mark.parametrize("call", ["write", "fsync", "replace", "rename"])
@pytest.mark.parametrize("had_empty_folder", [True, False])
def test_a_disk_that_fills_leaves_nothing_behind(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, call: str, had_empty_folder: bool
) -> None:
    if had_empty_folder:
        (tmp_path / "lark").mkdir()

    def full(*_args: object) -> int:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    with monkeypatch.context() as patch:
        patch.setattr(os, call, full)
        with pytest.raises(WriteError) as refused:
            write_new_folder(tmp_path / "lark", TEXTS)
    assert str(refused.value) == (
        f"{tmp_path / 'lark'}: must be written whole and was not, nothing was changed; "
        "the disk is full; free some space and try again"
    )
    left = [path for path in tmp_path.rglob("*") if path.name != "lark"]
    assert left == []


def test_a_parent_that_does_not_exist_is_said(tmp_path: Path) -> None:
    with pytest.raises(WriteError, match="its folder does not exist; make the folder first"):
        write_new_folder(tmp_path / "nowhere" / "lark", TEXTS)
