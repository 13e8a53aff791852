"""A file is written whole or not at all; the old one stands until the new text is safe on disk."""

import errno
import os
import re
import secrets
import time
from contextlib import suppress
from pathlib import Path

from glidewright.base.errors import Problem, WriteError

_TEMPORARY = re.compile(r"\..+\.[0-9a-f]{12}\.tmp")
_STALE_s = 3600.0
_REASONS = {
    errno.ENOSPC: "the disk is full; free some space and try again",
    errno.EDQUOT: "the disk quota is used up; free some space and try again",
    errno.EACCES: "writing is not allowed there; change the permissions or use another folder",
    errno.EPERM: "writing is not allowed there; change the permissions or use another folder",
    errno.EROFS: "the disk is read-only; use another folder",
    errno.ENOENT: "its folder does not exist; make the folder first",
    errno.ENOTDIR: "its folder is a file; give another place",
    errno.EISDIR: "a folder has that name; give another name",
}


def write_whole(path: Path, text: str) -> None:
    """Replace a file by the text (UTF-8), or leave it as it was and raise WriteError.

    As ``write_whole_bytes``; line ends are written as they stand.
    """
    write_whole_bytes(path, text.encode("utf-8"))


def write_whole_bytes(path: Path, data: bytes) -> None:
    """Replace a file by the bytes, or leave it as it was and raise WriteError.

    They go to a temporary file in the same folder, are forced to disk, and take the place of the old file
    in one step; behind a link it is the linked file. Temporary files of programs that were killed are hidden
    and no part of a model; the next write to their folder that comes an hour later takes them away.
    """
    real = path.resolve() if path.is_symlink() else path
    temporary = real.with_name(f".{real.name}.{secrets.token_hex(6)}.tmp")
    try:
        _write_forced(temporary, data, _mode_of(real))
        os.replace(temporary, real)  # noqa: PTH105 - one step on every system, and the name that tests intercept
    except OSError as refused:
        raise WriteError(Problem(str(path), write_sentence(refused))) from refused
    finally:
        with suppress(OSError):
            temporary.unlink(missing_ok=True)
    _clear(real.parent)
    force_folder(real.parent)


def write_sentence(refused: OSError) -> str:
    """What must be, what came and what to do, for a write that the system refused."""
    reason = _REASONS.get(refused.errno or 0, f"the system said: {refused.strerror}; try again elsewhere")
    return f"must be written whole and was not, nothing was changed; {reason}"


def force_folder(folder: Path) -> None:
    """Force the folder's own entry to disk where the system can do that; the text itself is already safe."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _clear(folder: Path) -> None:
    """Remove what killed programs left behind; nobody writes one file for an hour."""
    with suppress(OSError):
        for path in folder.iterdir():
            is_left = _TEMPORARY.fullmatch(path.name) and path.is_file()
            if is_left and time.time() - path.stat().st_mtime > _STALE_s:
                path.unlink()


def _mode_of(path: Path) -> int:
    """The permissions that the new file gets: those of the old one."""
    try:
        return path.stat().st_mode & 0o777
    except OSError:
        return 0o666


def _write_forced(path: Path, data: bytes, mode: int) -> None:
    flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)
    handle = os.open(path, flags, mode)
    try:
        rest = memoryview(data)
        while rest:
            rest = rest[os.write(handle, rest) :]
        os.fsync(handle)
    finally:
        os.close(handle)
