"""One door to the compiler: the kernels are plain typed functions that numba compiles, kept on disk.

Numba's own cache looks only at the file that holds a function. A kernel that calls a kernel of another
file, or uses a constant from another file, would then run old machine code after that other file changed.
Here every kernel gets a folder of its own in the cache, named after a digest of its byte code, of the
constants it uses and of the kernels it calls, so that a stale kernel cannot be found. The digest is taken,
and the compiler read, when a kernel is called: most runs find the machine code and need no compiler
(:mod:`glidewright.base.machine_code`).
"""

import ast
import ctypes
import inspect
import os
import textwrap
import threading
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor, wait
from functools import cache, cached_property, update_wrapper
from hashlib import sha256
from itertools import pairwise
from pathlib import Path
from types import CodeType, FunctionType
from typing import Any, ParamSpec, TypeVar, cast

import numpy as np

from glidewright.base import machine_code
from glidewright.base.caches import cache_folder, packaged_folder
from glidewright.base.machine_code import REAL, WHOLE, Kind

P = ParamSpec("P")
R = TypeVar("R")

_compiling = threading.RLock()
_PART = {"error_model": "numpy", "no_cpython_wrapper": True, "no_cfunc_wrapper": True}


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
    return cast("Callable[P, R]", Kernel(function))


def compiled_part(function: Callable[P, R]) -> Callable[P, R]:
    """Compile a function that only compiled functions call, and that makes no arrays and no views of arrays.

    It gets no door for Python, no place of its own in the cache (the callers' machine code holds it) and no
    reference counts of the arrays it is given: measured on the launch, a fifth less time to run and a third
    less to compile. From Python it is reachable as ``.py_func`` only.
    """
    return cast("Callable[P, R]", _Part(function))


class _Part:
    """A function that is compiled into its callers."""

    def __init__(self, function: Callable[..., Any]) -> None:
        self.py_func = function
        update_wrapper(cast("Any", self), function)

    @cached_property
    def digest(self) -> str:
        """Digest of everything that the machine code follows from."""
        return _digest(self.py_func)

    @cached_property
    def source_digest(self) -> str:
        """The same of the source, which is alike for all versions of Python; empty without a source."""
        return _source_digest(self.py_func)

    @cached_property
    def dispatcher(self) -> Any:
        """The function as numba knows it."""
        return _njit()(**_PART, _nrt=False)(_with_dispatchers(self.py_func))


class Kernel(_Part):
    """A compiled function that Python calls."""

    def __init__(self, function: Callable[..., Any]) -> None:
        super().__init__(function)
        self.entries: dict[tuple[Kind, ...], Callable[..., Any] | None] = {}
        told = getattr(function, "__annotations__", {})
        self._wanted = [REAL if told.get(name) is float else None for name in function.__code__.co_varnames]
        self._result = told.get("return")
        self._is_plain = self._result in (None, float, int) and "return" in told

    @cached_property
    def folder(self) -> Path:
        """Where its machine code is kept."""
        return cache_folder("kernels") / f"{self.py_func.__name__}-{self.digest[:16]}"

    @cached_property
    def dispatcher(self) -> Any:
        """The kernel as numba runs it, with numba's own cache."""
        config, function = _numba().config, _with_dispatchers(self.py_func)
        before = config.CACHE_DIR
        config.CACHE_DIR = str(self.folder)  # numba reads it while it decorates, and only then
        try:
            return _njit()(cache=True, nogil=True, error_model="numpy")(function)
        except RuntimeError:  # no folder can be written, or the function stands in no file
            return _njit()(nogil=True, error_model="numpy")(function)
        finally:
            config.CACHE_DIR = before

    def text(self, kinds: tuple[Kind, ...]) -> tuple[str, str]:
        """What the compiler makes of it for the assembler, and the name of the entry."""
        inner = _njit()(**_PART)(_with_dispatchers(self.py_func))
        return machine_code.text_of(inner, kinds, self._result)

    def packaged(self, kinds: tuple[Kind, ...]) -> Path:
        """File in which that text comes with the program, if it does."""
        return packaged_folder("kernels") / f"{self._text_name}-{machine_code.suffix(kinds)}.ll"

    @property
    def is_packaged(self) -> bool:
        """Whether its text comes with the program, so that the first run need not compile it."""
        there = packaged_folder("kernels").glob(f"{self._text_name}-*.ll")
        return any(machine_code.unpacked(path) for path in there)

    @property
    def _text_name(self) -> str:
        return f"{self.py_func.__name__}-{self.source_digest[:16]}"

    @property
    def runs_alone(self) -> bool:
        """Whether it may run without numba; seen from outside, so that most runs need not look into it."""
        return machine_code.IS_HERE and self._is_plain

    def __call__(self, *args: Any) -> Any:
        """Run it; what is compiled follows from the arguments of the first call."""
        kinds = self._kinds(args)
        entry = self._entry(kinds) if kinds else None
        if entry is None:
            return self.dispatcher(*args)
        flat: list[Any] = []
        for kind, value in zip(kinds, args, strict=True):
            if kind < 0:
                flat.append(value)
            else:
                flat += (value.__array_interface__["data"][0], *value.shape)
        if self._result is None:
            entry(*flat)
            return None
        out = ctypes.c_double() if self._result is float else ctypes.c_int64()
        entry(*flat, ctypes.addressof(out))
        return out.value

    def _kinds(self, args: Sequence[Any]) -> tuple[Kind, ...]:
        """How the arguments come in; nothing where one is no number and no array of doubles in C order."""
        found = []
        for wanted, value in zip(self._wanted, args, strict=False):
            if isinstance(value, np.ndarray):
                if not (value.ndim and value.dtype == np.float64 and value.flags.carray):
                    return ()
                found.append(value.ndim)
            elif isinstance(value, float) or (wanted == REAL and isinstance(value, int)):
                found.append(REAL)
            elif isinstance(value, int | np.integer) and not isinstance(value, bool):
                found.append(WHOLE)
            else:
                return ()
        return tuple(found)

    def _entry(self, kinds: tuple[Kind, ...]) -> Callable[..., Any] | None:
        """The C function for such arguments, loaded or compiled; None where numba must run it."""
        if kinds in self.entries:
            return self.entries[kinds]
        with _compiling:
            if kinds not in self.entries:
                self.entries[kinds] = self._found(kinds)
        return self.entries[kinds]

    def _found(self, kinds: tuple[Kind, ...]) -> Callable[..., Any] | None:
        if not self.runs_alone:
            return None
        found = machine_code.read(self.folder, kinds)
        if found is None:
            if not machine_code.buildable(_with_called(self.py_func)):
                return None
            text = machine_code.unpacked(self.packaged(kinds)) or self.text(kinds)
            found = machine_code.assembled(*text)
            if found is None:
                return None
            machine_code.saved(self.folder, kinds, *found)
        return machine_code.linked(*found, kinds, self._result)


