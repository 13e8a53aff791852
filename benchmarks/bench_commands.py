"""How long commands take, as a ratio to starting Python with the same libraries and doing nothing.

Run ``python benchmarks/bench_commands.py``. The kernels must have been compiled by an earlier run.
"""

import statistics
import subprocess
import sys
import time
from collections.abc import Sequence

from measure import DEMO, Measured, finish

BARE = ("-c", "pass")
LIBRARIES = ("-c", "import numpy, numba, pydantic, typer, rich")
RUNS = 5


def median_s(*words: str) -> float:
    """Median wall time of a fresh interpreter with these words, after one run that warms the disk."""
    times = []
    for run in range(RUNS + 1):
        started = time.perf_counter()
        subprocess.run([sys.executable, *words], capture_output=True, check=False)
        if run:
            times.append(time.perf_counter() - started)
    return statistics.median(times)


def main() -> dict[str, float]:
    """Print and return the medians and ratios."""
    bare, libraries = median_s(*BARE), median_s(*LIBRARIES)
    found = {"bare Python": bare, "Python with the libraries": libraries}
    print(f"bare Python {bare:.3f} s, with numpy, numba, pydantic, typer and rich {libraries:.3f} s")
    commands = {
        "--help": ("--help",),
        "check": ("check", str(DEMO)),
        "check --json": ("check", str(DEMO), "--json"),
        "power": ("power", str(DEMO)),
        "launch": ("launch", str(DEMO)),
        "parts": ("parts", str(DEMO)),
    }
    for name, words in commands.items():
        took = median_s("-m", "glidewright", *words)
        found[name] = took
        ratios = f"{took / bare:.0f} times bare Python, {took / libraries:.1f} times the libraries"
        print(f"{name:14} {took:.2f} s, {ratios}")
    return found


GOALS = {"--help": 0.3, "check": 2.0}


def measured() -> Sequence[Measured]:
    """The figures of the report."""
    found = main()
    libraries = "Python that reads the libraries"
    return [
        Measured(
            name,
            took,
            "s",
            found["Python with the libraries"],
            libraries,
            GOALS.get(name),
            note="warm, from the shell",
        )
        for name, took in found.items()
        if "Python" not in name
    ]


if __name__ == "__main__":
    finish(measured)
