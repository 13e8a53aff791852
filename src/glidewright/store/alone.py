"""One program at a time changes a model folder: a lock that the system takes back when a program ends.

The lock lies on the folder itself, or where the system cannot lock a folder, on a file in its place for
temporary files, so that nothing is left in the folder. It is advisory: a text editor does not know of it.
"""

import os
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from glidewright.base.errors import Problem, WriteError

if sys.platform == "win32":
    import hashlib
    import msvcrt
    import tempfile
else:
    import fcntl

WAIT_s = 10.0
"""How long one program waits for another one that changes the folder."""
_STEP_s = 0.02


@contextmanager
def alone_in(folder: Path) -> Iterator[None]:
    """Hold the folder while a change is read, made and written; do not nest it.

    Raises WriteError when another program holds it for longer than WAIT_s. Where the disk knows no locks, as
    on some network drives, or the folder cannot be opened, nothing is held.
    """
    try:
        handle = _opened(folder)
    except OSError:
        yield
        return
    try:
        _wait(handle, folder)
        yield
    finally:
        os.close(handle)  # lets go of the lock as well


def _wait(handle: int, folder: Path) -> None:
    end = time.monotonic() + WAIT_s
    while not _is_taken(handle):
        if time.monotonic() > end:
            words = f"must be free to be changed; another program has held it for {WAIT_s:.0f} s"
            raise WriteError(Problem(str(folder), f"{words}; nothing was changed, end it or try again"))
        time.sleep(_STEP_s)


if sys.platform == "win32":

    def _opened(folder: Path) -> int:
        name = hashlib.sha256(str(folder.resolve()).encode()).hexdigest()[:24]
        place = Path(tempfile.gettempdir()) / f"glidewright-{name}.lock"
        return os.open(place, os.O_RDWR | os.O_CREAT)

    def _is_taken(handle: int) -> bool:
        try:
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        return True

else:

    def _opened(folder: Path) -> int:
        return os.open(folder, os.O_RDONLY)

    def _is_taken(handle: int) -> bool:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        except OSError:  # no locks here
            return True
        return True
