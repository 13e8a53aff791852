"""Make the packaged table of standard-normal Sobol draws (the program itself runs without scipy).

Run ``python studies/sobol_points.py`` to write it, ``--check`` to compare it with what is packaged.
Source: Joe and Kuo 2008 direction numbers with Owen-type scrambling as implemented in scipy.stats.qmc.
"""

import sys
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri
from scipy.stats import qmc

TARGET = Path(__file__).parents[1] / "src/glidewright/data/draws/sobol_normal.npy"
COUNT_LOG2 = 12
COLUMNS = 96
SEED = 20260101


def points() -> NDArray[np.float32]:
    """Standard-normal scores of a scrambled Sobol set, shape (4096, 96), float32."""
    sobol = qmc.Sobol(COLUMNS, scramble=True, rng=np.random.default_rng(SEED))
    uniform = sobol.random_base2(COUNT_LOG2)
    return np.asarray(ndtri(uniform), dtype=np.float32)


def main() -> int:
    """Write or check the table."""
    made = points()
    if "--check" in sys.argv:
        same = bool(np.array_equal(made, np.load(TARGET)))
        print("packaged draws are what this study makes" if same else "packaged draws differ from this study")
        return 0 if same else 1
    TARGET.parent.mkdir(exist_ok=True)
    np.save(TARGET, made)
    print(f"wrote {TARGET.name}: {made.shape[0]} draws, {made.shape[1]} columns, {made.nbytes / 1e6:.1f} MB")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
