"""Registries by folder walk find what a package holds, in order of file names."""

import sys
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType

import pytest

from glidewright.base.registry import modules_below, objects_below, subclasses_below
from glidewright.domain import parts
from glidewright.domain.parts import Part


@pytest.fixture
def package(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[ModuleType]:
    folder = tmp_path / "shelf_of_tests"
    folder.mkdir()
    (folder / "__init__.py").write_text("")
    (folder / "b_second.py").write_text("THING = 2\n")
    (folder / "a_first.py").write_text("THING = 1\n")
    monkeypatch.syspath_prepend(tmp_path)
    import shelf_of_tests  # noqa: PLC0415 - made by this fixture

    yield shelf_of_tests
    for name in [name for name in sys.modules if name.startswith("shelf_of_tests")]:
        del sys.modules[name]


def test_modules_and_objects_come_in_order_of_file_names(package: ModuleType) -> None:
    names = [
        module.__name__.rsplit(".", 1)[1] for module in modules_below(package.__name__, package.__path__)
    ]
    assert names == ["a_first", "b_second"]
    assert objects_below(package.__name__, package.__path__, "THING", int) == [1, 2]


def test_a_file_without_its_object_is_a_mistake_of_ours(package: ModuleType) -> None:
    with pytest.raises(TypeError, match=r"shelf_of_tests\.a_first must define OTHER as a int"):
        objects_below(package.__name__, package.__path__, "OTHER", int)


def test_dropping_a_part_kind_into_its_folder_is_its_registration() -> None:
    found = subclasses_below(parts.__name__, parts.__path__, Part)
    files = sorted(path.stem for path in Path(parts.__path__[0]).glob("*.py"))
    assert [kind.__module__.rsplit(".", 1)[1] for kind in found] == [
        name for name in files if name not in ("__init__", "part")
    ]
    assert Part not in found
