"""What a page of the pages is: one file an area in the folder ``areas``, found by folder walk.

An area states its inputs and how to answer. Answering happens in a process of its own (``worker.py``); the
file of an area therefore imports what computes inside its functions.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any, Protocol

from glidewright.base.registry import objects_below
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.model import Model
from glidewright.faces.report.document import Document
from glidewright.faces.web.inputs import Input

Values = Mapping[str, Any]


class Tell(Protocol):
    """How long work says how far it is: a share from 0 to 1 (None when nobody knows), and words."""

    def __call__(self, share: float | None, words: str) -> None:
        """Say it."""


@dataclass(frozen=True)
class Subject:
    """What is asked about: a model folder as it was read, with its class and the state that was read."""

    folder: Path
    revision: str
    model: Model
    rule: ClassLimits | None


@dataclass(frozen=True)
class Reply:
    """An answer: a document, and data for the area's own template (plain values only)."""

    document: Document
    extra: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True)
class Area:
    """One page about a model.

    key: in the address; group: heading in the list of pages; help: one sentence; answer: makes the report;
    inputs: what can be set; asks: the input without which nothing is computed; panel: template above the
    report, filled by scene; live: numbers while a slider or handle moves; is_long: starts only when asked,
    shows how far it is and can be stopped; start_word: on its button; switches: what they decide together;
    writes: its answer changes the folder; files: what can be downloaded, as (ending, title), made by make.
    """

    key: str
    title: str
    help: str
    group: str = "Answers"
    order: int = 50
    answer: Callable[[Subject, Values, Tell], Reply] | None = None
    inputs: tuple[Input, ...] = ()
    panel: str = ""
    scene: Callable[[Subject, Values], Mapping[str, Any]] | None = None
    live: Callable[[Subject, Values], Mapping[str, Any]] | None = None
    is_long: bool = False
    asks: str = ""
    start_word: str = "Compute"
    switches: str = ""
    writes: bool = False
    files: tuple[tuple[str, str], ...] = ()
    make: Callable[[Subject, str], bytes] | None = None


@cache
def areas() -> Mapping[str, Area]:
    """All areas by key, in their order."""
    from glidewright.faces.web import areas as package  # noqa: PLC0415 - its modules import this one

    found = objects_below(package.__name__, package.__path__, "AREA", Area)
    return {area.key: area for area in sorted(found, key=lambda area: (area.order, area.key))}


def grouped(found: Iterable[Area]) -> list[tuple[str, list[Area]]]:
    """Areas under their headings, both in order of first appearance."""
    groups: dict[str, list[Area]] = {}
    for area in found:
        groups.setdefault(area.group, []).append(area)
    return list(groups.items())
