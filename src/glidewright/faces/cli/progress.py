"""How far a long job is, on one line of a terminal; nothing where nobody looks."""

import sys
from types import TracebackType

from glidewright.faces.cli.output import write

_WIDEST = 78


class Progress:
    """Call it with what is done and the whole; the line is on stderr and is wiped at the end."""

    def __init__(self, words: str = "") -> None:
        self._words = words
        self._is_shown = sys.stderr.isatty()
        self._width = 0

    def __enter__(self) -> "Progress":
        return self

    def __call__(self, done: int, total: int) -> None:
        """Say that so many of so many are done."""
        self.say(f"{self._words}: {done} of {total}")

    def say(self, line: str) -> None:
        """Write the line anew, in words of one's own."""
        if self._is_shown:
            self._width = max(self._width, len(line[:_WIDEST]))
            write(sys.stderr, f"\r{line[:_WIDEST]:<{self._width}}")

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        if self._width:
            write(sys.stderr, "\r" + " " * self._width + "\r")
