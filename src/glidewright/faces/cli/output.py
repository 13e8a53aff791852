"""Writing to the person or the program that asked: problems as sentences or as the JSON error object."""

import json
import os
import sys
from collections.abc import Sequence
from typing import TextIO

from glidewright.base.errors import Problem

EXIT_STOPPED = 130
EXIT_BAD_INPUT = 2
_NO_COMMAND = ""


def report_problems(arguments: Sequence[str], problems: Sequence[Problem], as_json: bool) -> None:
    """One sentence per problem on stderr, or the error object on stdout when JSON was asked for."""
    if as_json:
        write(sys.stdout, error_json(command_of(arguments), problems) + "\n")
    else:
        for problem in problems:
            write(sys.stderr, f"glidewright: {problem}\n")


def error_json(command: str, problems: Sequence[Problem]) -> str:
    """The error object of the JSON contract.

    >>> print(error_json("check", [Problem("model.toml", "must be a file; none is there; make one")]))
    {
      "ok": false,
      "command": "check",
      "error": "model.toml: must be a file; none is there; make one",
      "errors": [
        {
          "where": "model.toml",
          "message": "must be a file; none is there; make one"
        }
      ]
    }
    """
    body = {
        "ok": False,
        "command": command,
        "error": "; ".join(str(problem) for problem in problems),
        "errors": [{"where": problem.where, "message": problem.message} for problem in problems],
    }
    return json.dumps(body, ensure_ascii=False, indent=2)


def command_of(arguments: Sequence[str]) -> str:
    """The command among the arguments: the first that is no option.

    >>> command_of(["--json", "check", "demo"])
    'check'
    """
    return next((word for word in arguments if not word.startswith("-")), _NO_COMMAND)


def write(stream: TextIO, text: str) -> None:
    """Write text whole; a letter that the stream cannot carry becomes a question mark, never an error.

    A reader that went away ends the writing without a word; a full disk ends the program with one sentence.
    """
    encoding = stream.encoding or "utf-8"
    try:
        stream.write(text.encode(encoding, errors="replace").decode(encoding))
        stream.flush()
    except BrokenPipeError:
        _point_at_nothing(stream)
    except OSError as refused:
        _point_at_nothing(stream)
        if stream is sys.stderr:
            return
        said = (refused.strerror or "it was refused").lower()
        write(
            sys.stderr,
            f"glidewright: output: must be written whole and was not; {said}; try again elsewhere\n",
        )
        raise SystemExit(EXIT_BAD_INPUT) from refused


def _point_at_nothing(stream: TextIO) -> None:
    """Let closing the stream at the end say nothing either."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())
