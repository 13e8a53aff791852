"""Write the made parts of the notes in docs/methods/: coefficients, known misses, the list of notes.

    python docs/make_methods.py            write them
    python docs/make_methods.py --check    only say whether they are up to date

Marks in a note, each ended by ``<!-- end -->``:

- ``<!-- coefficients: pack -->``: every number of data/coefficients/pack.toml with unit, band and source;
- ``<!-- misses: pack_published_cells, typical_motors -->``: how many checks of tests/worked/test_NAME.py
  hold and which are known misses, from docs/validation.md; ``flight_log_study`` is the study of logs;
- ``<!-- notes: all -->``: in the README of the folder, all notes with their first sentence.
"""

import re
import sys
import tomllib
from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path
from typing import Any

from coefficient_tables import SPECIAL
from glidewright.data import packaged
from marked import DOCS, anchor, marked, renewed, table, written

AFTER = ("validation",)
NOTES = DOCS / "methods"
INDEX = NOTES / "README.md"
VALIDATION = DOCS / "validation.md"
LOG_STUDY = "flight_log_study"
_HEAD = ("Name", "Value", "Low", "High", "Unit", "Holds for", "Source", "How")
_KNOWN = ("value", "low", "high", "unit", "valid", "source", "where", "method", "study")
_SECTION = re.compile(
    r"^### (?P<title>.+)\n\n[^\n]*\(\[tests/worked/test_(?P<file>\w+)\.py\][^\n]*\n\n(?P<table>(?:\|.*\n)+)",
    re.MULTILINE,
)


def coefficient_table(name: str) -> str:
    """All numbers of ``coefficients/<name>.toml``, with what the file says of itself above them."""
    text = packaged("coefficients", f"{name}.toml").read_text(encoding="utf-8")
    home = f"../../src/glidewright/data/coefficients/{name}.toml"
    head = re.match(r"(?:#.*\n)*", text)
    words = " ".join(line.lstrip("# ") for line in (head[0] if head else "").splitlines())
    parsed = tomllib.loads(text)
    maker = SPECIAL.get(name)
    made = maker(parsed) if maker else table(_HEAD, _rows(parsed))
    return f"[`{name}.toml`]({home}): {words}\n\n{made}"


def _rows(parsed: Mapping[str, Any]) -> Iterator[tuple[str, ...]]:
    """One row a number; what the file says once holds for every row that does not say otherwise."""
    shared = {key: text for key, text in parsed.items() if isinstance(text, str)}
    for name, entry in parsed.items():
        for one in entry if isinstance(entry, list) else [entry]:
            if isinstance(one, Mapping):
                yield _row(name, {**shared, **one})


def _row(name: str, entry: Mapping[str, Any]) -> tuple[str, ...]:
    further = [f"{key} {number(entry[key])}" for key in entry if key not in _KNOWN]
    holds = "; ".join([str(entry.get("valid", "")), *further]).strip("; ")
    source = "; ".join(filter(None, (str(entry.get(key, "")) for key in ("source", "where"))))
    study = str(entry.get("study", ""))
    link = f"[{study}](../../{study})" if study.startswith("studies/") else ""
    how = "; ".join(filter(None, (str(entry.get("method", "")), link)))
    numbers = (number(entry[side]) for side in ("value", "low", "high"))
    return (f"`{name}`", *numbers, str(entry["unit"]), holds, source, how)


def number(value: object) -> str:
    """A number of a table as it is read; of a row of numbers its length and its ends."""
    if isinstance(value, list):
        return f"{len(value)} nodes, {number(value[0])} to {number(value[-1])}"
    return f"{value:.5g}" if isinstance(value, float) else str(value)


@cache
def _validation() -> str:
    return VALIDATION.read_text(encoding="utf-8")


def misses(names: str) -> str:
    """How many checks of some worked files hold, and a table of the known misses among them."""
    wanted = [name.strip() for name in names.split(",")]
    found = {one["file"]: one for one in _SECTION.finditer(_validation())}
    gone = [name for name in wanted if name not in found and name != LOG_STUDY]
    if gone:
        raise ValueError(f"docs/validation.md has no section for {', '.join(gone)}")
    lines = []
    for name in wanted:
        if name != LOG_STUDY:
            title, count = found[name]["title"], found[name]["table"].count("\n") - 2
            lines.append(f"- [{title}](../validation.md#{anchor(title)}): {count} checks hold.")
    rows = [row for name in wanted for row in _missed(name)]
    if LOG_STUDY in wanted:
        lines += ["- " + line for line in _log_misses()]
    else:
        lines[-1] += "" if rows else " No known miss."
    text = "\n".join(lines)
    if rows:
        head = ("Known miss", "Unit", "Wished for", "Found", "Would be allowed", "Source", "Why it misses")
        text += "\n\n" + table(head, rows)
    return text


def _missed(name: str) -> Iterator[list[str]]:
    part = _validation().partition("## Known misses")[2].partition("\n## ")[0]
    for line in part.splitlines():
        if line.endswith(f"(../tests/worked/test_{name}.py) |"):
            what, unit, wished, found, _, allowed, source, why, _ = line.strip("| ").split(" | ")
            yield [what, unit, wished, found, allowed, source, why]


def _log_misses() -> list[str]:
    part = _validation().partition("Of the study of flight logs")[2].partition("\n## ")[0]
    found = [line[2:] for line in part.splitlines() if line.startswith("- ")]
    if not found:
        raise ValueError("docs/validation.md must list the known misses of the study of logs; none came")
    return found


def notes() -> list[Path]:
    """All notes, the README of the folder left out."""
    return [path for path in sorted(NOTES.glob("*.md")) if path != INDEX]


def index(_: str) -> str:
    """A row for every note: title with link, what it is about, files of coefficients."""
    rows = []
    for path in notes():
        title, _, rest = path.read_text(encoding="utf-8").partition("\n")
        about = " ".join(rest.strip().split("\n\n")[0].split())
        files = ", ".join(f"`{name}`" for name in marked(rest, "coefficients"))
        rows.append((f"[{title.lstrip('# ')}]({path.name})", about, files))
    return table(("Note", "About", "Coefficients"), rows)


def pages() -> dict[Path, str]:
    """What every page of the folder must hold."""
    makers = {"coefficients": coefficient_table, "misses": misses, "notes": index}
    made = {}
    for path in [*notes(), INDEX]:
        text = path.read_text(encoding="utf-8")
        for kind, make in makers.items():
            text = renewed(text, kind, make)
        made[path] = text
    return made


def main() -> int:
    """Write the pages, or with ``--check`` compare them; 1 when they differ."""
    return written(pages(), only_check="--check" in sys.argv[1:])


if __name__ == "__main__":
    raise SystemExit(main())
