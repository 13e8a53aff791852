"""Write the compiled text of every kernel into the package, so that a first run need not compile.

    python docs/make_kernels.py            compile and write, some 20 seconds
    python docs/make_kernels.py --check    only say whether they belong to the kernels as they are

The text is made for any x86-64, without what only some processors have; the assembler of a user's machine
makes its own code of it. A kernel whose text is behind is compiled by the user's machine, which is slow, but
never wrong: the name of the file is a digest of the source.
"""

import os
import subprocess
import sys

import numpy as np

from glidewright.base import machine_code
from glidewright.base.caches import packaged_folder
from glidewright.base.compiled import Kernel
from glidewright.models.launch import flights, steady_speed
from glidewright.models.launch.example import example_inputs
from glidewright.models.power import kernel as power
from glidewright.models.power.example import example_cells, example_curves, example_power

FOLDER = packaged_folder("kernels")
_MODULES = (flights, steady_speed, power)
KERNELS = list({value: None for one in _MODULES for value in vars(one).values() if isinstance(value, Kernel)})


def called() -> list[tuple[Kernel, tuple[int, ...]]]:
    """Every kernel with the arguments that the program gives it."""
    inputs = example_inputs()
    flights.launch_outputs(inputs)
    steady_speed.steady_speeds_m_s(inputs)
    train = example_power(), example_curves(), example_cells()
    power.operating_points(*train, airspeed_m_s=np.array([9.0]), density_kg_m3=1.2)
    return [(one, kinds) for one in KERNELS for kinds in one.entries]


def written() -> None:
    """Compile all, write them, and take away what no kernel asks for."""
    FOLDER.mkdir(exist_ok=True)
    wanted = {one.packaged(kinds): machine_code.packed(*one.text(kinds)) for one, kinds in called()}
    for path in FOLDER.glob("*.ll"):
        if path not in wanted:
            path.unlink()
    for path, text in wanted.items():
        path.write_bytes(text)


def behind() -> list[str]:
    """Kernels whose text is missing or of an older source or assembler."""
    return [one.py_func.__name__ for one in KERNELS if not one.is_packaged]


def main() -> int:
    """Write, or compare."""
    if not machine_code.IS_HERE:
        print("the kernels are packed on Linux, x86-64")
        return 0
    if "--check" in sys.argv:
        late = behind()
        print(
            f"{', '.join(late)}: run python docs/make_kernels.py"
            if late
            else "the packed kernels are up to date"
        )
        return 1 if late else 0
    if os.environ.get("NUMBA_CPU_NAME") != "generic":  # read when the compiler is
        own = os.environ | {"NUMBA_CPU_NAME": "generic"}
        return subprocess.run([sys.executable, __file__], env=own, check=False).returncode
    written()
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
