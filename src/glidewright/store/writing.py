"""Changes to a model folder: comments, order and layout stay, and nothing is written that cannot be read.

A change is made in the text, the result is read as a whole model, and only then does it replace the file.
"""

from collections.abc import Mapping, MutableMapping, Sequence
from pathlib import Path
from typing import Any

import tomlkit
from pydantic import BaseModel
from tomlkit import TOMLDocument
from tomlkit.container import Container
from tomlkit.items import AoT, Comment, InlineTable, Item, Whitespace
from tomlkit.items import Table as TomlTable

from glidewright.base.door import shortest_number
from glidewright.base.errors import InputError, Problem, nearest
from glidewright.base.fields import Quantity, quantities
from glidewright.base.figure import Given, Grade
from glidewright.domain.model import Model

from .atomic import write_whole
from .migrations import upgrade
from .reading import model_of_texts
from .tables import parsed
from .texts import MODEL_FILE, read_texts

Number = float | int
Value = Number | str | bool | Sequence[str] | Mapping[str, Number | str]
Path_ = Sequence[str | int]


def set_value(folder: Path, file: str, path: Path_, value: Value) -> Model:
    """Set one key of a file of a model folder and give back the model as it now reads.

    path: table and key, ``("airframe", "span_m")``; for one of several tables its id, its name or its
    place counted from 0 in between, ``("motor", "m28-1020", "mass_g")``, ``("fitted", "pack", "part")``.
    value: a number in the key's unit, a text, true or false, a list of texts, or a mapping with value,
    grade, low, high and because. Raises InputError when the place does not exist or the result cannot be
    read, WriteError when it cannot be written; the file is then as it was.
    """
    texts = _texts_now(folder, file)
    document = tomlkit.parse(texts[file])
    wanted = parsed(texts[file], file)
    *tables, key = path
    _put(_at(document, tables, file), str(key), value)
    plain_value = dict(value) if isinstance(value, Mapping) else value
    _at(wanted, tables, file)[str(key)] = plain_value if isinstance(value, str) else _plain(plain_value)
    return _replace(folder, texts, file, document, wanted)


def append_table(folder: Path, name: str, table: Mapping[str, Value], file: str = MODEL_FILE) -> Model:
    """Add a table ``[[name]]`` (a weighing, a bench reading, a part) after the others of that name.

    Keys and values as in the file. Raises as ``set_value`` does.
    """
    texts = _texts_now(folder, file)
    document = tomlkit.parse(texts[file])
    wanted = parsed(texts[file], file)
    fresh = tomlkit.table()
    for key, value in table.items():
        fresh.add(key, _item(value))
    _append(document, name, fresh)
    wanted.setdefault(name, []).append({key: _plain(value) for key, value in table.items()})
    return _replace(folder, texts, file, document, wanted)


def table_of(noun: BaseModel, grade: Grade) -> dict[str, Value]:
    """A noun as the keys and values of its file table; what is unknown or as by default stays out.

    grade: of the bare numbers where the table will stand.
    """
    metas = quantities(type(noun))
    table: dict[str, Value] = {}
    for name, info in type(noun).model_fields.items():
        value = getattr(noun, name)
        if value is None or value == info.get_default():
            continue
        if name in metas:
            table[metas[name].key] = value_of(value, metas[name], grade)
        else:
            table[name] = list(value) if isinstance(value, tuple) else value
    return table


def value_of(given: Given, meta: Quantity, grade: Grade) -> Number | dict[str, Number | str]:
    """A given number in the unit of its key: bare where it says nothing else, else with what it says."""
    number = shortest_number(given.value, meta)
    details: dict[str, Number | str] = {"value": number}
    if given.grade != grade:
        details["grade"] = given.grade
    if given.low is not None and given.high is not None:
        details["low"] = shortest_number(given.low, meta)
        details["high"] = shortest_number(given.high, meta)
    if given.because:
        details["because"] = given.because
    return number if len(details) == 1 else details


def _texts_now(folder: Path, file: str) -> dict[str, str]:
    """The texts of the folder in today's schema, with the file that is to be changed among them."""
    upgrade(folder)
    texts = read_texts(folder)
    if file not in texts:
        raise InputError(
            Problem(file, f"must be a file of the model folder; there is none; {nearest(file, list(texts))}")
        )
    parsed(texts[file], file)
    return texts


def _replace(
    folder: Path, texts: Mapping[str, str], file: str, document: TOMLDocument, wanted: Mapping[str, Any]
) -> Model:
    text = tomlkit.dumps(document)
    if parsed(text, file) != wanted:
        raise InputError(
            Problem(
                file,
                "must change in one place only; this file's layout does not allow that by program; "
                "make the change by hand",
            )
        )
    model = model_of_texts({**texts, file: text})
    write_whole(folder / file, text)
    return model


def _at(root: MutableMapping[str, Any], path: Path_, file: str) -> MutableMapping[str, Any]:
    """The table at a path of table names, each followed by which one where there are several."""
    place: Any = root
    where = file
    for step in path:
        found = _one_of(place, step) if isinstance(place, list) else place.get(step)
        where = f"{where} {step}"
        if not isinstance(found, MutableMapping | list):
            raise InputError(Problem(where, "must be a table of this file; there is none; correct the name"))
        place = found
    if isinstance(place, list):
        raise InputError(Problem(where, "must be one of several tables; none was named; say which one"))
    table: MutableMapping[str, Any] = place
    return table


def _one_of(tables: Sequence[Any], step: str | int) -> Any:
    if isinstance(step, int):
        return tables[step] if 0 <= step < len(tables) else None
    return next((t for t in tables if step in (t.get("id"), t.get("name"), t.get("part"))), None)


def _put(table: MutableMapping[str, Any], key: str, value: Value) -> None:
    """Set a key; a new one goes behind the last key, before the blank lines and comments that follow it."""
    item = _item(value)
    if key in table or not isinstance(table, TOMLDocument | TomlTable):
        table[key] = item
        return
    body = table if isinstance(table, TOMLDocument) else table.value
    tail = _tail_taken(body)
    table[key] = item
    for trivia in tail:
        body.add(trivia)


def _append(document: TOMLDocument, name: str, fresh: TomlTable) -> None:
    """Add a table behind the last one of its name, before the comments that lead on to what follows."""
    group = document.get(name)
    if not isinstance(group, AoT) or not group.body:
        if not document.as_string().endswith("\n\n"):
            document.add(tomlkit.nl())
        made = tomlkit.aot()
        made.append(fresh)
        document.append(name, made)
        return
    last = group.body[-1].value
    tail = _tail_taken(last)
    last.add(tomlkit.nl())
    for trivia in tail:
        fresh.add(trivia)
    group.append(fresh)


def _tail_taken(body: Container) -> list[Comment | Whitespace]:
    """Blank lines and comments at the end of a table, taken off."""
    tail: list[Comment | Whitespace] = []
    while body.body and isinstance(trivia := body.body[-1][1], Comment | Whitespace):
        tail.append(trivia)
        body.body.pop()
    return tail[::-1]


def _item(value: Value) -> Item:
    if not isinstance(value, Mapping):
        item: Item = tomlkit.item(_plain(value))
        return item
    inline: InlineTable = tomlkit.inline_table()
    inline.update({key: _plain(part) for key, part in value.items()})
    return inline


def _plain(value: Any) -> Any:
    """Plain Python values, as the reader of the written text will see them."""
    if isinstance(value, Mapping):
        return {key: _plain(part) for key, part in value.items()}
    if isinstance(value, str | bool | int):
        return value
    return float(value) if isinstance(value, float) else list(value)
