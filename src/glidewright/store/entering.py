"""Entering a log: the raw file, its channel map and its flights, all of them or none."""

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from glidewright.base.errors import MissingError, Problem, WriteError
from glidewright.domain.channel_map import ChannelMap
from glidewright.domain.logbook import Flight
from glidewright.domain.raw_log import RawLog

from .atomic import write_sentence
from .channel_maps import keep_map
from .logbook import Logbook
from .raw_logs import keep_raw, kept_path


@dataclass(frozen=True)
class Entered:
    """What became of a log: where it lies now, and which of its flights are new in the logbook."""

    path: Path
    new: tuple[Flight, ...]


def forget_log(folder: Path, book: Logbook, model: str, raw: RawLog) -> int:
    """Take a log out of the logbook and its copy out of the folder; how many flights it had.

    Raises MissingError when it is not in, WriteError when it cannot be taken out.
    """
    path = kept_path(folder, raw.sha256)
    count = book.forget(model, raw.sha256)
    if not count and path is None:
        raise MissingError(Problem(raw.name, "must be in the logbook to be taken out; it is not in it"))
    if path is not None:
        try:
            path.unlink()
        except OSError as refused:
            raise WriteError(Problem(str(path), write_sentence(refused))) from refused
    return count


def enter_log(
    folder: Path,
    book: Logbook,
    model: str,
    raw: RawLog,
    flights: Sequence[Flight],
    channel_map: ChannelMap | None,
) -> Entered:
    """Copy the log into the model folder and enter its flights; flights that are in stay as they are.

    Raises WriteError when something cannot be written; a raw file that was new is then taken away again.
    """
    if channel_map is not None:
        keep_map(folder, channel_map)
    path, is_new = keep_raw(folder, raw)
    try:
        named = [flight.model_copy(update={"source_name": path.name}) for flight in flights]
        new = book.enter(model, named)
    except BaseException:
        if is_new:
            with suppress(OSError):
                path.unlink()
        raise
    return Entered(path, new)
