"""What ``choose`` is given in words, and how far it is, said on a terminal."""

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import date, datetime
from typing import TYPE_CHECKING

from glidewright.base.errors import InputError, Problem

if TYPE_CHECKING:  # the search is heavy and only its progress is shown here
    from glidewright.decisions.choose import Progress

_WIDTH = 78


def today() -> date:
    """The day on the clock of this machine."""
    return datetime.now().astimezone().date()


def date_of(text: str) -> date | None:
    """A day such as 2030-05-01; nothing for an empty text. Raises InputError for anything else."""
    if not text:
        return None
    try:
        return date.fromisoformat(text)
    except ValueError as refused:
        raise InputError(
            Problem("by", f"must be a day as year-month-day; {text!r} came; write 2030-05-01")
        ) from refused


@contextmanager
def shown_progress() -> Iterator["Callable[[Progress], None] | None"]:
    """A line on stderr that says how far the search is; nothing where nobody looks at a terminal."""
    if not sys.stderr.isatty():
        yield None
        return

    def show(progress: "Progress") -> None:
        words = "" if progress.is_last else f"{progress.stage}: {progress.done}; Ctrl-C shows what is found"
        sys.stderr.write(f"\r{words[:_WIDTH]:<{_WIDTH}}")
        sys.stderr.flush()

    try:
        yield show
    finally:
        sys.stderr.write(f"\r{'':<{_WIDTH}}\r")
        sys.stderr.flush()
