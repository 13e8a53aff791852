"""Write docs/validation.md: every check against the outside, what was expected, found and allowed.

``python docs/make_validation.py`` runs the worked examples and writes the page; ``--check`` says whether the
page still holds the same checks with the same answers. What is found may differ in the last digits on another
machine, so the comparison goes by names, sources and verdicts.
"""

import json
import os
import re
import subprocess
import sys
import tempfile
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from glidewright import __version__

ROOT = Path(__file__).parents[1]
PAGE = ROOT / "docs/validation.md"
Row = Mapping[str, Any]
_REASON = r"xfail\([^)]*?reason=\"([^\"]+)\""

_HEAD = """# Validation

Every row is a number of this program against one from outside: a publication, a standard, measured data,
or a general-purpose library that solves the same problem another way. The tests fail when a row does not
hold, so this page and the tests cannot differ. Allowed is the tolerance with its reason; nothing was widened to
pass.

Made by `python docs/make_validation.py` with version {version}: {count} checks, {kept} hold.
"""

_MISSES = """## Known misses

What does not reach the number that one would wish for, in plain sight.

{rows}
"""


def rows_found() -> list[Row]:
    """Run the worked examples and collect what they wrote down, each check once."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "checks.jsonl"
        words = [sys.executable, "-m", "pytest", "-q", "tests/worked", "-p", "no:xdist"]
        subprocess.run(
            words, cwd=ROOT, env=os.environ | {"GLIDEWRIGHT_CHECKS": str(file)}, check=True, stdout=sys.stderr
        )
        lines = file.read_text(encoding="utf-8").splitlines() if file.exists() else []
    unique = {(row["test"], row["what"]): row for row in map(json.loads, lines)}
    return sorted(unique.values(), key=lambda row: (row["test"], row["what"]))


def page(rows: Iterable[Row], misses: Iterable[str]) -> str:
    """The whole page as text."""
    found = list(rows)
    parts = [_HEAD.format(version=__version__, count=len(found), kept=sum(row["keeps"] for row in found))]
    files = dict.fromkeys(row["test"].split("::")[0] for row in found)
    for file in files:
        own = [row for row in found if row["test"].startswith(file)]
        parts.append(f"## {_title(file)}\n\n`{file}`\n\n{_table(own)}\n")
    parts.append(_MISSES.format(rows="\n".join(f"- {miss}" for miss in misses)))
    return "\n".join(parts)


def _title(file: str) -> str:
    words = Path(file).stem.removeprefix("test_").replace("_", " ")
    return words[0].upper() + words[1:]


def _table(rows: Iterable[Row]) -> str:
    lines = ["| What | Unit | Expected | Found | Off | Allowed | Source | Why so much is allowed |"]
    lines.append("| --- | --- | ---: | ---: | ---: | ---: | --- | --- |")
    for row in rows:
        off = abs(row["found"] - row["expected"])
        numbers = [f"{number:.5g}" for number in (row["expected"], row["found"], off, row["allowed"])]
        cells = [row["what"], row["unit"] or "-", *numbers, row["source"], row["because"]]
        lines.append("| " + " | ".join(str(cell).replace("|", "/") for cell in cells) + " |")
    return "\n".join(lines)


def misses_stated() -> list[str]:
    """The misses that tests mark as expected failures, with their reasons."""
    found = []
    for file in sorted((ROOT / "tests").rglob("test_*.py")):
        reasons = re.findall(_REASON, file.read_text(encoding="utf-8"), re.DOTALL)
        found += [f"{file.relative_to(ROOT)}: {reason}" for reason in reasons]
    return found


def without_digits(text: str) -> str:
    """The page without its numbers."""
    return re.sub(r"-?\d+(\.\d+)?(e[+-]?\d+)?", "#", text)


def main() -> int:
    """Write the page, or compare."""
    made = page(rows_found(), misses_stated())
    if "--check" in sys.argv:
        same = PAGE.exists() and without_digits(made) == without_digits(PAGE.read_text(encoding="utf-8"))
        print("docs/validation.md is what the tests say" if same else "run python docs/make_validation.py")
        return 0 if same else 1
    PAGE.write_text(made, encoding="utf-8")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
