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
        report_problems(given, [_usage_problem(misused)], as_json)
        return EXIT_BAD_INPUT
    except (KeyboardInterrupt, typer.Abort):
        return _stopped()
    # typer hands a Ctrl-C over as this number; no command of ours uses it
    return _stopped() if code == EXIT_STOPPED else int(code or 0)


def _usage_problem(misused: TyperException) -> Problem:
    context = getattr(misused, "ctx", None)
    path = context.command_path if context is not None else "glidewright"
    refused, option = misused.__cause__, getattr(misused, "param", None)
    if option is not None and refused is not None:
        said = _value_sentence(refused)
        if said:
            return Problem(str(option.opts[0]), f"{said}; see {path} --help")
    words = " ".join(misused.format_message().split()).rstrip(".")
    return Problem("", f"{words[:1].lower()}{words[1:]}; see {path} --help")


def _value_sentence(refused: BaseException) -> str:
    """What the value of an option must be and what came; empty for a refusal of another kind."""
    from pydantic import ValidationError  # noqa: PLC0415 - slow to read, and only a refusal needs it

    from glidewright.base.door import what_must_be  # noqa: PLC0415 - the same

    if not isinstance(refused, ValidationError):
        return ""
    error = refused.errors()[0]
    _, among, choices = error["msg"].partition(" is not one of ")
    words = f"must be one of {choices.rstrip('.')}" if among else what_must_be(error)
    return f"{words}; {error['input']} came"


def _stopped() -> int:
    write(sys.stderr, "\nglidewright: stopped; run the command again for a whole answer.\n")
    return EXIT_STOPPED
