"""Print the branch coverage of every room after a run under coverage."""

import sys
from collections import defaultdict
from pathlib import Path

import coverage

ROOMS = (
    "base",
    "domain",
    "data",
    "models",
    "store",
    "logs",
    "forecast",
    "calibration",
    "rules",
    "decisions",
    "faces",
)


def main() -> int:
    """One line a room: statements and branches that ran, of those that there are."""
    data = coverage.Coverage()
    data.load()
    counts: dict[str, list[int]] = defaultdict(lambda: [0, 0])
    source = Path(__file__).parents[1] / "src/glidewright"
    for path in sorted(source.rglob("*.py")):
        room = path.relative_to(source).parts[0]
        numbers = data._analyze(str(path)).numbers  # coverage offers no public count per file
        counts[room][0] += numbers.n_executed + numbers.n_executed_branches
        counts[room][1] += numbers.n_statements + numbers.n_branches
    for room in ROOMS:
        done, total = counts[room]
        print(f"{room:12} {100 * done / total if total else 100:5.1f} % of {total}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
