"""The program: its command table, and what a person sees when something goes wrong.

Exit codes: 0 done, every finding kept; 1 done, a finding is broken, doubtful or not known; 2 bad input
(one sentence per problem); 130 stopped by Ctrl-C. A mistake of the program itself keeps its traceback.
"""

import os
import sys
from typing import Annotated

import typer
from typer.exceptions import TyperException

from glidewright import __version__
from glidewright.base.errors import GlidewrightError, Problem
from glidewright.base.registry import objects_below
from glidewright.faces.cli import commands
from glidewright.faces.cli.job import Job
from glidewright.faces.cli.output import EXIT_BAD_INPUT, EXIT_STOPPED, report_problems, write

_ABOUT = (
    "Is this electric-launch sailplane legal, balanced and inside its limits, how high does it launch, "
    "how often, and how sure is each answer."
)


def _show_version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"glidewright {__version__}")
        raise typer.Exit


def _frame(
    version: Annotated[
        bool, typer.Option("--version", help="Show the version.", callback=_show_version, is_eager=True)
    ] = False,
) -> None:
    """Only holds the options of the program itself."""


def command_table() -> typer.Typer:
    """All commands that stand in the folder ``commands``."""
    app = typer.Typer(
        name="glidewright",
        help=_ABOUT,
        add_completion=False,
        rich_markup_mode=None,  # plain help: a third of the start-up time, and the same in a pipe
        pretty_exceptions_enable=False,
        no_args_is_help=False,
    )
    app.callback()(_frame)
    jobs = objects_below(commands.__name__, commands.__path__, "JOB", Job)
    for job in sorted(jobs, key=lambda job: (job.order, job.name)):
        app.command(job.name, help=job.help)(job.run)
    return app


def main(arguments: list[str] | None = None) -> int:
    """Run one command; returns the exit code (the entry point hands it to the system)."""
    # The matrices here are small: threads of the linear algebra only wait for each other.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    given = sys.argv[1:] if arguments is None else arguments
    as_json = "--json" in given
    try:
        code = command_table()(given or ["--help"], prog_name="glidewright", standalone_mode=False)
    except GlidewrightError as refused:
        report_problems(given, refused.problems, as_json)
        return EXIT_BAD_INPUT
    except TyperException as misused:
        report_problems(given, [Problem("", _usage_sentence(misused))], as_json)
        return EXIT_BAD_INPUT
    except (KeyboardInterrupt, typer.Abort):
        return _stopped()
    # typer hands a Ctrl-C over as this number; no command of ours uses it
    return _stopped() if code == EXIT_STOPPED else int(code or 0)


def _usage_sentence(misused: TyperException) -> str:
    words = " ".join(misused.format_message().split()).rstrip(".")
    context = getattr(misused, "ctx", None)
    path = context.command_path if context is not None else "glidewright"
    return f"{words[:1].lower()}{words[1:]}; see {path} --help"


def _stopped() -> int:
    write(sys.stderr, "\nglidewright: stopped; run the command again for a whole answer.\n")
    return EXIT_STOPPED
