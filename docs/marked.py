"""What the makers of the docs share: tables in Markdown, texts between two marks of a page, and whole pages.

A made text stands between ``<!-- KIND: NAME -->`` and ``<!-- end -->``; what else stands in such a page is
written by hand and left alone.
"""

import re
import sys
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
DOCS = ROOT / "docs"


def table(head: Sequence[str], rows: Iterable[Sequence[object]], right: Collection[str] = ()) -> str:
    """A table in Markdown with a line end; right: names of the columns that stand to the right."""
    lines = [head, ["---:" if name in right else "---" for name in head], *rows]
    return "".join(f"| {' | '.join(map(cell, line))} |\n" for line in lines)


def cell(thing: object) -> str:
    """A cell of a table: on one line, and without a bar that would break the table."""
    return " ".join(str(thing).split()).replace("|", "\\|")


def anchor(heading: str) -> str:
    """The part of an address behind ``#`` that leads to a heading."""
    return re.sub(r"[^\w -]", "", heading.lower()).replace(" ", "-")


def marked(text: str, kind: str) -> list[str]:
    """Names of all places of one kind in a page."""
    return [found["name"] for found in _marks(kind).finditer(text)]


def renewed(text: str, kind: str, make: Callable[[str], str]) -> str:
    """A page in which every place of one kind holds what ``make`` gives for its name."""
    return _marks(kind).sub(lambda found: f"{found[1]}\n{make(found['name']).rstrip()}\n\n{found[3]}", text)


def _marks(kind: str) -> re.Pattern[str]:
    return re.compile(rf"(<!-- {re.escape(kind)}: (?P<name>[^>]+) -->\n).*?(<!-- end -->)", re.DOTALL)


def written(pages: Mapping[Path, str], *, only_check: bool) -> int:
    """Write the pages that are behind, or only name them; 1, an exit code, when a check finds one."""
    behind = {path: text for path, text in pages.items() if not _holds(path, text)}
    for path, text in behind.items():
        if not only_check:
            path.write_text(text, encoding="utf-8")
        sys.stdout.write(f"{path.relative_to(ROOT)}: {'behind' if only_check else 'written'}\n")
    return 1 if only_check and behind else 0


def _holds(path: Path, text: str) -> bool:
    return path.exists() and path.read_text(encoding="utf-8") == text
