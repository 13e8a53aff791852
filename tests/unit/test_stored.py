"""What studies keep: the code that made it, told by what it does."""

import json
import sys
from collections.abc import Iterator
from importlib import import_module
from pathlib import Path
from types import ModuleType

import pytest

ROOT = Path(__file__).parents[2]


@pytest.fixture
def stored(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Iterator[ModuleType]:
    monkeypatch.syspath_prepend(str(ROOT / "studies"))
    module = import_module("stored")
    monkeypatch.setattr(module, "FOLDER", tmp_path / "studies")
    module.digest.cache_clear()
    yield module
    module.digest.cache_clear()


def digest(stored: ModuleType, path: Path, text: str) -> str:
    path.write_text(text, encoding="utf-8")
    stored.digest.cache_clear()
    return str(stored.digest(path))


def test_comments_docstrings_and_layout_do_not_count_but_code_does(
    stored: ModuleType, tmp_path: Path
) -> None:
    path = tmp_path / "a.py"
    plain = digest(stored, path, "def f(x):\n    return x + 1\n")
    told = digest(
        stored,
        path,
        '"""A module."""\n\n\ndef f(x):  # adds\n    """One more."""\n    return (x +\n        1)\n',
    )
    assert told == plain
    assert digest(stored, path, "def f(x):\n    return x + 2\n") != plain
    assert digest(stored, path, "def f(x):\n    return x - 1\n") != plain
    assert digest(stored, path, "def f(x=None):\n    return x + 1\n") != plain


def test_sources_of_a_table_do_not_count_but_its_numbers_do(stored: ModuleType, tmp_path: Path) -> None:
    path = tmp_path / "a.toml"
    plain = digest(stored, path, '[drag]\nvalue = 1.0\nsource = "one"\n')
    assert digest(stored, path, '# more\n[drag]\nsource = "another"\nvalue = 1.0\n') == plain
    assert digest(stored, path, '[drag]\nvalue = 1.1\nsource = "one"\n') != plain


def test_a_study_knows_what_it_ran_and_is_stale_when_that_changes(stored: ModuleType) -> None:
    stored.keep("some", "python studies/some.py", {"answer": 42}, seed=7)
    whole = stored.kept("some")
    assert (whole["found"], whole["seed"]) == ({"answer": 42}, 7)
    assert "studies/stored.py" in whole["code"]
    assert "src/glidewright/__init__.py" in whole["code"] or "glidewright" not in sys.modules
    assert stored.stale("some") == []
    path = stored.FOLDER / "some.json"
    whole["code"] |= {"studies/stored.py": "0000000000", "studies/gone.py": "1111111111"}
    path.write_text(json.dumps(whole), encoding="utf-8")
    assert stored.stale("some") == ["studies/stored.py", "studies/gone.py"]


def test_what_is_not_finite_is_not_kept(stored: ModuleType) -> None:
    with pytest.raises(ValueError, match="not JSON compliant"):
        stored.keep("some", "python studies/some.py", {"answer": float("nan")})


@pytest.mark.parametrize("path", sorted((ROOT / "docs/studies").glob("*.json")), ids=lambda path: path.stem)
def test_every_kept_study_names_a_command_that_exists(path: Path) -> None:
    whole = json.loads(path.read_text(encoding="utf-8"))
    python, script, *_ = whole["command"].split()
    assert python == "python"
    assert (ROOT / script).is_file()
    assert script in whole["code"] or "studies/stored.py" in whole["code"]
    assert len(whole["commit"]) == 10
