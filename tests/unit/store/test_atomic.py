"""A write is whole or not at all: full disk, no permission, a stop in between; the old file stands."""

import errno
import os
import stat
from collections.abc import Callable
from pathlib import Path

import pytest

from glidewright.base.errors import WriteError
from glidewright.store.atomic import write_whole

CALLS = ["open", "write", "fsync", "replace"]
SENTENCES = {
    errno.ENOSPC: "the disk is full; free some space and try again",
    errno.EDQUOT: "the disk quota is used up; free some space and try again",
    errno.EACCES: "writing is not allowed there; change the permissions or use another folder",
    errno.EPERM: "writing is not allowed there; change the permissions or use another folder",
    errno.EROFS: "the disk is read-only; use another folder",
    errno.EIO: "the system said: Input/output error; try again elsewhere",
}


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def failing(monkeypatch: pytest.MonkeyPatch, call: str, number: int) -> None:
    def refuse(*_args: object, **_kwargs: object) -> int:
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr(os, call, refuse)


def test_a_new_file_is_written_as_it_stands(tmp_path: Path) -> None:
    write_whole(tmp_path / "a.toml", "name = 'Ä'\r\n")
    assert (tmp_path / "a.toml").read_bytes() == b"name = '\xc3\x84'\r\n"
    assert names(tmp_path) == ["a.toml"]


def test_an_old_file_is_replaced_and_keeps_its_permissions(tmp_path: Path) -> None:
    path = tmp_path / "a.toml"
    path.write_text("old")
    path.chmod(0o640)
    write_whole(path, "new")
    assert path.read_text() == "new"
    if os.name == "posix":
        assert stat.S_IMODE(path.stat().st_mode) == 0o640


@pytest.mark.skipif(os.name != "posix", reason="links need special rights elsewhere")
def test_behind_a_link_the_linked_file_changes_and_the_link_stays(tmp_path: Path) -> None:
    (tmp_path / "shared").mkdir()
    shared, link = tmp_path / "shared" / "drawer.toml", tmp_path / "drawer.toml"
    shared.write_text("old")
    link.symlink_to(shared)
    write_whole(link, "new")
    assert link.is_symlink()
    assert shared.read_text() == "new"
    assert names(tmp_path / "shared") == ["drawer.toml"]


@pytest.mark.parametrize("number", SENTENCES)
@pytest.mark.parametrize("call", CALLS)
def test_a_refused_write_is_one_sentence_and_loses_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, call: str, number: int
) -> None:
    path = tmp_path / "a.toml"
    path.write_text("old")
    with monkeypatch.context() as patch:
        failing(patch, call, number)
        with pytest.raises(WriteError) as refused:
            write_whole(path, "new")
    assert str(refused.value) == (
        f"{path}: must be written whole and was not, nothing was changed; {SENTENCES[number]}"
    )
    assert path.read_text() == "old"
    assert names(tmp_path) == ["a.toml"]


def test_a_disk_that_fills_in_the_middle_of_the_text_loses_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "a.toml"
    path.write_text("old")
    room = [10]
    real: Callable[[int, bytes], int] = os.write

    def write(handle: int, data: bytes) -> int:
        if not room[0]:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        written = real(handle, bytes(data)[: room[0]])
        room[0] -= written
        return written

    with monkeypatch.context() as patch:
        patch.setattr(os, "write", write)
        with pytest.raises(WriteError, match="the disk is full"):
            write_whole(path, "x" * 100)
    assert path.read_text() == "old"
    assert names(tmp_path) == ["a.toml"]


def test_a_write_in_small_pieces_is_whole(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    real: Callable[[int, bytes], int] = os.write
    with monkeypatch.context() as patch:
        patch.setattr(os, "write", lambda handle, data: real(handle, bytes(data)[:3]))
        write_whole(tmp_path / "a.toml", "0123456789")
    assert (tmp_path / "a.toml").read_text() == "0123456789"


def test_a_folder_that_does_not_exist_is_said(tmp_path: Path) -> None:
    with pytest.raises(WriteError, match="its folder does not exist; make the folder first"):
        write_whole(tmp_path / "nowhere" / "a.toml", "new")


def test_a_read_only_folder_is_said(tmp_path: Path) -> None:
    path = tmp_path / "a.toml"
    path.write_text("old")
    tmp_path.chmod(0o500)
    try:
        if os.access(tmp_path, os.W_OK):
            pytest.skip(
                "whoever runs this test (root) may write to a read-only folder; EACCES is simulated above"
            )
        with pytest.raises(WriteError, match="writing is not allowed there"):
            write_whole(path, "new")
    finally:
        tmp_path.chmod(0o700)
    assert path.read_text() == "old"


def test_an_interrupt_leaves_the_old_file_and_no_temporary_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "a.toml"
    path.write_text("old")

    def interrupt(*_args: object) -> None:
        raise KeyboardInterrupt

    with monkeypatch.context() as patch:
        patch.setattr(os, "replace", interrupt)
        with pytest.raises(KeyboardInterrupt):
            write_whole(path, "new")
    assert path.read_text() == "old"
    assert names(tmp_path) == ["a.toml"]


def test_a_system_that_cannot_force_a_folder_to_disk_still_writes(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    real: Callable[[int], None] = os.fsync

    def only_files(handle: int) -> None:
        if stat.S_ISDIR(os.fstat(handle).st_mode):
            raise OSError(errno.EINVAL, os.strerror(errno.EINVAL))
        real(handle)

    monkeypatch.setattr(os, "fsync", only_files)
    write_whole(tmp_path / "a.toml", "new")
    assert (tmp_path / "a.toml").read_text() == "new"


def test_what_killed_programs_left_goes_after_an_hour(tmp_path: Path) -> None:
    stale, fresh = tmp_path / ".a.toml.0123456789ab.tmp", tmp_path / ".b.toml.0123456789ac.tmp"
    others = [tmp_path / name for name in (".a.toml.tmp", "a.0123456789ab.tmp", ".mine.0123456789AB.tmp")]
    for path in (stale, fresh, *others):
        path.write_text("half")
    for path in (stale, *others):
        os.utime(path, (0, 0))
    (tmp_path / ".c.0123456789ab.tmp").mkdir()  # a folder is none of these
    os.utime(tmp_path / ".c.0123456789ab.tmp", (0, 0))
    write_whole(tmp_path / "a.toml", "new")
    assert not stale.exists()
    assert all(path.exists() for path in (fresh, *others, tmp_path / ".c.0123456789ab.tmp"))


def test_a_clock_that_was_set_back_removes_nothing(tmp_path: Path) -> None:
    ahead = tmp_path / ".a.toml.0123456789ab.tmp"
    ahead.write_text("half")
    os.utime(ahead, (4e9, 4e9))
    write_whole(tmp_path / "a.toml", "new")
    assert ahead.exists()
