"""One door to the compiler: the kernels are plain typed functions that numba compiles and caches on disk."""

from collections.abc import Callable
from typing import ParamSpec, TypeVar, cast

import numba

P = ParamSpec("P")
R = TypeVar("R")


def compiled(function: Callable[P, R]) -> Callable[P, R]:
    """Compile a numeric function to machine code, cached on disk, free of the interpreter lock.

    The plain Python function stays reachable as ``.py_func``. No fast-math: results are the same
    on every machine that rounds as IEEE 754 says.
    """
    return cast("Callable[P, R]", numba.njit(cache=True, nogil=True, error_model="numpy")(function))
