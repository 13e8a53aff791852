"""What the door costs: the demo's folder read as a model against its texts parsed alone, in one run.

Run as ``python benchmarks/bench_reading.py``. Both are the best of many rounds, as machines may be busy.
"""

import time
import tomllib
from collections.abc import Callable
from pathlib import Path

from glidewright.data import packaged
from glidewright.store.reading import read_model
from glidewright.store.texts import read_texts

ROUNDS = 40


def main() -> dict[str, float]:
    """Measure both sides, print and return seconds and their ratio."""
    folder = Path(str(packaged("demo", "hill-demo")))
    texts = read_texts(folder)
    parse_s = _best_s(lambda: [tomllib.loads(text) for text in texts.values()])
    read_s = _best_s(lambda: read_model(folder))
    found = {"parse_s": parse_s, "read_s": read_s, "ratio": read_s / parse_s}
    print(f"parsing                {1e3 * parse_s:10.1f} ms")
    print(f"reading as a model     {1e3 * read_s:10.1f} ms")
    print(f"ratio                  {found['ratio']:10.1f}")
    return found


def _best_s(work: Callable[[], object]) -> float:
    best = float("inf")
    for _ in range(ROUNDS):
        start = time.perf_counter()
        work()
        best = min(best, time.perf_counter() - start)
    return best


if __name__ == "__main__":
    main()
