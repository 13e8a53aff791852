"""Packaged tables: coefficients, class examples, the demo; every value with its source."""

import tomllib
from functools import cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from typing import Any


def packaged(*parts: str) -> Traversable:
    """The packaged file or folder at this path below ``glidewright/data``."""
    found: Traversable = files(__name__)
    for part in parts:
        found = found / part
    return found


@cache
def coefficients(name: str) -> dict[str, Any]:
    """The parsed table ``coefficients/<name>.toml``; read once, not to be changed by the caller."""
    return tomllib.loads(packaged("coefficients", f"{name}.toml").read_text(encoding="utf-8"))


def coefficient(table: str, name: str) -> float:
    """The value of one row of a table, in the unit of the row.

    >>> coefficient("air", "temperature_0")
    288.15
    """
    return float(coefficients(table)[name]["value"])
