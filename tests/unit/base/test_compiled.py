import math
import os
import runpy
import subprocess
import sys
import threading
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

import make_kernels
from glidewright.base import machine_code
from glidewright.base.compiled import Kernel, _digest, compiled, compiled_part, is_compiled, over_threads
from glidewright.models.launch import flights
from glidewright.models.launch.example import example_inputs
from glidewright.models.launch.layout import OUTPUT_FIELDS
from glidewright.models.launch.rates import WORK_SHAPE


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


def test_digest_sees_what_is_defined_below_once_the_kernel_is_called() -> None:
    scope: dict[str, object] = {"compiled": compiled, "compiled_part": compiled_part}
    above = "@compiled\ndef f(x: float) -> float:\n    return 2.0 * part(x)\n"
    for body in (above, "@compiled_part\ndef part(x):\n    return x + 1.0\n"):
        exec(body, scope)
    kernel = scope["f"]
    assert isinstance(kernel, Kernel)
    assert kernel(1.0) == 4.0
    exec("@compiled_part\ndef part(x):\n    return x + 2.0\n", scope)
    later = compiled(kernel.py_func)
    assert later(1.0) == 6.0
    assert later.digest != kernel.digest  # type: ignore[attr-defined]


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

    def triple(number: float) -> float:
        return 3.0 * number

    for runs_alone in (True, False):
        monkeypatch.setattr(machine_code, "IS_HERE", runs_alone and machine_code.IS_HERE)
        kernel = compiled(triple)
        assert kernel(2.0) == 6.0
        assert not is_compiled(kernel)


@compiled_part
def scaled(row: np.ndarray, factor: float, place: int) -> float:
    return math.exp(row[place]) * factor


@compiled
def filled(numbers: np.ndarray, factor: float, first: int, last: int, out: np.ndarray) -> None:
    for row in range(first, last):
        for place in range(numbers.shape[1]):
            out[row, place] = scaled(numbers[row], factor, place)


@compiled
def counted(numbers: np.ndarray, limit: float) -> int:
    found = 0
    for number in numbers:
        if number > limit:
            found += 1
    return found


@compiled
def refused(number: float) -> float:
    if number < 0.0:
        raise ValueError("below zero")
    return number


needs_lean = pytest.mark.skipif(not machine_code.IS_HERE, reason="numba runs the kernels here")
NUMBERS = np.linspace(-2.0, 3.0, 12).reshape(4, 3)


def fresh(kernel: object) -> Kernel:
    """The kernel as another process would have it."""
    assert isinstance(kernel, Kernel)
    return Kernel(kernel.py_func)


@needs_lean
def test_machine_code_from_the_file_is_that_of_numba(monkeypatch: pytest.MonkeyPatch) -> None:
    out = np.zeros((3, 4, 3))
    first = fresh(filled)
    first(NUMBERS, 2, 0, 4, out[0])
    assert [path.suffix for path in first.folder.iterdir()] == [".o"]
    fresh(filled).dispatcher(NUMBERS, 2.0, 0, 4, out[1])
    monkeypatch.setattr(machine_code, "text_of", None)  # nothing is compiled any more
    fresh(filled)(NUMBERS, 2.0, 1, 4, out[2])
    assert np.array_equal(out[0], out[1])
    assert np.array_equal(out[2][1:], out[1][1:])
    assert not out[2][0].any()
    assert fresh(counted).py_func(NUMBERS[:, 0], 0.0) == 2


@needs_lean
def test_neither_the_first_run_nor_the_next_reads_the_compiler(tmp_path: Path) -> None:
    script = (
        "import sys\n"
        "from glidewright.models.power.example import example_cells, example_curves, example_power\n"
        "from glidewright.models.power.kernel import operating_points\n"
        "train = example_power(), example_curves(), example_cells()\n"
        "operating_points(*train, airspeed_m_s=[9.0], density_kg_m3=1.2)\n"
        "print('numba' in sys.modules)\n"
    )
    own = os.environ | {"NUMBA_CACHE_DIR": str(tmp_path)}
    said = [
        subprocess.run([sys.executable, "-c", script], env=own, check=True, capture_output=True, text=True)
        for _ in range(2)
    ]
    assert [one.stdout.strip() for one in said] == ["False", "False"]


