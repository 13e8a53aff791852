"""A new model folder: written whole or not at all."""

import os
import secrets
import shutil
from collections.abc import Mapping
from pathlib import Path

from glidewright.base.errors import InputError, Problem, WriteError

from .atomic import force_folder, write_sentence, write_whole


def write_new_folder(target: Path, texts: Mapping[str, str]) -> None:
    """Write the texts (name -> text, ``/`` between folder and file) as a new folder.

    They are written beside the target and take its place in one step. Raises InputError when the target
    holds anything already or is a file, WriteError when it cannot be written; nothing is left behind then.
    """
    _refuse_occupied(target)
    temporary = target.with_name(f".{target.name}.{secrets.token_hex(6)}.tmp")
    try:
        temporary.mkdir()
        for name, text in texts.items():
            path = temporary / name
            path.parent.mkdir(parents=True, exist_ok=True)
            write_whole(path, text)
            force_folder(path.parent)
        if target.is_dir():
            target.rmdir()
        os.rename(temporary, target)  # noqa: PTH104 - fails on an existing folder on every system
    except OSError as refused:
        raise WriteError(Problem(str(target), write_sentence(refused))) from refused
    except WriteError as refused:
        words = refused.problems[0].message
        raise WriteError(Problem(str(target), words)) from refused
    finally:
        shutil.rmtree(temporary, ignore_errors=True)
    force_folder(target.parent)


def _refuse_occupied(target: Path) -> None:
    try:
        if target.is_file():
            raise InputError(
                Problem(str(target), "must be a new folder; a file has that name; choose another name")
            )
        if target.is_dir() and any(target.iterdir()):
            raise InputError(
                Problem(
                    str(target),
                    "must be a new or an empty folder; it holds files already; "
                    "choose another name, nothing was changed",
                )
            )
    except OSError as refused:
        raise WriteError(Problem(str(target), write_sentence(refused))) from refused
