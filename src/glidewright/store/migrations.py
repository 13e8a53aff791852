"""Schema of the model folder: which one a folder has, and the way from each older one to today's.

Schema 0, the first draft: ``model.toml`` without a schema key, name and class in a ``[model]`` table,
all parts in one ``drawer.toml``. Schema 1: name and class at the top, parts in ``parts/*.toml``, each
file with its own ``schema``.
"""

import tomllib
from collections.abc import Callable, Mapping
from contextlib import suppress
from pathlib import Path
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import Table

from glidewright.base.errors import InputError, Problem, WriteError

from .atomic import write_sentence, write_whole
from .texts import DRAWER_FILE_OF_SCHEMA_0, MODEL_FILE, PARTS_FOLDER, read_texts

SCHEMA = 1


def schema_of(table: Mapping[str, Any], where: str) -> int:
    """The schema that a parsed file states; raises InputError when this program cannot read it."""
    found = table.get("schema")
    if found is None and isinstance(table.get("model"), Mapping):
        return 0
    if found is None:
        raise InputError(
            Problem(where, f"must state its schema and does not; write schema = {SCHEMA} as its first line")
        )
    if isinstance(found, bool) or not isinstance(found, int) or found < 0:
        raise InputError(
            Problem(f"{where}: schema", f"must be a whole number from 0; {found!r} came; write {SCHEMA}")
        )
    if found > SCHEMA:
        raise InputError(
            Problem(
                f"{where}: schema",
                f"must be at most {SCHEMA} for this version; {found} came, from a newer one; "
                "update glidewright to read this folder",
            )
        )
    return found


def migrated(texts: Mapping[str, str], schema: int) -> dict[str, str]:
    """The texts of a folder of an older schema as they stand in today's, with comments and order kept.

    Raises InputError where that cannot be, as for a key that stands in two places that become one.
    """
    now = dict(texts)
    try:
        for step in _STEPS[schema:]:
            now = step(now)
    except (TOMLKitError, ValueError, RecursionError) as refused:
        said = str(refused).rstrip(".")
        words = f"must be fit to be lifted from schema {schema} to {SCHEMA}; {said}; correct it there"
        raise InputError(Problem(MODEL_FILE, words)) from refused
    return now


def upgrade(folder: Path) -> bool:
    """Write a folder of an older schema in today's; False when it is of today's already.

    Files that are new are written first and files that fell away are removed last, so that the folder
    can be read after a stop at any moment. Raises InputError, WriteError.
    """
    old = read_texts(folder)
    try:
        head = tomllib.loads(old[MODEL_FILE])
    except (ValueError, RecursionError):  # whoever reads it says where
        return False
    schema = schema_of(head, MODEL_FILE)
    if schema == SCHEMA:
        return False
    new = migrated(old, schema)
    try:
        (folder / PARTS_FOLDER).mkdir(exist_ok=True)
    except OSError as refused:
        raise WriteError(Problem(str(folder / PARTS_FOLDER), write_sentence(refused))) from refused
    for name in sorted(new, key=lambda n: n == MODEL_FILE):
        if new[name] != old.get(name):
            write_whole(folder / name, new[name])
    for name in old.keys() - new.keys():
        with suppress(OSError):  # a file that fell away is not read any more, wherever it stays
            (folder / name).unlink()
    return True


def _from_0_to_1(texts: dict[str, str]) -> dict[str, str]:
    """Lift the ``[model]`` table to the top and move drawer.toml to parts/drawer.toml."""
    moved = {name: text for name, text in texts.items() if name not in (MODEL_FILE, DRAWER_FILE_OF_SCHEMA_0)}
    moved[MODEL_FILE] = _head_lifted(texts[MODEL_FILE])
    if DRAWER_FILE_OF_SCHEMA_0 in texts:
        drawer = tomlkit.parse(texts[DRAWER_FILE_OF_SCHEMA_0])
        stated = "schema" in drawer
        drawer["schema"] = 1
        text = tomlkit.dumps(drawer) if stated else "schema = 1\n" + texts[DRAWER_FILE_OF_SCHEMA_0]
        moved[f"{PARTS_FOLDER}/{DRAWER_FILE_OF_SCHEMA_0}"] = text
    return moved


def _head_lifted(text: str) -> str:
    """A model.toml of schema 0 with its ``[model]`` table as keys at the top, comments in place."""
    old = tomlkit.parse(text)
    new = tomlkit.document()
    body = list(old.body)
    while body and body[0][0] is None:
        new.add(body.pop(0)[1])
    new.add("schema", tomlkit.item(1))
    head = old.get("model")
    if isinstance(head, Table):
        if head.trivia.comment:
            new.add(tomlkit.comment(head.trivia.comment.removeprefix("#").strip()))
        for key, item in head.value.body:
            if key is None:
                new.add(item)
            else:
                new.add(key, item)
    for key, item in body:
        if key is None:
            new.add(item)
        elif key.key not in ("model", "schema"):
            new.append(key, item)
    return tomlkit.dumps(new)


_STEPS: tuple[Callable[[dict[str, str]], dict[str, str]], ...] = (_from_0_to_1,)