@needs_lean
def test_every_kernel_comes_with_the_program_as_it_is() -> None:
    assert len(make_kernels.KERNELS) == 3
    assert make_kernels.behind() == [], "run python docs/make_kernels.py"


@needs_lean
def test_a_launch_by_the_packaged_text_is_that_of_the_compiler_here() -> None:
    inputs = example_inputs(mass_kg=[0.5, 0.59, 0.7])
    packaged, here = (np.full((3, 1, len(OUTPUT_FIELDS)), np.nan) for _ in range(2))
    kernel = fresh(flights._fly_rows)
    assert kernel.is_packaged
    for run, out in ((kernel, packaged), (kernel.dispatcher, here)):
        scratch = np.empty(WORK_SHAPE), np.empty(flights.SCRATCH_SHAPE)
        run(*inputs, 0.01, 0, 3, *scratch, np.empty((3, 0, 13)), out)
    assert np.isfinite(packaged[:, 0, 0]).all()
    assert np.array_equal(packaged, here, equal_nan=True)


@needs_lean
def test_a_packaged_text_of_another_assembler_or_a_damaged_one_is_left_alone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "one.ll"
    path.write_bytes(machine_code.packed("text\nof two lines", "entry"))
    assert machine_code.unpacked(path) == ("text\nof two lines", "entry")
    path.write_bytes(path.read_bytes()[:-3])
    assert machine_code.unpacked(path) is None
    assert machine_code.unpacked(tmp_path / "gone.ll") is None
    monkeypatch.setattr(machine_code, "_assembler", lambda: "LLVM 1; another")
    path.write_bytes(machine_code.packed("text", "entry"))
    monkeypatch.undo()
    assert machine_code.unpacked(path) is None


def test_the_source_digest_sees_code_constants_and_callees_and_no_docstring(tmp_path: Path) -> None:
    def digest(**changed: str) -> str:
        words = {"factor": "2.0", "part": "1.0", "told": "Said."} | changed
        file = tmp_path / f"kernel_{'_'.join(changed)}.py"
        file.write_text(
            "from glidewright.base.compiled import compiled, compiled_part\n"
            f"FACTOR = {words['factor']}\n"
            f"@compiled_part\ndef part(x):\n    return x + {words['part']}\n"
            f"@compiled\ndef f(x: float) -> float:\n    {words['told']!r}\n    return FACTOR * part(x)\n"
        )
        kernel = runpy.run_path(str(file))["f"]
        assert kernel.source_digest != ""
        return str(kernel.source_digest)

    known = digest()
    assert digest(told="Said otherwise.") == known
    assert digest(factor="3.0") != known
    assert digest(part="2.0") != known


@needs_lean
@pytest.mark.parametrize("damage", [lambda code: code[:-9], lambda code: code[:40] + b"x" + code[41:]])
def test_a_damaged_file_is_compiled_again(damage: Callable[[bytes], bytes]) -> None:
    assert fresh(counted)(NUMBERS[0], -1.6) == 2
    [path] = fresh(counted).folder.iterdir()
    whole = path.read_bytes()
    path.write_bytes(damage(whole))
    assert fresh(counted)(NUMBERS[0], -1.6) == 2
    assert len(path.read_bytes()) == len(whole)


@pytest.mark.parametrize(
    "numbers",
    [
        NUMBERS.T[0],  # every third number
        NUMBERS[:, 0].astype(np.float32),
        np.broadcast_to(np.float64(1.0), 4),  # not to be written
    ],
)
def test_other_arrays_are_left_to_numba(numbers: np.ndarray) -> None:
    plain = sum(float(number) > 0.0 for number in numbers)
    assert fresh(counted)(numbers, 0.0) == plain


def test_a_function_that_raises_is_left_to_numba() -> None:
    kernel = fresh(refused)
    assert kernel(2.0) == 2.0
    with pytest.raises(ValueError, match="below zero"):
        kernel(-1.0)
    assert kernel.entries == {(machine_code.REAL,): None}


@needs_lean
def test_a_kernel_that_asks_for_memory_is_left_to_numba() -> None:
    def doubled(number: float) -> float:
        own = np.zeros(int(number) + 1)
        for place in range(own.size):
            own[place] = 2.0 * number
        return own.sum()

    kernel = compiled(doubled)
    assert kernel(3.0) == 24.0
    assert isinstance(kernel, Kernel)
    assert kernel.entries == {(machine_code.REAL,): None}


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