def is_compiled(function: Callable[..., object]) -> bool:
    """Whether a kernel made by :func:`compiled` runs without compiling: its code is there or comes along.

    A kernel that was compiled for other argument types counts as well; each kernel here has one set.

    >>> is_compiled(len)
    False
    """
    if not isinstance(function, Kernel):
        return False
    if function.runs_alone:
        return machine_code.is_saved(function.folder) or function.is_packaged
    return any(function.folder.glob("*/*.nbc"))


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
    called = {name: part.digest for name, part in _called(function).items()}
    parts = (*_code_parts(function.__code__), *_constants(function, called))
    return sha256("\n".join(parts).encode()).hexdigest()


def _source_digest(function: Callable[..., object]) -> str:
    """Digest of a function of a file; empty for one that stands in none."""
    if not Path(function.__code__.co_filename).is_file():
        return ""  # under "<string>" Python 3.13 finds the text of the command that it was started with
    try:
        source = inspect.getsource(function)
    except OSError:
        return ""
    [tree] = ast.parse(textwrap.dedent(source)).body
    if not isinstance(tree, ast.FunctionDef):
        return ""
    tree.decorator_list = []
    if ast.get_docstring(tree) is not None:
        del tree.body[0]
    called = {name: part.source_digest for name, part in _called(function).items()}
    parts = (ast.unparse(tree), *_constants(function, called))
    return "" if "" in called.values() else sha256("\n".join(parts).encode()).hexdigest()


def _constants(function: Callable[..., object], called: Mapping[str, str]) -> Iterator[str]:
    """What the names of a function stand for: numbers, and the digests of the kernels that it calls."""
    known = getattr(function, "__globals__", {})
    for name in sorted(_names(function.__code__)):
        value = known.get(name)
        if name in called:
            yield f"{name}={called[name]}"
        elif isinstance(value, bool | int | float | tuple):
            yield f"{name}={value!r}"


def _called(function: Callable[..., object]) -> dict[str, _Part]:
    """Compiled functions that a function names."""
    known = getattr(function, "__globals__", {})
    found = {name: known.get(name) for name in _names(function.__code__)}
    return {name: value for name, value in found.items() if isinstance(value, _Part)}


def _with_called(function: Callable[..., object]) -> Iterator[Callable[..., object]]:
    """The function and every compiled function below it, some more than once."""
    yield function
    for part in _called(function).values():
        yield from _with_called(part.py_func)


def _with_dispatchers(function: Callable[..., Any]) -> Callable[..., Any]:
    """The function with dispatchers of numba in the place of the compiled functions that it calls."""
    known = getattr(function, "__globals__", {})
    known = known | {name: part.dispatcher for name, part in _called(function).items()}
    plain = cast("FunctionType", function)
    copy = FunctionType(plain.__code__, known, plain.__name__, plain.__defaults__, plain.__closure__)
    copy.__module__, copy.__qualname__ = plain.__module__, plain.__qualname__
    copy.__annotations__ = plain.__annotations__
    return copy


@cache
def _numba() -> Any:
    import numba  # noqa: PLC0415 - the compiler is read when something is to be compiled

    return numba


def _njit() -> Any:
    return _numba().njit


def _code_parts(code: CodeType) -> Iterator[str]:
    yield code.co_code.hex()
    for constant in code.co_consts:
        if isinstance(constant, CodeType):
            yield from _code_parts(constant)
        elif not isinstance(constant, str | None):  # a changed docstring is no changed kernel
            yield repr(constant)
    yield repr((code.co_names, code.co_varnames))


def _names(code: CodeType) -> set[str]:
    nested = (c for c in code.co_consts if isinstance(c, CodeType))
    return set(code.co_names).union(*(_names(c) for c in nested))
