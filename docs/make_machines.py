"""Put what ``studies/fresh_machines.py`` found (docs/machines.json) into docs/machines.md.

``python docs/make_machines.py`` writes the tables of the page; ``--check`` says whether they are those of the
stored file. Neither sets anything up.
"""

import json
import sys
from collections.abc import Callable, Iterator, Mapping
from typing import Any

from marked import DOCS, renewed, table, written

PAGE = DOCS / "machines.md"
STORED = DOCS / "machines.json"
Run = Mapping[str, Any]
NONE = "not run"


def main() -> int:
    """Write the page, or with ``--check`` compare it; 1 when it is behind."""
    return written({PAGE: page(PAGE.read_text(encoding="utf-8"))}, only_check="--check" in sys.argv[1:])


def page(text: str) -> str:
    """The page with the tables of what is stored."""
    stored = json.loads(STORED.read_text(encoding="utf-8"))
    bare = stored.pop("bare", None)
    makers: dict[str, Callable[[], str]] = {
        "runs": lambda: runs(stored),
        "wheel": lambda: wheel(stored),
        "sizes": lambda: sizes(stored),
        "bare": lambda: bare_words(bare),
    }
    return renewed(text, "machines", lambda name: makers[name]())


def _turned(corner: str, stored: Mapping[str, Run], rows: Mapping[str, Callable[[Run], object]]) -> str:
    """A table with a column for every run and a row for every figure."""
    names = [run["python"] for run in stored.values()]
    lines = [[title, *(show(run) for run in stored.values())] for title, show in rows.items()]
    return table([corner, *names], lines, right=names)


def runs(stored: Mapping[str, Run]) -> str:
    """The commands of the README."""
    return _turned(
        "Python",
        stored,
        {
            "`python3 start.py`, from nothing": lambda run: f"{run['readme']['first_s']:.0f} s",
            "`python3 start.py` again": lambda run: f"{run['readme']['again_s']:.0f} s",
            "`python3 start.py test`": lambda run: _tests(run["readme"]),
            "packages in `.venv`, pip left out": lambda run: run["readme"]["packages"],
            "size of `.venv`": lambda run: f"{run['readme']['MB']:.0f} MB",
            "date": lambda run: run["date"],
            "commit": lambda run: run["commit"],
            "machine": lambda run: run["machine"],
        },
    )


def _tests(found: Run) -> str:
    return f"{found['tests_s'] / 60:.0f} min, {found['tests']}" if "tests" in found else NONE


def wheel(stored: Mapping[str, Run]) -> str:
    """The wheel in an environment of its own."""
    return _turned(
        "Python",
        stored,
        {
            "wheel": lambda run: f"{run['archives']['wheel_MB']} MB, {run['archives']['wheel_files']} files",
            "source archive": lambda run: f"{run['archives']['archive_MB']} MB",
            "`glidewright check`, first time": lambda run: f"{run['wheel']['check_first_s']:.0f} s",
            "`glidewright check` from then on": lambda run: f"{run['wheel']['check_warm_s']} s",
            "`glidewright serve` to its first page": lambda run: f"{run['wheel']['serve_s']} s",
            "packages, pip and glidewright left out": lambda run: run["wheel"]["packages"],
            "size of the environment": lambda run: f"{run['wheel']['MB']:.0f} MB",
        },
    )


def sizes(stored: Mapping[str, Run]) -> str:
    """The largest packages of ``.venv``, in MB."""
    newest: Mapping[str, float] = list(stored.values())[-1]["readme"]["largest_MB"]
    return _turned("Package, MB", stored, {name: _size_of(name) for name in newest})


def _size_of(name: str) -> Callable[[Run], object]:
    return lambda run: run["readme"]["largest_MB"].get(name, "-")


def bare_words(bare: Run | None) -> str:
    """What came of a bare Debian."""
    return "\n".join(_of_bare(bare)) if bare else f"A bare Debian: {NONE}."


def _of_bare(bare: Run) -> Iterator[str]:
    yield f"{bare['system']}, Python {bare['python']}, {bare['packages_of_system']} packages"
    yield f"({bare['date']}, commit {bare['commit']}). `python3 start.py` said first:"
    yield f"\n```\n{bare['said']}\n```\n"
    yield "After `apt-get install python3-venv` it set itself up and answered for the demo"
    yield f"in {bare['then_s']:.0f} s."


if __name__ == "__main__":
    raise SystemExit(main())
