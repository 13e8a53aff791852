"""Machine code of a kernel as a file that loads without the compiler.

Reading numba and the tables that it needs to load a function from its own cache takes longer than most jobs
of this program. The assembler below it (llvmlite) loads in a tenth of that. So a kernel is compiled once into
an object file whose one entry takes pointers, lengths and numbers as C does, and later runs link that file
and call it.

Most of what the compiler does comes before it knows the processor. Its output at that point, the text of
LLVM, comes with the program for every kernel (``docs/make_kernels.py`` writes it), named after a digest of
the kernel's source, so that the first run only has to assemble it.

Done where it is tried out, Linux on x86-64; everywhere else, and for whatever is no plain loop over arrays of
doubles, :func:`buildable` says no and numba's own dispatcher does the work as it always did.
"""

import ctypes
import dis
import hashlib
import os
import sys
import zlib
from collections.abc import Callable, Iterable, Sequence
from functools import cache
from importlib.metadata import version
from pathlib import Path
from types import CodeType
from typing import Any

Kind = int
"""How an argument comes in: ``REAL``, ``WHOLE``, or so many dimensions of an array of doubles in C order."""
REAL, WHOLE = -1, -2
_FORM = "entry with addresses and lengths, 1"
_DIGEST_SIZE = 32
# what only a kernel that raises would call; none here can raise, so they are made traps
_WHEN_RAISED = (
    "numba_gil_ensure",
    "numba_gil_release",
    "numba_unpickle",
    "numba_do_raise",
    "numba_runtime_build_excinfo_struct",
    "NRT_Free",
    "NRT_MemInfo_call_dtor",
)
_linked: list[Any] = []
"""Engines that hold the memory of the code."""


IS_HERE = sys.platform == "linux" and os.uname().machine == "x86_64"
"""Whether this is a system where object files are made and linked."""


def buildable(functions: Iterable[Callable[..., object]]) -> bool:
    """Whether a kernel made of these functions may become an object file here.

    >>> buildable([len])
    False
    """
    codes = {getattr(function, "__code__", None) for function in functions}
    return IS_HERE and all(code is not None and not _raises(code) for code in codes)


def _raises(code: CodeType) -> bool:
    return any(step.opname in ("RAISE_VARARGS", "RERAISE") for step in dis.get_instructions(code))


@cache
def machine_key() -> str:
    """Digest of the compiler, its assembler and the processor: code of another one is not loaded."""
    llvm = _llvm()
    parts = (
        _FORM,
        version("numba"),
        version("llvmlite"),
        llvm.get_process_triple(),
        llvm.get_host_cpu_name(),
    )
    return hashlib.sha256("\n".join((*parts, _features())).encode()).hexdigest()[:16]


def text_of(dispatcher: object, kinds: Sequence[Kind], result: type | None) -> tuple[str, str]:
    """What the compiler hands to its assembler for a dispatcher of numba, and the name of its entry.

    The entry takes for an array its address and lengths, then the address of the result, if there is one.
    """
    import numba  # noqa: PLC0415 - the compiler is read when something is to be compiled

    nb: Any = numba
    signature, head, given = [], [], []
    for place, kind in enumerate(kinds):
        head.append(f"a{place}")
        if kind < 0:
            signature.append(nb.float64 if kind == REAL else nb.int64)
            given.append(f"a{place}")
        else:
            lengths = [f"n{place}_{axis}" for axis in range(kind)]
            head += lengths
            signature += [nb.types.CPointer(nb.float64), *[nb.intp] * kind]
            given.append(f"carray(a{place}, ({', '.join(lengths)},))")
    call = f"kernel({', '.join(given)})"
    if result is not None:
        head.append("out")
        signature.append(nb.types.CPointer(nb.float64 if result is float else nb.int64))
        call = f"out[0] = {call}"
    scope: dict[str, Any] = {"carray": nb.carray, "kernel": dispatcher}
    exec(f"def entry({', '.join(head)}):\n    {call}\n", scope)
    made = nb.cfunc(nb.void(*signature), error_model="numpy")(scope["entry"])
    return made.inspect_llvm(), made.native_name


