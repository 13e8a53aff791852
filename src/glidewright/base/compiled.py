"""One door to the compiler: the kernels are plain typed functions that numba compiles and caches on disk.

Numba's own cache looks only at the file that holds a function. A kernel that calls a kernel of another
file, or uses a constant from another file, would then run old machine code after that other file changed.
Here every kernel gets a folder of its own in the cache, named after a digest of its byte code, of the
constants it uses and of the kernels it calls, so that a stale kernel cannot be found.
"""

import builtins
import dis
import hashlib
import os
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor, wait
from functools import cache
from itertools import pairwise
from pathlib import Path
from types import CodeType
from typing import Any, ParamSpec, TypeVar, cast

import numba

from glidewright.base.caches import cache_folder

P = ParamSpec("P")
R = TypeVar("R")

# numba's types leave out the place of the cache and some options that its reference documents
_config: Any = numba.config
_njit: Any = numba.njit
_digests: dict[int, str] = {}
_folders: dict[int, Path] = {}


def compiled(function: Callable[P, R]) -> Callable[P, R]:
    """Compile a numeric function to machine code, cached on disk, free of the interpreter lock.

    The plain Python function stays reachable as ``.py_func``. No fast-math: results are the same
    on every machine that rounds as IEEE 754 says.

    >>> @compiled
    ... def double(number: float) -> float:
    ...     return 2.0 * number
    >>> double(21.0)
    42.0
    """
    digest = _digest(function)
    folder = cache_folder("kernels") / f"{function.__name__}-{digest[:16]}"
    before = _config.CACHE_DIR
    _config.CACHE_DIR = str(folder)  # numba reads it while it decorates, and only then
    try:
        dispatcher = _njit(cache=True, nogil=True, error_model="numpy")(function)
    except RuntimeError:  # no folder can be written, or the function stands in no file
        dispatcher = _njit(nogil=True, error_model="numpy")(function)
    finally:
        _config.CACHE_DIR = before
    _digests[id(dispatcher)] = digest
    _folders[id(dispatcher)] = folder
    return cast("Callable[P, R]", dispatcher)


def compiled_part(function: Callable[P, R]) -> Callable[P, R]:
    """Compile a function that only compiled functions call, and that makes no arrays and no views of arrays.

    It gets no door for Python, no place of its own in the cache (the callers' machine code holds it) and no
    reference counts of the arrays it is given: measured on the launch, a fifth less time to run and a third
    less to compile. From Python it is reachable as ``.py_func`` only.
    """
    dispatcher = _njit(error_model="numpy", no_cpython_wrapper=True, no_cfunc_wrapper=True, _nrt=False)(
        function
    )
    _digests[id(dispatcher)] = _digest(function)
    return cast("Callable[P, R]", dispatcher)


def is_compiled(function: Callable[..., object]) -> bool:
    """Whether the cache on disk holds machine code of a kernel made by :func:`compiled`.

    A kernel that was compiled for other argument types counts as well; each kernel here has one set.

    >>> is_compiled(len)
    False
    """
    folder = _folders.get(id(function))
    return folder is not None and any(folder.glob("*/*.nbc"))


def over_threads(count: int, work: Callable[[int, int], None], least_share: int = 16) -> None:
    """Call ``work(first, last)`` on contiguous shares of ``range(count)``, one thread a core.

    Fewer than twice `least_share` rows stay in the calling thread. An exception in a share is raised here.

    >>> seen = []
    >>> over_threads(3, lambda first, last: seen.append((first, last)))
    >>> seen
    [(0, 3)]
    """
    workers = max(1, min(os.cpu_count() or 1, count // least_share))
    if workers == 1:
        work(0, count)
        return
    edges = [count * i // workers for i in range(workers + 1)]
    others = [_threads().submit(work, *share) for share in pairwise(edges[1:])]
    try:
        work(0, edges[1])
    finally:
        wait(others)
    for other in others:
        other.result()


@cache
def _threads() -> ThreadPoolExecutor:
    """Threads that stay: starting one takes as long as ten launches."""
    return ThreadPoolExecutor(max(1, (os.cpu_count() or 1) - 1), "kernel")


if hasattr(os, "register_at_fork"):  # a forked child has the pool and none of its threads
    os.register_at_fork(after_in_child=_threads.cache_clear)


def _digest(function: Callable[..., object]) -> str:
    code = function.__code__
    parts = list(_code_parts(code))
    known = getattr(function, "__globals__", {})
    later = sorted(name for name in _globals(code) if name not in known and not hasattr(builtins, name))
    if later:
        raise TypeError(
            f"{function.__name__} must stand below what it uses, and {', '.join(later)} is not defined yet: "
            "its digest would not see a change there"
        )
    for name in sorted(_names(code)):
        value = known.get(name)
        if id(value) in _digests:
            parts.append(f"{name}={_digests[id(value)]}")
        elif isinstance(value, bool | int | float | tuple):
            parts.append(f"{name}={value!r}")
    return hashlib.sha256("\n".join(parts).encode()).hexdigest()


def _code_parts(code: CodeType) -> Iterator[str]:
    yield code.co_code.hex()
    for constant in code.co_consts:
        if isinstance(constant, CodeType):
            yield from _code_parts(constant)
        elif not isinstance(constant, str | None):  # a changed docstring is no changed kernel
            yield repr(constant)
    yield repr((code.co_names, code.co_varnames))


def _globals(code: CodeType) -> set[str]:
    """Names that a function looks up in its module."""
    return {step.argval for step in dis.get_instructions(code) if step.opname == "LOAD_GLOBAL"}


def _names(code: CodeType) -> set[str]:
    nested = (c for c in code.co_consts if isinstance(c, CodeType))
    return set(code.co_names).union(*(_names(c) for c in nested))
