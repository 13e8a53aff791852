"""The benchmarks page is what its figures give and has every benchmark; nothing is timed here."""

import json
from pathlib import Path

import pytest

import make_benchmarks
from measure import Measured, exponent

ROOT = Path(__file__).parents[2]
FIGURES = json.loads(make_benchmarks.FIGURES.read_text(encoding="utf-8"))
PAGE = make_benchmarks.PAGE.read_text(encoding="utf-8")


def test_the_page_is_what_the_figures_give_and_has_every_benchmark() -> None:
    assert make_benchmarks.is_behind(FIGURES, PAGE) == ""


def test_every_benchmark_file_gives_rows_and_every_growth_its_points() -> None:
    for path in (ROOT / "benchmarks").glob("bench_*.py"):
        assert "def measured() -> Sequence[Measured]:" in path.read_text(encoding="utf-8"), path
        assert FIGURES["benches"][path.stem.removeprefix("bench_")]["rows"], path
    for name in FIGURES["growth"]:
        sizes = [point["size"] for point in make_benchmarks._points(FIGURES, name)]
        assert len(sizes) >= 5
        assert sizes == sorted(set(sizes))


def test_a_benchmark_that_is_not_measured_is_named() -> None:
    without = {**FIGURES, "benches": {k: v for k, v in FIGURES["benches"].items() if k != "logs"}}
    assert "not measured yet: logs;" in make_benchmarks.is_behind(without, PAGE)


def test_a_changed_figure_needs_a_new_page() -> None:
    changed = json.loads(json.dumps(FIGURES))
    changed["benches"]["launch"]["rows"][0]["ours"] *= 2.0
    assert "--page" in make_benchmarks.is_behind(changed, PAGE)


def test_a_goal_is_of_the_time_or_of_the_ratio() -> None:
    slow = Measured("a", 3.0, "s", 300.0, "b", 2.0)
    assert slow.ratio == 100.0
    assert slow.is_met is False
    assert Measured("a", 3.0, "s", 300.0, "b", 100.0, "ratio").is_met is True
    assert Measured("a", 3.0, "s", goal=100.0, goal_of="ratio").is_met is False
    assert Measured("a", 3.0, "s").is_met is None


def test_a_missed_goal_and_a_busy_machine_and_a_failure_stand_on_the_page() -> None:
    told = json.loads(json.dumps(FIGURES))
    entry = told["benches"]["logs"]
    entry["rows"][0] |= {"ours": 5.0, "goal": 0.5}
    entry |= {"others_cores": 1.25, "failed": "it stopped"}
    page = make_benchmarks.page(told)
    assert "| at most 0.5 s | 5 s | **MISSED**, not idle |" in page
    assert "logs (1.2)" in page or "logs (1.3)" in page
    assert "**logs failed** in the last run: it stopped" in page
    entry["others_cores"] = None  # a system that does not tell
    entry["load_before"] = 3.0
    assert "logs (load 3.0 before)" in make_benchmarks.page(told)
    entry["others_cores"] = 0.0
    assert "| at most 0.5 s | 5 s | **MISSED** |" in make_benchmarks.page(told)


@pytest.mark.parametrize(("power", "sizes"), [(1.0, (1, 10, 100, 1000)), (2.0, (3, 5, 7, 11, 13))])
def test_the_power_of_a_growth_is_found(power: float, sizes: tuple[int, ...]) -> None:
    values = [0.5 * size**power for size in sizes]
    values[0] = 9.0  # the small sizes do not count
    assert exponent(sizes, values) == pytest.approx(power)
