"""Channel maps of a model folder: ``flights/maps/*.toml``, one for every kind of log, confirmed once."""

from pathlib import Path

import tomlkit

from glidewright.base.door import read_noun
from glidewright.base.errors import InputError, Problem, WriteError
from glidewright.domain.channel_map import ChannelMap

from .atomic import write_sentence, write_whole
from .raw_logs import FLIGHTS_FOLDER
from .tables import Problems, parsed
from .texts import files_in, read_text

_PLACE = f"{FLIGHTS_FOLDER}/maps"
_HEAD = (
    "Which column of a log is which channel, and in which unit; it holds for every log with this header.",
    "Correct a channel or a unit here; place counts from 1, time_s is the clock.",
)


def read_maps(folder: Path) -> tuple[ChannelMap, ...]:
    """Every confirmed channel map of a model folder; InputError with all that is wrong in them."""
    problems = Problems()
    maps = [problems.attempt(_read_map, path, f"{_PLACE}/{path.name}") for path in _map_files(folder)]
    if problems:
        raise InputError(problems)
    return tuple(one for one in maps if one is not None)


def keep_map(folder: Path, channel_map: ChannelMap) -> Path:
    """Write a map that the user has confirmed, in place of an older one for the same kind of log.

    Raises WriteError when it cannot be written; what stood there before still stands.
    """
    maps = folder / _PLACE
    try:
        maps.mkdir(parents=True, exist_ok=True)
    except OSError as refused:
        raise WriteError(Problem(str(maps), write_sentence(refused))) from refused
    same = (path for path in _map_files(folder) if _is_for(path, channel_map))
    path = next(same, maps / f"{channel_map.source}.toml")
    write_whole(path, map_text(channel_map))
    return path


def map_text(channel_map: ChannelMap) -> str:
    """The text of a map's file."""
    document = tomlkit.document()
    for line in _HEAD:
        document.add(tomlkit.comment(line))
    document.add("delimiter", tomlkit.item(channel_map.delimiter))
    document.add("decimal", tomlkit.item(channel_map.decimal))
    document.add("columns", tomlkit.item(channel_map.columns))
    document.add("header", tomlkit.item(list(channel_map.header)))
    tables = tomlkit.aot()
    for one in channel_map.column:
        table = tomlkit.table()
        for key in ("place", "header", "channel", "unit"):
            table.add(key, getattr(one, key))
        tables.append(table)
    document.add("column", tables)
    return tomlkit.dumps(document)


def _map_files(folder: Path) -> list[Path]:
    return [path for path in files_in(folder / _PLACE, _PLACE) if path.suffix == ".toml"]


def _read_map(path: Path, where: str) -> ChannelMap:
    table = parsed(read_text(path, where), where)
    return read_noun(ChannelMap, {**table, "confirmed": True}, where)


def _is_for(path: Path, channel_map: ChannelMap) -> bool:
    try:
        return _read_map(path, path.name).fits(channel_map)
    except InputError:
        return False
