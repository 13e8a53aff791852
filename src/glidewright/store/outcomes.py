"""What came out of a step of the test plan, from the words of a command into the model folder."""

from collections.abc import Mapping, Sequence
from datetime import date
from pathlib import Path

from glidewright.base.door import read_noun
from glidewright.base.errors import InputError, Problem, nearest
from glidewright.base.fields import quantities
from glidewright.domain.model import Model
from glidewright.domain.outcome import Outcome

from .toml_edit import Value
from .writing import append_table, table_of

_KEYS = tuple(meta.key for meta in quantities(Outcome).values())


def write_outcome(
    folder: Path,
    steps: Sequence[str],
    *,
    well: str = "",
    badly: str = "",
    found: Sequence[str] = (),
    note: str = "",
    day: str = "",
) -> Model:
    """Add one outcome to model.toml and give back the model as it now reads.

    steps: keys that are known; well, badly: the step, one of both; found: numbers as ``key=number``; day:
    year-month-day, today when empty. Raises InputError when anything of it cannot be used (nothing is
    written then), WriteError when the file cannot be written.
    """
    if bool(well) == bool(badly):
        came = "both came" if well else "none came"
        raise InputError(
            Problem(
                "outcome", f"must name one step, by --well or by --badly; {came}; name the step that was done"
            )
        )
    step = well or badly
    if step not in steps:
        where = "--well" if well else "--badly"
        raise InputError(
            Problem(where, f"must be the key of a step of the plan; {step!r} came; {nearest(step, steps)}")
        )
    texts: dict[str, object] = {
        "step": step,
        "went": "well" if well else "badly",
        "date": day or date.today().isoformat(),
        "note": note,
    }
    outcome = read_noun(Outcome, {**texts, **_numbers(found)}, "outcome", "measured")
    table: Mapping[str, Value] = table_of(outcome, "measured")
    return append_table(folder, Outcome.table, table)


def _numbers(found: Sequence[str]) -> dict[str, object]:
    """``key=number`` as a table; every problem is named."""
    problems: list[Problem] = []
    numbers: dict[str, object] = {}
    for word in found:
        key, sign, text = word.partition("=")
        where = f"--found {word}"
        if not sign:
            problems.append(Problem(where, "must be KEY=NUMBER; no = came; write it as in distance_m=21"))
            continue
        if key not in _KEYS:
            problems.append(
                Problem(where, f"must have a key of an outcome; {key!r} came; {nearest(key, _KEYS)}")
            )
            continue
        try:
            numbers[key] = float(text.replace(",", "."))
        except ValueError:
            problems.append(Problem(where, f"must be a number; {text!r} came; write it as in {key}=21"))
    if problems:
        raise InputError(problems)
    return numbers
