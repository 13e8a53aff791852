"""``glidewright serve``: the pages in a browser, from this machine alone."""

from pathlib import Path
from typing import Annotated

import typer

from glidewright.faces.cli.job import Job

_HELP = """Open the pages in the browser.

Serves the model folders of one folder to this machine alone, without any network. Ends with Ctrl-C."""


def run(
    folder: Annotated[
        Path,
        typer.Argument(metavar="FOLDER", help="Holds the model folders, or is one.", show_default="here"),
    ] = Path(),
    port: Annotated[
        int, typer.Option("--port", min=0, max=65535, help="Port; the next free one when taken.")
    ] = 8765,
    lan: Annotated[
        bool, typer.Option("--lan", help="Let others in this network in, each with a code that is printed.")
    ] = False,
    browser: Annotated[bool, typer.Option("--browser/--no-browser", help="Open the browser.")] = True,
) -> None:
    """Serve until it is stopped."""
    # the pages are read here and not at the top, so that the command table stays quick
    from glidewright.faces.web.serve import serve

    serve(folder, port, is_lan=lan, opens_browser=browser)


JOB = Job(
    "serve",
    _HELP,
    run,
    order=90,
    example="glidewright serve models --no-browser",
)
