"""Changes in the text of one TOML file: comments, order and layout of everything else stay.

The text is cut before every table header, and one chunk of it is changed. Each change gives the new text, and
what it must then say when it is parsed: whether it does, the caller checks.
"""

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from itertools import pairwise
from typing import Any

import tomlkit
from tomlkit.items import AoT

from glidewright.base.errors import InputError, Problem

from .tables import parsed

Value = float | str | bool | Sequence[str] | Mapping[str, float | str]
Keys = Sequence[str | int]
_NAME = re.compile(r"[\w-]+", re.ASCII)
_HEADER = re.compile(r"^[ \t]*(\[\[?)[ \t]*([\w-]+)[ \t]*\]\]?[ \t]*(?:#.*)?\r?$", re.MULTILINE)


def changed_text(text: str, file: str, changes: Iterable[tuple[Keys, Value | None]]) -> str:
    """The text of a file with many changes made, for a folder that is still to be written.

    None instead of a value takes the key out, or one of several tables when the place ends in a number.
    Raises InputError for a place that does not exist; whether it reads as a model, the folder must tell.
    """
    for keys, value in changes:
        if value is not None:
            text, _ = with_value(text, file, keys, value)
        elif isinstance(keys[-1], int):
            text, _ = without_table(text, file, keys)
        else:
            text, _ = without_value(text, file, keys)
    return text


def value_at(tables: Mapping[str, Any], keys: Keys) -> Any:
    """What stands at a place of parsed tables, None when nothing does; keys as in ``set_value``."""
    found: Any = tables
    for step in keys:
        if isinstance(found, list):
            place = _index_of(found, step)
            found = None if place is None else found[place]
        else:
            found = found.get(step) if isinstance(found, Mapping) else None
    return found


def with_value(text: str, file: str, keys: Keys, value: Value) -> tuple[str, dict[str, Any]]:
    """The text with one key set, and what it must then say; InputError for a place that does not exist."""
    _checked(file, keys)
    wanted = parsed(text, file)
    *place, key = keys
    chunks = _chunks(text)
    number = _chunk_at(chunks, wanted, place, file)
    if number is None:
        name, newline = str(place[0]), _newline(text)
        chunks[-1] = chunks[-1].rstrip("\r\n") + 2 * newline
        chunks.append(f"[{name}]{newline}")
        wanted[name] = {}
        number = len(chunks) - 1
    chunks[number] = _with_key(chunks[number], str(key), value)
    _table_at(wanted, place)[str(key)] = _plain(value)
    return "".join(chunks), wanted


def with_table(text: str, file: str, name: str, table: Mapping[str, Value]) -> tuple[str, dict[str, Any]]:
    """The text with one more of several tables, and what it must then say; InputError for no such tables."""
    _checked(file, (name,))
    wanted = parsed(text, file)
    if not isinstance(wanted.get(name, []), list):
        words = "must be the name of tables of which there may be several; it is no such name; correct it"
        raise InputError(Problem(f"{file} {name}", words))
    chunks = _chunks(text)
    same = [number for number, chunk in enumerate(chunks) if _header(chunk) == ("[[", name)]
    last = same[-1] if same else len(chunks) - 1
    head, tail = _head_and_tail(chunks[last]) if same else (chunks[last], "")
    newline = _newline(text)
    fresh = tomlkit.table()
    for key, value in table.items():
        fresh.add(key, _item(value))
    body = tomlkit.dumps({name: [fresh]}).replace("\n", newline)
    gap = "" if head.endswith(2 * newline) else newline if head.endswith("\n") else 2 * newline
    chunks[last] = head + gap + body + tail
    wanted.setdefault(name, []).append({key: _plain(value) for key, value in table.items()})
    return "".join(chunks), wanted


def without_value(text: str, file: str, keys: Keys) -> tuple[str, dict[str, Any]]:
    """The text without a key, and what it must then say; as it is where there is no such key."""
    _checked(file, keys)
    wanted = parsed(text, file)
    *place, key = keys
    chunks = _chunks(text)
    number = _chunk_at(chunks, wanted, place, file)
    if number is None or str(key) not in _table_at(wanted, place):
        return text, wanted
    chunks[number] = _without_key(chunks[number], str(key))
    del _table_at(wanted, place)[str(key)]
    return "".join(chunks), wanted


def without_table(text: str, file: str, keys: Keys) -> tuple[str, dict[str, Any]]:
    """The text without one of several tables, and what it must then say; InputError where it is not there."""
    _checked(file, keys)
    wanted = parsed(text, file)
    chunks = _chunks(text)
    number = _chunk_at(chunks, wanted, keys, file)
    which = _index_of(wanted.get(str(keys[0]), []), keys[-1]) if len(keys) == 2 else None
    if number is None or which is None:
        where = " ".join([file, *map(str, keys)])
        raise InputError(Problem(where, "must be a table of this file; there is none; correct the name"))
    chunks[number] = _head_and_tail(chunks[number])[1].lstrip("\r\n")
    del wanted[str(keys[0])][which]
    if not wanted[str(keys[0])]:
        del wanted[str(keys[0])]
    return "".join(chunks), wanted


