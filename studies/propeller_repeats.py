"""How well the readings of propellers in the tunnel repeat: two sweeps of one size where they overlap.

    python studies/propeller_repeats.py [REFERENCE_FOLDER]

Two sweeps of one size whose revs differ by less than 1.5 % are the same test made twice. Where they overlap,
at thrusts above 0.3 of the highest, the one is read by straight lines at the advance ratios of the other.
The difference over the root of two is the error of one reading; tests/worked/test_propeller_measured.py
quotes the rms. One size (apce 9x4.5) has a mislabelled run in the source and is left out.
"""

import csv
import os
import sys
from collections import defaultdict
from collections.abc import Iterator
from itertools import combinations
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
SAME_REVS, LEAST_THRUST = 0.015, 0.3
MISLABELLED = ("apce", 9.0, 4.5)
NAMES = ("advance_ratio", "thrust_coefficient", "power_coefficient")


def sweeps(file: Path) -> dict[tuple[str, str, float, float], dict[float, Floats]]:
    """Readings of each size of each volume by their revs per minute: advance ratio, thrust, power, (n, 3)."""
    rows: dict[tuple[str, str, float, float], dict[float, list[list[float]]]] = defaultdict(dict)
    with file.open(encoding="utf-8") as lines:
        for row in csv.DictReader(lines):
            size = row["volume"], row["family"], float(row["diameter_in"]), float(row["pitch_in"])
            rows[size].setdefault(float(row["rpm"]), []).append([float(row[name]) for name in NAMES])
    return {
        size: {rpm: np.array(sorted(found)) for rpm, found in runs.items() if len(found) > 4}
        for size, runs in rows.items()
    }


def differences(runs: dict[float, Floats]) -> Iterator[Floats]:
    """Relative differences of thrust and power where two sweeps overlap, (n, 2)."""
    most = max((run[:, 1].max() for run in runs.values()), default=0.0)
    for (revs, one), (others, other) in combinations(runs.items(), 2):
        if abs(revs / others - 1.0) >= SAME_REVS:
            continue
        inside = (one[:, 0] >= other[0, 0]) & (one[:, 0] <= other[-1, 0]) & (one[:, 1] > LEAST_THRUST * most)
        place = one[inside, 0]
        read = np.stack([np.interp(place, other[:, 0], other[:, column]) for column in (1, 2)], axis=1)
        yield read / one[inside, 1:] - 1.0


def main() -> int:
    """Print the error of one reading, folding and fixed blades."""
    beside = Path(__file__).parents[2] / "shared/reference"
    folder = Path(sys.argv[1] if len(sys.argv) > 1 else os.environ.get("GLIDEWRIGHT_REFERENCE", beside))
    found: dict[bool, list[Floats]] = {True: [], False: []}
    for size, runs in sweeps(folder / "propellers/uiuc_measured.csv").items():
        if size[1:] != MISLABELLED:
            found[size[1] == "ancf"] += differences(runs)
    for folding, parts in found.items():
        every = np.concatenate(parts)
        thrust, power = np.sqrt(np.mean(every**2, axis=0) / 2.0)
        blades = "folding" if folding else "fixed"
        print(f"{blades}: {len(every)} readings, thrust {thrust:.4f}, power {power:.4f}")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
