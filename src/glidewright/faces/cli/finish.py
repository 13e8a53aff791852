"""The end of every command: the result as text, JSON or page, and the exit code of its findings."""

import os
import shutil
import sys
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import NoReturn

import typer
from pydantic import BaseModel

from glidewright.faces.cli.output import EXIT_STOPPED, write
from glidewright.faces.report.document import Document
from glidewright.faces.report.render_json import render_json
from glidewright.faces.report.status import status_of
from glidewright.rules.finding import Finding

EXIT_DONE = 0
EXIT_NOT_KEPT = 1
_PIPE_WIDTH = 80
_WIDEST = 110


def finish(
    command: str,
    model: str,
    result: BaseModel,
    document: Callable[[], Document],
    *,
    as_json: bool,
    show_all: bool = False,
    html: Path | None = None,
    written: Sequence[Path] = (),
    findings: Iterable[Finding] = (),
    sources: Iterable[str] = (),
    is_partial: bool = False,
) -> NoReturn:
    """Show a result and leave with its exit code.

    document: makes the document, called only where one is shown; show_all: its details too; findings: those
    that decide the exit code and stand in the JSON object; html: file to write the page to, whole or not
    at all; written: pages that the command has written itself; is_partial: it was stopped before its end.
    Raises WriteError when the page cannot be written.
    """
    found = tuple(findings)
    if html is not None:
        from glidewright.faces.report.render_html import render_html  # noqa: PLC0415 - the chart engine takes half a second
        from glidewright.store.atomic import write_whole  # noqa: PLC0415 - only where a file is written

        write_whole(html, render_html(document()))
    if as_json:
        write(sys.stdout, render_json(command, model, result, found, tuple(sources)))
    else:
        show(document(), show_all)
        for file in (*((html,) if html is not None else ()), *written):
            write(sys.stdout, f"\nPage written: {file}\n")
    raise typer.Exit(EXIT_STOPPED if is_partial else exit_code(found))


def exit_code(findings: Iterable[Finding]) -> int:
    """0 when every finding is kept, else 1."""
    return EXIT_DONE if all(status_of(finding).is_kept for finding in findings) else EXIT_NOT_KEPT


def show(document: Document, with_details: bool = False) -> None:
    """The document as text: with colours on a terminal, plain in a pipe or when NO_COLOR is set."""
    from glidewright.faces.report.render_text import render_text  # noqa: PLC0415 - not needed for --json

    is_plain = not sys.stdout.isatty() or bool(os.environ.get("NO_COLOR")) or os.environ.get("TERM") == "dumb"
    width = (
        min(shutil.get_terminal_size((_PIPE_WIDTH, 24)).columns, _WIDEST)
        if sys.stdout.isatty()
        else _PIPE_WIDTH
    )
    write(sys.stdout, render_text(document, width, is_plain, with_details))
