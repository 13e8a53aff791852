"""From the start of Python to the first launch: machine code from its file, against numba's own cache.

Run ``python benchmarks/bench_start.py``. Both sides run the same kernels and read the same modules of ours;
the reference is numba's dispatcher, which the program uses where object files are not made. Both also once
with an empty cache, which is what the very first run waits for.
"""

import statistics
import tempfile
from collections.abc import Sequence

from measure import Measured, Ran, child, finish

RUNS = 7
LAUNCH = """
import sys
sys.modules["scipy"] = None  # numba reads it where it can, and it is only installed for the tests
from glidewright.base import machine_code
machine_code.IS_HERE = machine_code.IS_HERE and {alone}
from glidewright.models.launch.example import example_inputs
from glidewright.models.launch.flights import launch_outputs
launch_outputs(example_inputs())
"""


def once(alone: bool, cache: str) -> Ran:
    """A fresh Python that flies one launch."""
    ran = child(["-c", LAUNCH.format(alone=alone)], {"NUMBA_CACHE_DIR": cache})
    if ran.code:
        raise SystemExit(ran.said)
    return ran


def main() -> dict[str, float]:
    """Print and return the times and the memory."""
    found: dict[str, float] = {}
    with tempfile.TemporaryDirectory() as cache:
        for alone in (True, False):
            side = "ours" if alone else "numba"
            found[f"{side} cold"] = once(alone, cache).processor_s
            ran = [once(alone, cache) for _ in range(RUNS)]
            found[side] = statistics.median(one.processor_s for one in ran)
            found[f"{side} MB"] = max(one.memory_MB for one in ran)
            print(
                f"{side}: {found[side]:.2f} s of the processor, {found[f'{side} MB']:.0f} MB; "
                f"with an empty cache {found[f'{side} cold']:.1f} s"
            )
    return found


def measured() -> Sequence[Measured]:
    """The figures of the report."""
    found = main()
    note = f"processor time, median of {RUNS}; numba takes {found['numba MB']:.0f} MB"
    cache, cold = "numba's own cache", "numba, empty cache"
    return [
        Measured(
            "start of Python to the first launch", found["ours"], "s", found["numba"], cache,
            memory_MB=found["ours MB"], note=note,
        ),
        Measured(
            "the same, the very first run", found["ours cold"], "s", found["numba cold"], cold,
            note="processor time, once",
        ),
    ]  # fmt: skip


if __name__ == "__main__":
    finish(measured)
