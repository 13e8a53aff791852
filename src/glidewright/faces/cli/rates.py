"""What money of elsewhere is worth, as stated with ``--rate``."""

import math
from collections.abc import Sequence
from typing import Annotated

import typer

from glidewright.base.errors import InputError, Problem

Rates = Annotated[
    list[str] | None,
    typer.Option(
        "--rate",
        metavar="CURRENCY=NUMBER",
        help="What one unit of it is worth in the first model's money; may be given again.",
    ),
]


def read_rates(words: Sequence[str] | None) -> dict[str, float]:
    """Worth of money by currency, from ``CURRENCY=NUMBER``; raises InputError for other words."""
    found: dict[str, float] = {}
    problems = []
    for word in words or ():
        name, _, number = (piece.strip() for piece in word.partition("="))
        try:
            rate = float(number)
        except ValueError:
            rate = math.nan
        if not name or not 0.0 < rate < math.inf:
            message = f"must be written as CURRENCY=NUMBER, the number above 0; {word!r} came; write USD=0.9"
            problems.append(Problem("--rate", message))
        elif name in found:
            message = f"must state each currency once; {name} came twice; leave one"
            problems.append(Problem("--rate", message))
        else:
            found[name] = rate
    if problems:
        raise InputError(problems)
    return found
