"""Where the program keeps what it can work out again: below the package, or in the user's cache."""

import os
from pathlib import Path


def packaged_folder(name: str) -> Path:
    """Folder of the packaged data, for the room that stands below it.

    >>> packaged_folder("kernels").parent.name
    'data'
    """
    return Path(__file__).resolve().parent.parent / "data" / name


def cache_folder(name: str) -> Path:
    """Folder of one kind of cache; it need not exist, and nothing in it is ever needed.

    >>> cache_folder("kernels").name in ("kernels", "glidewright")
    True
    """
    given = os.environ.get("NUMBA_CACHE_DIR")
    if given:
        return Path(given) / "glidewright" / name
    package = Path(__file__).resolve().parent.parent
    if os.access(package, os.W_OK):
        return package / "__pycache__" / name
    return Path(os.environ.get("LOCALAPPDATA") or Path.home() / ".cache") / "glidewright" / name
