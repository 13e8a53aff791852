"""A model folder of its own, the program in this process, and pictures of a folder before and after."""

import json
import shutil
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from glidewright.decisions import check
from glidewright.faces.cli import first_run
from glidewright.faces.cli.main import main


@dataclass(frozen=True)
class Ran:
    """What one run of the program left: exit code, both streams, and the JSON where it is one."""

    code: int
    out: str
    err: str

    @property
    def body(self) -> Any:
        """The JSON object; NaN and infinity are no JSON."""
        return json.loads(self.out, parse_constant=lambda name: pytest.fail(f"{name} in the JSON"))


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Callable[..., Ran]:
    """Run a command as from a shell; the word about compiling is not part of any answer."""
    monkeypatch.setattr(first_run, "must_compile", lambda: False)

    def command(*words: object) -> Ran:
        capsys.readouterr()
        code = main([str(word) for word in words])
        said = capsys.readouterr()
        return Ran(code, said.out, said.err)

    return command


@pytest.fixture
def without_changes(monkeypatch: pytest.MonkeyPatch) -> None:
    """Leave out the search for changes where a test does not look at it; it is most of the time."""
    monkeypatch.setattr(check, "best_changes", lambda *_: ())


@pytest.fixture
def folder(tmp_path: Path, demo_folder: Path) -> Path:
    """A copy of the demo that a test may spoil."""
    target = tmp_path / "hill"
    shutil.copytree(demo_folder, target)
    return target


@pytest.fixture
def spoil(folder: Path) -> Callable[[str, str, str], None]:
    """Change a text that stands once in a file of the folder."""

    def change(file: str, old: str, new: str) -> None:
        path = folder / file
        text = path.read_text(encoding="utf-8")
        assert text.count(old) == 1, (file, old, text.count(old))
        path.write_text(text.replace(old, new), encoding="utf-8")

    return change


@pytest.fixture
def picture() -> Callable[[Path], dict[str, bytes]]:
    """Every file below a folder with its content, hidden ones too."""
    return lambda place: {
        str(path.relative_to(place)): path.read_bytes() if path.is_file() else b"folder"
        for path in sorted(place.rglob("*"))
    }
