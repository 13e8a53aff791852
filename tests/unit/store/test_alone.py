"""Several programs that change one folder: each change is made on the newest text, none is lost."""

import os
import subprocess
import sys
import threading
from collections.abc import Callable
from pathlib import Path

import pytest

from glidewright.base.errors import InputError, WriteError
from glidewright.store import alone, writing
from glidewright.store.alone import alone_in
from glidewright.store.reading import read_model
from glidewright.store.writing import append_table, set_value

WRITER = """
import sys
from pathlib import Path
from glidewright.store.writing import append_table
for number in range(int(sys.argv[3])):
    weighing = {"of": ["boom"], "mass_g": 31.5, "note": f"{sys.argv[2]}{number}"}
    append_table(Path(sys.argv[1]), "weighing", weighing)
"""


def writers(folder: Path, names: str, each: int) -> list[int]:
    """Run programs that add weighings at the same time; their exit codes."""
    running = [
        subprocess.Popen([sys.executable, "-c", WRITER, str(folder), name, str(each)]) for name in names
    ]
    return [one.wait(timeout=120) for one in running]


def test_no_change_of_several_programs_is_lost(folder: Path) -> None:
    names, each = "abc", 8
    assert writers(folder, names, each) == [0, 0, 0]
    notes = [weighing.note for weighing in read_model(folder).weighings]
    assert sorted(notes[1:]) == sorted(f"{name}{number}" for name in names for number in range(each))
    assert sorted(path.name for path in folder.iterdir()) == ["model.toml", "parts"]


def test_no_change_of_several_threads_is_lost(folder: Path) -> None:
    def write(name: str) -> None:
        for number in range(5):
            append_table(folder, "weighing", {"of": ["boom"], "mass_g": 31.5, "note": f"{name}{number}"})

    threads = [threading.Thread(target=write, args=(name,)) for name in "ab"]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(read_model(folder).weighings) == 11


def test_who_waits_too_long_is_told_and_nothing_changes(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(alone, "WAIT_s", 0.1)
    before = (folder / "model.toml").read_bytes()
    with (
        alone_in(folder),
        pytest.raises(WriteError, match="another program has held it for 0 s; nothing was changed"),
    ):
        set_value(folder, "model.toml", ("airframe", "span_m"), 2.1)
    assert (folder / "model.toml").read_bytes() == before
    set_value(folder, "model.toml", ("airframe", "span_m"), 2.1)


@pytest.mark.skipif(os.name != "posix", reason="the lock of the other system cannot be refused so")
def test_a_disk_that_knows_no_locks_is_written_all_the_same(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: object) -> None:
        raise OSError(95, "Operation not supported")

    monkeypatch.setattr("fcntl.flock", refuse)
    model = set_value(folder, "model.toml", ("airframe", "span_m"), 2.1)
    assert model.airframe.span_m.value == pytest.approx(2.1)


def test_an_editor_that_saves_meanwhile_is_not_overwritten(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = folder / "model.toml"
    real: Callable[..., object] = writing.model_of_texts

    def edited(texts: object) -> object:
        path.write_text(path.read_text(encoding="utf-8") + "\n# by hand\n", encoding="utf-8")
        return real(texts)

    monkeypatch.setattr(writing, "model_of_texts", edited)
    with pytest.raises(InputError, match="another program wrote it meanwhile; nothing was written"):
        set_value(folder, "model.toml", ("airframe", "span_m"), 2.1)
    assert path.read_text(encoding="utf-8").endswith("# by hand\n")
    assert "span_m = 2.0" in path.read_text(encoding="utf-8")
