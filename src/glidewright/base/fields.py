"""Field metadata of the nouns: title, help, unit at the file door, range; forms and docs follow it."""

from dataclasses import dataclass
from functools import cache
from typing import Any

from pydantic import BaseModel, ConfigDict, Field
from pydantic.fields import FieldInfo

from .units import Unit, unit


class Noun(BaseModel):
    """A frozen noun of the domain; unknown names are refused."""

    model_config = ConfigDict(frozen=True, extra="forbid", arbitrary_types_allowed=True)


@dataclass(frozen=True)
class Quantity:
    """How a number stands in a file and on a form.

    key: file key with its unit suffix (``mass_g``); shown: its unit; above: must be greater than
    (file unit); at_least, at_most: inclusive range (file unit); usual: range outside of which a soft
    remark is due; spread: row of the grade table that gives the default spread.
    """

    key: str
    shown: Unit
    spread: str
    above: float | None = None
    at_least: float | None = None
    at_most: float | None = None
    usual: tuple[float, float] | None = None


def quantity(
    title: str,
    *,
    key: str,
    shown: str,
    help: str,
    spread: str = "exact",
    above: float | None = None,
    at_least: float | None = None,
    at_most: float | None = None,
    usual: tuple[float, float] | None = None,
    required: bool = False,
    default: Any = None,
) -> Any:
    """A field that holds a ``Given`` (or None while unknown) and knows its file key, unit and range."""
    extra: Any = {"quantity": Quantity(key, unit(shown), spread, above, at_least, at_most, usual)}
    return Field(
        default=... if required else default,
        title=title,
        description=help,
        json_schema_extra=extra,
    )


def plain(title: str, *, help: str, default: Any = ...) -> Any:
    """A field that is no quantity: a name, a choice, a yes or no, a count."""
    return Field(default=default, title=title, description=help)


def nested(title: str, *, noun: type[BaseModel], help: str) -> Any:
    """A field that holds a tuple of nouns, written as a list of tables inside the table of its owner."""
    extra: Any = {"nested": noun}
    return Field(default=(), title=title, description=help, json_schema_extra=extra)


def nested_nouns(noun: type[BaseModel]) -> dict[str, type[BaseModel]]:
    """The nouns of all nested fields by field name."""
    found = {}
    for name, info in noun.model_fields.items():
        extra = info.json_schema_extra
        own: Any = extra.get("nested") if isinstance(extra, dict) else None
        if isinstance(own, type) and issubclass(own, BaseModel):
            found[name] = own
    return found


def quantity_of(info: FieldInfo) -> Quantity | None:
    """The quantity metadata of a field, if it has any."""
    extra = info.json_schema_extra
    found = extra.get("quantity") if isinstance(extra, dict) else None
    return found if isinstance(found, Quantity) else None


@cache
def quantities(noun: type[BaseModel]) -> dict[str, Quantity]:
    """All quantity fields of a noun by field name; looked up once, not to be changed by the caller."""
    found = {name: quantity_of(info) for name, info in noun.model_fields.items()}
    return {name: meta for name, meta in found.items() if meta is not None}
