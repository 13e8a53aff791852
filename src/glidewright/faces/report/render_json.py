"""A result as the JSON object of the contract, straight from the Result noun.

A figure is ``{"value", "unit", "low", "high", "grade", "because"}`` in SI. No NaN and no infinity: such a
number is null, and a key ``<name>_because`` beside it says so (a figure says it in its own ``because``).
"""

import json
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import fields, is_dataclass
from datetime import date
from enum import Enum
from pathlib import Path
from typing import Any

import numpy as np
from pydantic import BaseModel

from glidewright import __version__
from glidewright.base.figure import Figure
from glidewright.rules.finding import Finding

_NOT_FINITE = "not a finite number"


def render_json(
    command: str,
    model: str,
    result: BaseModel,
    findings: Iterable[Finding] = (),
    sources: Sequence[str] = (),
) -> str:
    """The whole answer of a command as JSON text with a line end."""
    body = {
        "ok": True,
        "command": command,
        "model": model,
        "result": plain(result),
        "findings": [plain(finding.contract()) for finding in findings],
        "sources": list(sources),
        "version": __version__,
    }
    return json.dumps(body, ensure_ascii=False, indent=2, allow_nan=False) + "\n"


def figure_object(figure: Figure) -> dict[str, Any]:
    """A figure as the contract states it.

    >>> figure_object(Figure.exact(2.0, "m", "m", "measured", "ruler"))["value"]
    2.0
    """
    numbers = {"value": figure.value, "low": figure.low, "high": figure.high}
    because = figure.because
    if any(number is not None and not math.isfinite(number) for number in numbers.values()):
        numbers = dict.fromkeys(numbers)
        because = f"{because}; {_NOT_FINITE}".removeprefix("; ")
    return {
        "value": numbers["value"],
        "unit": figure.unit,
        "low": numbers["low"],
        "high": numbers["high"],
        "grade": figure.grade,
        "because": because,
    }


def plain(thing: Any) -> Any:  # noqa: PLR0911 - one line a kind reads best
    """Anything that a result holds as JSON values; raises TypeError for a kind that has no JSON form."""
    if isinstance(thing, float):
        return thing if math.isfinite(thing) else None
    if thing is None or isinstance(thing, str | int):
        return thing
    if isinstance(thing, Figure):
        return figure_object(thing)
    if isinstance(thing, BaseModel):
        return _object({name: getattr(thing, name) for name in type(thing).model_fields})
    if is_dataclass(thing) and not isinstance(thing, type):
        return _object({field.name: getattr(thing, field.name) for field in fields(thing)})
    if isinstance(thing, Mapping):
        return _object({str(key): value for key, value in thing.items()})
    if isinstance(thing, np.ndarray | np.generic):
        return plain(thing.tolist())
    if isinstance(thing, Enum):
        return plain(thing.value)
    if isinstance(thing, date | Path):
        return str(thing)
    if isinstance(thing, Iterable):
        return [plain(part) for part in thing]
    raise TypeError(f"a result holds a {type(thing).__name__}, which has no JSON form")


def _object(values: Mapping[str, Any]) -> dict[str, Any]:
    made: dict[str, Any] = {}
    for name, value in values.items():
        made[name] = plain(value)
        if isinstance(value, float | np.floating) and not math.isfinite(value):
            made[f"{name}_because"] = _NOT_FINITE
    return made