def assembled(text: str, name: str) -> tuple[bytes, str] | None:
    """Object file of such a text and the name of its entry; None where it needs numba to run."""
    llvm = _llvm()
    module = llvm.parse_assembly(text)
    outside = [
        one.name for one in module.functions if one.is_declaration and not one.name.startswith("llvm.")
    ]
    traps = [one for one in outside if one.startswith("Py") or one in _WHEN_RAISED]
    called = [one for one in outside if one not in traps]
    if any(one.startswith(("numba_", "NRT_")) or llvm.address_of_symbol(one) is None for one in called):
        return None
    bodies = (f"define void @{one}() {{ call void @llvm.trap() unreachable }}" for one in traps)
    module.link_in(llvm.parse_assembly("\n".join(("declare void @llvm.trap()", *bodies))))
    module.verify()
    return bytes(_target().emit_object(module)), name


def saved(folder: Path, kinds: Sequence[Kind], code: bytes, name: str) -> None:
    """Write an object file whole or not at all; a folder that cannot be written costs only the cache."""
    whole = name.encode() + b"\n" + code
    try:
        folder.mkdir(parents=True, exist_ok=True)
        draft = folder / f"{os.getpid()}.draft"
        draft.write_bytes(hashlib.sha256(whole).digest() + whole)
        draft.replace(_file(folder, kinds))
    except OSError:
        return


def read(folder: Path, kinds: Sequence[Kind]) -> tuple[bytes, str] | None:
    """Object file and name of its entry as :func:`saved` wrote them; None without one that is whole."""
    try:
        found = _file(folder, kinds).read_bytes()
    except OSError:
        return None
    digest, whole = found[:_DIGEST_SIZE], found[_DIGEST_SIZE:]
    if hashlib.sha256(whole).digest() != digest:
        return None
    name, _, code = whole.partition(b"\n")
    return code, name.decode()


def packed(text: str, name: str) -> bytes:
    """The text of a kernel as it comes with the program."""
    return zlib.compress("\n".join((_assembler(), name, text)).encode(), 9)


def unpacked(path: Path) -> tuple[str, str] | None:
    """Text and name of the entry as they came with the program; None without one for this assembler."""
    try:
        told = zlib.decompress(path.read_bytes()).decode()
    except (OSError, zlib.error, ValueError):
        return None
    assembler, name, text = told.split("\n", 2)
    return (text, name) if assembler == _assembler() else None


def _assembler() -> str:
    """The assembler as far as its texts are of one kind, and the form of the entry."""
    return f"LLVM {_llvm().llvm_version_info[0]}; {_FORM}"


def suffix(kinds: Sequence[Kind]) -> str:
    """The arguments of an entry in the name of a file."""
    return "_".join(map(str, kinds))


def is_saved(folder: Path) -> bool:
    """Whether there is an object file for this machine in the folder of a kernel."""
    return any(folder.glob(f"{machine_key()}*.o"))


def _file(folder: Path, kinds: Sequence[Kind]) -> Path:
    return folder / (f"{machine_key()}_{suffix(kinds)}.o")


def linked(code: bytes, name: str, kinds: Sequence[Kind], result: type | None) -> Callable[..., Any]:
    """The entry of an object file as a C function, which runs without the interpreter lock."""
    llvm = _llvm()
    engine = llvm.create_mcjit_compiler(llvm.parse_assembly(""), _target())
    engine.add_object_file(llvm.ObjectFileRef.from_data(code))
    engine.finalize_object()
    _linked.append(engine)
    types: list[Any] = []
    for kind in kinds:
        if kind < 0:
            types.append(ctypes.c_double if kind == REAL else ctypes.c_int64)
        else:
            types += [ctypes.c_void_p, *[ctypes.c_ssize_t] * kind]
    if result is not None:
        types.append(ctypes.c_void_p)
    return ctypes.CFUNCTYPE(None, *types)(engine.get_function_address(name))


@cache
def _llvm() -> Any:
    import llvmlite.binding as llvm  # noqa: PLC0415 - read with the first kernel, not for --help

    llvm.initialize_native_target()
    llvm.initialize_native_asmprinter()
    llvm.create_mcjit_compiler(llvm.parse_assembly(""), _target_of(llvm))  # opens the process for symbols
    return llvm


@cache
def _features() -> str:
    return str(_llvm().get_host_cpu_features().flatten())


def _target() -> Any:
    return _target_of(_llvm())


def _target_of(llvm: Any) -> Any:
    """The processor as numba describes it."""
    target = llvm.Target.from_triple(llvm.get_process_triple())
    features = llvm.get_host_cpu_features().flatten()
    return target.create_target_machine(
        cpu=llvm.get_host_cpu_name(),
        features=features,
        opt=3,
        reloc="static",
        codemodel="jitdefault",
        jit=True,
    )
