"""The model folders that the pages may touch: those directly inside one root, known by listing it.

A name from outside is never joined to a path: it is looked up in the listing, so that no trick with dots,
separators or links leads anywhere else.
"""

import hashlib
from dataclasses import dataclass
from pathlib import Path

from glidewright.base.errors import InputError, MissingError, Problem
from glidewright.store.texts import MODEL_FILE

_READ_BELOW = 200_000  # bytes; what is larger counts by its size and date


@dataclass(frozen=True)
class Workshop:
    """A root folder with model folders, or one model folder alone."""

    root: Path
    only: str | None = None

    @classmethod
    def at(cls, given: Path) -> "Workshop":
        """The workshop of a folder; one that holds model.toml is served alone. Raises InputError."""
        try:
            place = given.resolve(strict=True)
        except OSError as refused:
            raise MissingError(
                Problem(
                    str(given), "must be a folder that exists; nothing is there; make it or correct the name"
                )
            ) from refused
        if not place.is_dir():
            raise InputError(
                Problem(str(given), "must be a folder; a file came; give the folder that holds it")
            )
        if (place / MODEL_FILE).is_file():
            return cls(place.parent, place.name)
        return cls(place)

    def names(self) -> list[str]:
        """Names of the model folders, in order."""
        if self.only is not None:
            return [self.only]
        try:
            entries = sorted(self.root.iterdir(), key=lambda entry: entry.name.lower())
        except OSError:
            return []
        return [entry.name for entry in entries if _is_model(entry)]

    def beside(self, folder: Path) -> list[str]:
        """Names of the other model folders."""
        return [name for name in self.names() if name != folder.name]

    def folder(self, name: str) -> Path:
        """The folder of a listed model; raises MissingError for any other name."""
        if name not in self.names():
            raise MissingError(
                Problem(name[:80], "must be a model folder of this workshop; none has that name; choose one")
            )
        return self.root / name


def _is_model(entry: Path) -> bool:
    """A folder with model.toml, no hidden one, and no link that leads out."""
    if entry.name.startswith(".") or entry.is_symlink():
        return False
    try:
        return (entry / MODEL_FILE).is_file()
    except OSError:
        return False


def revision(folder: Path) -> str:
    """A short digest of everything in a model folder that a result may hang on.

    Two tabs, a text editor and a restart of the program see the same one as long as the folder is the same.
    """
    found = hashlib.sha256()
    for path in sorted(folder.rglob("*")):
        name = path.relative_to(folder)
        if any(part.startswith(".") for part in name.parts) or not path.is_file():
            continue
        try:
            state = path.stat()
            found.update(f"{name.as_posix()}\0{state.st_size}\0".encode())
            if state.st_size <= _READ_BELOW and path.suffix == ".toml":
                found.update(path.read_bytes())
            else:
                found.update(str(state.st_mtime_ns).encode())
        except OSError:  # it went away meanwhile
            continue
    return found.hexdigest()[:16]
