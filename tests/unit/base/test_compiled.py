import os
import subprocess
import sys
import threading
from pathlib import Path

import numpy as np
import pytest

from glidewright.base.compiled import _digest, compiled, compiled_part, is_compiled, over_threads


@pytest.fixture(autouse=True)
def own_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NUMBA_CACHE_DIR", str(tmp_path))


def test_compiled_function_gives_what_the_plain_one_gives() -> None:
    @compiled
    def total(numbers: np.ndarray) -> float:
        found = 0.0
        for number in numbers:
            found += number
        return found

    numbers = np.arange(5.0)
    assert total(numbers) == total.py_func(numbers) == 10.0  # type: ignore[attr-defined]


def digest_of(body: str, **known: object) -> str:
    scope = dict(known)
    exec(body, scope)
    return _digest(scope["f"])  # type: ignore[arg-type]


def test_digest_sees_constants_and_callees_of_other_files() -> None:
    body = "def f(x):\n    return FACTOR * part(x)\n"

    def part_of(body: str) -> object:
        scope: dict[str, object] = {}
        exec(body, scope)
        return compiled_part(scope["part"])  # type: ignore[arg-type]

    one = part_of("def part(x):\n    return x + 1.0\n")
    same = part_of("def part(x):\n    'Said otherwise.'\n    return x + 1.0\n")
    other = part_of("def part(x):\n    return x + 2.0\n")
    known = digest_of(body, FACTOR=2.0, part=one)
    assert digest_of(body, FACTOR=2.0, part=same) == known
    assert digest_of(body, FACTOR=3.0, part=one) != known
    assert digest_of(body, FACTOR=2.0, part=other) != known


def test_what_is_defined_below_is_refused_since_no_digest_could_see_it() -> None:
    with pytest.raises(TypeError, match="part is not defined yet"):
        digest_of("def f(x):\n    return part(x)\n")


def test_cache_on_disk_tells_whether_a_kernel_is_in_it() -> None:
    @compiled
    def double(number: float) -> float:
        return 2.0 * number

    assert not is_compiled(double)
    assert double(3.0) == 6.0
    assert is_compiled(double)


def test_a_folder_that_cannot_be_written_costs_only_the_cache(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    blocked = tmp_path / "blocked"
    blocked.write_text("a file where a folder must be")
    monkeypatch.setenv("NUMBA_CACHE_DIR", str(blocked))
    monkeypatch.setattr("numba.core.caching.CacheImpl._locator_classes", [])

    @compiled
    def triple(number: float) -> float:
        return 3.0 * number

    assert triple(2.0) == 6.0
    assert not is_compiled(triple)


def test_shares_cover_every_row_once() -> None:
    seen: list[int] = []
    lock = threading.Lock()

    def work(first: int, last: int) -> None:
        with lock:
            seen.extend(range(first, last))

    over_threads(1000, work)
    assert sorted(seen) == list(range(1000))


def test_an_error_in_a_share_is_raised() -> None:
    def work(first: int, _: int) -> None:
        raise ValueError(f"share from {first}")

    with pytest.raises(ValueError, match="share from"):
        over_threads(1000, work)


@pytest.mark.skipif(not hasattr(os, "fork"), reason="no fork on this system")
def test_threads_start_anew_in_a_forked_child() -> None:
    """The pool of the parent has no threads in a child; waiting for one would never end."""
    script = (
        "import os, warnings; warnings.simplefilter('ignore')\n"
        "from glidewright.base.compiled import over_threads\n"
        "def work(first, last): done.append(last - first)\n"
        "done = []; over_threads(64, work, 8)\n"
        "child = os.fork()\n"
        "done = []; over_threads(64, work, 8)\n"
        "assert sum(done) == 64\n"
        "raise SystemExit(os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) if child else 0)\n"
    )
    ran = subprocess.run([sys.executable, "-c", script], timeout=60, check=False, capture_output=True)
    assert ran.returncode == 0, ran.stderr
