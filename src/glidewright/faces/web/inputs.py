"""Inputs of a page: what they are called, in which unit, from where to where; texts in, SI values out."""

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

from pydantic import BaseModel

from glidewright.base.units import unit
from glidewright.domain.model import Model

Kind = Literal["number", "slider", "choice", "switch", "text"]
Choice = tuple[str, str]
_ON = ("on", "true", "1", "yes")


@dataclass(frozen=True)
class Input:
    """One input; low, high, step and default in the unit that is shown.

    start: works the default out from the model, in the unit that is shown; choices: value and label, or a
    function of the model and its folder that gives them.
    """

    name: str
    title: str
    help: str = ""
    kind: Kind = "number"
    unit: str = ""
    default: Any = None
    low: float | None = None
    high: float | None = None
    step: float | None = None
    choices: Sequence[Choice] | Callable[[Model, Path | None], Sequence[Choice]] = ()
    start: Callable[[Model], Any] | None = None

    def begin(self, model: Model) -> Any:
        """The value before anything was set: a number in the shown unit, a text, or a yes or no."""
        return self.default if self.start is None else self.start(model)

    def choices_for(self, model: Model, folder: Path | None) -> list[Choice]:
        """What may be chosen."""
        return list(self.choices(model, folder) if callable(self.choices) else self.choices)


@dataclass(frozen=True)
class Filled:
    """An input with what stands in it, as text, and the sentence of what is wrong with it, if anything is."""

    input: Input
    text: str
    choices: tuple[Choice, ...]
    problem: str = ""

    @property
    def range_words(self) -> str:
        """From where to where, in words."""
        low, high, symbol = self.input.low, self.input.high, self.input.unit
        tail = f" {symbol}" if symbol else ""
        if low is not None and high is not None:
            return f"{low:g} to {high:g}{tail}"
        if low is not None:
            return f"at least {low:g}{tail}"
        return f"at most {high:g}{tail}" if high is not None else ""


def from_field(noun: type[BaseModel], name: str, **more: Any) -> Input:
    """An input with title, help and default of a field of a request; more: whatever else is to be said.

    The default is turned into the unit that is shown.
    """
    info = noun.model_fields[name]
    default = info.get_default()
    shown = str(more.get("unit", ""))
    if isinstance(default, float) and shown:
        default = float(f"{unit(shown).from_si(default):.6g}")
    said = {"title": str(info.title or name), "help": str(info.description or ""), "default": default}
    return Input(name=name, **(said | more))


def read_inputs(
    inputs: Iterable[Input], texts: Mapping[str, str], model: Model, folder: Path | None = None
) -> tuple[dict[str, Any], list[Filled]]:
    """Values in SI by name, and every input as filled; a wrong one has a sentence instead of a value."""
    values: dict[str, Any] = {}
    filled = []
    for one in inputs:
        choices = tuple(one.choices_for(model, folder))
        begin = one.begin(model)
        text = texts.get(one.name)
        if one.kind == "switch":
            is_on = bool(begin) if not texts else (text or "") in _ON
            values[one.name] = is_on
            filled.append(Filled(one, "on" if is_on else "", choices))
            continue
        shown = text.strip() if text is not None else _as_text(begin)
        value, problem = _read(one, shown, choices)
        if not problem:
            values[one.name] = value
        filled.append(Filled(one, shown, choices, problem))
    return values, filled


def _as_text(value: Any) -> str:
    if value is None:
        return ""
    return f"{value:.6g}" if isinstance(value, float) else str(value)


def _read(one: Input, text: str, choices: Sequence[Choice]) -> tuple[Any, str]:
    if one.kind == "choice":
        known = [value for value, _ in choices]
        if text in known or not known:
            return text, ""
        return None, f"must be one of the choices; {text[:40]!r} came; choose one"
    if one.kind == "text":
        return text, ""
    if not text:
        return None, ""
    return _number(one, text)


def _number(one: Input, text: str) -> tuple[float | None, str]:
    tail = f" {one.unit}" if one.unit else ""
    try:
        number = float(text.replace(",", ".", 1))
    except ValueError:
        return None, f"must be a number{' in' + tail if tail else ''}; {text[:40]!r} came; write digits only"
    if not math.isfinite(number):
        return None, f"must be a finite number; {text[:40]!r} came; correct it"
    if one.low is not None and number < one.low:
        return None, f"must be at least {one.low:g}{tail}; {number:g} came; correct it"
    if one.high is not None and number > one.high:
        return None, f"must be at most {one.high:g}{tail}; {number:g} came; correct it"
    return (unit(one.unit).to_si(number) if one.unit else number), ""
