"""Raw logs of a model folder: ``flights/``, every file as it came, named after itself and its hash.

The first digits of the SHA-256 stand in the name, so that the same log is found again whatever it was
called, and two logs of one name lie side by side. No file there is ever changed.
"""

import re
import unicodedata
from pathlib import Path

from glidewright.base.errors import InputError, MissingError, Problem, WriteError
from glidewright.domain.raw_log import LARGEST_LOG_bytes, RawLog, plain_name, too_large

from .atomic import force_folder, write_sentence, write_whole_bytes
from .texts import files_in, unreadable

FLIGHTS_FOLDER = "flights"
_HASH_DIGITS = 12
_CHUNK_bytes = 1024 * 1024
_LONGEST_STEM, _LONGEST_ENDING = 60, 8
_KEPT_NAME = re.compile(rf".+-([0-9a-f]{{{_HASH_DIGITS}}})(\.\w+)?")


def read_raw(path: Path) -> RawLog:
    """The log at a path, read piece by piece up to the size limit.

    Raises MissingError when there is no such file, InputError when it is no plain file, cannot be read or is
    too large; a pipe or a device is not opened.
    """
    name = plain_name(path.name)
    try:
        if not path.exists():
            raise MissingError(Problem(str(path), "there is no such log; check the name"))
        if not path.is_file():
            came = "a folder" if path.is_dir() else "something else"
            raise InputError(Problem(str(path), f"must be a file; {came} came; give one log"))
        pieces, size = [], 0
        with path.open("rb") as stream:
            while piece := stream.read(_CHUNK_bytes):
                size += len(piece)
                if size > LARGEST_LOG_bytes:
                    raise too_large(name)
                pieces.append(piece)
    except OSError as refused:
        raise InputError(Problem(str(path), unreadable(refused))) from refused
    return RawLog.of(name, b"".join(pieces))


def kept_path(folder: Path, sha256: str) -> Path | None:
    """Where a log with this hash lies in a model folder, or nothing; a hash in a name is not believed."""
    for path in kept_raws(folder):
        found = _KEPT_NAME.fullmatch(path.name)
        if (found is None or sha256.startswith(found[1])) and _hash_of(path) == sha256:
            return path
    return None


def keep_raw(folder: Path, raw: RawLog) -> tuple[Path, bool]:
    """Put a log into a model folder: its path there, and whether it is new.

    The same bytes are kept once, under the name they had first. Raises WriteError when it cannot be written;
    nothing of it is left behind then.
    """
    there = kept_path(folder, raw.sha256)
    if there is not None:
        return there, False
    flights = folder / FLIGHTS_FOLDER
    try:
        flights.mkdir(exist_ok=True)
    except OSError as refused:
        raise WriteError(Problem(str(flights), write_sentence(refused))) from refused
    force_folder(folder)
    path = flights / kept_name(raw)
    write_whole_bytes(path, raw.data)
    return path, True


def kept_raws(folder: Path) -> list[Path]:
    """Every kept log of a model folder, by name; hidden files are none. Raises InputError as ``files_in``."""
    return files_in(folder / FLIGHTS_FOLDER, FLIGHTS_FOLDER)


def kept_name(raw: RawLog) -> str:
    """The name under which a log is kept: safe on every system, with the first digits of its hash.

    >>> kept_name(RawLog.of("Sunday, 2nd flight.CSV", b"1,2"))
    'Sunday_2nd_flight-17f8af97ad4a.csv'
    """
    plain = unicodedata.normalize("NFKD", raw.name).encode("ascii", "ignore").decode("ascii")
    stem, dot, ending = plain.rpartition(".")
    if not dot or not re.fullmatch(rf"\w{{1,{_LONGEST_ENDING}}}", ending):
        stem, ending = plain, "log"
    stem = re.sub(r"[^\w\-]+", "_", stem).strip("_-")[:_LONGEST_STEM] or "log"
    return f"{stem}-{raw.sha256[:_HASH_DIGITS]}.{ending.lower()}"


def _hash_of(path: Path) -> str:
    try:
        return read_raw(path).sha256
    except InputError:
        return ""
