"""docs/machines.md shows what the stored runs on fresh machines hold."""

import json
import runpy
import sys
from pathlib import Path
from typing import Any

import pytest

DOCS = Path(__file__).parents[2] / "docs"


@pytest.fixture(scope="module")
def maker() -> dict[str, Any]:
    sys.path.insert(0, str(DOCS))
    try:
        return runpy.run_path(str(DOCS / "make_machines.py"))
    finally:
        sys.path.remove(str(DOCS))


def test_the_page_is_that_of_the_stored_runs(maker: dict[str, Any]) -> None:
    text = (DOCS / "machines.md").read_text(encoding="utf-8")
    assert maker["page"](text) == text, "run python docs/make_machines.py"


def test_a_changed_figure_changes_the_page(
    maker: dict[str, Any], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    stored = json.loads((DOCS / "machines.json").read_text(encoding="utf-8"))
    stored["3.11"]["readme"]["MB"] = 4321.0
    (tmp_path / "machines.json").write_text(json.dumps(stored))
    monkeypatch.setitem(maker["page"].__globals__, "STORED", tmp_path / "machines.json")
    assert "4321 MB" in maker["page"]((DOCS / "machines.md").read_text(encoding="utf-8"))


def test_every_version_of_the_project_was_run() -> None:
    stored = json.loads((DOCS / "machines.json").read_text(encoding="utf-8"))
    assert {"3.11", "3.12", "3.13"} <= set(stored)
