"""Changes to a model folder: comments, order and layout stay, and nothing is written that cannot be read.

A change is made in the text of one table; the result is read as a whole model, and only then does it
replace the file.
"""

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from pydantic import BaseModel
from tomlkit.exceptions import TOMLKitError

from glidewright.base.door import shortest_number
from glidewright.base.errors import InputError, Problem
from glidewright.base.fields import Quantity, quantities
from glidewright.base.figure import Given, Grade
from glidewright.domain.model import Model

from .alone import alone_in
from .atomic import write_whole
from .migrations import upgrade
from .reading import model_of_texts
from .tables import parsed
from .texts import MODEL_FILE, read_text, read_texts, text_of
from .toml_edit import Keys, Value, with_table, with_value, without_table, without_value


def set_value(folder: Path, file: str, keys: Keys, value: Value) -> Model:
    """Set one key of a file of a model folder and give back the model as it now reads.

    keys: table and key, ``("airframe", "span_m")``; for one of several tables its id, its name or its
    place counted from 0 in between, ``("motor", "m28-1020", "mass_g")``, ``("fitted", "pack", "part")``;
    a key at the top of the file alone, ``("class",)``. value: a number in the key's unit, a text, true or
    false, a list of texts, or a mapping with value, grade, low, high and because. Raises InputError when
    the place does not exist or the result cannot be read, WriteError when it cannot be written; the file
    is then as it was.
    """
    return _changed(folder, file, lambda text: with_value(text, file, keys, value))


def remove_value(folder: Path, file: str, keys: Keys) -> Model:
    """Take one key out of a file, so that its value is not known any more; keys as in ``set_value``.

    A key that is not there is left so. Raises as ``set_value`` does.
    """
    return _changed(folder, file, lambda text: without_value(text, file, keys))


def remove_table(folder: Path, file: str, keys: Keys) -> Model:
    """Take one of several tables out of a file; what stands below it, up to the next table, stays.

    keys: name of the tables and which one, ``("item", "canopy")``, ``("weighing", 2)``. Raises as
    ``set_value`` does.
    """
    return _changed(folder, file, lambda text: without_table(text, file, keys))


def append_table(folder: Path, name: str, table: Mapping[str, Value], file: str = MODEL_FILE) -> Model:
    """Add a table ``[[name]]`` (a weighing, a bench reading, a part) behind the last one of that name.

    Keys and values as in the file. Raises as ``set_value`` does.
    """
    return _changed(folder, file, lambda text: with_table(text, file, name, table))


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


def value_of(given: Given, meta: Quantity, grade: Grade) -> float | dict[str, float | str]:
    """A given number in the unit of its key: bare where it says nothing else, else with what it says."""
    number = shortest_number(given.value, meta)
    details: dict[str, float | str] = {"value": number}
    if given.grade != grade:
        details["grade"] = given.grade
    if given.low is not None and given.high is not None:
        details["low"] = shortest_number(given.low, meta)
        details["high"] = shortest_number(given.high, meta)
    if given.because:
        details["because"] = given.because
    return number if len(details) == 1 else details


def _changed(folder: Path, file: str, change: Callable[[str], tuple[str, dict[str, Any]]]) -> Model:
    """Make a change of one file's text, alone in the folder from reading to writing, and read the result."""
    with alone_in(folder):
        texts = _texts_now(folder, file)
        try:
            text, wanted = change(texts[file])
        except (TOMLKitError, RecursionError) as refused:  # sound TOML that only a person can change
            raise _by_hand(file) from refused
        return _replace(folder, texts, file, text, wanted)


def _texts_now(folder: Path, file: str) -> dict[str, str]:
    """The texts of the folder in today's schema, with the file that is to be changed among them."""
    upgrade(folder)
    texts = read_texts(folder)
    text_of(texts, file)
    return texts


def _replace(
    folder: Path, texts: Mapping[str, str], file: str, text: str, wanted: Mapping[str, Any]
) -> Model:
    """Write the text if it reads as a model and says what is wanted, no more and no less."""
    model = model_of_texts({**texts, file: text})
    if parsed(text, file) != wanted:
        raise _by_hand(file)
    if read_text(folder / file, file) != texts[file]:
        raise InputError(
            Problem(
                file,
                "must stay as it is while it is changed; another program wrote it meanwhile; "
                "nothing was written, do it again",
            )
        )
    write_whole(folder / file, text)
    return model


def _by_hand(file: str) -> InputError:
    return InputError(
        Problem(
            file,
            "must change in one place only; the way it is written does not allow that by program; "
            "make the change by hand",
        )
    )
