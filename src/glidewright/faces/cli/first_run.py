"""A word before the wait of the first run."""

import sys

from glidewright.decisions.first_run import COMPILE_TIME_s, must_compile
from glidewright.faces.cli.output import write


def say_first_run() -> None:
    """Say on stderr that the kernels are compiled now, if they are; JSON on stdout stays clean."""
    if must_compile():
        write(
            sys.stderr,
            f"First run: compiling the flight kernels, about {COMPILE_TIME_s:.0f} seconds, once.\n",
        )
