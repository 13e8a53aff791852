"""Changed demo models, and a walk over everything that a result holds."""

import math
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from pydantic import BaseModel

from glidewright.base.figure import Figure, Given
from glidewright.domain.model import Item, Model
from glidewright.domain.parts import Part

Vary = Callable[..., Model]


def measured(value: float) -> Given:
    return Given(value=value, grade="measured")


def numbers_as_given(changes: dict[str, Any]) -> dict[str, Any]:
    return {name: measured(value) if isinstance(value, float) else value for name, value in changes.items()}


@pytest.fixture
def vary(demo: Model) -> Vary:
    """The demo with changed fields: `vary((Motor, {...}), field={...}, launch={...}, airframe={...})`."""

    def build(*parts: tuple[type[Part], dict[str, Any]], **tables: dict[str, Any]) -> Model:
        model = demo
        for kind, changes in parts:
            update = numbers_as_given(changes)
            items = tuple(
                Item(name=i.name, part=i.part.model_copy(update=update)) if isinstance(i.part, kind) else i
                for i in model.items
            )
            model = model.model_copy(update={"items": items})
        for table, changes in tables.items():
            noun = getattr(model, table).model_copy(update=numbers_as_given(changes))
            model = model.model_copy(update={table: noun})
        return model

    return build


@pytest.fixture
def faults_in() -> Callable[[Any], list[str]]:
    """Every figure out of order and every number that is not finite, by its place in the result."""

    def walk(thing: Any, place: str) -> Iterator[str]:
        if isinstance(thing, Figure):
            numbers = (thing.low, thing.value, thing.high)
            if thing.value is None:
                if numbers != (None, None, None) or not thing.because:
                    yield f"{place}: unknown, and still {numbers}, because {thing.because!r}"
            elif not (all(map(math.isfinite, numbers)) and thing.low <= thing.value <= thing.high):
                yield f"{place}: {numbers}"
        elif isinstance(thing, float):
            if not math.isfinite(thing):
                yield f"{place}: {thing}"
        elif isinstance(thing, BaseModel):
            for name in type(thing).model_fields:
                yield from walk(getattr(thing, name), f"{place}.{name}")
        elif isinstance(thing, tuple | list):
            for number, part in enumerate(thing):
                yield from walk(part, f"{place}[{number}]")
        else:
            assert thing is None or isinstance(thing, str | int), (place, type(thing))

    return lambda result: list(walk(result, "result"))
