"""The rooms: their import contracts hold, and every list of rooms names them all."""

import re
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

import glidewright

REPOSITORY = Path(__file__).parents[2]
SOURCE = Path(glidewright.__file__).parent
LINT = (
    "import sys; from importlinter.cli import lint_imports; "
    "sys.exit(lint_imports(no_cache=True, no_logo=True))"
)


def linted(folder: Path) -> subprocess.CompletedProcess[str]:
    # its own process: the linter changes the import path and the logging of the one it runs in
    words = [sys.executable, "-c", LINT]
    return subprocess.run(words, cwd=folder, capture_output=True, text=True, check=False)


def rooms() -> set[str]:
    return {path.parent.name for path in SOURCE.glob("*/__init__.py")}


@pytest.fixture(scope="module")
def contracts() -> list[dict[str, object]]:
    project = tomllib.loads((REPOSITORY / "pyproject.toml").read_text(encoding="utf-8"))
    found: list[dict[str, object]] = project["tool"]["importlinter"]["contracts"]
    return found


def test_every_import_contract_holds() -> None:
    run = linted(REPOSITORY)
    assert run.returncode == 0, run.stdout + run.stderr
    assert re.search(r"Contracts: [1-9]\d* kept, 0 broken", run.stdout)


def test_the_linter_finds_an_import_that_a_contract_forbids(tmp_path: Path) -> None:
    (tmp_path / "pyproject.toml").write_text(
        "[tool.importlinter]\n"
        'root_package = "glidewright"\n'
        "[[tool.importlinter.contracts]]\n"
        'name = "Broken on purpose"\n'
        'type = "forbidden"\n'
        'source_modules = ["glidewright.faces"]\n'
        'forbidden_modules = ["glidewright.decisions"]\n'
    )
    run = linted(tmp_path)
    assert run.returncode == 1
    assert "Broken on purpose BROKEN" in run.stdout


def test_every_room_stands_in_the_order_of_rooms(contracts: list[dict[str, object]]) -> None:
    layers = next(str(contract["layers"]) for contract in contracts if contract["type"] == "layers")
    ordered = set(re.findall(r"glidewright\.(\w+)(?!\.)", layers))
    assert rooms() <= ordered | {"models"}
    models = {path.parent.name for path in (SOURCE / "models").glob("*/__init__.py")}
    assert {f"glidewright.models.{name}" for name in models} <= set(re.findall(r"[\w.]+", layers))


def rooms_in_contributing() -> list[str]:
    text = (REPOSITORY / "CONTRIBUTING.md").read_text(encoding="utf-8")
    table = next(block for block in text.split("\n\n") if block.startswith("| Room |"))
    return re.findall(r"^\| `(\w+)` \|", table, re.MULTILINE)


def test_every_room_has_a_line_in_contributing() -> None:
    assert set(rooms_in_contributing()) == rooms()


def test_the_order_in_contributing_is_the_one_that_is_checked(contracts: list[dict[str, object]]) -> None:
    layers = next(contract["layers"] for contract in contracts if contract["type"] == "layers")
    assert isinstance(layers, list)
    checked = [room.split(".")[1].strip() for layer in reversed(layers) for room in layer.split("|")]
    assert rooms_in_contributing() == list(dict.fromkeys(checked))


def test_coverage_is_shown_for_every_room() -> None:
    text = (REPOSITORY / "tests" / "coverage_by_room.py").read_text(encoding="utf-8")
    named = re.search(r"^ROOMS = \((.*?)\)", text, re.MULTILINE | re.DOTALL)
    assert named is not None
    assert set(re.findall(r'"(\w+)"', named[1])) == rooms()


def test_the_contracts_are_part_of_all_checks() -> None:
    assert "lint_imports" in (REPOSITORY / "start.py").read_text(encoding="utf-8")
