"""Further files of parts, outside of a model folder: what a club or a shop has."""

from collections.abc import Sequence
from pathlib import Path

from glidewright.base.errors import InputError, MissingError, Problem
from glidewright.domain.parts import Part

from .drawer import read_drawer
from .tables import Problems, Table, parsed
from .texts import read_text


def read_more_parts(paths: Sequence[Path]) -> tuple[Part, ...]:
    """The parts of files that are written as those of a drawer, in their order.

    Raises MissingError for a file that does not exist, InputError with every other problem, an id that
    stands in two of them among these.
    """
    problems = Problems()
    tables: dict[str, Table] = {}
    for path in paths:
        if not path.exists():
            raise MissingError(
                Problem(str(path), "must be a file of parts; nothing with that name exists; correct the name")
            )
        name = str(path)
        text = problems.attempt(read_text, path, name)
        table = None if text is None else problems.attempt(parsed, text, name)
        if table is not None:
            tables[name] = table
    drawer = read_drawer(tables, not problems, problems)
    if problems:
        raise InputError(problems)
    return tuple(drawer.parts.values())
