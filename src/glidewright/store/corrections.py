"""``corrections.toml``: what ``calibrate`` learned from flights, read with the model folder."""

import json
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from glidewright.base.errors import InputError, Problem
from glidewright.domain.learned import Learned, LearnedInput
from glidewright.domain.model import Model

from .atomic import write_whole
from .raw_logs import kept_raws
from .tables import parsed
from .texts import read_text

CORRECTIONS_FILE = "corrections.toml"
SCHEMA = 1
_HEAD = """schema = 1  # of this file's layout; leave it as it is

# Written by glidewright calibrate, and read by every command that predicts. Delete it to forget what the
# flights taught; calibrate writes it anew from the logbook. mean is in scores: 0 is the value of the prior,
# +1.28 its high. row is one row of the lower factor L of the covariance L L' of all scores.
"""
_LISTS = ("logs", "evidence")


def with_learned(model: Model, folder: Path) -> Model:
    """The model with what its flights taught; as it is where there are none.

    Raises InputError as ``read_learned``.
    """
    learned = read_learned(folder)
    return model if learned is None else model.model_copy(update={"learned": learned})


def read_learned(folder: Path) -> Learned | None:
    """What the folder holds of it, with the logs that came after it; nothing without either.

    Raises InputError for a corrections.toml or a folder of logs that cannot be read.
    """
    path = folder / CORRECTIONS_FILE
    is_there = path.exists()
    learned = _learned_of(read_text(path, CORRECTIONS_FILE)) if is_there else Learned()
    newer = tuple(path.name for path in kept_raws(folder) if path.name not in learned.logs)
    if not is_there and not newer:
        return None
    return learned.model_copy(update={"newer": newer})


def write_learned(folder: Path, learned: Learned) -> None:
    """Write the file whole or not at all. Raises WriteError."""
    write_whole(folder / CORRECTIONS_FILE, text_of(learned))


def text_of(learned: Learned) -> str:
    """The file as text."""
    return _HEAD + "\n" + "\n".join(_lines(learned)) + "\n"


def _lines(learned: Learned) -> Iterator[str]:
    for name in ("made", "flights", "launches", "bench_sha256"):
        yield f"{name} = {json.dumps(getattr(learned, name))}"
    for name in _LISTS:
        items = getattr(learned, name)
        yield f"{name} = ["
        yield from (f"  {json.dumps(item, ensure_ascii=False)}," for item in items)
        yield "]"
    for entry in learned.inputs:
        yield ""
        yield f"[[{LearnedInput.table}]]"
        for name in ("name", "of", "title", "kind"):
            yield f"{name} = {json.dumps(getattr(entry, name), ensure_ascii=False)}"
        for name in ("value", "low", "high", "mean"):
            yield f"{name} = {_number(getattr(entry, name))}"
        yield f"row = [{', '.join(map(_number, entry.row))}]"


def _number(number: float) -> str:
    text = f"{number:.12g}"
    return text if any(sign in text for sign in ".e") else f"{text}.0"


def _learned_of(text: str) -> Learned:
    table = parsed(text, CORRECTIONS_FILE)
    schema = table.pop("schema", None)
    if isinstance(schema, int) and not isinstance(schema, bool) and schema > SCHEMA:
        raise InputError(
            Problem(
                f"{CORRECTIONS_FILE}: schema",
                f"must be at most {SCHEMA} for this version; {schema} came, from a newer one; "
                "update glidewright, or delete the file and calibrate again",
            )
        )
    if schema != SCHEMA:
        raise _unusable(f"must state schema = {SCHEMA}; {schema!r} came")
    try:
        learned = Learned.model_validate(_plain(table))
    except (ValidationError, TypeError) as refused:
        raise _unusable(f"must be as calibrate wrote it; {_first(refused)}") from None
    for place, entry in enumerate(learned.inputs):
        if len(entry.row) != place + 1 or not entry.row[-1] > 0.0:
            raise _unusable(f"must hold a row of {place + 1} numbers for {entry.name}, the last above zero")
        if not entry.low <= entry.value <= entry.high:
            raise _unusable(f"must have low, value and high of {entry.name} in order")
    return learned


def _plain(table: Mapping[str, Any]) -> dict[str, Any]:
    found = {name: value for name, value in table.items() if name != LearnedInput.table}
    for name in _LISTS:
        found[name] = tuple(found.get(name, ()))
    rows = table.get(LearnedInput.table, [])
    found["inputs"] = tuple({**row, "row": tuple(row.get("row", ()))} for row in rows)
    return found


def _first(refused: ValidationError | TypeError) -> str:
    if isinstance(refused, TypeError):
        return "its tables are not [[learned]]"
    error = refused.errors()[0]
    return f"{'.'.join(map(str, error['loc']))}: {error['msg'][0].lower()}{error['msg'][1:]}"


def _unusable(message: str) -> InputError:
    return InputError(Problem(CORRECTIONS_FILE, f"{message}; delete it and run glidewright calibrate"))
