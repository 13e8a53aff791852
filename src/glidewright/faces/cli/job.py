"""What a command is: a name, a sentence and a function; one file a command, found by folder walk.

This module and the command files are read for ``--help``; they import nothing that computes.
"""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

import typer

ModelFolder = Annotated[
    Path, typer.Argument(metavar="MODEL", help="The model folder (holds model.toml).", show_default=False)
]
AsJson = Annotated[bool, typer.Option("--json", help="One JSON object instead of text.")]
ShowAll = Annotated[bool, typer.Option("--all", help="Print every figure, and where its spread comes from.")]
HtmlFile = Annotated[
    Path | None,
    typer.Option("--html", metavar="FILE", help="Write the report as one self-contained HTML file too."),
]


@dataclass(frozen=True)
class Job:
    """One command of the program.

    name: as typed; help: first sentence for the table, the rest for its own page; run: the function
    whose annotated parameters are the options; order: place in the table; example: a line as one types it;
    answers: the noun that it answers with, as ``module below glidewright:class``, so that nothing is read
    for the help; empty for a command without an answer.
    """

    name: str
    help: str
    run: Callable[..., None]
    order: int = 50
    example: str = ""
    answers: str = ""
