"""Every error of the house, in one tree.

``GlidewrightError``
    ``InputError``          something that a person wrote or asked for is not usable: exit code 2
        ``MissingError``    a file, folder, part or class that must exist does not
        ``WriteError``      a file could not be written whole; what stood there before still stands
    ``OutsideModelError``   the input is fine, but no model here covers it (an absurd propeller, say)
"""

from collections.abc import Sequence
from dataclasses import dataclass
from difflib import get_close_matches

_LONGEST_WHERE, _LONGEST_MESSAGE = 200, 600


@dataclass(frozen=True)
class Problem:
    """One thing that is wrong: where (file, line or key) and a sentence that says what to do.

    Both often repeat what a file holds: signs that cannot be seen are written out, and the middle of a long
    text is left out, so that no file can move the cursor, hide a key or fill the screen.

    >>> Problem("name", "must be short; " + 1000 * "x" + " came; cut it").message[-14:]
    'x came; cut it'
    """

    where: str
    message: str

    def __post_init__(self) -> None:
        object.__setattr__(self, "where", _shown(self.where, _LONGEST_WHERE))
        object.__setattr__(self, "message", _shown(self.message, _LONGEST_MESSAGE))

    def __str__(self) -> str:
        return f"{self.where}: {self.message}" if self.where else self.message


def _shown(text: str, most: int) -> str:
    """The text with unseen signs written out, without its middle where it has more than so many signs."""
    if len(text) > most:
        text = f"{text[: most // 2]} ... {text[-most // 3 :]}"
    return "".join(sign if sign.isprintable() else repr(sign)[1:-1] for sign in text)


class GlidewrightError(Exception):
    """Anything that the program says in a sentence instead of a traceback."""

    def __init__(self, problems: Problem | Sequence[Problem]) -> None:
        self.problems: tuple[Problem, ...] = (problems,) if isinstance(problems, Problem) else tuple(problems)
        super().__init__("\n".join(str(problem) for problem in self.problems))

    @classmethod
    def at(cls, where: str, message: str) -> "GlidewrightError":
        """The error with one problem."""
        return cls(Problem(where, message))


class InputError(GlidewrightError):
    """What a person wrote or asked for cannot be used."""


class MissingError(InputError):
    """A file, folder, part or class that must exist does not."""


class WriteError(InputError):
    """A file could not be written whole; what stood there before still stands."""


class OutsideModelError(GlidewrightError):
    """The input is well formed, but no model in the house covers it."""


def nearest(word: str, known: Sequence[str], most: int = 3) -> str:
    """A tail for a sentence that offers the nearest known names, or all of them when few.

    >>> nearest("mas_g", ["mass_g", "price", "kv_rpm_per_V"])
    'nearest known: mass_g'
    >>> nearest("zzz", ["mass_g", "price"])
    'known: mass_g, price'
    """
    close = get_close_matches(word, known, n=most, cutoff=0.6)
    if close:
        return "nearest known: " + ", ".join(close)
    few = sorted(known)[:12]
    tail = ", ..." if len(known) > len(few) else ""
    return "known: " + ", ".join(few) + tail
