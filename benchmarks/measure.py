"""What the benchmarks share: a measurement as data, timers, child processes, and the machine in words.

Every ``bench_*.py`` has ``measured()``, which prints as it goes and gives :class:`Measured` rows, and ends in
:func:`finish`, which writes them down when it is started with ``--json FILE``.
"""

import contextlib
import json
import math
import os
import platform
import subprocess
import sys
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict, dataclass
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import Literal

ROOT = Path(__file__).resolve().parents[1]
DEMO = ROOT / "src/glidewright/data/demo/hill-demo"
LIBRARIES = ("numpy", "numba", "llvmlite", "pydantic", "highspy", "scipy", "aerosandbox")
QUIET_CORES = 0.2
"""More than this that others used of the processor counts as a disturbed run."""


@dataclass(frozen=True)
class Measured:
    """One figure of a benchmark beside what it is held against.

    ours, reference: in `unit`; ratio: reference over ours; goal: of ours (at most) or of the ratio (at
    least), None where nothing was promised; memory_MB: peak of the process, where it matters; size: of the
    job, where a growth takes this row as its last point.
    """

    name: str
    ours: float
    unit: str
    reference: float | None = None
    reference_is: str = ""
    goal: float | None = None
    goal_of: Literal["ours", "ratio"] = "ours"
    memory_MB: float | None = None
    note: str = ""
    size: int | None = None

    @property
    def ratio(self) -> float | None:
        """How many times ours fits into the reference."""
        return None if self.reference is None else self.reference / self.ours

    @property
    def is_met(self) -> bool | None:
        """Whether the goal is met; None without one."""
        if self.goal is None:
            return None
        if self.goal_of == "ours":
            return self.ours <= self.goal
        return self.ratio is not None and self.ratio >= self.goal


def finish(measured: Callable[[], Sequence[Measured]]) -> None:
    """Measure, and write the rows down when the command line says ``--json FILE``."""
    rows = [asdict(row) for row in measured()]
    if "--json" in sys.argv:
        Path(sys.argv[sys.argv.index("--json") + 1]).write_text(json.dumps(rows), encoding="utf-8")


def fastest(work: Callable[[], object], rounds: int) -> float:
    """Seconds of the fastest of some rounds."""
    times = []
    for _ in range(rounds):
        begin = time.perf_counter()
        work()
        times.append(time.perf_counter() - begin)
    return min(times)


@dataclass(frozen=True)
class Ran:
    """A child process: its time, the processor time and the highest memory of it and of its own children."""

    seconds: float
    processor_s: float
    memory_MB: float
    code: int
    said: str


def child(words: Sequence[str], own: Mapping[str, str] | None = None) -> Ran:
    """Run this Python with these words."""
    start = time.perf_counter()
    process = subprocess.Popen(
        [sys.executable, *words],
        cwd=ROOT,
        env={**os.environ, **(own or {})},
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )
    assert process.stdout is not None
    with process.stdout:
        said = process.stdout.read()
    if hasattr(os, "wait4"):
        _, status, used = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
        unit = 1e6 if sys.platform == "darwin" else 1e3
        spent, memory = used.ru_utime + used.ru_stime, used.ru_maxrss * (1.0 if unit == 1e6 else 1.024) / unit
    else:  # a system that counts neither
        process.wait()
        spent = memory = math.nan
    return Ran(time.perf_counter() - start, spent, memory, process.returncode, said)


def exponent(sizes: Sequence[float], values: Sequence[float]) -> float:
    """Slope of the logarithms by least squares over the upper half of the sizes.

    >>> round(exponent([1, 2, 4, 8], [9.0, 1.0, 4.0, 16.0]), 3)
    2.0
    """
    half = max(len(sizes) // 2, 2)
    x = [math.log(one) for one in sizes[-half:]]
    y = [math.log(one) for one in values[-half:]]
    x0, y0 = sum(x) / half, sum(y) / half
    above = sum((a - x0) * (b - y0) for a, b in zip(x, y, strict=True))
    return above / sum((a - x0) ** 2 for a in x)


def load() -> float | None:
    """Load average of the last minute, where the system has one."""
    return os.getloadavg()[0] if hasattr(os, "getloadavg") else None


class Others:
    """How many cores other programs used since this was made, from the counters of the Linux kernel."""

    def __init__(self) -> None:
        self._start, self._busy, self._own = time.perf_counter(), _busy_s(), _own_s()

    def cores(self) -> float | None:
        """Their share in cores on average; None where the system does not tell."""
        busy = _busy_s()
        if busy is None or self._busy is None:
            return None
        took = time.perf_counter() - self._start
        return max(busy - self._busy - (_own_s() - self._own), 0.0) / max(took, 1e-9)


def used_by_others(watched_s: float = 0.5) -> float | None:
    """Cores that others use now, while nothing of ours runs."""
    others = Others()
    time.sleep(watched_s)
    return others.cores()


def _busy_s() -> float | None:
    """Processor time of everything since the start of the machine, that of its host included."""
    try:
        line = Path("/proc/stat").read_text(encoding="ascii").splitlines()[0].split()[1:]
    except OSError:
        return None
    user, nice, system, _, _, irq, soft, steal = map(float, line[:8])
    return (user + nice + system + irq + soft + steal) / os.sysconf("SC_CLK_TCK")


def _own_s() -> float:
    used = os.times()
    return used.user + used.system + used.children_user + used.children_system


def machine() -> dict[str, str]:
    """Processor, cores, memory, system, Python and libraries."""
    told = {
        "processor": _processor(),
        "cores": str(os.cpu_count()),
        "memory": _memory(),
        "system": f"{platform.system()} {platform.release()}, {platform.machine()}",
        "Python": f"{platform.python_implementation()} {platform.python_version()}",
    }
    for name in LIBRARIES:
        with contextlib.suppress(PackageNotFoundError):
            told[name] = version(name)
    return told


def _processor() -> str:
    with contextlib.suppress(OSError):
        for line in Path("/proc/cpuinfo").read_text(encoding="utf-8").splitlines():
            if line.startswith("model name"):
                return " ".join(line.partition(":")[2].split())
    return platform.processor() or platform.machine()


def _memory() -> str:
    try:
        return f"{os.sysconf('SC_PAGE_SIZE') * os.sysconf('SC_PHYS_PAGES') / 2**30:.0f} GiB"
    except (AttributeError, ValueError, OSError):
        return "not known"