def _checked(file: str, keys: Keys) -> None:
    """Refuse a place that no table can have."""
    if not keys or not isinstance(keys[0], str) or not _NAME.fullmatch(keys[0]):
        where = " ".join([file, *map(str, keys)])
        raise InputError(Problem(where, "must begin with the name of a table or a key; correct the name"))


def _chunks(text: str) -> list[str]:
    """The text cut before every table header; the first chunk is what stands above all tables."""
    cuts = [0, *(found.start() for found in _HEADER.finditer(text)), len(text)]
    return [text[start:end] for start, end in pairwise(cuts)]


def _header(chunk: str) -> tuple[str, str]:
    """Brackets and name of the table that a chunk holds; empty for what stands above all tables."""
    found = _HEADER.match(chunk)
    return (found[1], found[2]) if found else ("", "")


def _head_and_tail(chunk: str) -> tuple[str, str]:
    """A chunk without, and its blank and comment lines at the end, which lead on to what follows."""
    lines = chunk.splitlines(keepends=True)
    end = len(lines)
    while end > 1 and lines[end - 1].strip()[:1] in ("", "#"):
        end -= 1
    return "".join(lines[:end]), "".join(lines[end:])


def _chunk_at(chunks: Sequence[str], tables: Mapping[str, Any], place: Keys, file: str) -> int | None:
    """Which chunk holds the table at a place; None for a single table that does not exist yet."""
    if not place:
        return 0
    where = " ".join([file, *(str(step) for step in place)])
    several = [number for number, chunk in enumerate(chunks) if _header(chunk) == ("[[", place[0])]
    if several and len(place) == 1:
        raise InputError(Problem(where, "must be one of several tables; none was named; say which one"))
    if several:
        which = _index_of(tables[str(place[0])], place[1])
        if which is not None and len(place) == 2:
            return several[which]
    single = [number for number, chunk in enumerate(chunks) if _header(chunk) == ("[", place[0])]
    if len(place) == 1:
        return single[0] if single else None
    raise InputError(Problem(where, "must be a table of this file; there is none; correct the name"))


def _index_of(tables: Sequence[Any], step: str | int) -> int | None:
    """The place of the table that an id, a name or a count from 0 means."""
    if isinstance(step, int):
        return step if 0 <= step < len(tables) else None
    names = [
        (table.get("id"), table.get("name"), table.get("part")) if isinstance(table, Mapping) else ()
        for table in tables
    ]
    return next((place for place, known in enumerate(names) if step in known), None)


def _table_at(tables: dict[str, Any], place: Keys) -> dict[str, Any]:
    """The parsed table at a place that is known to exist."""
    found: Any = tables
    for step in place:
        key = _index_of(found, step) if isinstance(found, list) else step
        found = found[key]
    table: dict[str, Any] = found
    return table


def _with_key(chunk: str, key: str, value: Value) -> str:
    """The chunk with one key set; a new one goes behind the last, before blank lines and comments."""

    def put(table: Any) -> None:
        table[key] = _item(value)

    return _with_table_changed(chunk, put)


def _without_key(chunk: str, key: str) -> str:
    """The chunk without one key; a comment behind its value goes with it."""

    def take_out(table: Any) -> None:
        del table[key]

    return _with_table_changed(chunk, take_out)


def _with_table_changed(chunk: str, change: Callable[[Any], None]) -> str:
    """The chunk with a change made in the items of its table; blank lines and comments at its end stay."""
    head, tail = _head_and_tail(chunk)
    document = tomlkit.parse(head)
    name = _header(chunk)[1]
    found: Any = document[name] if name else document
    change(found[0] if isinstance(found, AoT) else found)
    changed = tomlkit.dumps(document)
    if tail and not changed.endswith("\n"):
        changed += "\n"
    return changed.replace("\r\n", "\n").replace("\n", _newline(chunk)) + tail


def _newline(text: str) -> str:
    return "\r\n" if "\r\n" in text else "\n"


def _item(value: Value) -> Any:
    """The value as tomlkit writes it, a mapping on one line."""
    if not isinstance(value, Mapping):
        return tomlkit.item(_plain(value))
    inline = tomlkit.inline_table()
    inline.update(_plain(value))
    return inline


def _plain(value: Any) -> Any:
    """Plain Python values, as the reader of the written text will see them."""
    if isinstance(value, Mapping):
        return {key: _plain(part) for key, part in value.items()}
    if isinstance(value, str | bool | int):
        return value
    return float(value) if isinstance(value, float) else list(value)
