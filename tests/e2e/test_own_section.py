"""A flyer's own section, from a coordinate file in the model folder to the glide."""

from collections.abc import Callable
from importlib import import_module
from pathlib import Path
from typing import Any

import pytest

from glidewright.store import section_polars

Run = Callable[..., Any]
Spoil = Callable[[str, str, str], None]


@pytest.fixture
def own(folder: Path, spoil: Spoil, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    """The demo with a file of its own in place of its root section, and a cache that is empty."""
    monkeypatch.setenv("NUMBA_CACHE_DIR", str(tmp_path / "cache"))
    section_polars._tool.cache_clear()
    points = pytest.importorskip("aerosandbox").Airfoil("sd7037").coordinates
    (folder / "sections").mkdir()
    file = folder / "sections" / "Hill 7.dat"
    file.write_text("Hill\n" + "\n".join(f"{x:.6f} {y:.6f}" for x, y in points), encoding="utf-8")
    spoil("model.toml", 'section = "AG35"', 'section = "hill 7"')
    return file


def test_it_flies(own: Path, folder: Path, run: Run) -> None:
    pytest.importorskip("neuralfoil", reason="the optional extra `airfoils` is not installed")
    ran = run("glide", folder, "--json")
    assert ran.code == 0
    told = " ".join(ran.body["result"]["rests_on"])
    assert "hill 7" in told
    own.write_text(own.read_text(encoding="utf-8").replace("Hill", "Meadow"), encoding="utf-8")
    section_polars._tool.cache_clear()
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(section_polars, "import_module", _missing)
        again = run("glide", folder, "--json")  # the cache holds it
    assert again.body["result"]["figures"] == ran.body["result"]["figures"]


def test_a_bad_file_is_refused_with_the_reason(own: Path, folder: Path, run: Run) -> None:
    own.write_text(own.read_text(encoding="utf-8").replace("0.", "O.", 1), encoding="utf-8")
    ran = run("glide", folder)
    assert (ran.code, ran.out) == (2, "")
    assert ran.err.startswith("glidewright: sections/Hill 7.dat: line ")
    assert "must be two finite numbers x y" in ran.err
    assert run("check", folder, "--json").body["errors"][0]["where"] == "sections/Hill 7.dat"


def test_without_the_extra_package(
    own: Path, folder: Path, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(section_polars, "import_module", _missing)
    ran = run("check", folder)
    assert (ran.code, ran.err.count("\n")) == (2, 1)
    assert f"sections/{own.name}" in ran.err
    assert "run: pip install 'glidewright[airfoils]'" in ran.err


def _missing(name: str) -> Any:
    if name == section_polars.TOOL:
        raise ModuleNotFoundError(name)
    return import_module(name)
