"""What the door costs: the demo's folder read as a model against its texts parsed alone, in one run.

Run as ``python benchmarks/bench_reading.py``. Both are the best of many rounds, as machines may be busy.
"""

import tomllib
from collections.abc import Sequence
from pathlib import Path

from glidewright.data import packaged
from glidewright.store.reading import read_model
from glidewright.store.texts import read_texts
from measure import Measured, fastest, finish

ROUNDS = 40


def main() -> dict[str, float]:
    """Measure both sides, print and return seconds and their ratio."""
    folder = Path(str(packaged("demo", "hill-demo")))
    texts = read_texts(folder)
    parse_s = fastest(lambda: [tomllib.loads(text) for text in texts.values()], ROUNDS)
    read_s = fastest(lambda: read_model(folder), ROUNDS)
    found = {"parse_s": parse_s, "read_s": read_s, "ratio": read_s / parse_s}
    print(f"parsing                {1e3 * parse_s:10.1f} ms")
    print(f"reading as a model     {1e3 * read_s:10.1f} ms")
    print(f"ratio                  {found['ratio']:10.1f}")
    return found


def measured() -> Sequence[Measured]:
    """The figures of the report; the parser alone must be faster, so that the ratio is below one."""
    found = main()
    of = "its texts parsed alone"
    return [
        Measured("the demo's folder read as a model", 1e3 * found["read_s"], "ms", 1e3 * found["parse_s"], of)
    ]


if __name__ == "__main__":
    finish(measured)
