"""Where the time of a job goes: the parts of a warm `check`, and the share of the compiled kernels elsewhere.

Run ``python benchmarks/where.py``. Processor time throughout, so that other programs matter little. The
parts of a check are those of one process from the start of Python on; a share of the kernels is the time
spent in them over that of the whole job, in a process of its own.
"""

import json
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from growth import GROWTHS
from measure import DEMO, child

JOBS = {"check": 1024, "choose": 10_000, "calibrate": 5, "fair": 90}
PARTS = """
import contextlib, io, json, time
marks = [("start of Python", time.process_time())]
def mark(name): marks.append((name, time.process_time()))
import numpy, pydantic, typer, rich.console
mark("numpy, pydantic, typer and rich")
from glidewright.decisions import check
from glidewright.faces.cli.model_and_class import model_and_class
from glidewright.faces.report import check as report
from glidewright.faces.report.render_text import render_text
mark("modules of the program")
from glidewright.models.launch.flights import KERNELS, launch_outputs
before = time.process_time()
for one in KERNELS:
    one.digest
digest_ms = 1e3 * (time.process_time() - before)
from glidewright.models.launch.example import example_inputs
launch_outputs(example_inputs())
mark("machine code of the launch")
model, rule = model_and_class({demo!r})
mark("reading the folder")
inside = {}
def timed(name, function):
    def run(*args, **more):
        before = time.process_time()
        try:
            return function(*args, **more)
        finally:
            inside[name] = time.process_time() - before
    return run
check.forecast = timed("forecast of 1024 draws", check.forecast)
check.prepare = timed("setting up, with lattice and section tables", check.prepare)
check.best_changes = timed("which changes would help", check.best_changes)
result = check.run(check.CheckRequest(model=model, rule=rule))
mark("verdicts, answers and the rest")
text = render_text(report.document(result))
mark("text")
print(json.dumps([digest_ms, inside, marks]))
"""


def parts_of_check() -> tuple[float, dict[str, float]]:
    """Milliseconds of the digests of all kernels, and seconds of each part of one check, in order."""
    ran = child(["-c", PARTS.replace("{demo!r}", f"__import__('pathlib').Path({str(DEMO)!r})")])
    if ran.code:
        raise SystemExit(ran.said)
    marks: list[tuple[str, float]]
    digest_ms, inside, marks = json.loads(ran.said.splitlines()[-1])
    spent = {name: at - before for (name, at), (_, before) in zip(marks, [("", 0.0), *marks], strict=False)}
    spent["verdicts, answers and the rest"] -= sum(inside.values())
    return digest_ms, {**spent, **inside}


def kernel_share(name: str) -> tuple[float, float]:
    """Seconds of one job and of the kernels in it."""
    ran = child([str(Path(__file__)), name])
    if ran.code:
        raise SystemExit(ran.said)
    whole, inside = map(float, ran.said.split()[-2:])
    return whole, inside


def shared(name: str) -> tuple[float, float]:
    """The same, here; every call of a kernel is timed by the clock of its own thread."""
    from glidewright.base.compiled import Kernel  # noqa: PLC0415 - only where it is timed

    inside, lock, plain = [0.0], threading.Lock(), Kernel.__call__

    def timed(kernel: Kernel, *args: Any) -> Any:
        before = time.thread_time()
        try:
            return plain(kernel, *args)
        finally:
            with lock:
                inside[0] += time.thread_time() - before

    growth = GROWTHS[name]
    growth.job(growth.warm)()
    job = growth.job(JOBS[name])
    Kernel.__call__ = timed  # type: ignore[method-assign, assignment]
    before = time.process_time()
    job()
    return time.process_time() - before, inside[0]


def main() -> Iterator[tuple[str, dict[str, float] | float]]:
    """Print and give both tables, and the time of the digests."""
    digest_ms, parts = parts_of_check()
    for name, seconds in parts.items():
        print(f"check: {name:44} {seconds:6.3f} s")
    yield "check", parts
    yield "digest_ms", digest_ms
    found = {}
    for name in JOBS:
        whole, inside = kernel_share(name)
        found[name] = inside / whole
        print(f"{name}: {whole:.2f} s, of which in kernels {inside / whole:.0%}")
    yield "kernels", found


if __name__ == "__main__":
    if len(sys.argv) == 2:
        print(*shared(sys.argv[1]))
    else:
        dict(main())
