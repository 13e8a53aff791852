"""A folder with the packages of the runtime lock and no other, made of links into this environment."""

import os
import re
import sys
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from importlib.metadata import Distribution, distributions
from pathlib import Path

REPOSITORY = Path(__file__).parents[2]


def plain(name: str) -> str:
    """A package name as every index compares it.

    >>> plain("Typing_Extensions")
    'typing-extensions'
    """
    return re.sub(r"[-_.]+", "-", name).lower()


def locked(lock: str = "requirements.lock") -> set[str]:
    """Names of a lock."""
    text = (REPOSITORY / lock).read_text(encoding="utf-8")
    return {plain(name) for name in re.findall(r"^([\w.-]+)==", text, re.MULTILINE)}


@dataclass(frozen=True)
class View:
    """place: the folder of links; package_of: top-level name to the package that brings it."""

    place: Path
    package_of: Mapping[str, str]

    @property
    def command(self) -> list[str]:
        """An interpreter that finds the libraries of the view and of Python, and nothing else."""
        return [sys.executable, "-S", "-P"]

    @property
    def surroundings(self) -> dict[str, str]:
        """Variables for it and for what it starts."""
        own = {name: value for name, value in os.environ.items() if not name.startswith(("COV_", "PYTEST"))}
        return own | {"PYTHONPATH": os.pathsep.join((str(self.place), str(REPOSITORY / "src")))}


def view_of(names: Collection[str], place: Path) -> View:
    """Link what these packages brought into an empty folder."""
    package_of = {}
    for package in distributions():
        name = plain(package.metadata["Name"])
        if name in names:
            for entry in _entries(package):
                link = place / entry
                if not link.exists():
                    link.symlink_to(Path(str(package.locate_file(entry))))
                package_of[entry.partition(".")[0]] = name
    return View(place, package_of)


def _entries(package: Distribution) -> set[str]:
    """What a package put into the folder of libraries, on its top level."""
    tops = {file.parts[0] for file in package.files or () if file.parts}
    return {top for top in tops if top not in ("..", "__pycache__", ".", "bin")}
