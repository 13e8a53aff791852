"""The long searches give one answer, to the last bit: here, from a pool of processes, from a cluster."""

import multiprocessing
import re
import shutil
from collections.abc import Iterator
from concurrent.futures import Executor, ProcessPoolExecutor
from pathlib import Path

import pytest
from distributed import Client, LocalCluster

from glidewright.base.caches import cache_folder
from glidewright.decisions import choose, compare, fair
from glidewright.decisions.choosing.builds import fitted_build, model_of
from glidewright.decisions.choosing.nouns import ChooseRequest, ChooseResult
from glidewright.decisions.comparing.nouns import CompareRequest, Entrant
from glidewright.decisions.fairness.nouns import FairRequest
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.model import Model
from glidewright.store.parts_files import read_parts_files

REPOSITORY = Path(__file__).parents[3]


@pytest.fixture(scope="module")
def request_of(demo: Model, hill_class: ClassLimits, demo_folder: Path) -> ChooseRequest:
    """One purchase at most, from the drawer and the catalogue."""
    parts = read_parts_files([demo_folder.parent / "hill-catalogue.toml"], demo.currency, {})
    return ChooseRequest(model=demo, rule=hill_class, parts=parts, buy=1, draws=32)


@pytest.fixture(scope="module")
def here(request_of: ChooseRequest) -> ChooseResult:
    """The answer of this process."""
    return choose.run(request_of)


def machine_code() -> set[str]:
    """Every file of the kernels' cache."""
    return {str(path) for path in cache_folder("kernels").rglob("*.nbc")}


def test_a_pool_of_processes_gives_the_same_and_compiles_nothing(
    request_of: ChooseRequest, here: ChooseResult
) -> None:
    before = machine_code()
    context = multiprocessing.get_context("spawn")
    with ProcessPoolExecutor(2, mp_context=context) as pool:
        found = choose.run(request_of, executor=pool)
    assert found == here
    assert found.model_dump_json() == here.model_dump_json()
    assert machine_code() == before


def test_the_example_of_the_paper_gives_the_same_on_a_cluster(
    here: ChooseResult,
    demo_folder: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """The code of docs/executors.md as it stands, but for the number of draws."""
    text = (REPOSITORY / "docs" / "executors.md").read_text(encoding="utf-8")
    (example,) = re.findall(r"```python\n(.*?)```", text, re.DOTALL)
    shutil.copytree(demo_folder, tmp_path / "hill-demo")
    shutil.copy(demo_folder.parent / "hill-catalogue.toml", tmp_path)
    monkeypatch.chdir(tmp_path)
    assert example.count("buy=1)") == 1
    names: dict[str, object] = {}
    exec(example.replace("buy=1)", "buy=1, draws=32)"), names)  # our own paper
    found = names["result"]
    assert isinstance(found, ChooseResult)
    assert found.model_dump_json() == here.model_dump_json()
    assert str(here.choices[0].parts[0]) in capsys.readouterr().out


@pytest.fixture
def cluster() -> Iterator[Executor]:
    """The executor of a cluster of two workers in this process."""
    with (
        LocalCluster(n_workers=2, threads_per_worker=1, processes=False, dashboard_address=None) as workers,
        Client(workers) as client,
    ):
        yield client.get_executor()


def test_a_comparison_is_the_same_on_a_cluster(
    demo: Model, hill_class: ClassLimits, cluster: Executor
) -> None:
    build = fitted_build(demo)
    assert build is not None
    other = model_of(demo, build.model_copy(update={"pack": "p2-600"}))
    entrants = (Entrant(model=demo, rule=hill_class), Entrant(model=other, rule=hill_class))
    request = CompareRequest(entrants=entrants, draws=32)
    found = compare.run(request, executor=cluster)
    assert found.model_dump_json() == compare.run(request).model_dump_json()


def test_a_field_under_rules_is_the_same_on_a_cluster(
    demo: Model, hill_class: ClassLimits, cluster: Executor
) -> None:
    wanted = {"m28-1020", "m28-880", "c30", "p2-550", "p2-600", "f11x6", "f9x5"}
    small = demo.model_copy(update={"drawer": tuple(part for part in demo.drawer if part.id in wanted)})
    request = FairRequest(models=(small,), rule=hill_class, options=(), draws=16)
    found = fair.run(request, executor=cluster)
    assert found.model_dump_json() == fair.run(request).model_dump_json()


def test_the_same_question_has_the_same_answer(request_of: ChooseRequest, here: ChooseResult) -> None:
    assert choose.run(request_of).model_dump_json() == here.model_dump_json()
