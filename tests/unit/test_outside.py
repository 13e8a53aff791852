"""The helpers of the worked tests fail when a number is off, and write down what they compared."""

import json
import math
from pathlib import Path
from typing import Any

import outside
import pytest
from outside import covers, held, held_all, missed, within

WHY: dict[str, Any] = {"source": "by hand", "because": "a made-up check"}


@pytest.fixture
def rows(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    file = tmp_path / "checks.jsonl"
    monkeypatch.setenv(outside.CHECKS, str(file))
    return file


def written(file: Path) -> list[dict[str, Any]]:
    return [json.loads(line) for line in file.read_text(encoding="utf-8").splitlines()]


def test_a_number_inside_its_tolerance_is_written_down(rows: Path) -> None:
    held("mass", 1.02, 1.0, rel=0.03, unit="kg", **WHY)
    (row,) = written(rows)
    assert row["kind"] == "held"
    assert row["keeps"]
    assert row["allowed"] == pytest.approx(0.03)
    assert row["test"].endswith("test_a_number_inside_its_tolerance_is_written_down")


@pytest.mark.parametrize("found", [1.04, 0.96, math.nan, math.inf])
def test_a_number_outside_fails_and_is_written_down_too(rows: Path, found: float) -> None:
    with pytest.raises(AssertionError, match=r"mass: .* against 1, .* \(by hand\)"):
        held("mass", found, 1.0, rel=0.03, **WHY)
    assert not written(rows)[0]["keeps"]


def test_the_greater_of_both_tolerances_counts_and_none_asks_for_the_very_number() -> None:
    held("mass", 1.05, 1.0, rel=0.01, abs=0.06, **WHY)
    held("points", 5.0, 5.0, abs=0.0, **WHY)
    with pytest.raises(AssertionError):
        held("points", 5.0 + 1e-12, 5.0, abs=0.0, **WHY)


def test_the_worst_pair_is_written_down_and_any_pair_can_fail(rows: Path) -> None:
    held_all("height", [1.0, 2.02, 3.0], [1.0, 2.0, 3.0], rel=0.05, **WHY)
    assert written(rows)[0]["expected"] == 2.0
    assert written(rows)[0]["what"] == "height, worst of 3"
    for wrong in ([1.2, 2.0], [1.0, 2.5], [math.nan, 2.0]):
        with pytest.raises(AssertionError):
            held_all("height", wrong, [1.0, 2.0], rel=0.05, **WHY)
    with pytest.raises(ValueError, match="nothing to compare"):
        held_all("height", [], [], rel=0.05, **WHY)
    with pytest.raises(ValueError, match="longer"):
        held_all("height", [1.0], [1.0, 2.0], rel=0.05, **WHY)


def test_ranges_fail_outside_and_hold_at_their_ends(rows: Path) -> None:
    within("sink", 0.5, 0.35, 0.5, **WHY)
    covers("share", 0.3, 0.8, 0.7, **WHY)
    for found in (0.34, 0.51, math.nan):
        with pytest.raises(AssertionError):
            within("sink", found, 0.35, 0.5, **WHY)
    with pytest.raises(AssertionError):
        covers("share", 0.3, 0.6, 0.7, **WHY)
    assert [row["kind"] for row in written(rows)] == [
        "within",
        "covers",
        "within",
        "within",
        "within",
        "covers",
    ]


def test_a_known_miss_fails_and_says_why(rows: Path) -> None:
    with pytest.raises(AssertionError):
        missed("lift", 0.49, 0.35, rel=0.15, why="transition", **WHY)
    assert written(rows)[0]["kind"] == "missed"
    assert written(rows)[0]["why"] == "transition"


def test_a_miss_that_is_met_passes_so_that_the_strict_expected_failure_fails() -> None:
    missed("lift", 0.36, 0.35, rel=0.15, why="transition", **WHY)


def test_a_check_without_source_reason_or_tolerance_is_refused() -> None:
    with pytest.raises(TypeError, match="names its source"):
        held("mass", 1.0, 1.0, rel=0.1, source="", because="rounding")
    with pytest.raises(TypeError, match="a tolerance"):
        held("mass", 1.0, 1.0, **WHY)
    for check in (within, covers):
        with pytest.raises(TypeError, match="names its source"):
            check("mass", 1.0, 0.0, 2.0, source="by hand", because="")


def test_nothing_is_written_unless_asked(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv(outside.CHECKS, raising=False)
    monkeypatch.chdir(tmp_path)
    held("mass", 1.0, 1.0, rel=0.1, **WHY)
    assert list(tmp_path.iterdir()) == []
