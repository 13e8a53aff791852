"""How plain and coloured text is put on a terminal: words, paragraphs, grids."""

import textwrap
from dataclasses import dataclass
from typing import Literal

from rich.box import Box
from rich.console import Console, RenderableType
from rich.padding import Padding
from rich.table import Table as RichTable
from rich.text import Text
from rich.theme import Theme

from glidewright.faces.report.letters import ascii_text, held_together

THEME = Theme(
    {
        "good": "green",
        "warning": "yellow",
        "alarm": "bold red",
        "quiet": "dim",
        "head": "bold",
        "accent": "bold cyan",
    }
)
TONE_STYLE = {"plain": "", "good": "good", "warning": "warning", "alarm": "alarm"}
Side = Literal["left", "right"]
INDENT = 2
GAP = 2
NARROW_TEXT = 20
_HEAD_RULE = Box("    \n    \n -- \n    \n    \n    \n    \n    \n", ascii=True)


@dataclass(frozen=True)
class Pen:
    """Where and how to write.

    is_plain: only plain characters are wanted; with_details: details are wanted too.
    """

    console: Console
    is_plain: bool
    with_details: bool

    def words(self, text: str, style: str = "") -> Text:
        """Text in its style, in plain characters when wanted."""
        return Text(self.letters(text), style=style)

    def letters(self, text: str) -> str:
        """The same text in plain characters when wanted."""
        joined = held_together(text)
        return ascii_text(joined) if self.is_plain else joined

    def write(self, what: RenderableType, indent: int = 0) -> None:
        """One renderable, indented."""
        self.console.print(Padding(what, (0, 0, 0, indent)))

    def gap(self) -> None:
        """An empty line."""
        self.console.print()

    def bullet(self, sign: str, text: str, style: str = "", indent: int = INDENT) -> None:
        """A sign and a hanging paragraph; a long word, a path say, stays whole so that it can be copied."""
        mark = self.letters(sign)
        lead = " " * indent + mark + " "
        lines = textwrap.wrap(
            self.letters(text),
            self.console.width,
            initial_indent=lead,
            subsequent_indent=" " * len(lead),
            break_long_words=False,
            break_on_hyphens=False,
        )
        made = Text("\n".join(lines))
        if style:
            made.stylize(style, indent, indent + len(mark))
        self.console.print(made, no_wrap=True, overflow="ignore", crop=False)


def grid(has_head: bool = True) -> RichTable:
    """An empty grid; its heading, if any, stands over a line."""
    return RichTable(
        box=_HEAD_RULE if has_head else None,
        show_header=has_head,
        show_edge=False,
        pad_edge=False,
        padding=(0, 1, 0, 0) if has_head else (0, 2, 0, 0),
        header_style="quiet",
    )


def stacked(text: str) -> str:
    """The range of a figure under its value, where room is short."""
    return text.replace(" (", "\n(", 1)


def folded(head: str, width: int) -> str:
    """A heading in lines as wide as its column, or as its longest word."""
    longest = max(map(len, head.split()), default=1)
    return "\n".join(textwrap.wrap(head, max(width, longest)))
